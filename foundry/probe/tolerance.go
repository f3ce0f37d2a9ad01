package probe

import (
	"math"

	"drosswise/foundry/quantity"
)

// Class is the tolerance class a new thermocouple was sold under.
type Class int

// Tolerance classes of IEC 60584-1:2013 for type K.
const (
	Class1 Class = 1 // 1.5 °C or 0.4 %, −40 to 1000 °C
	Class2 Class = 2 // 2.5 °C or 0.75 %, −40 to 1200 °C
)

var classes = map[Class]struct {
	floor, share float64
	max          quantity.Temperature
}{
	Class1: {1.5, 0.004, 1000 * quantity.Celsius},
	Class2: {2.5, 0.0075, 1200 * quantity.Celsius},
}

// Tolerance gives by how many °C a new type K thermocouple may be off either
// way at a temperature (IEC 60584-1:2013, quoted from copies): the larger of a
// fixed figure and a share of the temperature. It says false where the class is
// unknown or makes no promise. Wear and the meter come on top.
func Tolerance(class Class, t quantity.Temperature) (celsius float64, ok bool) {
	c, ok := classes[class]
	if !ok || t < -40*quantity.Celsius || t > c.max {
		return 0, false
	}
	return math.Max(c.floor, c.share*math.Abs(t.Celsius())), true
}
