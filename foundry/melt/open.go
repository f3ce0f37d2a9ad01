package melt

import (
	"fmt"

	"drosswise/foundry/quantity"
)

// Open is something that a melt still lacks when it is about to be closed, and
// the kind of line that would settle it, "" where there is more than one.
type Open struct {
	Settle Kind
	say    func(quantity.Style) string
}

// Say gives the sentence for a person, in their units.
func (o Open) Say(s quantity.Style) string { return o.say(s) }

// StillOpen lists what is open in a melt, the power first: it can hurt.
func StillOpen(standing []Line) []Open {
	var all []Open
	lacks := func(when bool, settle Kind, sentence string) {
		if when {
			all = append(all, Open{settle, func(quantity.Style) string { return sentence }})
		}
	}
	if on, open := OnTime(standing, 0); open {
		since := on[len(on)-1].From
		all = append(all, Open{Isolated, func(s quantity.Style) string {
			return fmt.Sprintf("The power is on since %s and was not marked as isolated. Isolate the furnace, and write when that was.", s.Clock(since))
		}})
	}
	var in, out, unnamed int
	for _, l := range standing {
		switch l.Kind {
		case Charge:
			in++
		case Pour, Reject, Spill, HeelOut:
			out++
		case Stamp:
			unnamed++
		}
	}
	lacks(in == 0, Charge, "Nothing is weighed in. Write what was charged, or void the melt if nothing was melted.")
	lacks(in > 0 && out == 0, Pour, "Nothing is poured, and nothing is said to be left in the crucible. Write where the metal went.")
	lacks(unnamed == 1, "", "One time was marked and nobody has said what it was. Tap it in the melt and say so.")
	lacks(unnamed > 1, "", fmt.Sprintf("%d times were marked and nobody has said what they were. Tap each in the melt and say so.", unnamed))
	return all
}

// doubtEnd doubts that a melt ends with something open; void it may be with
// anything open but the power.
func doubtEnd(standing []Line, k Kind) Refusals {
	var rs Refusals
	for _, o := range StillOpen(standing) {
		if k == Close || o.Settle == Isolated {
			rs = append(rs, doubt("kind", o.say)...)
		}
	}
	return rs
}
