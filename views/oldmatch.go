package views

import (
	"fmt"
	"slices"
	"strings"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/notebook"
	"drosswise/foundry/quantity"
	"drosswise/foundry/table"
)

// OldMatch is a table of old notes with its columns matched to ours, and what
// its rows would become.
type OldMatch struct {
	File       OldFile
	FormKey    string
	Table      table.Table
	Delimiter  table.Delimiter // as chosen, 0 as found
	Match      notebook.Match
	Recut      bool // its columns are other ones than those of the form that was sent
	Remembered bool // matched as the last table with these columns was
	Why        notebook.Reasons
	Drafts     []notebook.Draft
	In         map[string]melt.Code // rows that are in the book, by key
	Kit        map[int64]kit.Item
	Wrong      []notebook.Said // of the match as a whole
	Refused    string          // why nothing was brought in
	Unsure     bool            // it was asked to bring in rows that are doubted
}

// Limits of what is shown of a long table.
const (
	oldPreview = 8
	oldLooks   = 40
	oldSamples = 3
)

// OldColumn names the field of the nth column in the form.
func OldColumn(n int) string { return fmt.Sprintf("column%d", n+1) }

// sums counts the rows by what becomes of them.
func (p OldMatch) sums() (fresh, out, doubted, in int) {
	for _, d := range p.Drafts {
		switch {
		case p.In[d.Key] != "":
			in++
		case len(d.Faults) > 0:
			out++
		default:
			fresh++
			if len(d.Doubts) > 0 {
				doubted++
			}
		}
	}
	return fresh, out, doubted, in
}

// says is what would become of the rows, in a few sentences.
func (p OldMatch) says() string {
	fresh, out, doubted, in := p.sums()
	say := []string{}
	add := func(n int, one, many string) {
		if n > 0 {
			say = append(say, plural(n, one, many))
		}
	}
	add(in, "row is in the book already and is left as it is.", "rows are in the book already and are left as they are.")
	add(fresh, "row would come in as a melt.", "rows would come in as melts.")
	add(doubted, "of them is doubted: see below.", "of them are doubted: see below.")
	add(out, "row stays out: see below why.", "rows stay out: see below why.")
	return strings.Join(say, " ")
}

func (p OldMatch) under() string {
	return fmt.Sprintf("%s and %s. Letters: %s. %s", plural(len(p.Table.Rows), "row", "rows"), plural(len(p.Table.Columns), "column", "columns"), p.Table.Encoding.Is, p.Table.Encoding.Why)
}

// chosen is a field with one of its options chosen.
func chosen(name, label, hint, value string, options []Option) Field {
	f := Field{Name: name, Label: label, Hint: hint, Value: value, Options: options}
	for i := range f.Options {
		f.Options[i].Selected = f.Options[i].Value == value
	}
	return f
}

func (p OldMatch) written() []Field {
	return written(p.Table, p.Delimiter, p.Why.Order, p.Match.Order, p.Why.Mark, p.Match.Mark)
}

// written are the fields on how a file is written: what was found out, and what
// was chosen, if it was.
func written(t table.Table, d table.Delimiter, foundOrder table.Guess[table.Order], order table.Order, foundMark table.Guess[table.Mark], mark table.Mark) []Field {
	delimiter := ""
	if d != 0 {
		delimiter = d.String()
	}
	return []Field{
		chosen("delimiter", "Between two cells stands", t.Delimiter.Why, delimiter, []Option{
			{Value: "", Label: "As found: " + t.Delimiter.Is.String()}, {Value: "comma", Label: "A comma"}, {Value: "semicolon", Label: "A semicolon"}, {Value: "tab", Label: "A tab"}}),
		chosen("order", "Dates have first", foundOrder.Why, string(order), []Option{
			{Value: "", Label: "As found: " + orderName(foundOrder.Is)}, {Value: string(table.DayFirst), Label: "The day"}, {Value: string(table.MonthFirst), Label: "The month"}, {Value: string(table.Serial), Label: "Neither: they are days counted"}}),
		chosen("mark", "The decimal mark is", foundMark.Why, markValue(mark), []Option{
			{Value: "", Label: "As found: a " + markName(foundMark.Is)}, {Value: "point", Label: "A point"}, {Value: "comma", Label: "A comma"}}),
	}
}

