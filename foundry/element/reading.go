package element

import (
	"math"

	"drosswise/foundry/quantity"
)

// Readings are what was read on an element. A nil reading was not taken, which
// is not the same as zero.
type Readings struct {
	Ohms  *quantity.Resistance
	Volts *quantity.Voltage
	Amps  *quantity.Current
	Watts *quantity.Power
	// Ct, when above zero, says the ohms were read cold and the rest hot, and
	// is the wire's hot over cold resistance (Wire.Ct). Zero leaves the ohms
	// as they are.
	Ct float64
}

// What names one of the four readings by its unit.
type What int

// The four readings.
const (
	InOhms What = iota
	InVolts
	InAmps
	InWatts
)

var whats = [...]What{InOhms, InVolts, InAmps, InWatts}

// values are the readings in Ω (hot), V, A and W; not-a-number was not taken.
type values [4]float64

func (r Readings) values() values {
	v := values{math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	if r.Ohms != nil {
		v[InOhms] = r.Ohms.Ohms()
		if r.Ct > 0 {
			v[InOhms] *= r.Ct
		}
	}
	if r.Volts != nil {
		v[InVolts] = r.Volts.Volts()
	}
	if r.Amps != nil {
		v[InAmps] = r.Amps.Amperes()
	}
	if r.Watts != nil {
		v[InWatts] = r.Watts.Watts()
	}
	return v
}

func (v values) known(w What) bool { return !math.IsNaN(v[w]) }

// present lists the readings that were taken.
func (v values) present() []What {
	var taken []What
	for _, w := range whats {
		if v.known(w) {
			taken = append(taken, w)
		}
	}
	return taken
}

// derive works a reading out of two others by Ohm's law, V = R·I, and Joule's,
// P = V·I.
func (v values) derive(want, from, and What) float64 {
	volts, amps := v.voltsAndAmps(min(from, and), max(from, and))
	switch want {
	case InOhms:
		return volts / amps
	case InVolts:
		return volts
	case InAmps:
		return amps
	}
	return volts * amps
}

// voltsAndAmps works both out of two readings, given in the order of What.
func (v values) voltsAndAmps(a, b What) (volts, amps float64) {
	switch {
	case a == InOhms && b == InVolts:
		return v[b], v[b] / v[a]
	case a == InOhms && b == InAmps:
		return v[a] * v[b], v[b]
	case a == InOhms:
		return math.Sqrt(v[a] * v[b]), math.Sqrt(v[b] / v[a])
	case a == InVolts && b == InAmps:
		return v[a], v[b]
	case a == InVolts:
		return v[a], v[b] / v[a]
	}
	return v[b] / v[a], v[a]
}
