package life

import (
	"fmt"
	"math"

	"drosswise/foundry/quantity"
)

// Measure is what is read on a piece.
type Measure struct {
	noun     string
	one      string
	readings string
	advice   string // when it grows, which wear does not do
	show     func(quantity.Style, float64) string
}

// What is read on a crucible.
var (
	Weight = Measure{"weight", "weighing", "weighings", "clean it, and weigh it cold and dry", grams}
	Wall   = Measure{"wall", "reading", "readings", "measure it again at the same place", millimetres}
)

func grams(s quantity.Style, g float64) string {
	if s.MassUnit != quantity.Pounds {
		s.MassUnit = quantity.Grams
	}
	return s.Mass(quantity.Mass(math.Round(g * float64(quantity.Gram))))
}

func millimetres(s quantity.Style, mm float64) string {
	return s.Length(quantity.Length(math.Round(mm * float64(quantity.Millimetre))))
}

// number counts readings.
func (m Measure) number(n int) string {
	if n == 1 {
		return "1 " + m.one
	}
	return fmt.Sprintf("%d %s", n, m.readings)
}

// change says "losing 3 g" or "gaining 3 g".
func (m Measure) change(s quantity.Style, loss float64) string {
	if loss < 0 {
		return "gaining " + m.show(s, -loss)
	}
	return "losing " + m.show(s, loss)
}

// than says "3 g less" or "3 g more".
func (m Measure) than(s quantity.Style, lost float64) string {
	if lost < 0 {
		return m.show(s, -lost) + " more"
	}
	return m.show(s, lost) + " less"
}

// Say words how fast it goes; unit is that of the ages.
func (t Trend) Say(s quantity.Style, m Measure, unit Unit) string {
	if t.Loss == nil {
		return fmt.Sprintf("It takes %d %s at %d ages or more to tell a trend of the %s, and it has %s.",
			LeastReadings, m.readings, leastAges, m.noun, m.number(t.Readings))
	}
	_, _, size := unit.words(s)
	r, from := t.Loss.times(size), m.number(t.Readings)
	switch t.Direction {
	case Losing:
		return fmt.Sprintf("Its %s goes down by %s %s, between %s and %s %s, from %s.",
			m.noun, m.show(s, r.Middle), unit.per(s), m.show(s, r.Low), m.show(s, r.High), nine, from)
	case Gaining:
		return fmt.Sprintf("Its %s goes up by %s %s, between %s and %s %s, from %s, which wear does not do: %s.",
			m.noun, m.show(s, -r.Middle), unit.per(s), m.show(s, -r.High), m.show(s, -r.Low), nine, from, m.advice)
	}
	return fmt.Sprintf("No trend of its %s can be seen from %s: anything from %s to %s %s would fit %s.",
		m.noun, from, m.change(s, r.Low), m.change(s, r.High), unit.per(s), nine)
}

// SayLost words what was lost since new; "" when that is not known.
func (t Trend) SayLost(s quantity.Style, m Measure) string {
	if t.Lost == nil {
		return ""
	}
	text := fmt.Sprintf("Its %s is %s than new, between %s and %s %s",
		m.noun, m.than(s, t.Lost.Middle), m.than(s, t.Lost.Low), m.than(s, t.Lost.High), nine)
	if t.Share.Low > 0 {
		text += fmt.Sprintf(", which is %s to %s of it", s.Percent(t.Share.Low, 1), s.Percent(t.Share.High, 1))
	}
	if t.ScaleOnly {
		return text + ", as far as the last digit read tells: the readings are too few to show how they scatter."
	}
	return text + "."
}

// SaySuspects words the readings that do not fit; "" when all do.
func (t Trend) SaySuspects(s quantity.Style, m Measure, unit Unit) string {
	if len(t.Suspects) == 0 {
		return ""
	}
	it := "it"
	if len(t.Suspects) > 1 {
		it = "them"
	}
	text := fmt.Sprintf("%s may be mistyped, far off what the others agree on: look at %s again", m.number(len(t.Suspects)), it)
	if t.Without == nil {
		return text + "."
	}
	_, _, size := unit.words(s)
	r := t.Without.times(size)
	return fmt.Sprintf("%s; without %s the %s would be %s %s, between %s and %s %s.",
		text, it, m.noun, m.change(s, r.Middle), unit.per(s), m.change(s, r.Low), m.change(s, r.High), nine)
}

func (r Range) times(x float64) Range { return Range{r.Low * x, r.Middle * x, r.High * x} }
