package kit

import (
	"fmt"
	"strings"

	"drosswise/foundry/element"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// Check says what of a piece of kit cannot be so: each refusal names its field
// as the form does. The limits are wide ones for a small furnace, common
// practice, no source; they are there to catch a slip of the unit.
func Check(it Item) melt.Refusals {
	rs := checkName(it)
	switch it.Kind {
	case Furnace:
		return append(rs, checkFurnace(it)...)
	case Crucible:
		return append(rs, checkCrucible(it)...)
	case Element:
		return append(rs, checkElement(it)...)
	case Scale:
		return append(rs, checkScale(it)...)
	case Probe:
		return append(rs, choice("couple", Couples, it.Couple)...)
	}
	return append(rs, refuse("kind", "There is no such kind of kit. Go back to Kit and choose again."))
}

func checkName(it Item) melt.Refusals {
	if n := len([]rune(it.Name)); n < 1 || n > 80 {
		return melt.Refusals{refuse("name", "Give it a name of 1 to 80 letters, as it is called in the shop.")}
	}
	if strings.ContainsRune(it.Name, '\n') {
		return melt.Refusals{refuse("name", melt.OneLine)}
	}
	return nil
}

func checkFurnace(it Item) melt.Refusals {
	var rs melt.Refusals
	if len(it.Letter) != 1 || it.Letter[0] < 'A' || it.Letter[0] > 'Z' {
		rs = append(rs, refuse("letter", "Give one letter from A to Z. It begins the code of every melt in this furnace."))
	}
	rs = append(rs, choice("heating", Heatings, it.Heating)...)
	rs = append(rs, within("volts", "A supply", it.Volts, 5*quantity.Volt, 1000*quantity.Volt, quantity.Style.Voltage)...)
	rs = append(rs, choice("switching", Switchings, it.Switching)...)
	if len([]rune(it.Brick)) > 80 {
		rs = append(rs, refuse("brick", "Choose one of these."))
	}
	rs = append(rs, within("wall", "A wall of brick", it.Wall, 5*quantity.Millimetre, quantity.Metre, quantity.Style.Length)...)
	for _, side := range []struct {
		field string
		value *quantity.Length
	}{{"wide", it.Wide}, {"deep", it.Deep}, {"high", it.High}} {
		rs = append(rs, within(side.field, "The inside of a furnace", side.value, 20*quantity.Millimetre, 5*quantity.Metre, quantity.Style.Length)...)
	}
	rs = append(rs, within("circuit", "A circuit", it.Circuit, quantity.Ampere, 1000*quantity.Ampere, quantity.Style.Current)...)
	return append(rs, within("power", "A furnace's power", it.Power, 50*quantity.Watt, 500_000*quantity.Watt, quantity.Style.Power)...)
}

func checkCrucible(it Item) melt.Refusals {
	rs := choice("material", Materials, string(it.Material))
	rs = append(rs, within("brim", "A crucible's volume", it.Brim, 10*quantity.Millilitre, 200*quantity.Litre, quantity.Style.Volume)...)
	rs = append(rs, within("rated", "A rating", it.Rated, 10*quantity.Gram, 1000*quantity.Kilogram, quantity.Style.Mass)...)
	rs = append(rs, choice("rated_in", RatedIn, string(it.RatedIn))...)
	switch {
	case it.Rated != nil && it.RatedIn == "":
		rs = append(rs, refuse("rated_in", "Choose the metal the rating is given in: the same crucible holds a third as many kilograms of aluminium as of brass."))
	case it.Rated == nil && it.RatedIn != "":
		rs = append(rs, refuse("rated", "Type the rating too, or set its metal back to not said."))
	}
	if it.Fill != nil && (*it.Fill < 100_000 || *it.Fill > 1_000_000) {
		rs = append(rs, refuse("fill", "The share that may be filled lies between 10 and 100 %. Leave it empty for 80 %."))
	}
	rs = append(rs, within("mass", "A crucible's mass", it.Mass, 10*quantity.Gram, 500*quantity.Kilogram, quantity.Style.Mass)...)
	rs = append(rs, within("wall", "A crucible's wall", it.Wall, quantity.Millimetre/2, 200*quantity.Millimetre, quantity.Style.Length)...)
	return append(rs, checkLife(it)...)
}

func checkElement(it Item) melt.Refusals {
	rs := within("diameter", "A wire's diameter", it.Diameter, quantity.Millimetre/20, 20*quantity.Millimetre, quantity.Style.Length)
	rs = append(rs, within("length", "A wire's length", it.Length, quantity.Metre/10, 1000*quantity.Metre, quantity.Style.Length)...)
	rs = append(rs, within("ohms", "An element set's resistance", it.Ohms, leastOhms, mostOhms, quantity.Style.Resistance)...)
	if it.OhmsLimit != nil && (*it.OhmsLimit < 10_000 || *it.OhmsLimit > 2_000_000) {
		rs = append(rs, refuse("ohms_limit", "How much more than new makes it due lies between 1 and 200 %. Leave it empty for 10 %."))
	}
	if it.Wire != "" {
		if _, ok := element.Find(it.Wire); !ok && it.Wire != OtherWire {
			rs = append(rs, refuse("wire", "Choose one of these."))
		}
	}
	return append(rs, checkLife(it)...)
}

// OtherWire stands for a heating alloy that is not in the table.
const OtherWire = "other"

func checkScale(it Item) melt.Refusals {
	if it.Resolution < quantity.Milligram || it.Resolution > quantity.Kilogram {
		return melt.Refusals{melt.Refuse("resolution", func(s quantity.Style) string {
			return fmt.Sprintf("Type the smallest step the scale shows, such as %s. It is more than nothing and at most %s.", s.Mass(quantity.Gram), s.Mass(quantity.Kilogram))
		})}
	}
	var rs melt.Refusals
	if it.Capacity < 0 || it.Capacity > 10_000*quantity.Kilogram || it.Capacity > 0 && it.Capacity <= it.Resolution {
		rs = append(rs, melt.Refuse("capacity", func(s quantity.Style) string {
			return fmt.Sprintf("The most the scale can weigh is more than its step of %s. Check the number and its unit, or leave the field empty.", s.Mass(it.Resolution))
		}))
	}
	if it.Gain < 0 || it.Gain > 100_000 {
		rs = append(rs, refuse("gain", "The maker's ± lies between 0 and 10 %. Leave the field empty when nothing is said."))
	}
	return rs
}

// checkLife holds what crucibles and elements cost and are expected to last.
func checkLife(it Item) melt.Refusals {
	rs := within("cost", "What it cost", it.Cost, 0, 1_000_000_000, quantity.Style.Money)
	if it.ExpectedHeats != nil && (*it.ExpectedHeats < 1 || *it.ExpectedHeats > 100_000) {
		rs = append(rs, refuse("expected_heats", "Type how many melts you expect of it, a whole number from 1 on, or leave the field empty."))
	}
	return rs
}

func refuse(field, sentence string) melt.Refusal {
	return melt.Refuse(field, func(quantity.Style) string { return sentence })
}

func choice(field string, choices []Choice, value string) melt.Refusals {
	if one(choices, value) {
		return nil
	}
	return melt.Refusals{refuse(field, "Choose one of these.")}
}

// within refuses a value outside the limits; one that was not said is fine.
func within[T ~int64](field, what string, value *T, least, most T, show func(quantity.Style, T) string) melt.Refusals {
	if value == nil || *value >= least && *value <= most {
		return nil
	}
	return melt.Refusals{melt.Refuse(field, func(s quantity.Style) string {
		return fmt.Sprintf("%s here lies between %s and %s. Check the number and its unit, and leave the field empty when it is not known.", what, show(s, least), show(s, most))
	})}
}
