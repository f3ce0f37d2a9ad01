package drift

import (
	"gonum.org/v1/gonum/stat/distuv"

	"drosswise/foundry/gum"
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
)

// Tool is a kind of instrument.
type Tool string

// Instruments that are checked.
const (
	ScaleTool Tool = "scale" // errors in kg
	ProbeTool Tool = "probe" // errors in °C
	MeterTool Tool = "meter" // errors as a share of what it should have counted
)

// Verdict is what a check says beside the instrument's own ±.
type Verdict string

// Verdicts.
const (
	Within     Verdict = "within"      // the whole 90 % range of the error lies inside the ±
	Beyond     Verdict = "beyond"      // the whole range lies outside
	CannotTell Verdict = "cannot_tell" // the range reaches over the ±, or no ± is known
)

// Check is one comparison of an instrument with something better known.
type Check struct {
	At      quantity.Moment `json:"at"`
	Error   recovery.Range  `json:"error"` // reading less truth
	Limit   float64         `json:"limit"` // the instrument's own ±, 0 when not known
	Verdict Verdict         `json:"verdict"`

	off    gum.Value // Error with what it leans on
	chance float64   // that a good instrument at its limit would read so far off or further
}

// Instrument is what its checks say of an instrument.
type Instrument struct {
	Tool   Tool    `json:"tool"`
	Checks []Check `json:"checks"` // in order of time
	// Drift is how far the error moved from the first check to the last that
	// can be compared with it; nil with fewer than two.
	Drift *recovery.Range  `json:"drift"`
	From  *quantity.Moment `json:"from"` // when that first check was
	// Good is when it was last found within its ±, nil when never.
	Good *quantity.Moment `json:"good"`
	// Doubtful are the melts measured with it since then, when the last check
	// found it beyond its ±.
	Doubtful []int64 `json:"doubtful"`
}

// last is the newest check, if there is one.
func (in *Instrument) last() (c Check, ok bool) {
	if in == nil || len(in.Checks) == 0 {
		return Check{}, false
	}
	return in.Checks[len(in.Checks)-1], true
}

// Used is a melt that was measured with an instrument.
type Used struct {
	ID int64
	At quantity.Moment
}

// judge makes a check of an error and its limit.
func judge(at quantity.Moment, e gum.Value, limit float64) Check {
	c := Check{At: at, Error: around(e.X, e.U()), Limit: limit, Verdict: CannotTell, off: e}
	by := max(c.Error.Middle, -c.Error.Middle)
	wide := c.Error.High - c.Error.Middle
	switch {
	case limit == 0:
	case by+wide <= limit:
		c.Verdict = Within
	case by-wide > limit:
		c.Verdict = Beyond
		if u := e.U(); u > 0 {
			c.chance = distuv.UnitNormal.CDF((limit - by) / u)
		}
	}
	return c
}

// instrument puts the checks together, given in order of time. first is the
// place of the check that the last one is compared with, −1 for none.
func instrument(tool Tool, checks []Check, first int, used []Used) Instrument {
	in := Instrument{Tool: tool, Checks: checks, Doubtful: []int64{}}
	n := len(checks)
	if n == 0 {
		in.Checks = []Check{}
		return in
	}
	last, _ := in.last()
	if first >= 0 && first < n-1 {
		d := last.off.Minus(checks[first].off)
		moved := around(d.X, d.U())
		in.Drift, in.From = &moved, &checks[first].At
	}
	for i := range checks {
		if checks[i].Verdict == Within {
			in.Good = &checks[i].At
		}
	}
	if last.Verdict != Beyond {
		return in
	}
	for _, m := range used {
		if in.Good == nil || m.At > *in.Good {
			in.Doubtful = append(in.Doubtful, m.ID)
		}
	}
	return in
}
