package life

import (
	"fmt"
	"math"
	"strconv"

	"drosswise/foundry/quantity"
)

// Kind is how people call the kit.
type Kind struct {
	One, Many string
	// Retires is what ends the use of one whatever its age; may be empty.
	Retires string
}

// Kinds of kit that wear out.
var (
	Crucible   = Kind{"crucible", "crucibles", "any crack retires it"}
	ElementSet = Kind{"element set", "element sets", ""}
)

// nine and nineteen are how sure a range and a bound are, in words.
const (
	nine     = "(9 chances in 10)"
	nineteen = "(19 chances in 20)"
)

// words are the unit's names for one and for many, as the shop speaks, and how
// many of the unit that one is.
func (u Unit) words(s quantity.Style) (one, many string, size float64) {
	switch u {
	case Heats:
		return "heat", "heats", 1
	case HoursHot:
		return "hour hot", "hours hot", 1
	}
	if s.MassUnit == quantity.Pounds {
		return "pound", "pounds", float64(453_592_37) / 1e8 // exactly (international agreement, 1959)
	}
	return "kilogram", "kilograms", 1
}

// per is "a heat" or the like.
func (u Unit) per(s quantity.Style) string {
	one, _, _ := u.words(s)
	if u == HoursHot {
		return "an " + one
	}
	return "a " + one
}

// named puts the unit's name behind a number, with a word between them or "".
func (u Unit) named(s quantity.Style, number, word string) string {
	one, many, _ := u.words(s)
	if number == "1" {
		many = one
	}
	return number + " " + word + many
}

// about writes an estimated amount.
func (u Unit) about(s quantity.Style, x float64) string {
	return u.named(s, u.number(s, x, math.Round), "")
}

// more is about, of what may still be done.
func (u Unit) more(s quantity.Style, x float64) string {
	return u.named(s, u.number(s, x, math.Round), "more ")
}

// atLeast writes a lower bound.
func (u Unit) atLeast(s quantity.Style, x float64) string {
	return fmt.Sprintf("at least %s %s", u.named(s, u.number(s, x, math.Floor), ""), nineteen)
}

// number is whole, and above 100 to two digits that count, since no life is
// known better. round is math.Floor for the low end of a range, math.Ceil for
// the high end.
func (u Unit) number(s quantity.Style, x float64, round func(float64) float64) string {
	_, _, size := u.words(s)
	x /= size
	step := math.Pow(10, max(0, math.Floor(math.Log10(max(x, 1)))-1))
	return s.Number(round(x/step)*step, 0)
}

// done writes an age, which is counted and not estimated, in full.
func (u Unit) done(s quantity.Style, x float64) string {
	_, _, size := u.words(s)
	return u.named(s, s.Number(x/size, 0), "")
}

// between writes the ends of a range.
func (u Unit) between(s quantity.Style, r Range) string {
	return fmt.Sprintf("between %s and %s %s", u.number(s, r.Low, math.Floor), u.number(s, r.High, math.Ceil), nine)
}

// counted says how many pieces a figure rests on.
func counted(worn, inService int) string {
	return some(worn) + " worn out and " + some(inService) + " in service"
}

func some(n int) string {
	if n == 0 {
		return "none"
	}
	return strconv.Itoa(n)
}

// percentage shows a chance in whole per cent, never as a certainty.
func percentage(s quantity.Style, chance float64) string {
	switch {
	case chance > 0.99:
		return "more than " + s.Percent(0.99, 0)
	case chance < 0.01:
		return "less than " + s.Percent(0.01, 0)
	}
	return s.Percent(chance, 0)
}
