package views

import (
	"strconv"

	"drosswise/foundry/quantity"
)

const copiesPath = "/shop/copies"

// Copies is what an owner sees of the copies of the shop.
type Copies struct {
	Off     bool   // no copies are made
	Dir     string // the folder
	List    []ShopCopy
	Failure string // why the last try failed, "" when it did not
}

// ShopCopy is a copy of the whole shop.
type ShopCopy struct {
	Name  string
	At    quantity.Moment
	Bytes int64
}

// mostAge is how old the newest copy may be before somebody is told: two nights
// missed and some hours. common practice, no source.
const mostAge = 50 * quantity.Hour

// advice says what is wrong with the copies; ok is false where nothing is known
// to be.
func (c Copies) advice(now quantity.Moment, s quantity.Style) (a Advice, ok bool) {
	switch {
	case c.Off:
		return Advice{}, false
	case c.Failure != "":
		return Advice{Lead: "The last copy of the shop was not made.", Text: c.Failure + " " + c.newest(s)}, true
	case len(c.List) > 0 && now.Since(c.List[0].At) > mostAge:
		return Advice{Lead: "The copies of the shop are old.", Text: c.newest(s) + " Make one now, and see that the program runs at night or for some minutes by day."}, true
	}
	return Advice{}, false
}

// newest says when the last good copy was made.
func (c Copies) newest(s quantity.Style) string {
	if len(c.List) == 0 {
		return "There is none yet."
	}
	return "The newest is of " + s.DateTime(c.List[0].At) + "."
}

// ToDo is what an owner is told of the copies on other pages; ok is false where
// there is nothing to tell.
func (c Copies) ToDo(now quantity.Moment, s quantity.Style) (t ToDo, ok bool) {
	a, ok := c.advice(now, s)
	return ToDo{Lead: a.Lead, Text: a.Text, Link: Link{Text: "Copies of the shop", Href: copiesPath}}, ok
}

func (c Copies) facts(s quantity.Style) []Fact {
	last := Fact{Term: "Last good copy", Value: "none yet"}
	if len(c.List) > 0 {
		last.Value, last.Note = s.DateTime(c.List[0].At), Bytes(c.List[0].Bytes)+", read back and found whole"
	}
	return []Fact{last,
		{Term: "Folder", Value: c.Dir, Note: "on the machine that runs the shop"},
		{Term: "Made", Value: "each night at 3, or when the machine is on again", Note: "seven days, four weeks and twelve months stay"},
	}
}

func (c Copies) table(s quantity.Style) Table {
	t := Table{Caption: "Copies", Columns: []Column{{Title: "Made"}, {Title: "Size", Number: true}}}
	for _, one := range c.List {
		t.Rows = append(t.Rows, []Cell{{Text: s.DateTime(one.At), Href: copiesPath + "/" + one.Name}, {Text: Bytes(one.Bytes)}})
	}
	return t
}

// Bytes writes a size as people speak of files, in units of a thousand.
func Bytes(n int64) string {
	units := []string{"bytes", "kB", "MB", "GB", "TB"}
	x, i := float64(n), 0
	for x >= 999.5 && i < len(units)-1 {
		x /= 1000
		i++
	}
	digits := 0
	if i > 0 && x < 9.95 {
		digits = 1
	}
	return strconv.FormatFloat(x, 'f', digits, 64) + " " + units[i]
}
