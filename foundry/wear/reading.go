package wear

import (
	"drosswise/foundry/element"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
)

// Reading is what was read on an element set at one time. A nil pointer was not
// read. Ohms read above ColdBelow are hot ones; volts, amps and watts are always
// hot; energy over time at full power is drawn.
type Reading struct {
	ID    int64
	Hours float64 // hot on this set by then
	Heats int     // melts on this set by then

	Ohms  *quantity.Resistance
	Leads *quantity.Resistance // of the meter's leads held together, to take off
	Temp  *quantity.Temperature
	Volts *quantity.Voltage
	Amps  *quantity.Current
	Watts *quantity.Power
	Drawn *Drawn
	Meter Meter

	LeftOut bool // a person has confirmed that it is to be left out
}

// FromLine takes the reading off a line of kit. ok is false when the line is no
// reading, or was struck.
func FromLine(l kit.Line, hours float64, heats int) (r Reading, ok bool) {
	r = Reading{ID: l.ID, Hours: hours, Heats: heats, Ohms: l.Ohms, Leads: l.Lead, Temp: l.Temp, Volts: l.Volts, Amps: l.Amps, Watts: l.Watts}
	if l.Step != nil {
		r.Meter.Ohms = *l.Step
	}
	return r, l.Kind == kit.Read && l.Stands()
}

// Meter is the smallest step of what was read with; zero takes the usual one.
type Meter struct {
	Ohms  quantity.Resistance
	Volts quantity.Voltage
	Amps  quantity.Current
	Watts quantity.Power
}

// usual are the steps of common hand meters: common practice, no source.
var usual = Meter{Ohms: quantity.Ohm / 10, Volts: quantity.Volt, Amps: quantity.Ampere / 10, Watts: quantity.Watt}

// steps fills in the usual step where none was said.
func (m Meter) steps() Meter {
	return Meter{Ohms: or(m.Ohms, usual.Ohms), Volts: or(m.Volts, usual.Volts), Amps: or(m.Amps, usual.Amps), Watts: or(m.Watts, usual.Watts)}
}

func or[T ~int64](value, usual T) T {
	if value > 0 {
		return value
	}
	return usual
}

// ColdBelow is the temperature up to which ohms count as read cold: there a
// wire's ohms are within 0.6 % of those at 20 °C (wire tables, see element).
const ColdBelow = 60 * quantity.Celsius

// cold reports whether the ohms were read cold; not said is taken for cold.
func (r Reading) cold() bool { return r.Temp == nil || *r.Temp <= ColdBelow }

// electric are the readings as element looks at them. Ct is counted between
// cold ohms and the rest, where it is known.
func (r Reading) electric(ct float64) element.Readings {
	e := element.Readings{Ohms: r.Ohms, Volts: r.Volts, Amps: r.Amps, Watts: r.Watts}
	if r.cold() {
		e.Ct = ct
	}
	return e
}
