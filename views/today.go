package views

import (
	"drosswise/foundry/quantity"
)

// Today is the first page: what runs, what is left to do, what was melted
// last.
type Today struct {
	Running []MeltRow
	Last    []MeltRow
	ToDo    []ToDo
	First   []Step // what a new shop needs, until it is all there
	May     bool
	Owner   bool
}

// ToDo is something that was left open.
type ToDo struct {
	Lead, Text string
	Link       Link
}

// Step is one of the things to set up first.
type Step struct {
	Done bool
	Text string
	Why  string
	Href string
}

func (p Today) unready() bool {
	for _, s := range p.First {
		if !s.Done {
			return true
		}
	}
	return false
}

func (p Today) under(f Frame) string { return f.Style.Date(f.Now) }

func (r MeltRow) sentence(s quantity.Style) string {
	text := r.what()
	if r.Charged > 0 {
		text = s.Mass(r.Charged) + " charged: " + text
	}
	return text + ". Started " + s.DateTime(r.Started) + "."
}
