package wear

import (
	"drosswise/foundry/gum"
	"drosswise/foundry/quantity"
)

// Drawn is the electricity that went through an element set while it was on at
// full power without a break. Nothing else may have run on the meter.
type Drawn struct {
	Energy quantity.Energy
	Step   quantity.Energy // smallest step of the meter; 0: usualEnergyStep
	On     quantity.Span   // at full power
	Volts  quantity.Voltage
	// Spread is by how much, ±, the supply may have been off Volts meanwhile; 0
	// takes usualSpread. Pass NominalSpread of the volts where they are only the
	// nominal ones.
	Spread quantity.Voltage
}

// NominalSpread is by how much a public supply may differ from its nominal
// voltage: ±10 % (EN 50160, from memory).
const NominalSpread = 0.10

// Usual doubts of what is drawn: common practice, no source.
const (
	usualEnergyStep = quantity.KilowattHour / 100
	usualSpread     = 0.02            // of the volts, when they were read once
	timeStep        = quantity.Minute // switching on and off is noted to the minute
)

// ohms is the hot resistance by Joule's law, R = V²·t/E, in Ω with its standard
// uncertainty: volts within ± their spread, energy and time as differences of
// two readings each (JCGM 100:2008, 4.3.7 and F.2.2.1). Volts count twice over.
func (d Drawn) ohms() gum.Value {
	spread := d.Spread.Volts()
	if spread == 0 {
		spread = usualSpread * d.Volts.Volts()
	}
	volts := gum.Measured("volts", d.Volts.Volts(), gum.Limits(spread))
	watts := twoReadings("energy", d.Energy.KilowattHours()*1000, or(d.Step, usualEnergyStep).KilowattHours()*1000).
		Over(twoReadings("time", d.On.Hours(), timeStep.Hours()))
	return volts.Times(volts).Over(watts)
}

// twoReadings is the difference of two readings on an instrument of that step.
func twoReadings(source string, difference, step float64) gum.Value {
	u := gum.Resolution(step)
	return gum.Measured(source+" at the start", 0, u).Plus(gum.Measured(source+" at the end", difference, u))
}
