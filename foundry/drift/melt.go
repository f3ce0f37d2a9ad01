package drift

import (
	"slices"

	"drosswise/foundry/quantity"
)

// Melt is a closed melt in one furnace, as far as its wear may show in it. A
// nil pointer is something that nobody wrote down.
type Melt struct {
	ID   int64
	Code string
	// Started is when; an instrument's check before the change says nothing of it.
	Started quantity.Moment
	// Renewed says that a new element set, lining, lid or meter came in before
	// this melt: what was learnt before no longer holds.
	Renewed bool

	Charged *float64 // kg, the whole charge
	Energy  *float64 // kWh by the meter
	Hours   *float64 // with power on
	Molten  *float64 // hours from power on to all molten
	// Cold is 1 when the furnace started cold (a first heat), 0 when it was as
	// hot as the melt before left it, between for a level that a person named.
	Cold  *float64
	Volts *float64 // of the supply, while on

	Ohms        *float64 // of the element set, all on one basis
	Power       *float64 // kW at full output, as drawn at Volts
	LidOpen     *float64 // minutes
	Hold        *float64 // hours held after all molten
	HoldLoss    *float64 // kWh/h while holding, by the meter
	Pour        *float64 // °C at the pour
	Dross       *float64 // share of the charge
	LiningNoted bool     // damage to bricks, lid or their joints was written down
}

// Settings are what a furnace is charted by.
type Settings struct {
	Power  float64         // kW rated, 0 when not known
	Volts  float64         // of the supply as a rule, 0 for the middle of what was read
	Step   float64         // kWh that the meter is read to, 0 for 0.01
	Closed map[int64]Close // how alarms were closed, by the melt that raised them
}

// said reports whether all of these were written down and can be worked with.
func said(values ...*float64) bool {
	for _, v := range values {
		if v == nil || *v < 0 || !sound(*v) {
			return false
		}
	}
	return true
}

// rule is the supply voltage that melts are compared at, 0 when none was read.
func rule(melts []Melt, s Settings) float64 {
	if v := given(s.Volts); v > 0 {
		return v
	}
	var read []float64
	for _, m := range melts {
		if said(m.Volts) && *m.Volts > 0 {
			read = append(read, *m.Volts)
		}
	}
	if len(read) == 0 {
		return 0
	}
	slices.Sort(read)
	return (read[(len(read)-1)/2] + read[len(read)/2]) / 2
}

// furthestVolts is how far from the rule a reading of the supply is believed:
// half to double. Beyond it a unit or a digit slipped. Judgement.
const furthestVolts = 2

// supply is what an element draws at the melt's volts over what it draws at the
// rule: (V/V₀)², since its ohms stay. It is 1 where the volts are not known.
func (m Melt) supply(rule float64) float64 {
	if rule == 0 || !said(m.Volts) || *m.Volts < rule/furthestVolts || *m.Volts > rule*furthestVolts {
		return 1
	}
	ratio := *m.Volts / rule
	return ratio * ratio
}