func orderName(o table.Order) string {
	switch o {
	case table.MonthFirst:
		return "the month"
	case table.Serial:
		return "days counted"
	}
	return "the day"
}

func markValue(m table.Mark) string {
	if m == "" {
		return ""
	}
	return markName(m)
}

func markName(m table.Mark) string {
	if m == table.CommaMark {
		return "comma"
	}
	return "point"
}

// unsaid are the fields on what no cell says.
func (p OldMatch) unsaid() []Field {
	degrees := "C"
	if p.Match.Fahrenheit {
		degrees = "F"
	}
	return []Field{
		chosen("furnace", "Furnace of rows that name none", "", idOrNone(p.Match.Furnace), p.pick(kit.Furnace, "None: such rows stay out")),
		chosen("crucible", "Crucible of rows that name none", "", idOrNone(p.Match.Crucible), p.pick(kit.Crucible, "Not said")),
		chosen("element", "Element set of rows that name none", "", idOrNone(p.Match.Element), p.pick(kit.Element, "Not said")),
		chosen("probe", "Thermocouple of rows that name none", "", idOrNone(p.Match.Probe), p.pick(kit.Probe, "Not said")),
		chosen("scale", "Weighed on", "Without a scale every mass counts as told by eye: a tenth off, 50 g at least.", idOrNone(p.Match.Scale), p.pick(kit.Scale, "Not said")),
		chosen("mass", "Masses without a unit are in", "A unit in the cell or in the heading of its column goes before this.", massValue(p.Match.Mass), []Option{{Value: "kg", Label: "kg"}, {Value: "g", Label: "g"}, {Value: "lb", Label: "lb"}}),
		chosen("degrees", "Temperatures without a unit are in", "", degrees, []Option{{Value: "C", Label: "°C"}, {Value: "F", Label: "°F"}}),
	}
}

func massValue(u quantity.MassUnit) string { return quantity.Style{MassUnit: u}.MassSymbol() }

func idOrNone(id int64) string {
	if id == 0 {
		return ""
	}
	return idText(id)
}

func (p OldMatch) pick(k kit.Kind, none string) []Option {
	options := []Option{{Value: "", Label: none}}
	for _, it := range (Names{Kit: p.Kit}).SortedKit() {
		if it.Kind == k {
			options = append(options, Option{Value: idText(it.ID), Label: it.Name})
		}
	}
	return options
}

// columns are the fields that match the columns, each with a few of its cells.
func (p OldMatch) columns() []Field {
	var fields []Field
	for i, c := range p.Table.Columns {
		options := []Option{{Value: "", Label: "Left out"}}
		for _, s := range notebook.Specs() {
			options = append(options, Option{Value: string(s.Field), Label: s.Label})
		}
		f := chosen(OldColumn(i), "“"+c+"” is", sample(p.Table, i), string(p.Match.Columns[c]), options)
		for _, w := range p.Wrong {
			if w.Column == c {
				f.Error = w.Sentence
			}
		}
		fields = append(fields, f)
	}
	return fields
}

// sample is a few of a column's cells.
func sample(t table.Table, i int) string {
	var seen []string
	for _, r := range t.Rows {
		c := clipped(r.Cells[i], 40)
		if c == "" || slices.Contains(seen, c) {
			continue
		}
		if seen = append(seen, c); len(seen) == oldSamples {
			break
		}
	}
	if len(seen) == 0 {
		return "All its cells are blank."
	}
	return strings.Join(seen, " · ")
}

// clipped is text of so many letters at most, on one line.
func clipped(text string, most int) string {
	r := []rune(strings.Join(strings.Fields(text), " "))
	if len(r) <= most {
		return string(r)
	}
	return string(r[:most-1]) + "…"
}

// whole are the sentences on the form as a whole.
func (p OldMatch) whole() []string {
	say := nonEmpty(p.Refused)
	for _, w := range p.Wrong {
		if w.Column == "" {
			say = append(say, w.Sentence)
		}
	}
	return say
}

