package wear

import (
	"fmt"

	"drosswise/foundry/element"
	"drosswise/foundry/quantity"
)

// Far is how many times its new ohms, or how small a part of them, an element
// may read before the reading is refused. A coil open beside another that still
// carries current doubles the ohms, so that twice must pass: common practice,
// no source.
const Far = 4

// mostHours is a hundred years and more.
const mostHours = 1e6

// Check says why a reading cannot be counted, nil when it can. known are the
// ohms that the set is known to have, 0 when nobody knows.
func (r Reading) Check(s Set, known float64) []Refusal {
	faults := r.checkHours(s)
	faults = append(faults, r.checkElectric(s)...)
	faults = append(faults, r.checkDrawn()...)
	if len(faults) == 0 {
		faults = r.checkReason(s, known)
	}
	for i := range faults {
		faults[i].ID = r.ID
	}
	return faults
}

func (r Reading) checkHours(s Set) []Refusal {
	switch {
	case !(r.Hours >= 0):
		return []Refusal{plainly("hours", NotPositive, "The hours hot at this reading are less than none. Look at when it was read, and when the set was fitted.")}
	case r.Hours > mostHours:
		return []Refusal{plainly("hours", OutOfReason, "The hours hot at this reading are more than a hundred years. Look at when it was read, and when the set was fitted.")}
	case s.Hours > 0 && r.Hours > s.Hours:
		return []Refusal{refuse("hours", Swapped, func(st quantity.Style) string {
			return fmt.Sprintf("It was read at %s hot, but the set has only been hot for %s. Look at when it was read.", hours(st, r.Hours), hours(st, s.Hours))
		})}
	}
	return nil
}

// checkElectric refuses what Ohm's law does not allow, and leads that have more
// than all.
func (r Reading) checkElectric(s Set) []Refusal {
	wire, _ := element.Find(s.Wire)
	ct, _, ok := hotRatio(wire, nil, s.Hot)
	if !ok {
		ct = 0
	}
	var faults []Refusal
	for _, f := range element.Contradictions(r.electric(ct), 0) {
		faults = append(faults, plainly(f.What.String(), faultOf[f.Kind], f.Sentence()))
	}
	if len(faults) > 0 {
		return faults
	}
	if r.Ohms != nil && r.Leads != nil && (*r.Leads < 0 || *r.Leads >= *r.Ohms) {
		return []Refusal{refuse("leads", OutOfReason, func(st quantity.Style) string {
			return fmt.Sprintf("The leads are given as %s and the element with them as %s. Hold the leads together and read them alone, then the element.", st.Resistance(*r.Leads), st.Resistance(*r.Ohms))
		})}
	}
	if _, _, ok := r.resistance(); !ok {
		return []Refusal{plainly("ohms", Missing, "Type the ohms, or two of volts, amps and watts.")}
	}
	return nil
}

var faultOf = map[element.Kind]Fault{element.Disagrees: Disagrees, element.UnitSlip: UnitSlip, element.NotPositive: NotPositive}

func (r Reading) checkDrawn() []Refusal {
	d := r.Drawn
	switch {
	case d == nil:
		return nil
	case d.Energy <= 0:
		return []Refusal{plainly("energy", NotPositive, "The meter did not move, or ran backwards. Read it again before and after.")}
	case d.On <= 0:
		return []Refusal{plainly("on", NotPositive, "There is no time with power on between these meter readings.")}
	case d.Volts <= 0 || d.Spread < 0 || d.Spread >= d.Volts:
		return []Refusal{plainly("volts", NotPositive, "Type the supply volts, above zero, and by how much they may have been off.")}
	}
	return nil
}

// checkReason refuses ohms that are far from those known, and looks which slip
// would explain them.
func (r Reading) checkReason(s Set, known float64) []Refusal {
	if !(known > 0) {
		return nil
	}
	p, _ := r.point(s)
	times := p.Ohms / known
	if times <= Far && times >= 1.0/Far {
		return nil
	}
	found := r.slip(times)
	return []Refusal{refuse(found.field, found.fault, func(st quantity.Style) string {
		return fmt.Sprintf("This makes %s, but the set is known to have about %s. %s", ohms(st, p.Ohms), ohms(st, known), found.look)
	})}
}

// slip is one mistake that explains a resistance far from what is known.
type slip struct {
	field string
	fault Fault
	look  string // what to look at
}

// slip looks for the mistake that makes the resistance so many times what is
// known: a unit a thousand times off, two values in each other's place, minutes
// for hours.
func (r Reading) slip(times float64) slip {
	near := func(explains float64) bool { return times < explains*Far/2 && times > explains/(Far/2) }
	_, way, _ := r.resistance()
	switch {
	case r.Ohms != nil && near(1000):
		return slip{"ohms", UnitSlip, "Look whether they were read in mΩ."}
	case r.Ohms != nil && near(0.001):
		return slip{"ohms", UnitSlip, "Look whether they were read in kΩ."}
	case r.Ohms != nil:
		return slip{"ohms", OutOfReason, "Read it again."}
	case way == Draw && near(60):
		return slip{"on", UnitSlip, "Look whether the time was in minutes and written as hours."}
	case way == Draw && (near(1000) || near(0.001)):
		return slip{"energy", UnitSlip, "Look at the unit of the energy: it may be Wh or MWh and not kWh."}
	case way == Draw:
		return slip{"energy", OutOfReason, "Look at the meter, the time at full power and the volts again."}
	case r.Volts != nil && r.Amps != nil && near(sq(r.Volts.Volts()/r.Amps.Amperes())):
		// In each other's place they make A/V for V/A, which is (A/V)² times that.
		return slip{"volts", Swapped, "Look whether volts and amps are in each other's place."}
	case r.Watts != nil && r.Amps == nil && near(1000):
		return slip{"watts", UnitSlip, "Look whether the power was read in kW and written as W."}
	case r.Amps != nil && near(0.001):
		return slip{"amps", UnitSlip, "Look whether the current was read in mA and written as A."}
	}
	return slip{"volts", OutOfReason, "Read volts, amps and watts again."}
}
