package melt

import (
	"fmt"
	"unicode/utf8"

	"drosswise/foundry/quantity"
)

// Limits of what a small furnace can show; beyond them a figure is a slip.
const (
	maxMass  = 1000 * quantity.Kilogram
	minTemp  = -50 * quantity.Celsius
	maxTemp  = 1400 * quantity.Celsius
	maxMould = 80
	maxCount = 9999
	maxMeter = 10_000_000 * quantity.KilowattHour
)

// MaxText is how many letters a note or another free text of a line may have.
const MaxText = 2000

func checkRanges(l Line) Refusals {
	var rs Refusals
	no := func(field, sentence string) { rs = append(rs, refuse(field, sentence)) }
	rs = append(rs, checkMass(l)...)
	if l.Temp != nil && (*l.Temp < minTemp || *l.Temp > maxTemp) {
		rs = append(rs, Refusal{Field: "temp", say: func(s quantity.Style) string {
			return fmt.Sprintf("A temperature here is between %s and %s. Check the number and its unit.", s.Temperature(minTemp), s.Temperature(maxTemp))
		}})
	}
	if l.Count != nil && (*l.Count < 0 || *l.Count > maxCount) {
		no("count", "Type how many there were, as a whole number.")
	}
	if l.Meter != nil && *l.Meter < 0 {
		no("meter", "A meter does not show less than nothing. Type what it shows, in kWh.")
	}
	if l.Meter != nil && *l.Meter > maxMeter {
		no("meter", "No meter of a small shop shows that much. Type what it shows, in kWh, with its decimal mark.")
	}
	if l.Energy != nil && (*l.Energy < 0 || *l.Energy > 10_000*quantity.KilowattHour) {
		no("energy", "That cannot be the energy of one melt. Type it in kWh.")
	}
	if l.Cost != nil && *l.Cost < 0 {
		no("cost", "A cost cannot be below zero.")
	}
	rs = append(rs, checkElectric(l)...)
	if utf8.RuneCountInString(l.Note) > MaxText {
		no("note", "That is too long for one line. Write several lines instead.")
	}
	if utf8.RuneCountInString(l.Mould) > maxMould {
		no("mould", "That is too long. Name the mould in up to 80 letters; the rest is a note.")
	}
	return rs
}

// checkMass looks at every reading by itself, so that no sum can overflow.
func checkMass(l Line) Refusals {
	const heavy = "That is more than a tonne. Check the number and its unit."
	if l.Tare < 0 {
		return Refusals{refuse("tare", "A mass cannot be below zero. Type what the container weighs.")}
	}
	for _, g := range l.Gross {
		switch {
		case g < 0:
			return Refusals{refuse("mass", "A mass cannot be below zero. Type what the scale shows; the container goes into its own field.")}
		case g > maxMass:
			return Refusals{refuse("mass", heavy)}
		case g < l.Tare:
			return Refusals{refuse("tare", "The container weighs more than container and metal together. Check both weights.")}
		}
	}
	switch {
	case l.Kind == Charge && l.Weighed() && l.Mass() == 0:
		return Refusals{refuse("mass", "A charge of nothing is no charge. Type the mass the scale shows.")}
	case l.Mass() > maxMass:
		return Refusals{refuse("mass", heavy)}
	case l.Spread != nil && *l.Spread < 0:
		return Refusals{refuse("spread", "How far off the mass may be cannot be below zero.")}
	case l.Spread != nil && *l.Spread > maxMass:
		return Refusals{refuse("spread", heavy)}
	}
	return nil
}

func checkElectric(l Line) Refusals {
	var rs Refusals
	no := func(bad bool, field, limit string) {
		if bad {
			rs = append(rs, refuse(field, limit+" Check the number and its unit, and leave the field empty when nothing was read."))
		}
	}
	no(outside(l.Volts, 1000*quantity.Volt), "volts", "Volts are above zero and at most 1000 here.")
	no(outside(l.Amps, 1000*quantity.Ampere), "amps", "Amps are above zero and at most 1000 here.")
	no(outside(l.Watts, 500_000*quantity.Watt), "watts", "Watts are above zero and at most 500 kW here.")
	no(outside(l.Ohms, 10_000*quantity.Ohm), "ohms", "Ohms are above zero and at most 10 kΩ here.")
	return rs
}

// outside reports whether something was read and is not above zero, or more
// than the most it can be.
func outside[T ~int64](read *T, most T) bool {
	return read != nil && (*read <= 0 || *read > most)
}

// ByEye is how far off a mass told by eye may be: a tenth, and never less than
// 50 g: common practice, no source.
func ByEye(m quantity.Mass) quantity.Mass { return max(m/10, 50*quantity.Gram) }
