package drift

import (
	"math"

	"drosswise/foundry/recovery"
)

// Loss is what the bricks should let through beside what holding takes.
type Loss struct {
	Bricks   recovery.Range `json:"bricks"`   // kWh/h through all walls
	Measured recovery.Range `json:"measured"` // kWh/h
	Rest     recovery.Range `json:"rest"`     // Measured less Bricks: lid, ports, gaps, element ends
	Code     LossCode       `json:"code"`
}

// LossCode is what can be said of a loss.
type LossCode string

// What can be said of a loss.
const (
	Accounted LossCode = "accounted" // the range of the rest holds nought
	More      LossCode = "more"      // holding takes more than the bricks explain
	Less      LossCode = "less"      // holding takes less than they must let through
)

// brickDoubt is the standard uncertainty of a wall's watts as a share: makers'
// conductivities differ by a fifth and more, and bricks age. Judgement.
const brickDoubt = 0.2

// CompareLoss sets the watts of all walls beside a measured holding loss in
// kWh/h: the part for each hour of the energy split, or meter readings while
// holding. ok is false for figures that cannot be worked with.
func CompareLoss(watts float64, measured recovery.Range) (l Loss, ok bool) {
	if !sound(watts, measured.Low, measured.Middle, measured.High) || watts <= 0 || measured.Low > measured.High {
		return Loss{}, false
	}
	through := watts / 1000
	l = Loss{Bricks: around(through, brickDoubt*through), Measured: measured, Code: Accounted}
	u := measured.Width() / (2 * normal90)
	d := brickDoubt * through
	l.Rest = around(measured.Middle-through, math.Hypot(u, d))
	switch {
	case l.Rest.Low > 0:
		l.Code = More
	case l.Rest.High < 0:
		l.Code = Less
	}
	return l, true
}
