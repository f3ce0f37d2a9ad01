package views

import "drosswise/foundry/quantity"

// Ledger is rows on a ruled page: the time left of the margin line, what
// happened in the middle, the value right.
type Ledger struct {
	Rows  []Row
	Empty string // the sentence shown when there are none
}

// Row is one line of it.
type Row struct {
	ID     string   // for links to the row; may be empty
	Day    string   // a day to head this row and those after it; may be empty
	Time   string   // "14:46", or a day such as "3 Nov"
	Verb   string   // the bold first words: "Charged"
	Text   string   // what follows them: "crank arms"
	Says   []string // sentences on it, each on a line of its own
	Note   string   // a small line below
	Value  string
	Href   string // where the row leads; may be empty
	Hot    bool   // the power was on: the margin line is thick and ember
	Struck *Struck
	Photos []Photo
	Style  quantity.Style // how the photos' days are written
	Tap    []Action       // buttons of the row, such as Strike
}

// Struck says why a line no longer counts. The line stays readable.
type Struck struct{ Reason, Who, When string }

func (s Struck) sentence() string {
	text := "Struck"
	if s.Reason != "" {
		text += ": " + s.Reason
	}
	if s.Who != "" {
		text += ", by " + s.Who
	}
	if s.When != "" {
		text += ", " + s.When
	}
	return text
}

func (r Row) class() string {
	class := "row"
	if r.Hot {
		class += " hot"
	}
	if r.Struck != nil {
		class += " struck"
	}
	return class
}
