package label

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// papers in mm: A4 by ISO 216:2007, Letter of 8.5 by 11 in of 25.4 mm
// (ANSI/ASME Y14.1, size A).
var papers = map[string][2]float64{"a4": {210, 297}, "letter": {215.9, 279.4}}

// sold are labels of these sizes in 1/100 mm, as a word processor has them: from
// label to label across and down, wide and high, and what is left free at the
// left and above (LibreOffice, extras/source/labels/labels.xml, read 2026). Those
// of 63.5 × 33.9 mm are there half a millimetre wider.
var sold = map[string][6]float64{
	"a4-3x8":       {7000, 3700, 7000, 3700, 0, 0},
	"a4-3x8-apart": {6654, 3386, 6400, 3386, 646, 1306},
	"a4-3x7":       {6604, 3810, 6350, 3810, 720, 1515},
	"a4-2x7":       {10160, 3810, 9906, 3810, 467, 1515},
	"letter-3x10":  {6985, 2540, 6668, 2540, 478, 1270},
	"letter-2x7":   {10636, 3387, 10160, 3387, 396, 2117},
	"letter-2x5":   {10636, 5080, 10160, 5080, 396, 1270},
}

// printersPlay is how far a sheet may lie off in a printer, in mm (common
// practice, no source).
const printersPlay = 1.0

// The middle of each label lies where it is on the papers that are sold.
func TestLabelsLieAsOnThePapersSold(t *testing.T) {
	for _, s := range Stocks {
		of := measures(t, s)
		is, ok := sold[s.Name]
		if _, sheets := of["paper-wide"]; !sheets {
			assert.False(t, ok, s.Name)
			continue
		}
		require.True(t, ok, s.Name)
		for n, what := range []string{"across", "down"} {
			size := []float64{of["wide"], of["high"]}[n]
			pitch := size + of[what]
			first := []float64{of["left"], of["top"]}[n] + size/2
			count := []float64{of["columns"], of["rows"]}[n]
			its := is[4+n]/100 + is[2+n]/200
			assert.InDelta(t, is[2+n]/100, size, 0.51, "%s: size %s", s.Name, what)
			assert.InDelta(t, its, first, printersPlay, "%s: first label %s", s.Name, what)
			assert.InDelta(t, its+(count-1)*is[n]/100, first+(count-1)*pitch, printersPlay, "%s: last label %s", s.Name, what)
		}
	}
}

// measures are what the style sheet says of a paper.
func measures(t *testing.T, s Stock) map[string]float64 {
	t.Helper()
	of := map[string]float64{}
	for _, m := range regexp.MustCompile(`--([a-z-]+): ([0-9.]+)(mm)?;`).FindAllStringSubmatch(ruleOf(t, s), -1) {
		var err error
		of[m[1]], err = strconv.ParseFloat(m[2], 64)
		require.NoError(t, err)
	}
	return of
}

// ruleOf is a paper's rule in the style sheet.
func ruleOf(t *testing.T, s Stock) string {
	t.Helper()
	sheet, err := os.ReadFile("../../static/label.css")
	require.NoError(t, err)
	rule := regexp.MustCompile(`(?m)^\.` + regexp.QuoteMeta(s.Name) + ` \{ (.*) \}$`).FindStringSubmatch(string(sheet))
	require.NotNil(t, rule, "%s is not in the style sheet", s.Name)
	return rule[1]
}

// The labels, what lies between them and twice the margin come to the paper.
func TestEveryStockFillsItsPaper(t *testing.T) {
	for _, s := range Stocks {
		of := measures(t, s)
		name, _, sheets := strings.Cut(s.Name, "-")
		paper, ok := papers[name]
		assert.Equal(t, sheets, ok, s.Name)
		if !ok {
			continue
		}
		assert.Contains(t, ruleOf(t, s), "page: "+name+";", s.Name)
		assert.Equal(t, paper, [2]float64{of["paper-wide"], of["paper-high"]}, s.Name)
		assert.Equal(t, [2]float64{float64(s.Columns), float64(s.Rows)}, [2]float64{of["columns"], of["rows"]}, s.Name)
		assert.InDelta(t, paper[0], 2*of["left"]+of["columns"]*of["wide"]+(of["columns"]-1)*of["across"], 0.15, "%s: across the paper", s.Name)
		assert.InDelta(t, paper[1], 2*of["top"]+of["rows"]*of["high"]+(of["rows"]-1)*of["down"], 0.15, "%s: down the paper", s.Name)
		assert.Contains(t, s.Title, fmt.Sprintf("%d labels", s.Labels()))
		if name == "a4" {
			assert.Contains(t, s.Title, fmt.Sprintf("%v × %v mm", of["wide"], of["high"]), "the title says the size")
		} else {
			inch := func(mm float64) string {
				whole, rest := math.Modf(mm / 25.4)
				part := map[int]string{0: "", 33: "⅓", 62: "⅝", 63: "⅝"}[int(math.Round(rest*100))]
				return strconv.Itoa(int(whole)) + part
			}
			assert.Contains(t, s.Title, inch(of["wide"])+" × "+inch(of["high"])+" inch")
		}
	}
}

func TestLabelsAreLaidFromTheFirstFreePlace(t *testing.T) {
	s := Stock{Columns: 2, Rows: 2}
	assert.Equal(t, [][]int{{0, 1, 2, 3}, {4}}, s.Lay(5, 1))
	assert.Equal(t, [][]int{{-1, -1, -1, 0}, {1, 2}}, s.Lay(3, 4))
	assert.Equal(t, [][]int{{-1, 0}}, s.Lay(1, 2))
	assert.Nil(t, s.Lay(0, 3))
	assert.Equal(t, [][]int{{0}, {1}}, Stock{Columns: 1, Rows: 1}.Lay(2, 1))
}

// The finder pattern in the upper left is a ring of seven modules, an empty
// ring and nine dark ones (ISO/IEC 18004:2015, 6.3.3). Whether a code is read
// back is tested in the browser, by a reader that did not write it.
func TestACodeHasItsQuietZoneAndFinder(t *testing.T) {
	path, side, err := Code("http://192.168.1.20:8372/melts/A26-041")
	require.NoError(t, err)
	assert.Equal(t, 29+8, side, "38 bytes at level M take version 3 (ISO/IEC 18004:2015, table 7), which has 29 modules")
	for _, row := range []string{"M4 4h7v1h-7z", "M4 5h1v1h-1zM10 5h1v1h-1z", "M4 6h1v1h-1zM6 6h3v1h-3zM10 6h1v1h-1z"} {
		assert.Contains(t, path, row)
	}
	_, _, err = Code(strings.Repeat("x", 3000))
	assert.Error(t, err)
}

func TestStocksAreFoundByName(t *testing.T) {
	for _, s := range Stocks {
		got, ok := Named(s.Name)
		assert.True(t, ok)
		assert.Equal(t, s, got)
	}
	_, ok := Named("a5")
	assert.False(t, ok)
}
