package element

import (
	"fmt"
	"math"
	"strconv"
)

// units holds how a reading is named, its unit, and the units a thousand times
// greater and smaller.
var units = [4]struct{ noun, unit, kilo, milli string }{
	InOhms:  {"ohms", "Ω", "kΩ", "mΩ"},
	InVolts: {"volts", "V", "kV", "mV"},
	InAmps:  {"amps", "A", "kA", "mA"},
	InWatts: {"watts", "W", "kW", "mW"},
}

// String gives the reading's everyday name, such as "ohms".
func (w What) String() string { return units[w].noun }

// Sentence says the fact in plain English, with numbers to three digits.
func (f Fact) Sentence() string {
	switch f.Kind {
	case NotPositive:
		return fmt.Sprintf("The %s are given as %s, which no working element reads. Leave blank what was not measured.",
			f.What, amount(f.Given, f.What))
	case UnitSlip:
		unit := units[f.What].kilo
		if f.Derived < f.Given {
			unit = units[f.What].milli
		}
		return fmt.Sprintf("The %s are given as %s, but %s would fit. Look whether they were read in %s.",
			f.What, amount(f.Given, f.What), amount(f.Derived, f.What), unit)
	}
	return f.disagreement()
}

func (f Fact) disagreement() string {
	direction := "more"
	if f.Given < f.Derived {
		direction = "less"
	}
	said := fmt.Sprintf("By Ohm's law %s and %s make %s, but %s was given, %.0f %% %s.",
		amount(f.FromValues[0], f.From[0]), amount(f.FromValues[1], f.From[1]),
		amount(f.Derived, f.What), amount(f.Given, f.What), math.Abs(f.Percent()), direction)
	if f.Ct > 0 {
		said += fmt.Sprintf(" That the hot wire has %.2f times its cold ohms is counted.", f.Ct)
	} else if f.involves(InOhms) {
		said += " Ohms read cold explain about 4 % for common wire, not this much."
	}
	if f.OddOneOut {
		return said + fmt.Sprintf(" The other three agree, so read the %s again.", f.What)
	}
	return said + " Read them again."
}

func (f Fact) involves(w What) bool { return f.What == w || f.From[0] == w || f.From[1] == w }

// amount writes a value with its unit, to three digits and never with an exponent.
func amount(v float64, w What) string {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64)
	if err != nil {
		rounded = v
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64) + " " + units[w].unit
}
