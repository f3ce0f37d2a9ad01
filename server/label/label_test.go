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

// The labels, what lies between them and twice the margin come to the paper.
func TestEveryStockFillsItsPaper(t *testing.T) {
	sheet, err := os.ReadFile("../../static/label.css")
	require.NoError(t, err)
	for _, s := range Stocks {
		rule := regexp.MustCompile(`(?m)^\.` + regexp.QuoteMeta(s.Name) + ` \{ (.*) \}$`).FindStringSubmatch(string(sheet))
		require.NotNil(t, rule, "%s is not in the style sheet", s.Name)
		of := map[string]float64{}
		for _, m := range regexp.MustCompile(`--([a-z-]+): ([0-9.]+)(mm)?;`).FindAllStringSubmatch(rule[1], -1) {
			of[m[1]], err = strconv.ParseFloat(m[2], 64)
			require.NoError(t, err)
		}
		name, _, sheets := strings.Cut(s.Name, "-")
		paper, ok := papers[name]
		assert.Equal(t, sheets, ok, s.Name)
		if !ok {
			continue
		}
		assert.Contains(t, rule[1], "page: "+name+";", s.Name)
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
