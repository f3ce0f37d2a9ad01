package kit

import (
	"fmt"
	"math"

	"drosswise/foundry/element"
	"drosswise/foundry/quantity"
)

// ContinuousShare is how much of its rated current a circuit is loaded with
// for hours on end: 80 %, the same as cable and breaker for 125 % of the load;
// common practice, no source. Local code and a licensed electrician come first.
const ContinuousShare = 0.80

// Load is what a furnace draws from its circuit.
type Load struct {
	Amps  quantity.Current
	Share float64 // of what the circuit is rated for
}

// Load works out a furnace's current from its power and supply, as a
// single-phase load without reactance (I = P/V), against its circuit. ok is
// false when one of the three is not known.
func (it Item) Load() (l Load, ok bool) {
	if it.Volts == nil || it.Power == nil || it.Circuit == nil || *it.Volts <= 0 || *it.Circuit <= 0 {
		return l, false
	}
	amps := it.Power.Watts() / it.Volts.Volts()
	return Load{
		Amps:  quantity.Current(math.Round(amps * float64(quantity.Ampere))),
		Share: amps / it.Circuit.Amperes(),
	}, true
}

// Over reports whether the load is above what a circuit bears for hours.
func (l Load) Over() bool { return l.Share > ContinuousShare }

// ExpectedOhms is the cold resistance that an element set should have by its
// wire, diameter and length. ok is false when one of them is not known.
func (it Item) ExpectedOhms() (r quantity.Resistance, wire element.Wire, ok bool) {
	wire, ok = element.Find(it.Wire)
	if !ok || it.Diameter == nil || it.Length == nil {
		return 0, wire, false
	}
	ohms, err := element.Ohms(wire, it.Length.Metres(), millimetres(*it.Diameter))
	if err != nil {
		return 0, wire, false
	}
	return quantity.Resistance(math.Round(ohms * float64(quantity.Ohm))), wire, true
}

// NewOhms is the resistance new and cold: as measured, or else by the wire.
func (it Item) NewOhms() (r quantity.Resistance, measured, ok bool) {
	if it.Ohms != nil {
		return *it.Ohms, true, true
	}
	r, _, ok = it.ExpectedOhms()
	return r, false, ok
}

// PowerAt is the power of an element set at a voltage by Ohm's and Joule's
// laws (V²/R), with its new and cold ohms; hot it gives a few per cent less.
func (it Item) PowerAt(v quantity.Voltage) (p quantity.Power, ok bool) {
	r, _, ok := it.NewOhms()
	if !ok {
		return 0, false
	}
	watts, err := element.Watts(v.Volts(), r.Ohms())
	if err != nil {
		return 0, false
	}
	return quantity.Power(math.Round(watts * float64(quantity.Watt))), true
}

// SurfaceLoad is the power per wire surface in W/cm² that goes with a power.
func (it Item) SurfaceLoad(p quantity.Power) (load float64, ok bool) {
	if it.Diameter == nil || it.Length == nil {
		return 0, false
	}
	load, err := element.SurfaceLoad(p.Watts(), it.Length.Metres(), millimetres(*it.Diameter))
	return load, err == nil
}

// coldBelow is the temperature below which ohms count as read cold: up to
// there a wire's ohms are within 0.6 % of those at 20 °C.
const coldBelow = 60 * quantity.Celsius

// OhmsNow is the newest cold resistance that was read on an element set and
// stands, from its lines in order of time. Ohms read hot are brought back to
// cold by the wire's table, and left out where there is none.
func (it Item) OhmsNow(lines []Line) (r quantity.Resistance, at quantity.Moment, ok bool) {
	wire, _ := element.Find(it.Wire)
	for _, l := range lines {
		if l.Kind != Read || !l.Stands() || l.Ohms == nil {
			continue
		}
		cold := *l.Ohms
		if l.Temp != nil && *l.Temp > coldBelow {
			ct, known := wire.Ct(*l.Temp)
			if !known {
				continue
			}
			cold = quantity.Resistance(math.Round(float64(cold) / ct))
		}
		r, at, ok = cold, l.At, true
	}
	return r, at, ok
}

// DrawnOhms is the resistance by Ohm's law (V/I) where volts and amps were
// read and ohms were not.
func (l Line) DrawnOhms() (r quantity.Resistance, ok bool) {
	if l.Ohms != nil || l.Volts == nil || l.Amps == nil || *l.Amps <= 0 {
		return 0, false
	}
	return quantity.Resistance(math.Round(l.Volts.Volts() / l.Amps.Amperes() * float64(quantity.Ohm))), true
}

func millimetres(l quantity.Length) float64 { return float64(l) / float64(quantity.Millimetre) }

// doubtOhms says that the ohms given and those of the wire do not go together,
// "" when they do or one of them is missing.
func (it Item) doubtOhms(s quantity.Style) string {
	expected, wire, ok := it.ExpectedOhms()
	if !ok || it.Ohms == nil {
		return ""
	}
	ratio := it.Ohms.Ohms() / expected.Ohms()
	if max(ratio, 1/ratio) <= 1+element.DefaultTolerance {
		return ""
	}
	return fmt.Sprintf("By its wire (%s, %s thick, %s long) it should have %s, but %s was given. Measure the diameter and the length again; coils side by side have fewer ohms than one.",
		wire.Name, s.Length(*it.Diameter), s.Length(*it.Length), s.Resistance(expected), s.Resistance(*it.Ohms))
}
