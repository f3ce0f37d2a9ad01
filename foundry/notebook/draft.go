package notebook

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/table"
)

// Named is a piece of kit as a notebook may call it.
type Named struct {
	ID     int64
	Name   string
	Letter string // of a furnace
}

// Shop is what a draft is held against.
type Shop struct {
	Style     quantity.Style
	Now       quantity.Moment
	Furnaces  []Named
	Crucibles []Named
	Elements  []Named
	Probes    []Named
	Scales    map[int64]melt.Scale
}

// Draft is the melt that a row would become.
type Draft struct {
	Row     int    // line of the file, counted from 1
	Key     string // names the row by what stands in it: the same row has the same key in another file
	Heading melt.Heading
	Timed   bool // the row says at what time; else it is taken as noon
	Lines   []Line
	Faults  []Said // why the row stays out
	Doubts  []Said // it comes in when somebody is sure
	Kept    []Said // what is no figure and is kept in the note
}

// Line is a line of a draft. Scrap names what was charged, as the row has it.
type Line struct {
	melt.Line
	Scrap string
}

// Said is a sentence on a column, "" for the row as a whole.
type Said struct{ Column, Sentence string }

// UnnamedScrap is the scrap of a charge whose row does not say what it was.
const UnnamedScrap = "Scrap of old notes, not named"

// Drafts makes a draft of every row of a table.
func Drafts(t table.Table, m Match, s Shop) []Draft {
	why := Because(t, m, s.Style)
	s.Style.MassUnit, s.Style.Fahrenheit = m.Mass, m.Fahrenheit
	d := drafter{Table: t, match: m, shop: s, order: why.Order.Is, mark: why.Mark.Is, at: map[Field]int{}, seen: map[string]int{}}
	for i, c := range t.Columns {
		if f := m.Columns[c]; f != LeftOut && f != Note {
			if _, taken := d.at[f]; !taken {
				d.at[f] = i
			}
		}
	}
	drafts := make([]Draft, len(t.Rows))
	for i, r := range t.Rows {
		drafts[i] = d.draft(r)
	}
	return drafts
}

// drafter makes drafts of the rows of one table.
type drafter struct {
	table.Table
	match Match
	shop  Shop
	order table.Order
	mark  table.Mark
	at    map[Field]int
	seen  map[string]int // rows by what stands in them
}

// row is a row as it is being made into a draft.
type row struct {
	*drafter
	Draft
	cells []string
	said  []string // for the note
	had   []melt.Line
}

func (d *drafter) draft(r table.Row) Draft {
	w := row{drafter: d, cells: r.Cells, Draft: Draft{Row: r.Line, Key: d.key(r)}}
	if len(r.Extra) > 0 {
		w.fault("", fmt.Sprintf("This row has more cells than there are columns: “%s” is beyond the last. Perhaps a comma in a number or a note was taken for the end of a cell.", short(r.Extra[0])))
	}
	w.heading()
	if len(w.Faults) > 0 {
		return w.Draft
	}
	w.lines()
	return w.Draft
}

// key names a row by the cells that have something in them. Rows that are alike
// are told apart by their order.
func (d *drafter) key(r table.Row) string {
	h := sha256.New()
	for i, c := range r.Cells {
		if c != "" {
			fmt.Fprintf(h, "%q=%q\n", d.Columns[i], c)
		}
	}
	sum := hex.EncodeToString(h.Sum(nil)[:16])
	d.seen[sum]++
	if n := d.seen[sum]; n > 1 {
		return fmt.Sprintf("%s-%d", sum, n)
	}
	return sum
}

// cell is what stands in a field, "" for nothing.
func (w *row) cell(f Field) string {
	i, ok := w.at[f]
	if !ok {
		return ""
	}
	return w.cells[i]
}

// name is how the table calls the column of a field.
func (w *row) name(f Field) string {
	if i, ok := w.at[f]; ok {
		return w.Columns[i]
	}
	return ""
}

func (w *row) fault(column, sentence string) { w.Faults = append(w.Faults, Said{column, sentence}) }

// keep keeps a cell that makes no figure in the note, and says why.
func (w *row) keep(f Field, sentence string) {
	w.Kept = append(w.Kept, Said{w.name(f), sentence})
	w.said = append(w.said, w.name(f)+": "+w.cell(f))
}

// firstYear is the first that a melt's code can be of.
const firstYear = 2000

