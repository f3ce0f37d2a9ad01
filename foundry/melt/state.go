package melt

import "drosswise/foundry/quantity"

// State is how far a melt has come.
type State string

// The states of a melt.
const (
	Running State = "running"
	Closed  State = "closed"
	Voided  State = "void"
)

// StateOf reads the state from a melt's standing lines, in order: what was
// written last of close, reopen and void holds. It goes by the order of
// writing, so that a reopening at an earlier true time still reopens.
func StateOf(standing []Line) State {
	state, last := Running, int64(-1)
	for _, l := range standing {
		var s State
		switch l.Kind {
		case Close:
			s = Closed
		case Void:
			s = Voided
		case Reopen:
			s = Running
		default:
			continue
		}
		if order := writing(l); order > last {
			state, last = s, order
		}
	}
	return state
}

// writing is a line's place in the order of writing; a line not yet written
// comes last.
func writing(l Line) int64 {
	if l.ID == 0 {
		return 1<<63 - 1
	}
	return l.ID
}

// Kit is what a melt is made in, after corrections by Using lines.
type Kit struct{ Crucible, Element int64 }

// KitOf is the heading's kit unless a standing line says otherwise.
func KitOf(h Heading, standing []Line) Kit {
	kit := Kit{Crucible: h.Crucible, Element: h.Element}
	last := int64(-1)
	for _, l := range standing {
		if l.Kind != Using || writing(l) < last {
			continue
		}
		last = writing(l)
		if l.Crucible != 0 {
			kit.Crucible = l.Crucible
		}
		if l.Element != 0 {
			kit.Element = l.Element
		}
	}
	return kit
}

// Stretch is a time during which the power was on.
type Stretch struct{ From, To quantity.Moment }

// OnTime gives the stretches with power on, from the power-on lines to the
// isolations after them. A power-on that nothing ends runs until the given
// moment; open says so.
func OnTime(standing []Line, until quantity.Moment) (on []Stretch, open bool) {
	var since quantity.Moment
	for _, l := range standing {
		switch {
		case l.Kind == PowerOn && !open:
			since, open = l.At, true
		case l.Kind == Isolated && open:
			on, open = append(on, Stretch{since, l.At}), false
		}
	}
	if open {
		on = append(on, Stretch{since, max(since, until)})
	}
	return on, open
}

// Total is the length of all stretches together.
func Total(stretches []Stretch) quantity.Span {
	var sum quantity.Span
	for _, s := range stretches {
		sum += s.To.Since(s.From)
	}
	return sum
}

// Contents is the mass in the crucible after the given standing lines: heel
// and charges and metal added, less what was weighed out. known is false from
// a pour or skim that is not weighed yet, when nobody can say.
func Contents(standing []Line) (mass quantity.Mass, known bool) {
	known = true
	for _, l := range standing {
		switch l.Kind {
		case HeelIn, Charge:
			mass += l.Mass()
		case Addition:
			if l.AddsMetal() {
				mass += l.Mass()
			}
		case Pour, Skim, Spill, Reject, Steel:
			mass -= l.Mass()
			known = known && (l.Weighed() || l.Kind == Skim)
		}
	}
	return max(mass, 0), known
}

// Charged is the mass of all standing charges, and of metal added to them.
func Charged(standing []Line) quantity.Mass {
	var sum quantity.Mass
	for _, l := range standing {
		if l.Kind == Charge || l.AddsMetal() {
			sum += l.Mass()
		}
	}
	return sum
}

// Last gives the last standing line of a kind.
func Last(standing []Line, k Kind) (l Line, ok bool) {
	for i := len(standing) - 1; i >= 0; i-- {
		if standing[i].Kind == k {
			return standing[i], true
		}
	}
	return Line{}, false
}

// First gives the first standing line of a kind.
func First(standing []Line, k Kind) (l Line, ok bool) {
	for _, l := range standing {
		if l.Kind == k {
			return l, true
		}
	}
	return Line{}, false
}
