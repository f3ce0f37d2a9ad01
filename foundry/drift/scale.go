package drift

import (
	"fmt"

	"drosswise/foundry/gum"
	"drosswise/foundry/quantity"
)

// ScaleCheck is a known mass put on a scale. All are in kilograms.
type ScaleCheck struct {
	At        quantity.Moment
	Mass      float64 // what it weighs by its mark or a better scale, above 0
	Tolerance float64 // ± of that, 0 for none
	Reading   float64
}

// ScaleOf is what is known of a scale itself.
type ScaleOf struct {
	Step float64 // kg, the smallest step it shows
	Gain float64 // the maker's ± as a share of the reading, 0 when not said
}

// Scale judges a scale by a known mass. Its own ± is the maker's share of the
// mass, and never less than a step. The doubt is that of one step and of the
// known mass; used twice, the same mass is off the same way both times and
// cancels in the drift. used are the melts weighed on it.
func Scale(of ScaleOf, list []ScaleCheck, used []Used) Instrument {
	step, gain := given(of.Step), given(of.Gain)
	checks, first := []Check{}, -1
	var masses []float64
	for i, c := range list {
		if !sound(c.Mass, c.Tolerance, c.Reading) || c.Mass <= 0 || c.Tolerance < 0 || c.Reading < 0 {
			continue
		}
		reading := gum.Measured(fmt.Sprintf("reading %d", i), c.Reading, gum.Resolution(step))
		known := gum.Measured(fmt.Sprintf("mass %g ± %g", c.Mass, c.Tolerance), c.Mass, gum.Limits(c.Tolerance))
		checks = append(checks, judge(c.At, reading.Minus(known), max(gain*c.Mass, step)))
		masses = append(masses, c.Mass)
	}
	for i := len(masses) - 1; i >= 0; i-- {
		if masses[i] == masses[len(masses)-1] {
			first = i
		}
	}
	return instrument(ScaleTool, checks, first, used)
}