// heading reads when the melt was and what it was made in.
func (w *row) heading() {
	h := &w.Heading
	h.Target, h.Furnace = melt.Ingots, w.match.Furnace
	w.when()
	if text := w.cell(Furnace); text != "" {
		if id := called(w.shop.Furnaces, text); id != 0 {
			h.Furnace = id
		} else {
			w.fault(w.name(Furnace), fmt.Sprintf("No furnace of this shop is called “%s”. Add it under Kit, or give one its name, and look again.", short(text)))
		}
	} else if h.Furnace == 0 {
		w.fault(w.name(Furnace), "Nothing says which furnace it was. Choose the furnace of rows that name none.")
	}
	h.Crucible = w.named(Crucible, w.shop.Crucibles, w.match.Crucible, "crucible")
	h.Element = w.named(Element, w.shop.Elements, w.match.Element, "element set")
	h.Probe = w.named(Probe, w.shop.Probes, w.match.Probe, "thermocouple")
}

// named is the piece of kit that a cell names, usual where it is blank. A name
// that none has goes into the note.
func (w *row) named(f Field, all []Named, usual int64, what string) int64 {
	text := w.cell(f)
	if text == "" {
		return usual
	}
	id := called(all, text)
	if id == 0 {
		w.keep(f, "No "+what+" of this shop is called so, so the melt names none.")
	}
	return id
}

func called(all []Named, text string) int64 {
	for _, n := range all {
		if strings.EqualFold(n.Name, text) || n.Letter != "" && strings.EqualFold(n.Letter, text) {
			return n.ID
		}
	}
	return 0
}

// when reads the day and, where one is given, the time.
func (w *row) when() {
	column, cell := w.name(Date), w.cell(Date)
	if cell == "" {
		w.fault(column, "There is no date in this row. Without a day it is no melt.")
		return
	}
	at, timed, err := table.Moment(cell, w.order, w.shop.Style)
	if err != nil {
		w.fault(column, sentence(err))
		return
	}
	if clock := w.cell(Time); clock != "" && !timed {
		at, timed = w.clock(cell, clock, at)
	}
	if !timed {
		at = w.noon(at)
	}
	w.Heading.At, w.Timed = at, timed
	switch year := at.Time().In(zone(w.shop.Style)).Year(); {
	case at > w.shop.Now:
		w.fault(column, fmt.Sprintf("%s is still to come. Check the date and the order of day and month.", w.shop.Style.Date(at)))
	case year < firstYear:
		w.fault(column, fmt.Sprintf("%s is before the year %d, and codes of melts begin there. Check the date.", w.shop.Style.Date(at), firstYear))
	}
}

// clock adds the time of day of its own column to a date.
func (w *row) clock(date, cell string, day quantity.Moment) (at quantity.Moment, timed bool) {
	text, err := table.Clock(cell)
	if err == nil {
		var d string
		if d, err = table.Date(date, w.order); err == nil {
			at, err = w.shop.Style.ReadMoment(d, text)
		}
	}
	if err != nil {
		w.keep(Time, sentence(err))
		return day, false
	}
	return at, true
}

// noon is when a melt of a day is taken to have begun that says no time; on the
// day of today, while it is morning, the first instant.
func (w *row) noon(day quantity.Moment) quantity.Moment {
	at, err := w.shop.Style.ReadMoment(w.shop.Style.DateInput(day), "12:00")
	if err != nil || at > w.shop.Now {
		return day
	}
	return at
}

func zone(s quantity.Style) *time.Location {
	if s.Zone == nil {
		return time.UTC
	}
	return s.Zone
}

// sentence is what a refused cell says for a person.
func sentence(err error) string {
	var r *quantity.Refusal
	if errors.As(err, &r) {
		return r.Sentence
	}
	return "This cannot be read."
}

func short(text string) string {
	if r := []rune(text); len(r) > 30 {
		return string(r[:29]) + "…"
	}
	return text
}

// notes cuts what is to be noted into notes of the length that one may have.
func notes(parts []string) []string {
	var all []string
	for _, p := range parts {
		for utf8.RuneCountInString(p) > melt.MaxText {
			r := []rune(p)
			all, p = append(all, string(r[:melt.MaxText])), string(r[melt.MaxText:])
		}
		last := len(all) - 1
		if last >= 0 && utf8.RuneCountInString(all[last])+1+utf8.RuneCountInString(p) <= melt.MaxText {
			all[last] += "\n" + p
		} else {
			all = append(all, p)
		}
	}
	return all
}
