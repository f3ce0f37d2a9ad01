package sheet

import (
	"math"

	"drosswise/foundry/balance"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/tariff"
)

// cost fills in what the melt cost, twice: in cash, where free scrap costs
// nothing, and with what free scrap would have fetched instead (opportunity).
// What cannot be priced for want of a tariff or a scrap price leaves the cost
// unknown; the shares of crucible, element and additions are left out with a
// word.
func (s *Sheet) cost(standing []melt.Line, b balance.Balance, f Facts) {
	var lack, noResale, without []Lack
	if !b.HasCharge {
		lack = append(lack, NoCharge)
	}
	for _, l := range standing {
		if l.Kind != melt.Charge || l.Pour != 0 {
			continue // ingots were paid for when they were made
		}
		source, kg := f.Sources[l.Source], l.Mass().Kilograms()
		paid := source.Paid
		if lot, ok := f.Lots[l.Lot]; ok && lot.Paid != nil {
			paid = lot.Paid
		}
		switch {
		case paid == nil:
			lack = append(lack, NoScrapPrice)
		case *paid > 0:
			s.Costs.Scrap += kg * paid.Units()
		case source.Fetches == nil:
			noResale = append(noResale, NoResale)
		default:
			s.Costs.Forgone += kg * source.Fetches.Units()
		}
	}
	lack = append(lack, s.energyCost(standing, f)...)
	without = append(without, s.addedCost(standing, f)...)
	without = append(without, s.wearCost(f)...)
	s.Costs.tidy()

	s.Cash = lacking(lack...)
	if s.Cash.Known() {
		s.Cash = exact(s.Costs.Scrap + s.Costs.Energy + s.Costs.Added + s.Costs.Crucible + s.Costs.Element)
		s.Cash.Without = lacking(without...).Lacks
	}
	s.Opportunity = lacking(append(append([]Lack(nil), s.Cash.Lacks...), noResale...)...)
	if s.Opportunity.Known() {
		s.Opportunity = exact(s.Cash.X + s.Costs.Forgone)
		s.Opportunity.Without = s.Cash.Without
	}
	s.CashPerKg = ratio(s.Cash, s.Recovered, NoMetal)
	s.OpportunityPerKg = ratio(s.Opportunity, s.Recovered, NoMetal)
}

func (s *Sheet) energyCost(standing []melt.Line, f Facts) []Lack {
	if !s.Energy.Known() {
		return s.Energy.Lacks
	}
	total := quantity.Energy(math.Round(s.Energy.X * float64(quantity.KilowattHour)))
	price, missing := tariff.Cost(f.Tariffs, f.Zone, Uses(standing, total))
	if missing.Some {
		return []Lack{NoTariff}
	}
	s.Costs.Energy = price.Units()
	return nil
}

// Uses spreads the melt's energy evenly over the time with power on; without
// any such time all of it falls on the first line.
func Uses(standing []melt.Line, total quantity.Energy) []tariff.Use {
	on := HotTime(standing)
	length := melt.Total(on)
	if length == 0 {
		at := standing[0].At
		return []tariff.Use{{From: at, To: at, Energy: total}}
	}
	uses := make([]tariff.Use, len(on))
	var done quantity.Span
	var given quantity.Energy
	for i, o := range on {
		done += o.To.Since(o.From)
		upTo := quantity.Energy(math.Round(float64(total) * float64(done) / float64(length)))
		uses[i] = tariff.Use{From: o.From, To: o.To, Energy: upTo - given}
		given = upTo
	}
	return uses
}

func (s *Sheet) addedCost(standing []melt.Line, f Facts) (without []Lack) {
	for _, l := range standing {
		switch {
		case l.Kind != melt.Addition:
		case l.Cost == nil:
			without = append(without, NoAdditionCost)
		default:
			s.Costs.Added += float64(*l.Cost) * f.Coin
		}
	}
	return without
}

// wearCost is one heat's share of crucible and element: price over the heats
// expected of it, fixed when it was bought.
func (s *Sheet) wearCost(f Facts) (without []Lack) {
	share := func(cost *float64, lack Lack) float64 {
		if cost == nil {
			without = append(without, lack)
			return 0
		}
		return *cost
	}
	s.Costs.Crucible = share(f.crucibleHeat(), NoCrucibleCost)
	s.Costs.Element = share(f.elementHeat(), NoElementCost)
	return without
}

// crucibleHeat is one heat's share of the crucible's price, nil when not known.
func (f Facts) crucibleHeat() *float64 {
	if f.Crucible == nil {
		return nil
	}
	return f.heat(f.Crucible.Cost, f.Crucible.Heats)
}

// elementHeat is one heat's share of the element set's price, nil when not
// known.
func (f Facts) elementHeat() *float64 {
	if f.Element == nil {
		return nil
	}
	return f.heat(f.Element.Cost, f.Element.Heats)
}

func (f Facts) heat(cost *quantity.Money, heats *int) *float64 {
	if cost == nil || heats == nil || *heats <= 0 {
		return nil
	}
	return new(tidy(float64(*cost) * f.Coin / float64(*heats)))
}

func (c *Costs) tidy() {
	for _, x := range []*float64{&c.Scrap, &c.Energy, &c.Added, &c.Crucible, &c.Element, &c.Forgone} {
		*x = tidy(*x)
	}
}
