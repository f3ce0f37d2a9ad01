package static

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// theme is the custom properties of one block of app.css.
type theme map[string]string

var property = regexp.MustCompile(`--([a-z-]+):\s*(#[0-9a-f]{3,6})\s*;`)

// block reads the colours between the braces after the nth selector.
func block(t *testing.T, css, selector string, nth int) theme {
	t.Helper()
	pieces := strings.Split(css, selector+" {")
	require.Greater(t, len(pieces), nth, "app.css has no %s", selector)
	body, _, found := strings.Cut(pieces[nth], "}")
	require.True(t, found)
	colours := theme{}
	for _, m := range property.FindAllStringSubmatch(body, -1) {
		colours[m[1]] = m[2]
	}
	return colours
}

// over lays a theme over the light one, as the cascade does.
func (th theme) over(base theme) theme {
	all := theme{}
	for k, v := range base {
		all[k] = v
	}
	for k, v := range th {
		all[k] = v
	}
	return all
}

func themes(t *testing.T) map[string]theme {
	css := string(assets["app.css"].body)
	light := block(t, css, ":root", 1)
	return map[string]theme{
		"light":         light,
		"dark":          block(t, css, `html[data-theme="dark"]`, 1).over(light),
		"device's dark": block(t, css, `html:not([data-theme])`, 1).over(light),
		"glare":         block(t, css, `html[data-theme="glare"]`, 1).over(light),
		"print":         block(t, css, ":root", 2).over(light),
	}
}

// luminance is the relative luminance of WCAG 2.2 (W3C, 2023), section
// "relative luminance", with its threshold of 0.04045.
func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	digits := strings.TrimPrefix(hex, "#")
	if len(digits) == 3 {
		digits = fmt.Sprintf("%[1]c%[1]c%[2]c%[2]c%[3]c%[3]c", digits[0], digits[1], digits[2])
	}
	require.Len(t, digits, 6, hex)
	var sum float64
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, err := strconv.ParseUint(digits[2*i:2*i+2], 16, 8)
		require.NoError(t, err, hex)
		c := float64(n) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

// contrast is the contrast ratio of WCAG 2.2: (L1 + 0.05) / (L2 + 0.05).
func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	la, lb := luminance(t, a), luminance(t, b)
	return (math.Max(la, lb) + 0.05) / (math.Min(la, lb) + 0.05)
}

// The formula itself against values known without it: 21:1 for black on white
// by definition, and #767676 as the lightest grey that reaches 4.5:1 on white
// (W3C, Understanding Success Criterion 1.4.3; from memory).
func TestContrastFormula(t *testing.T) {
	assert.InDelta(t, 21, contrast(t, "#000", "#ffffff"), 1e-9)
	assert.InDelta(t, 1, contrast(t, "#b5360f", "#b5360f"), 1e-9)
	assert.Greater(t, contrast(t, "#767676", "#fff"), 4.5)
	assert.Less(t, contrast(t, "#777777", "#fff"), 4.5)
}

func TestEveryThemeCanBeRead(t *testing.T) {
	type pair struct {
		front, back string
		least       float64
	}
	pairs := []pair{
		{"ink", "paper", 7}, {"ink", "sheet", 7}, // body text
		{"soft", "paper", 4.5}, {"soft", "sheet", 4.5}, // small lines
		{"ember", "sheet", 4.5}, {"ember", "paper", 4.5}, // power on
		{"on-ember", "ember", 4.5}, // the main button
		{"sheet", "ink", 4.5},      // a button while pressed
		{"caution", "sheet", 3},    // a rule, no text
		// WCAG 2.2, 1.4.11: what is needed to see a control or a drawing, 3:1.
		{"edge", "sheet", 3}, {"edge", "paper", 3}, {"metal", "sheet", 3},
		{"dross-line", "dross", 3}, {"gone-line", "gone", 3}, {"heat", "sheet", 3},
		{"pot-line", "pot", 3}, {"walls-line", "walls", 3}, {"metal-line", "metal", 3},
	}
	for name, th := range themes(t) {
		for _, p := range pairs {
			require.Contains(t, th, p.front, name)
			require.Contains(t, th, p.back, name)
			got := contrast(t, th[p.front], th[p.back])
			assert.GreaterOrEqual(t, got, p.least, "%s: %s on %s is %.2f:1", name, p.front, p.back, got)
		}
	}
}

func TestDarkIsTheSameHoweverItWasChosen(t *testing.T) {
	all := themes(t)
	assert.Equal(t, all["dark"], all["device's dark"])
	assert.NotEqual(t, all["light"], all["dark"])
}

func TestGlareIsPureBlackAndWhite(t *testing.T) {
	css := string(assets["app.css"].body)
	glare := block(t, css, `html[data-theme="glare"]`, 1)
	for name := range block(t, css, ":root", 1) {
		assert.Contains(t, []string{"#000", "#fff"}, glare[name], name)
	}
}

// The policy of the pages allows no styles of their own, and phones enlarge a
// page whose fields have letters under 16 px.
func TestStyleSheetKeepsItsPromises(t *testing.T) {
	css := string(assets["app.css"].body)
	assert.NotRegexp(t, `(?i)url\(|@import|@font-face`, css, "nothing is fetched")
	for _, m := range regexp.MustCompile(`font-size:\s*([\d.]*)rem`).FindAllStringSubmatch(css, -1) {
		size, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, size, 1.0, m[0])
	}
	assert.NotRegexp(t, `font-size:\s*[\d.]+(px|em)`, css, "sizes follow the reader's own")
	assert.NotRegexp(t, `transition|animation|scroll-behavior`, css, "nothing moves, for those who asked for that and for all others")
}
