// Package drift notices that a furnace or an instrument changes, from what is
// written down melt by melt: kWh and time to all molten of a furnace on a chart
// of standardised one-step residuals (Energy, Time), the likely causes of a
// change in order of the evidence (Causes), what should go through the bricks
// (Plane, Cylinder, Box) beside what holding takes, and whether a scale, a
// thermocouple or a meter is still within its ± (Scale, Thermocouple, Meter).
//
// It says that it is time to check. It never says that anything is in order,
// nor that it will fail. Nothing is drawn at random and no clock is read: the
// same records give the same answers. What was not written down is nil and is
// never taken for zero.
//
// Masses are in kilograms, energies in kWh, times in hours, temperatures in °C,
// lengths in metres; shares are fractions of 1. Ranges hold nine times in ten.
package drift

import (
	"math"

	"drosswise/foundry/recovery"
)

// normal90 is the quantile of the normal curve for a range of 9 in 10.
const normal90 = 1.6448536269514722

// around is the range of a figure with a known standard uncertainty.
func around(middle, u float64) recovery.Range {
	return recovery.Range{Low: middle - normal90*u, Middle: middle, High: middle + normal90*u}
}

// sound reports whether a number can be worked with: finite and not so large
// that its square is lost.
func sound(values ...float64) bool {
	for _, x := range values {
		if !(math.Abs(x) <= 1e9) { // not-a-number too
			return false
		}
	}
	return true
}

// given is a figure about a furnace or an instrument, 0 where it was not said or
// cannot be.
func given(x float64) float64 {
	if x > 0 && sound(x) {
		return x
	}
	return 0
}
