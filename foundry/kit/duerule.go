package kit

import (
	"fmt"
	"strconv"

	"drosswise/foundry/melt"
)

// Rule says after how many heats or days, whichever comes first, a piece of a
// kind is due for a look; nil is "not by that".
type Rule struct {
	Kind  Kind
	Heats *int
	Days  *int
}

// None reports whether the kind is never due.
func (r Rule) None() bool { return r.Heats == nil && r.Days == nil }

// Most that a rule may say: more is as good as never.
const (
	MostDueHeats = 1000
	MostDueDays  = 3650
)

// Check says why a rule may not be; the fields are the kind with _heats or
// _days behind it.
func (r Rule) Check() melt.Refusals {
	var rs melt.Refusals
	if r.Heats != nil && (*r.Heats < 1 || *r.Heats > MostDueHeats) {
		rs = append(rs, refuse(string(r.Kind)+"_heats", fmt.Sprintf("Type a number of heats from 1 to %d, or leave the field empty.", MostDueHeats)))
	}
	if r.Heats != nil && !CountsHeats(r.Kind) {
		rs = append(rs, refuse(string(r.Kind)+"_heats", "Heats are not counted for this kind. Give days."))
	}
	if r.Days != nil && (*r.Days < 1 || *r.Days > MostDueDays) {
		rs = append(rs, refuse(string(r.Kind)+"_days", fmt.Sprintf("Type a number of days from 1 to %d, or leave the field empty.", MostDueDays)))
	}
	return rs
}

// CountsHeats reports whether the heats of a kind since a day can be counted.
func CountsHeats(k Kind) bool { return k == Furnace || k == Crucible || k == Element }

// Usual is a rule that holds until a shop makes its own, and what it rests on.
type Usual struct {
	Rule
	Look  string // what to look at, as a sentence
	Rests string // what the number rests on
}

// UsualRules are the rules of a new shop, in the order of Kinds.
var UsualRules = []Usual{
	{Rule{Kind: Furnace, Heats: new(10)}, "Look at contactor, plug and terminals for heat marks, isolated and with the plug pulled.",
		"Kiln makers' help pages: contactor and plug every ten firings or so."},
	{Rule{Kind: Crucible, Heats: new(5)}, "Cold and empty: look for cracks, tap it, weigh it dry.",
		"Crucible makers' care guides ask for frequent looks and name no number; the number is a judgement, no source."},
	{Rule{Kind: Element, Heats: new(10)}, "Read its ohms, cold and with the plug out.",
		"A judgement, no source."},
	{Rule{Kind: Scale, Days: new(180)}, "Weigh something whose mass is known.",
		"Twice a year: common practice, no source."},
	{Rule{Kind: Probe, Days: new(180)}, "Hold it against a second one, or against metal that freezes.",
		"Twice a year: common practice, no source."},
}

// UsualOf gives the usual rule of a kind.
func UsualOf(k Kind) Usual {
	for _, u := range UsualRules {
		if u.Kind == k {
			return u
		}
	}
	return Usual{Rule: Rule{Kind: k}}
}

// Say words the rule, such as "every 10 heats or 90 days".
func (r Rule) Say() string {
	switch {
	case r.None():
		return "not on the list"
	case r.Days == nil:
		return "every " + count(*r.Heats, "heat", "heats")
	case r.Heats == nil:
		return "every " + count(*r.Days, "day", "days")
	}
	return "every " + count(*r.Heats, "heat", "heats") + " or " + count(*r.Days, "day", "days") + ", whichever comes first"
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// Looks are the kinds of line that show that a piece of kind k was looked at:
// an inspection; of an element also a reading; and what was fitted was in
// somebody's hands.
func Looks(k Kind) []LineKind {
	switch k {
	case Element:
		return []LineKind{Inspected, Read, Fitted}
	case Probe:
		return []LineKind{Inspected, Fitted}
	}
	return []LineKind{Inspected}
}

// WrittenAs is the kind of line in which the look that is due is written.
func WrittenAs(k Kind) LineKind {
	if k == Element {
		return Read
	}
	return Inspected
}
