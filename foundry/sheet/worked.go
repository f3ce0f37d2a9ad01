package sheet

import (
	"drosswise/foundry/findings"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// writtenLate is how long after it happened a line is written down for it to
// be one copied in from elsewhere, where a blank says nothing.
const writtenLate = 24 * quantity.Hour

// Worked is how the melt was worked and what it took, as findings reads it
// beside many others. What nobody wrote down stays open: a box left unticked at
// the furnace is a no, on a melt copied in from paper it is not.
func Worked(h melt.Heading, lines []melt.Line, f Facts, s Sheet) findings.Melt {
	standing := melt.Standing(lines)
	copied := h.Noted.Since(h.At) > writtenLate
	m := findings.Melt{
		Charged: given(s.Charged), Recovered: given(s.Recovered), Energy: given(s.Energy), Hours: given(s.Hot),
		Cash: given(s.Cash), Opportunity: given(s.Opportunity), Crucible: f.crucibleHeat(), Element: f.elementHeat(),
		Pour: given(s.PourTemp), Cold: new(1.0),
		Dried:     handled(standing, copied, func(l melt.Line) bool { return l.Dry }),
		Preheated: handled(standing, copied, func(l melt.Line) bool { return l.Preheated }),
		IntoHot:   handled(standing, copied, func(l melt.Line) bool { return l.IntoHot }),
		Flux:      fluxes(standing, f.Coin),
	}
	if h.Warm {
		m.Cold = new(0.0)
	}
	if s.Cash.Known() || s.Costs.Energy > 0 {
		m.Power = &s.Costs.Energy
	}
	if s.HeelSaid {
		m.HeelIn = given(s.HeelIn)
	}
	m.FluxOpen = copied && len(m.Flux) == 0
	return m
}

// given is the result of a figure, nil when there is none.
func given(f Figure) *float64 {
	if !f.Known() {
		return nil
	}
	return &f.X
}

// handled is the share of the charge that was treated in one way. nil when
// nothing was charged, or when it was copied in and nothing says so.
func handled(standing []melt.Line, copied bool, treated func(melt.Line) bool) *float64 {
	var some, all float64
	for _, l := range standing {
		if l.Kind != melt.Charge {
			continue
		}
		kg := l.Mass().Kilograms()
		all += kg
		if treated(l) {
			some += kg
		}
	}
	if all <= 0 || copied && some == 0 {
		return nil
	}
	return new(tidy(some / all))
}

// fluxes are the fluxes that were used, one for each line that says so.
func fluxes(standing []melt.Line, coin float64) []findings.Flux {
	var all []findings.Flux
	for _, l := range standing {
		if l.Kind != melt.Addition || l.Which != melt.CoverFlux && l.Which != melt.DrossingFlux {
			continue
		}
		one := findings.Flux{Kind: l.Which}
		if l.Weighed() {
			one.Kilograms = new(l.Mass().Kilograms())
		}
		if l.Cost != nil {
			one.Cost = new(tidy(float64(*l.Cost) * coin))
		}
		all = append(all, one)
	}
	return all
}
