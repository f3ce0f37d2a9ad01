package table

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// mostPreamble is how many rows may stand above the headings, as loggers write
// who they are.
const mostPreamble = 30

// lay finds the headings and makes all rows as long as they are.
func (t *Table) lay(rows []Row, l Limits) error {
	if len(rows) == 0 {
		return refuse(0, "There is nothing in the file. Choose the file with the table in it.")
	}
	width := usualWidth(rows)
	if at := headings(rows, width); at >= 0 {
		t.Titled, t.Columns, rows = true, rows[at].Cells, rows[at+1:]
	}
	for len(t.Columns) < width {
		t.Columns = append(t.Columns, "")
	}
	t.name()
	if l.Rows > 0 && len(rows) > l.Rows {
		return tooManyRows(l)
	}
	if len(rows) == 0 {
		return refuse(0, "The file has headings and no rows under them. Choose the file with the table in it.")
	}
	for i := range rows {
		rows[i].fit(len(t.Columns))
	}
	t.Rows = rows
	return nil
}

// usualWidth is how many cells most of the first rows have.
func usualWidth(rows []Row) int {
	count, usual := map[int]int{}, 0
	for _, r := range rows[:min(looked, len(rows))] {
		count[len(r.Cells)]++
	}
	for cells, n := range count {
		if n > count[usual] || n == count[usual] && cells > usual {
			usual = cells
		}
	}
	return usual
}

// headings finds the row that names the columns: the widest above the first row
// with a figure in it, the highest of several, if it names half of the columns at
// least. A name with a figure beside it, as loggers write their serial number, is
// no row of a wider table. It gives -1 where the rows start without one.
func headings(rows []Row, width int) int {
	best, most := -1, 0
	for i, r := range rows[:min(mostPreamble+1, len(rows))] {
		if slices.ContainsFunc(r.Cells, figure) {
			if r.words() <= 2 && width > 2 && !figure(r.Cells[0]) {
				continue
			}
			break
		}
		if words := r.words(); words > most && words*2 >= width {
			best, most = i, words
		}
	}
	return best
}

// words counts the cells with something in them.
func (r Row) words() int {
	n := 0
	for _, c := range r.Cells {
		if c != "" {
			n++
		}
	}
	return n
}

var quantityLike = regexp.MustCompile(`^[<>~≈±+\-− ]*\d[\d.,:' ]*\s*(?:\pL|[%°²³Ω/$€£]){0,3}$`)

// figure reports whether a cell is a number, with or without a unit, a date or
// a time, and so no heading.
func figure(cell string) bool {
	if quantityLike.MatchString(cell) {
		return true
	}
	_, _, err := splitDay(cell, DayFirst)
	_, _, other := splitDay(cell, MonthFirst)
	return err == nil || other == nil
}

// name gives every column a name, each its own.
func (t *Table) name() {
	seen := map[string]bool{}
	for i, c := range t.Columns {
		c = strings.Join(strings.Fields(c), " ")
		if c == "" {
			c = fmt.Sprintf("Column %d", i+1)
		}
		unique := c
		for n := 2; seen[unique]; n++ {
			unique = fmt.Sprintf("%s (%d)", c, n)
		}
		seen[unique] = true
		t.Columns[i] = unique
	}
}

// fit gives the row a cell for each column and puts what is beyond apart.
func (r *Row) fit(width int) {
	if len(r.Cells) > width {
		for _, c := range r.Cells[width:] {
			if c != "" {
				r.Extra = append(r.Extra, c)
			}
		}
		r.Cells = r.Cells[:width:width]
	}
	for len(r.Cells) < width {
		r.Cells = append(r.Cells, "")
	}
}

// Column gives the cells of a column, from the first row to the last.
func (t Table) Column(i int) []string {
	cells := make([]string, len(t.Rows))
	for n, r := range t.Rows {
		cells[n] = r.Cells[i]
	}
	return cells
}
