package findings

import (
	"fmt"
	"math"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
)

func kwh(s quantity.Style, x float64) string { return s.Number(x, 1) + " kWh" }

func kwhBetween(s quantity.Style, r recovery.Range) string {
	return fmt.Sprintf("%s, between %s and %s (9 chances in 10)", kwh(s, r.Middle), s.Number(r.Low, 1), s.Number(r.High, 1))
}

func perMass(s quantity.Style, x float64) string {
	name, kg := unit(s)
	return fmt.Sprintf("%s kWh a %s", s.Number(x*kg, 2), name)
}

// Say words what melting takes, and what a first heat takes beside a next one.
func (e Energy) Say(s quantity.Style) string {
	if e.Melts == 0 {
		return "No closed melt says its energy, its charge, its hours with power on and whether it started cold."
	}
	p := e.PerKilogram
	text := fmt.Sprintf("Melting took %s charged over %s, one melt between %s and %s.",
		perMass(s, *p.Value), count(e.Melts, "melt", "melts"), perMass(s, p.Low), perMass(s, p.High))
	if e.Fit == nil {
		return text + fmt.Sprintf(" What of that is warming up cannot be told apart below %d melts.", LeastForEnergy)
	}
	return sentences(text, e.compare(s), e.Fit.doubts())
}

func (e Energy) compare(s quantity.Style) string {
	f := e.Fit
	from := fmt.Sprintf("from %s and %d after", count(e.First, "first heat", "first heats"), e.Next)
	charge := s.Mass(quantity.Mass(math.Round(f.Charge * float64(quantity.Kilogram))))
	both := fmt.Sprintf("For %s, a first heat takes %s, a next one %s", charge, kwhBetween(s, f.FirstHeat), kwhBetween(s, f.NextHeat))
	switch f.Code {
	case TooFew:
		return fmt.Sprintf("First and next heats cannot be compared yet, %s: it takes %d of each.", from, LeastMelts)
	case Helps:
		return fmt.Sprintf("%s, %s. Melting on while the furnace is hot saves %s each time.", both, from, kwhBetween(s, f.Difference))
	case Costs:
		return fmt.Sprintf("%s, %s. The next heats took more here: look at how long they are held.", both, from)
	case CannotTell:
		return fmt.Sprintf("%s, %s. The melts cannot tell yet what the cold start takes.", both, from)
	}
	return fmt.Sprintf("%s, %s. No difference was seen.", both, from)
}

func (f EnergyFit) doubts() string {
	text := ""
	if f.Unbelieved {
		text = "The part for each kilogram comes out below what the metal alone must take, so a meter, a mass or a time is wrong."
	}
	if n := len(f.Misread); n > 0 {
		text = sentences(text, "The meter of "+count(n, "melt does", "melts do")+" not fit and may have been misread.")
	}
	return text
}

// Say words what a kilogram took over the period.
func (p Period) Say(s quantity.Style) string {
	name, kg := unit(s)
	if p.Cash.Value == nil && p.Charged.Value == nil {
		return count(p.Melts, "melt", "melts") + ", none with its cost or its energy."
	}
	var cash, energy string
	if v := p.Cash.Value; v != nil {
		cash = fmt.Sprintf("A %s of metal cost %s in cash over %s (one melt between %s and %s).",
			name, money(s, *v*kg), count(p.Cash.Melts, "melt", "melts"), money(s, p.Cash.Low*kg), money(s, p.Cash.High*kg))
	}
	if v := p.Charged.Value; v != nil {
		energy = fmt.Sprintf("Melting took %s charged over %s.", perMass(s, *v), count(p.Charged.Melts, "melt", "melts"))
	}
	left := ""
	if n := p.Cash.Left; n > 0 && cash != "" {
		left = "The cost leaves out " + count(n, "melt", "melts") + " without a cost or without metal weighed."
	}
	return sentences(cash, energy, left)
}
