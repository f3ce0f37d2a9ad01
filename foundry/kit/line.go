package kit

import "drosswise/foundry/quantity"

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
	Mass    *quantity.Mass
	Wall    *quantity.Length
	Cracked bool
	Note    string
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
