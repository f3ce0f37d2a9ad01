package sheet

import (
	"drosswise/foundry/findings"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// writtenLate is how long after it happened a line is written down for it to
// be one copied in from elsewhere, where a blank says nothing.
const writtenLate = 24 * quantity.Hour

// Work is how a melt was worked and what it took, as it is read beside many
// others. A nil pointer is something that nobody wrote down.
type Work struct {
	findings.Melt
	Molten *float64 `json:"molten,omitempty"` // hours from power on to all molten
	Hold   *float64 `json:"hold,omitempty"`   // hours from all molten to the first pour
	Dross  *float64 `json:"dross,omitempty"`  // share of the charge
	// Means of what the element was read at under power.
	Volts *float64 `json:"volts,omitempty"` // V
	Amps  *float64 `json:"amps,omitempty"`  // A
	Watts *float64 `json:"watts,omitempty"` // W
}

// Worked is how the melt was worked. What nobody wrote down stays open: a box
// left unticked at the furnace is a no, on a melt copied in from paper it is not.
func Worked(h melt.Heading, lines []melt.Line, f Facts, s Sheet) Work {
	standing := melt.Standing(lines)
	copied := h.Noted.Since(h.At) > writtenLate
	w := Work{Melt: findings.Melt{
		Charged: given(s.Charged), Recovered: given(s.Recovered), Energy: given(s.Energy), Hours: given(s.Hot),
		Cash: given(s.Cash), Opportunity: given(s.Opportunity), Crucible: f.crucibleHeat(), Element: f.elementHeat(),
		Pour: given(s.PourTemp), Cold: new(1.0),
		Dried:     handled(standing, copied, func(l melt.Line) bool { return l.Dry }),
		Preheated: handled(standing, copied, func(l melt.Line) bool { return l.Preheated }),
		IntoHot:   handled(standing, copied, func(l melt.Line) bool { return l.IntoHot }),
		Flux:      fluxes(standing, f.Coin),
	}, Molten: given(s.TimeMolten), Hold: held(standing), Dross: given(s.DrossRate)}
	if h.Warm {
		w.Cold = new(0.0)
	}
	if s.Cash.Known() || s.Costs.Energy > 0 {
		w.Power = &s.Costs.Energy
	}
	if s.HeelInSaid || s.HeelOutSaid { // whoever writes one heel would have written the other
		w.HeelIn = given(s.HeelIn)
	}
	w.FluxOpen = copied && len(w.Flux) == 0
	w.Volts, w.Amps, w.Watts = underPower(standing)
	return w
}

// held is how long the metal was kept liquid before the first pour, in hours.
func held(standing []melt.Line) *float64 {
	var molten quantity.Moment
	for _, l := range standing {
		switch {
		case l.Kind == melt.AllMolten:
			molten = l.At
		case l.Kind == melt.Pour && molten != 0:
			return new(l.At.Since(molten).Hours())
		}
	}
	return nil
}

// underPower are the means of what was read on the element under power.
func underPower(standing []melt.Line) (volts, amps, watts *float64) {
	mean := func(read func(melt.Line) (float64, bool)) *float64 {
		var sum, n float64
		for _, l := range standing {
			if x, ok := read(l); ok && l.Kind == melt.Electric {
				sum, n = sum+x, n+1
			}
		}
		if n == 0 {
			return nil
		}
		return new(tidy(sum / n))
	}
	return mean(func(l melt.Line) (float64, bool) { return inUnits(l.Volts, quantity.Voltage.Volts) }),
		mean(func(l melt.Line) (float64, bool) { return inUnits(l.Amps, quantity.Current.Amperes) }),
		mean(func(l melt.Line) (float64, bool) { return inUnits(l.Watts, quantity.Power.Watts) })
}

func inUnits[T any](x *T, in func(T) float64) (float64, bool) {
	if x == nil {
		return 0, false
	}
	return in(*x), true
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
