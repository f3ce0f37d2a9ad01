// Package label knows the papers that labels are printed on, and draws the
// codes that phones read. How large the labels of a paper are stands in
// static/label.css, by the paper's name; what is written on them is others'
// business.
package label

// Stock is a paper to print labels on.
type Stock struct {
	Name    string // in addresses and in the style sheet
	Title   string // for people
	Columns int
	Rows    int
}

// Stocks are the papers, the usual ones first. Their measures are the common
// ones of labels sold for A4 and Letter; the tests hold that they fill the
// paper and lie where those do.
var Stocks = []Stock{
	{"a4-3x8", "A4, 24 labels of 70 × 37 mm", 3, 8},
	{"a4-3x8-apart", "A4, 24 labels of 63.5 × 33.9 mm", 3, 8},
	{"a4-3x7", "A4, 21 labels of 63.5 × 38.1 mm", 3, 7},
	{"a4-2x7", "A4, 14 labels of 99.1 × 38.1 mm", 2, 7},
	{"letter-3x10", "Letter, 30 labels of 2⅝ × 1 inch", 3, 10},
	{"letter-2x7", "Letter, 14 labels of 4 × 1⅓ inch", 2, 7},
	{"letter-2x5", "Letter, 10 labels of 4 × 2 inch", 2, 5},
	{"one", "One by one, to cut out and tape on", 1, 1},
	{"roll", "Label printer, 62 × 29 mm each", 1, 1},
}

// Named finds a paper by its name; ok is false where there is none.
func Named(name string) (s Stock, ok bool) {
	for _, s := range Stocks {
		if s.Name == name {
			return s, true
		}
	}
	return Stock{}, false
}

// Labels is how many one sheet holds.
func (s Stock) Labels() int { return s.Columns * s.Rows }

// Lay lays so many labels on sheets, the first of which is used up to a place:
// start 1 is its first label, counted along the rows. Each sheet holds the
// numbers of the labels, −1 where it stays empty. start is at least 1 and at
// most Labels.
func (s Stock) Lay(labels, start int) [][]int {
	var sheets [][]int
	at := start - 1
	for n := range labels {
		if at%s.Labels() == 0 || n == 0 {
			sheets = append(sheets, nil)
			for range at % s.Labels() {
				sheets[len(sheets)-1] = append(sheets[len(sheets)-1], -1)
			}
		}
		sheets[len(sheets)-1] = append(sheets[len(sheets)-1], n)
		at++
	}
	return sheets
}
