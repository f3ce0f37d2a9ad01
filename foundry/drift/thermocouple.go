package drift

import (
	"fmt"
	"math"

	"drosswise/foundry/gum"
	"drosswise/foundry/probe"
	"drosswise/foundry/quantity"
)

// ProbeCheck is a thermocouple beside a second one in the same place, or in a
// freezing metal. Temperatures are in °C.
type ProbeCheck struct {
	At      quantity.Moment
	Reading float64
	Second  *float64    // what the second probe reads
	Class   probe.Class // of the second probe, 0 when not known
	Freezes *Freezing   // instead of the second probe
	Purity  float64     // of the metal that freezes, as a share of its atoms: 0.999
}

// ProbeOf is what is known of a thermocouple of type K.
type ProbeOf struct {
	Class probe.Class // it was sold under, 0 when not known
	Step  float64     // °C that it is read to
}

// near is by how many °C two checks may differ and still be compared: the error
// of a worn couple goes with the temperature. Judgement.
const near = 25

// unknownClass is taken for a second probe whose class nobody knows: the wider
// one, so that it does not condemn the first too easily.
const unknownClass = probe.Class2

// Thermocouple judges a type K thermocouple by a second one or by freezing
// points; its own ± is that of a new one of its class (IEC 60584-1:2013). used
// are the melts measured with it.
func Thermocouple(of ProbeOf, list []ProbeCheck, used []Used) Instrument {
	checks, first := []Check{}, -1
	var at []float64 // °C
	for i, c := range list {
		truth, ok := c.truth(i)
		if !ok || !sound(c.Reading) {
			continue
		}
		limit, _ := probe.Tolerance(of.Class, temperature(truth.X))
		reading := gum.Measured(fmt.Sprintf("reading %d", i), c.Reading, gum.Resolution(given(of.Step)))
		checks = append(checks, judge(c.At, reading.Minus(truth), limit))
		at = append(at, truth.X)
	}
	for i := len(at) - 1; i >= 0; i-- {
		if math.Abs(at[i]-at[len(at)-1]) <= near {
			first = i
		}
	}
	return instrument(ProbeTool, checks, first, used)
}

// truth is the temperature that the probe should have read.
func (c ProbeCheck) truth(place int) (gum.Value, bool) {
	switch {
	case c.Freezes != nil:
		return c.Freezes.point(c.Purity)
	case c.Second == nil || !sound(*c.Second):
		return gum.Value{}, false
	}
	class := c.Class
	if class == 0 {
		class = unknownClass
	}
	tolerance, ok := probe.Tolerance(class, temperature(*c.Second))
	return gum.Measured(fmt.Sprintf("second %d", place), *c.Second, gum.Limits(tolerance)), ok
}

func temperature(celsius float64) quantity.Temperature {
	return quantity.Temperature(celsius * float64(quantity.Celsius))
}
