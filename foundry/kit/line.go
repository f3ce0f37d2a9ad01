package kit

import (
	"slices"

	"drosswise/foundry/quantity"
)

// LineKind is a kind of thing that happens to kit.
type LineKind string

// What happens to kit.
const (
	Fitted    LineKind = "fitted"
	Read      LineKind = "read"
	Inspected LineKind = "inspected"
	Repaired  LineKind = "repaired"
	Retired   LineKind = "retired"
	Returned  LineKind = "returned"
	Note      LineKind = "note"
)

// LineSpec says how people speak of a kind of line and which kit has it.
type LineSpec struct {
	Kind LineKind
	Verb string
	Done string
	For  []Kind // empty: every kind
}

// LineSpecs are all kinds of kit line.
var LineSpecs = []LineSpec{
	{Fitted, "Fitted", "Fitted", []Kind{Element, Probe}},
	{Read, "Reading", "Read", []Kind{Element, Furnace}},
	{Inspected, "Inspection", "Inspected", nil},
	{Repaired, "Repair", "Repaired", nil},
	{Retired, "Retire", "Retired", nil},
	{Returned, "Back in use", "Back in use", nil},
	{Note, "Note", "Noted", nil},
}

// Applies reports whether kit of kind k has lines like this.
func (s LineSpec) Applies(k Kind) bool {
	if len(s.For) == 0 {
		return true
	}
	for _, f := range s.For {
		if f == k {
			return true
		}
	}
	return false
}

// Line is one thing that happened to a piece of kit.
type Line struct {
	ID      int64
	Key     string
	Item    int64
	Kind    LineKind
	At      quantity.Moment
	Noted   quantity.Moment
	By      int64
	Strike  *Strike
	Furnace int64 // fitted: where to
	Ohms    *quantity.Resistance
	Volts   *quantity.Voltage
	Amps    *quantity.Current
	Watts   *quantity.Power
	Temp    *quantity.Temperature // of the piece when it was read
	Mass    *quantity.Mass        // crucible inspected: empty and dry; scale inspected: what it showed
	Wall    *quantity.Length
	Cracked bool
	Note    string

	Lead  *quantity.Resistance // read: of the leads alone, which is in Ohms
	Step  *quantity.Resistance // read: the smallest step that the ohmmeter shows
	Ring  string               // crucible inspected: see Rings
	Glaze string               // crucible inspected: see Glazes
	Cause string               // retired: see Causes

	KnownMass   *quantity.Mass        // scale inspected: what lay on it
	KnownTemp   *quantity.Temperature // thermocouple inspected: by a second one or a freezing point; Temp is what it showed
	Energy      *quantity.Energy      // furnace inspected: what its meter counted
	KnownEnergy *quantity.Energy      // furnace inspected: what a second meter counted
}

// Causes are why a piece was retired. Only Worn tells of its life; the others
// cut it short.
var Causes = []Choice{
	{"", "Not said"}, {Worn, "Worn out"}, {Broken, "Broken by an accident"}, {"other", "Something else: sold, given away, no longer needed"},
}

// What wear brought to an end, and what an accident did.
const (
	Worn   = "worn"
	Broken = "broken"
)

// Rings are how a crucible sounds when tapped.
var Rings = []Choice{{"", "Not tapped"}, {"clear", "Clear"}, {"dull", "Dull"}}

// Glazes are how a crucible's skin looks.
var Glazes = []Choice{{"", "Not said"}, {"whole", "Whole"}, {"thin", "Thin in places"}, {"gone", "Gone in places, flaking"}}

// Cracked reports whether a crack was found, in a line that stands.
func Cracked(lines []Line) bool {
	return slices.ContainsFunc(lines, func(l Line) bool { return l.Stands() && l.Cracked })
}

// Strike is how a line was taken out of account.
type Strike struct {
	At     quantity.Moment
	By     int64
	Reason string
}

// Stands reports whether the line counts.
func (l Line) Stands() bool { return l.Strike == nil }

// Fate reads from the lines, in order of time, whether the piece is retired
// and which furnace it is fitted to (0: none).
func Fate(lines []Line) (retired bool, furnace int64) {
	for _, l := range lines {
		if !l.Stands() {
			continue
		}
		switch l.Kind {
		case Fitted:
			furnace, retired = l.Furnace, false
		case Retired:
			furnace, retired = 0, true
		case Returned:
			retired = false
		}
	}
	return retired, furnace
}
