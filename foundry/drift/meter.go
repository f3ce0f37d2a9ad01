package drift

import (
	"fmt"
	"math"

	"drosswise/foundry/gum"
	"drosswise/foundry/quantity"
)

// MeterCheck is an electricity meter beside a second one over the same time, in
// kWh.
type MeterCheck struct {
	At        quantity.Moment
	Reading   float64 // that the meter counted
	Second    float64 // that the second one counted, above 0
	Tolerance float64 // ± of the second one, as a share
}

// MeterOf is what is known of a meter.
type MeterOf struct {
	Step float64 // kWh, the smallest step it shows
	Gain float64 // its own ± as a share of what it counts, 0 when not said
}

// Meter judges a meter by a second one. Both are taken to be read in the same
// step, at the start and at the end. The second meter's own error is the same in
// each check and cancels in the drift. used are the melts metered with it.
func Meter(of MeterOf, list []MeterCheck, used []Used) Instrument {
	checks := []Check{}
	for i, c := range list {
		if !sound(c.Reading, c.Second, c.Tolerance) || c.Second <= 0 || c.Reading < 0 || c.Tolerance < 0 {
			continue
		}
		twice := math.Sqrt2 * gum.Resolution(given(of.Step)) / c.Second // a difference of two readings
		if !sound(twice, c.Reading/c.Second) {
			continue
		}
		ratio := gum.Measured(fmt.Sprintf("reading %d", i), c.Reading/c.Second, twice)
		second := gum.Measured(fmt.Sprintf("second reading %d", i), 0, twice)
		tolerance := gum.Measured(fmt.Sprintf("second meter ± %g", c.Tolerance), 0, gum.Limits(c.Tolerance))
		e := ratio.Minus(gum.Exact(1)).Minus(second).Minus(tolerance)
		checks = append(checks, judge(c.At, e, given(of.Gain)))
	}
	return instrument(MeterTool, checks, 0, used)
}
