package main

import (
	"fmt"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/stretchr/testify/assert"
)

// TestPagesOnPaper prints what people keep in a binder: a melt and a year on
// one sheet each, and a source; black on white in every theme, with nothing to tap
// and nothing cut off.
func TestPagesOnPaper(t *testing.T) {
	s := newShed(t)
	h := habits["kg and point"]
	p := s.settled(t, h)
	code := p.workedMelt(h)
	s.withHistory(t, p)
	b := browse(t, s.server.URL)
	b.signIn()
	for path, most := range map[string]int{"/melts/" + string(code): 1, "/years/2026": 1, "/scrap/1": 3} {
		b.open(path)
		pages, size := b.printed()
		assert.LessOrEqual(t, pages, most, "%s: sheets of paper", path)
		assert.InDelta(t, papers["letter"][1], size[1], 0.5, "%s: the shorter paper", path)
		for _, scheme := range []string{"light", "dark"} {
			for _, glare := range []bool{false, true} {
				b.glare(glare)
				b.size(688, 1000) // A4 less its margins: 186 mm of 96 dots an inch
				b.do(call(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print", Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}))
				what := fmt.Sprintf("%s, %s, glare %t", path, scheme, glare)
				assert.Equal(t, "rgb(0, 0, 0) on rgb(255, 255, 255)", ask[string](b, `((c) => c.color + " on " + c.backgroundColor)(getComputedStyle(document.body))`), what)
				assert.Empty(t, b.sideways(), what)
				assert.Empty(t, ask[[]string](b, `[...document.querySelectorAll("nav, button, input, .btn, summary, .back")].filter((el) => el.checkVisibility()).map((el) => el.outerHTML.slice(0, 80))`), what)
				assert.Empty(t, ask[[]string](b, `[...document.querySelectorAll("td, th, dd, dt, .what, .value")].filter((el) => el.checkVisibility() && el.scrollWidth > el.clientWidth + 1 && getComputedStyle(el).display !== "inline").map((el) => el.outerHTML.slice(0, 80))`), what)
			}
		}
		b.size(390, 844)
		b.scheme("light")
		b.glare(false)
	}
}
