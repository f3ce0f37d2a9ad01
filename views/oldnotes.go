package views

import (
	"fmt"

	"drosswise/foundry/quantity"
)

const oldNotesPath = "/melts/old"

// OldNotes is where a spreadsheet of old melts comes in, and what came in
// before.
type OldNotes struct {
	Ready   bool   // the shop has a furnace, without which a melt has no code
	Fault   string // why the file that was sent cannot be taken
	Waiting []OldFile
	Imports []OldImport
}

// OldFile is a file that waits to be matched.
type OldFile struct {
	Key  string
	File string
	At   quantity.Moment
	Who  string
}

func (f OldFile) path() string { return oldNotesPath + "/" + f.Key }

// OldImport is melts that came in together.
type OldImport struct {
	ID     int64
	File   string
	At     quantity.Moment
	Who    string
	Melts  int
	Struck *Struck
}

func (i OldImport) path() string { return fmt.Sprintf("%s/imports/%d", oldNotesPath, i.ID) }

func (p OldNotes) file() Field {
	return Field{Name: "file", Label: "The file", Required: true, Error: p.Fault,
		Hint: "CSV as any spreadsheet program saves it, or text with tabs between the cells. Up to 5,000 rows and 4 MB. Nothing is written yet: you see first what each row would become."}
}

func (p OldNotes) waiting(s quantity.Style) Ledger {
	var l Ledger
	for _, f := range p.Waiting {
		l.Rows = append(l.Rows, Row{Time: dayAndMonth(s.Date(f.At)), Verb: f.File, Note: "Sent by " + f.Who + ".", Href: f.path()})
	}
	return l
}

func (p OldNotes) imports(s quantity.Style) Ledger {
	l := Ledger{Empty: "Nothing yet."}
	for _, i := range p.Imports {
		l.Rows = append(l.Rows, Row{Time: dayAndMonth(s.Date(i.At)), Verb: i.File, Note: "Brought in by " + i.Who + ".", Value: meltCount(i.Melts), Href: i.path(), Struck: i.Struck})
	}
	return l
}

func meltCount(n int) string { return plural(n, "melt", "melts") }

// OldImported is an import with its melts, and the form that strikes it.
type OldImported struct {
	OldImport
	Melts []ImportedMelt
	Typed Typed
}

// ImportedMelt is a melt that a row became.
type ImportedMelt struct {
	Row  int // line of the file, counted from 1
	Code string
	At   quantity.Moment
	Void bool
}

// oldListed is how many melts of an import are listed; all are in the list of
// melts.
const oldListed = 50

func (p OldImported) table(s quantity.Style) Table {
	t := Table{Caption: "The melts that came in", Columns: []Column{{Title: "Melt"}, {Title: "Day"}, {Title: "Line of the file", Number: true}}}
	for _, m := range p.Melts[:min(oldListed, len(p.Melts))] {
		c := Cell{Text: m.Code, Href: "/melts/" + m.Code}
		if m.Void {
			c.Sub = "void"
		}
		t.Rows = append(t.Rows, []Cell{c, {Text: s.Date(m.At)}, {Text: fmt.Sprint(m.Row)}})
	}
	return t
}

func (p OldImported) reason() Field {
	return p.Typed.field("reason", "Why", "Such as: the masses were in pounds.")
}
