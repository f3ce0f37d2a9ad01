package views

import "math"

// Whisker is a value with its range, drawn on a rule that runs between two
// numbers. Where too little is known it is drawn dashed and without its point.
type Whisker struct {
	From, To       float64 // the ends of the rule
	Low, Mid, High float64
	Rough          bool
	Zero           bool   // nought is marked on the rule
	Says           string // the same in words: "94 %, range 91 to 97 %"
}

// place is where a number lies on a rule; what is beyond an end lies at it.
// Numbers that are not finite, and a rule without length, lie at its start.
func place(x, from, to float64) percent {
	share := (x - from) / (to - from)
	if math.IsNaN(share) || to <= from {
		return 0
	}
	return percent(math.Round(min(max(share, 0), 1) * float64(full)))
}

// Estimate is a row with a value, its whisker and what to make of it.
type Estimate struct {
	Name    string
	Href    string // may be empty
	Value   string
	Whisker *Whisker // nil when nothing can be drawn yet
	Note    string
	Advice  string // what to do to know it better; may be empty
}

// Scale heads a list of estimates with the ends of their common rule.
type Scale struct{ From, To, Says string }
