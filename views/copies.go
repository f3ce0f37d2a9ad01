package views

import (
	"slices"
	"strconv"

	"drosswise/foundry/quantity"
)

const copiesPath = "/shop/copies"

// Copies is what an owner sees of the copies of the shop.
type Copies struct {
	Off      bool   // no copies are made
	Dir      string // the folder
	List     []ShopCopy
	Failure  string // why the last try failed, "" when it did not
	FailedAt quantity.Moment
}

// ShopCopy is a copy of the whole shop.
type ShopCopy struct {
	Name  string
	At    quantity.Moment
	Bytes int64
	Short bool // cut short, so no copy any more
	Ahead bool // dated in the future, so made while the clock was wrong
}

// Last is the newest copy that counts; ok is false for none.
func (c Copies) Last() (last ShopCopy, ok bool) {
	i := slices.IndexFunc(c.List, func(one ShopCopy) bool { return !one.Short && !one.Ahead })
	if i < 0 {
		return last, false
	}
	return c.List[i], true
}

// mostAge is how old the newest copy may be before somebody is told: two nights
// missed and some hours. common practice, no source.
const mostAge = 50 * quantity.Hour

// advice says what is wrong with the copies; ok is false where nothing is known
// to be.
func (c Copies) advice(now quantity.Moment, s quantity.Style) (a Advice, ok bool) {
	last, ok := c.Last()
	switch {
	case c.Off:
		return Advice{}, false
	case c.Failure != "":
		return Advice{Lead: "The copy of the shop of " + s.DateTime(c.FailedAt) + " was not made.", Text: c.Failure + " " + c.newest(s)}, true
	case !ok && len(c.List) > 0:
		return Advice{Lead: "No copy of the shop counts.", Text: "Those there are were cut short, or made while the clock was wrong. Make one now."}, true
	case ok && now.Since(last.At) > mostAge:
		return Advice{Lead: "The copies of the shop are old.", Text: c.newest(s) + " Make one now, and see that the program runs at night or for some minutes by day."}, true
	}
	return Advice{}, false
}

// newest says when the last good copy was made.
func (c Copies) newest(s quantity.Style) string {
	last, ok := c.Last()
	if !ok {
		return "There is none yet."
	}
	return "The newest is of " + s.DateTime(last.At) + "."
}

// ToDo is what an owner is told of the copies on other pages; ok is false where
// there is nothing to tell.
func (c Copies) ToDo(now quantity.Moment, s quantity.Style) (t ToDo, ok bool) {
	a, ok := c.advice(now, s)
	return ToDo{Lead: a.Lead, Text: a.Text, Link: Link{Text: "Copies of the shop", Href: copiesPath}}, ok
}

func (c Copies) facts(s quantity.Style) []Fact {
	last := Fact{Term: "Last good copy", Value: "none yet"}
	if one, ok := c.Last(); ok {
		last.Value, last.Note = s.DateTime(one.At), Bytes(one.Bytes)+", read back and found whole"
	}
	return []Fact{last,
		{Term: "Folder", Value: c.Dir, Note: "on the machine that runs the shop"},
		{Term: "Made", Value: "each night at 3, or when the machine is on again", Note: "seven days, four weeks and twelve months stay"},
	}
}

func (c Copies) table(s quantity.Style) Table {
	t := Table{Caption: "Copies", Columns: []Column{{Title: "Made"}, {Title: "Size", Number: true}}}
	for _, one := range c.List {
		made := s.DateTime(one.At)
		switch {
		case one.Short:
			made += ", cut short since: no copy any more"
		case one.Ahead:
			made += ", by a clock that was wrong"
		}
		t.Rows = append(t.Rows, []Cell{{Text: made, Href: copiesPath + "/" + one.Name}, {Text: Bytes(one.Bytes)}})
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
