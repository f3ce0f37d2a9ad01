package views

import (
	"fmt"
	"slices"

	"drosswise/foundry/melt"
)

// LinePage is one line of a melt: what it says, who wrote it and when, and
// what can be done about it.
type LinePage struct {
	Heading melt.Heading
	State   melt.State
	Line    melt.Line
	Names   Names
	Photos  []Photo // that stand
	Key     string
	Reason  string // as typed
	Fault   string
}

func (p LinePage) path(more string) string {
	return fmt.Sprintf("/melts/%s/lines/%d%s", p.Heading.Code, p.Line.ID, more)
}

// correct leads to the form in which the line is written anew.
func (p LinePage) correct(k melt.Kind) string {
	return fmt.Sprintf("/melts/%s/add/%s?of=%d", p.Heading.Code, k, p.Line.ID)
}

// open reports whether lines may still be struck and corrected.
func (p LinePage) open() bool {
	return p.State == melt.Running || slices.Contains([]melt.Kind{melt.Close, melt.Void}, p.Line.Kind)
}

// became are the kinds that a mark of time may turn out to be.
func (p LinePage) became() []melt.Spec {
	var all []melt.Spec
	for _, s := range melt.Specs() {
		if !slices.Contains([]melt.Kind{melt.Stamp, melt.Close, melt.Reopen, melt.Void, melt.Checked, melt.Energy, melt.Using}, s.Kind) {
			all = append(all, s)
		}
	}
	return all
}

func (p LinePage) facts(f Frame) []Fact {
	facts := []Fact{
		{Term: "Happened", Value: f.Style.DateTime(p.Line.At)},
		{Term: "Written", Value: f.Style.DateTime(p.Line.Noted), Note: "by " + p.Names.People[p.Line.By]},
	}
	if k := p.Line.Strike; k != nil {
		facts = append(facts, Fact{Term: "Struck", Value: f.Style.DateTime(k.At), Note: Struck{Reason: k.Reason, Who: p.Names.People[k.By]}.sentence()})
	}
	return facts
}
