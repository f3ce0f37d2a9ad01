package kit

import (
	"fmt"
	"slices"

	"drosswise/foundry/element"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// Limits of what is read on an element or at a furnace; see Check.
const (
	leastOhms = quantity.Ohm / 20
	mostOhms  = 10_000 * quantity.Ohm
)

// clockSlack is by how much the clocks of two phones may differ.
const clockSlack = 2 * quantity.Minute

// SpecOf gives the spec of a kind of line; ok is false for one that is none.
func SpecOf(k LineKind) (s LineSpec, ok bool) {
	i := slices.IndexFunc(LineSpecs, func(s LineSpec) bool { return s.Kind == k })
	if i < 0 {
		return s, false
	}
	return LineSpecs[i], true
}

// CheckLine says why a line may not be written about a piece of kit beside the
// lines already there. Readings that are not above zero, and a likely slip of
// the unit, are refused; readings that merely disagree are not, since what was
// read was read: Remarks points them out.
func CheckLine(it Item, lines []Line, l Line, now quantity.Moment) melt.Refusals {
	readings := checkReadings(l)
	if it.Kind == Element && it.Ohms != nil && l.Ohms != nil && len(contradictions(l)) == 0 {
		if slip := checkSlip(*it.Ohms, *l.Ohms); slip != nil {
			readings = slip
		}
	}
	rs := append(checkWords(it, l, now), readings...)
	return append(rs, checkFate(it, lines, l)...)
}

// CheckLineAlone says what of a line cannot be so, whatever else is written
// about the piece or was known of it: of a line in the book it holds for ever.
func CheckLineAlone(it Item, l Line, now quantity.Moment) melt.Refusals {
	return append(checkWords(it, l, now), checkReadings(l)...)
}

// checkWords holds all of a line but its electric readings.
func checkWords(it Item, l Line, now quantity.Moment) melt.Refusals {
	spec, ok := SpecOf(l.Kind)
	if !ok || !spec.Applies(it.Kind) {
		return melt.Refusals{refuse("kind", "This kit has no such line. Go back and choose again.")}
	}
	var rs melt.Refusals
	if l.At > now+quantity.Moment(clockSlack) {
		rs = append(rs, melt.Refuse("at", func(s quantity.Style) string {
			return fmt.Sprintf("%s is still to come: it is %s now. Type when it happened.", s.DateTime(l.At), s.DateTime(now))
		}))
	}
	rs = append(rs, checkNeeds(l)...)
	rs = append(rs, checkLooks(l)...)
	rs = append(rs, checkKnown(it, l)...)
	rs = append(rs, within("mass", "A mass", l.Mass, quantity.Gram, 500*quantity.Kilogram, quantity.Style.Mass)...)
	rs = append(rs, within("wall", "A wall", l.Wall, quantity.Millimetre/10, 200*quantity.Millimetre, quantity.Style.Length)...)
	rs = append(rs, within("temp", "A temperature", l.Temp, -40*quantity.Celsius, 1500*quantity.Celsius, quantity.Style.Temperature)...)
	if len([]rune(l.Note)) > 2000 {
		rs = append(rs, refuse("note", "That is too long for one line. Keep it under 2000 letters."))
	}
	return rs
}

// checkNeeds holds what a line of its kind cannot do without.
func checkNeeds(l Line) melt.Refusals {
	switch {
	case l.Kind == Fitted && l.Furnace == 0:
		return melt.Refusals{refuse("furnace", "Choose the furnace it was fitted to.")}
	case l.Kind == Read && l.Ohms == nil && l.Volts == nil && l.Amps == nil && l.Watts == nil:
		return melt.Refusals{refuse("ohms", "Type at least one of ohms, volts, amps and watts.")}
	case l.Kind == Read && l.Ohms == nil && (l.Lead != nil || l.Step != nil):
		return melt.Refusals{refuse("ohms", "Type the ohms that were read, or leave out what belongs to them.")}
	case l.Kind == Repaired && l.Note == "":
		return melt.Refusals{refuse("note", "Write what was repaired, in a few words.")}
	case l.Kind == Retired && l.Note == "":
		return melt.Refusals{refuse("note", "Write why, in a few words: worn, broken, cracked, sold. Its life can then be told from others'.")}
	case l.Kind == Note && l.Note == "":
		return melt.Refusals{refuse("note", "Write a few words.")}
	}
	return nil
}

// checkFate refuses to retire what is retired and to bring back what is not.
func checkFate(it Item, lines []Line, l Line) melt.Refusals {
	var before []Line
	for _, x := range lines {
		if x.At <= l.At {
			before = append(before, x)
		}
	}
	retired, _ := Fate(before)
	switch {
	case l.Kind == Retired && retired:
		return melt.Refusals{melt.Refuse("at", func(s quantity.Style) string {
			return fmt.Sprintf("%s was out of use on %s already. Check the date.", it.Name, s.Date(l.At))
		})}
	case l.Kind == Returned && !retired:
		return melt.Refusals{melt.Refuse("at", func(s quantity.Style) string {
			return fmt.Sprintf("%s was in use on %s, so it cannot have come back then. Check the date.", it.Name, s.Date(l.At))
		})}
	}
	return nil
}

// contradictions are the readings that no working element gives.
func contradictions(l Line) (rs melt.Refusals) {
	for _, f := range element.Contradictions(readings(l), 0) {
		if f.Kind != element.Disagrees {
			rs = append(rs, refuse(f.What.String(), f.Sentence()))
		}
	}
	return rs
}

// checkReadings refuses what no working element reads.
func checkReadings(l Line) melt.Refusals {
	rs := contradictions(l)
	if len(rs) > 0 {
		return rs
	}
	if l.Ohms != nil && l.Lead != nil && (*l.Lead < 0 || *l.Lead >= *l.Ohms) {
		rs = append(rs, melt.Refuse("lead", func(s quantity.Style) string {
			return fmt.Sprintf("The leads alone have less than the %s that was read with them. Check both.", s.Resistance(*l.Ohms))
		}))
	}
	if l.Ohms != nil && l.Step != nil && (*l.Step <= 0 || *l.Step > *l.Ohms) {
		rs = append(rs, refuse("step", "The smallest step of the meter is more than nothing and less than what it read, such as 0.1."))
	}
	rs = append(rs, within("ohms", "A resistance", l.Ohms, leastOhms, mostOhms, quantity.Style.Resistance)...)
	rs = append(rs, within("volts", "A voltage", l.Volts, quantity.Volt, 1000*quantity.Volt, quantity.Style.Voltage)...)
	rs = append(rs, within("amps", "A current", l.Amps, quantity.Ampere/10, 1000*quantity.Ampere, quantity.Style.Current)...)
	return append(rs, within("watts", "A power", l.Watts, 10*quantity.Watt, 500_000*quantity.Watt, quantity.Style.Power)...)
}

// checkLooks holds the words chosen for how a piece looks, sounds and ended.
func checkLooks(l Line) melt.Refusals {
	rs := choice("ring", Rings, l.Ring)
	rs = append(rs, choice("glaze", Glazes, l.Glaze)...)
	return append(rs, choice("cause", Causes, l.Cause)...)
}

// checkKnown holds what an instrument showed beside something known. The two go
// together, and are near one another unless a unit slipped.
func checkKnown(it Item, l Line) melt.Refusals {
	const far = 2 // as many times off as no instrument in use is
	var rs melt.Refusals
	apart := func(field, what string, shown, known *int64) {
		switch {
		case known == nil && shown == nil:
		case known == nil || shown == nil:
			rs = append(rs, refuse(field, "Type both "+what+", or leave both empty."))
		case *shown <= 0 || *known <= 0:
			rs = append(rs, refuse(field, "Both are above zero. Check them."))
		case *shown > far**known || *known > far**shown:
			rs = append(rs, refuse(field, "The two are far apart. Check the numbers and their units: one may have slipped."))
		}
	}
	switch it.Kind {
	case Scale:
		apart("known_mass", "what lay on it and what it showed", (*int64)(l.Mass), (*int64)(l.KnownMass))
	case Furnace:
		apart("known_energy", "what the two meters counted", (*int64)(l.Energy), (*int64)(l.KnownEnergy))
	case Probe:
		if (l.KnownTemp == nil) != (l.Temp == nil) {
			rs = append(rs, refuse("known_temp", "Type both what is known and what it showed, or leave both empty."))
		}
		rs = append(rs, within("known_temp", "A temperature", l.KnownTemp, -40*quantity.Celsius, 1500*quantity.Celsius, quantity.Style.Temperature)...)
	}
	return rs
}

// checkSlip refuses ohms that are hundreds of times off what they were new,
// and says in which unit they were probably read.
func checkSlip(fresh, now quantity.Resistance) melt.Refusals {
	const far = 100
	unit := ""
	switch {
	case now > far*fresh:
		unit = "mΩ"
	case fresh > far*now:
		unit = "kΩ"
	default:
		return nil
	}
	return melt.Refusals{melt.Refuse("ohms", func(s quantity.Style) string {
		return fmt.Sprintf("%s is far from the %s it had new. Look whether they were read in %s.", s.Resistance(now), s.Resistance(fresh), unit)
	})}
}

func readings(l Line) element.Readings {
	return element.Readings{Ohms: l.Ohms, Volts: l.Volts, Amps: l.Amps, Watts: l.Watts}
}