// preview is what the first rows would become.
func (p OldMatch) preview(s quantity.Style) Ledger {
	var l Ledger
	for _, d := range p.Drafts[:min(oldPreview, len(p.Drafts))] {
		l.Rows = append(l.Rows, p.row(d, s))
	}
	return l
}

// looks are rows that stay out, are doubted or keep something as words only,
// the worst first, beside those of the preview.
func (p OldMatch) looks(s quantity.Style) (l Ledger, more int) {
	l.Empty = "None."
	for _, worst := range []func(notebook.Draft) bool{
		func(d notebook.Draft) bool { return len(d.Faults) > 0 },
		func(d notebook.Draft) bool { return len(d.Faults) == 0 && len(d.Doubts) > 0 },
		func(d notebook.Draft) bool { return len(d.Faults)+len(d.Doubts) == 0 && len(d.Kept) > 0 },
	} {
		for _, d := range p.Drafts[min(oldPreview, len(p.Drafts)):] {
			if p.In[d.Key] != "" || !worst(d) {
				continue
			}
			if len(l.Rows) == oldLooks {
				more++
				continue
			}
			l.Rows = append(l.Rows, p.row(d, s))
		}
	}
	return l, more
}

// row is a row of the file and what it would become.
func (p OldMatch) row(d notebook.Draft, s quantity.Style) Row {
	r := Row{ID: fmt.Sprintf("row-%d", d.Row), Time: fmt.Sprintf("line %d", d.Row), Verb: "Stays out", Note: p.cells(d.Row)}
	tell := func(how string, all []notebook.Said) {
		for _, x := range all {
			where := ""
			if x.Column != "" {
				where = "“" + x.Column + "”: "
			}
			r.Says = append(r.Says, how+where+x.Sentence)
		}
	}
	tell("", d.Faults)
	if len(d.Faults) == 0 {
		r.Verb = s.Date(d.Heading.At)
		if d.Timed {
			r.Verb = s.DateTime(d.Heading.At)
		}
		r.Text = becomes(d, s)
	}
	tell("Doubted. ", d.Doubts)
	tell("Kept in the note. ", d.Kept)
	if code := p.In[d.Key]; code != "" {
		r.Says, r.Text, r.Value, r.Href = nil, "in the book already", string(code), "/melts/"+string(code)
	}
	return r
}

// cells is a row as the file has it, without its blanks.
func (p OldMatch) cells(line int) string {
	i := slices.IndexFunc(p.Table.Rows, func(r table.Row) bool { return r.Line == line })
	if i < 0 {
		return ""
	}
	said := slices.DeleteFunc(slices.Concat(p.Table.Rows[i].Cells, p.Table.Rows[i].Extra), func(c string) bool { return c == "" })
	return "In the file: " + clipped(strings.Join(said, " | "), 160)
}

// becomes is a draft in words.
func becomes(d notebook.Draft, s quantity.Style) string {
	var say []string
	for _, l := range d.Lines {
		spec, _ := melt.SpecOf(l.Kind)
		if l.Kind == melt.Close {
			continue
		}
		words := []string{spec.Done}
		if l.Scrap != "" {
			words = append(words, clipped(l.Scrap, 40))
		}
		if l.Count != nil {
			words = append(words, plural(*l.Count, "ingot", "ingots"))
		}
		if l.Weighed() {
			words = append(words, s.Mass(l.Mass()))
		}
		if l.Temp != nil {
			words = append(words, s.Temperature(*l.Temp))
		}
		if l.Energy != nil {
			words = append(words, s.Energy(*l.Energy))
		}
		if l.Meter != nil {
			words = append(words, s.Energy(*l.Meter))
		}
		if l.Cost != nil {
			words = append(words, s.Money(*l.Cost))
		}
		if l.Note != "" {
			words = append(words, "“"+clipped(l.Note, 60)+"”")
		}
		say = append(say, strings.Join(words, " "))
	}
	if len(say) == 0 {
		return "A melt of which nothing more is known."
	}
	return strings.Join(say, ", ") + "."
}
