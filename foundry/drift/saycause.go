package drift

import (
	"fmt"
	"math"

	"drosswise/foundry/quantity"
)

// wording is how a clue is spoken of.
type wording struct {
	what  string // begins a sentence
	level func(quantity.Style, float64) string
	apart func(quantity.Style, float64) string // a difference, without its unit
	check string                               // what to do when it is the likely cause
	write string                               // what to write down when nobody did
}

func plain(decimals int, unit string) (level, apart func(quantity.Style, float64) string) {
	apart = func(s quantity.Style, x float64) string { return s.Number(x, decimals) }
	return func(s quantity.Style, x float64) string { return apart(s, x) + unit }, apart
}

// words gives a clue its sentences; unit follows the number.
func words(what string, decimals int, unit, check, write string) wording {
	level, apart := plain(decimals, unit)
	return wording{what, level, apart, check, write}
}

var wordings = map[string]wording{
	"ohms": words("The element's resistance", 2, " Ω",
		"Time to check the element set: worn wire has more ohms and gives less power.",
		"Write down the element's ohms, measured cold with the furnace isolated at switch or plug."),
	"power": words("The element's power at the usual supply", 2, " kW",
		"Time to check the element set and its joints, with the furnace cold and isolated at switch or plug.",
		"Write down volts and amps, or watts, at full output, from a meter that is built in or clamped on by a licensed electrician."),
	"hold_loss": words("What holding takes", 2, " kWh/h",
		"Time to check bricks, lid and joints, with the furnace cold and isolated at switch or plug.",
		"Write down the meter at the start and at the end of a hold, and what bricks, lid and joints look like when cold."),
	"lid_open": words("How long the lid stood open", 1, " minutes",
		"Time to look at how the lid is used and how it closes.",
		"Write down for how many minutes the lid is open."),
	"hold": {"How long the metal was held", hours, bare(2),
		"Time to look at why the metal waits: moulds, helpers, skimming.",
		"Write down when all is molten and when the pour starts."},
	"volts": words("The supply", 1, " V",
		"Time to ask a licensed electrician about the supply: power goes with the square of the volts.",
		"Write down the supply's volts while the furnace is on, from a meter that is built in or plugged in."),
	"dross": {"The share of the charge that became dross", percent, func(s quantity.Style, x float64) string { return s.Number(100*x, 1) },
		"Time to look at the scrap: dirt, paint and damp take heat and metal, and damp scrap throws liquid metal about. Charge it dry.",
		"Weigh the dross of each melt when it is cold."},
	"pour": {"The temperature at the pour", degrees, degreesApart,
		"Time to look at the set point: hotter metal takes more heat.",
		"Write down the temperature at each pour."},
}

func bare(decimals int) func(quantity.Style, float64) string {
	return func(s quantity.Style, x float64) string { return s.Number(x, decimals) }
}

func hours(s quantity.Style, x float64) string   { return s.Number(x, 2) + " hours" }
func percent(s quantity.Style, x float64) string { return s.Percent(x, 1) }
func degrees(s quantity.Style, x float64) string {
	return s.Temperature(quantity.Temperature(math.Round(x * float64(quantity.Celsius))))
}

func degreesApart(s quantity.Style, x float64) string {
	if s.Fahrenheit {
		x *= 1.8
	}
	return s.Number(x, 0)
}

// neverChecked says what to do about an instrument that was not checked since
// the change.
var neverChecked = map[Cause]string{
	ByMeter: "Whether the meter counts right is not known since the change. Run it beside a second meter through one melt and write both down.",
	ByScale: "Whether the scale weighs right is not known since the change. Weigh a known mass and write down what it shows.",
	ByProbe: "Whether the thermocouple reads right is not known since the change. Read a second one in the same place, or the freezing point of pure aluminium, and write both down.",
}

// Say words the evidence for and against a cause, or what to write down.
func (l Likely) Say(s quantity.Style) string {
	if l.Clue == "check" {
		return l.sayCheck(s)
	}
	w := wordings[l.Clue]
	if l.Finding == Noted {
		return "Damage to bricks, lid or joints was written down since the change. " + w.check
	}
	if l.Shift == nil {
		return w.what + " is not known for three melts before the change and three since. " + w.write
	}
	numbers := fmt.Sprintf("%s over %s before and %s over %s since; the change lies between %s and %s (9 chances in 10, t %s)",
		w.level(s, l.Shift.Before), melts(l.Shift.MeltsBefore), w.level(s, l.Shift.Since), melts(l.Shift.MeltsSince),
		w.apart(s, l.Shift.Change.Low), w.apart(s, l.Shift.Change.High), s.Number(l.Shift.T, 1))
	switch l.Finding {
	case Supports:
		return fmt.Sprintf("%s changed along with it: %s. %s", w.what, numbers, w.check)
	case Against:
		return fmt.Sprintf("%s moved the way that does not explain it: %s.", w.what, numbers)
	}
	return fmt.Sprintf("%s shows no change that could be told from scatter: %s.", w.what, numbers)
}

func (l Likely) sayCheck(s quantity.Style) string {
	if l.Finding == Unknown {
		if c, ok := l.Instrument.last(); ok && c.Verdict == CannotTell {
			return sentences(l.Instrument.sayLast(s), neverChecked[l.Cause])
		}
		return neverChecked[l.Cause]
	}
	text := l.Instrument.sayLast(s)
	if l.Finding == Supports {
		return text + " That alone would look like this change."
	}
	return text + " That does not explain the change."
}
