package findings

import (
	"slices"

	"drosswise/foundry/recovery"
)

// Lack is something that was not written down and that a cost needs.
type Lack string

// What may be lacking.
const (
	NoRecovery     Lack = "recovery"      // the source is not known, or its range reaches down to nothing
	NoScrapPrice   Lack = "scrap_price"   // what was paid; zero is free
	NoResale       Lack = "resale"        // what free scrap would fetch
	NoEnergy       Lack = "energy"        // kWh a kilogram charged
	NoTariff       Lack = "tariff"        // price of a kWh
	NoFlux         Lack = "flux"          // how much is used
	NoFluxPrice    Lack = "flux_price"    // per kilogram of flux
	NoCrucibleCost Lack = "crucible_cost" // a heat's share of the crucible
	NoElementCost  Lack = "element_cost"  // a heat's share of the element set
	NoUsualCharge  Lack = "usual_charge"  // what a heat's shares are spread over
	NoDrossPrice   Lack = "dross_price"   // what a kilogram of dross brings
)

// Scrap is what the scrap of a source costs, for each kilogram as charged.
type Scrap struct {
	Paid    *float64 // zero is free
	Fetches *float64 // what it would bring unmelted, less the trip
}

// Shop is what melting takes in this shop. Every part may be lacking.
type Shop struct {
	Energy     *float64 // kWh for each kilogram charged
	Tariff     *float64 // money for a kWh
	Flux       *float64 // kg for each kilogram charged; zero when none is used
	FluxPrice  *float64 // money for a kilogram of flux
	Crucible   *float64 // money a heat: price over the heats expected of it
	Element    *float64 // money a heat
	Charge     *float64 // kg of the usual heat
	DrossPrice *float64 // money for a kilogram of dross; below zero when getting rid of it costs
}

// newest is how many of the newest melts say what melting takes now.
const newest = 20

// Usual is what melting takes in a shop as its newest melts show, which are
// given the oldest first: each part from those of the newest 20 that say it.
// What a kilogram of dross brings is not in them.
func Usual(melts []Melt) Shop {
	melts = melts[max(0, len(melts)-newest):]
	charged := func(m Melt) *float64 { return m.Charged }
	energy := func(m Melt) *float64 { return m.Energy }
	shop := Shop{
		Energy: pooled(melts, energy, charged).Value,
		Tariff: pooled(melts, func(m Melt) *float64 { return m.Power }, energy).Value,
		Flux:   pooled(melts, Melt.flux, charged).Value,
	}
	shop.Charge = pooled(melts, charged, func(m Melt) *float64 { return new(1.0) }).Value
	var cost, kg float64
	for _, m := range melts {
		if sound(m.Crucible) {
			shop.Crucible = m.Crucible
		}
		if sound(m.Element) {
			shop.Element = m.Element
		}
		for _, f := range m.Flux {
			if sound(f.Kilograms) && sound(f.Cost) {
				cost, kg = cost+*f.Cost, kg+*f.Kilograms
			}
		}
	}
	if kg > 0 {
		shop.FluxPrice = new(cost / kg)
	}
	return shop
}

// flux is the kilograms of flux that were used, nil when that is not known.
func (m Melt) flux() *float64 {
	if m.FluxOpen {
		return nil
	}
	sum := 0.0
	for _, f := range m.Flux {
		if !sound(f.Kilograms) {
			return nil
		}
		sum += *f.Kilograms
	}
	return &sum
}

// Cost is what a kilogram of clean metal from one source costs.
type Cost struct {
	Source      int64  `json:"source"`
	Cash        Figure `json:"cash"`        // free scrap costs nothing
	Opportunity Figure `json:"opportunity"` // free scrap costs what it would have fetched
	Parts       Parts  `json:"parts"`
	// Scrap is the kilograms to charge for a kilogram of metal.
	Scrap *recovery.Range `json:"scrap_kg"`
	// Believed is true when the source was never charged: its recovery is only
	// what is believed of its form.
	Believed bool `json:"believed"`
	Melts    int  `json:"melts"`
}

// Figure is money for a kilogram of clean metal with the range that its
// recovery leaves open, or what it lacks.
type Figure struct {
	Range   *recovery.Range `json:"range"`
	Lacks   []Lack          `json:"lacks,omitempty"`   // without these there is no figure
	Without []Lack          `json:"without,omitempty"` // what the figure leaves out
}

// Known reports whether there is a figure.
func (f Figure) Known() bool { return f.Range != nil }

// Parts are what the middle of the figure is made of, in money for a kilogram
// of clean metal. Scrap, Energy, Flux, Crucible and Element less Dross make the
// cash figure, Forgone comes on top in the other.
type Parts struct {
	Scrap    float64 `json:"scrap"`
	Forgone  float64 `json:"forgone"`
	Energy   float64 `json:"energy"`
	Flux     float64 `json:"flux"`
	Crucible float64 `json:"crucible"`
	Element  float64 `json:"element"`
	Dross    float64 `json:"dross"` // what its dross brings
	// Lost is how much of Scrap and Forgone went on what became dross, smoke
	// and water instead of metal. It is in them, not beside them.
	Lost float64 `json:"lost"`
}

// CostOf works out what a kilogram of clean metal from a source costs: all that
// a kilogram charged costs, over the share of it that becomes metal. The range
// is the recovery's, nine chances in ten; prices and energy are taken as given.
func CostOf(e recovery.SourceEstimate, scrap Scrap, shop Shop) Cost {
	c := Cost{Source: e.Source, Melts: e.Melts, Believed: e.Melts == 0 && e.Heels == 0}
	r := e.Metal.Range
	p, lacks, without := shop.perCharged(e.Dross.Middle)
	noResale := p.scrap(scrap, &lacks)
	if !(r.Low > 0) {
		lacks = append(lacks, NoRecovery)
	} else {
		c.Scrap = over(1, r)
		c.Parts = p.over(r.Middle)
	}
	c.Cash = figure(p.cash(), r, lacks, without)
	c.Opportunity = figure(p.cash()+p.Forgone, r, append(slices.Clone(lacks), noResale...), without)
	return c
}

// figure is money for a kilogram charged as a figure for a kilogram of metal.
func figure(money float64, r recovery.Range, lacks, without []Lack) Figure {
	if len(lacks) > 0 {
		return Figure{Lacks: lacks}
	}
	return Figure{Range: over(money, r), Without: without}
}

// over is x over a recovery; what is below zero (dross that brings more than
// all costs) is the least where the recovery is.
func over(x float64, r recovery.Range) *recovery.Range {
	low, high := x/r.High, x/r.Low
	return &recovery.Range{Low: min(low, high), Middle: x / r.Middle, High: max(low, high)}
}

// perCharged is what a kilogram charged costs besides the scrap.
func (s Shop) perCharged(dross float64) (p Parts, lacks, without []Lack) {
	need := func(list *[]Lack, x *float64, lack Lack) float64 {
		if !sound(x) {
			*list = append(*list, lack)
			return 0
		}
		return *x
	}
	p.Energy = need(&lacks, s.Energy, NoEnergy) * need(&lacks, s.Tariff, NoTariff)
	if flux := need(&without, s.Flux, NoFlux); flux > 0 {
		p.Flux = flux * need(&without, s.FluxPrice, NoFluxPrice)
	}
	crucible, element := need(&without, s.Crucible, NoCrucibleCost), need(&without, s.Element, NoElementCost)
	if crucible > 0 || element > 0 {
		if charge := need(&without, s.Charge, NoUsualCharge); charge > 0 {
			p.Crucible, p.Element = crucible/charge, element/charge
		} else if s.Charge != nil {
			without = append(without, NoUsualCharge)
		}
	}
	p.Dross = dross * need(&without, s.DrossPrice, NoDrossPrice)
	return p, lacks, without
}

// scrap fills in the scrap itself. As on a melt's own sheet, scrap that was
// paid for costs what was paid, and only free scrap has a cost forgone.
func (p *Parts) scrap(s Scrap, lacks *[]Lack) (noResale []Lack) {
	switch {
	case !sound(s.Paid):
		*lacks = append(*lacks, NoScrapPrice)
	case *s.Paid > 0:
		p.Scrap = *s.Paid
	case !sound(s.Fetches):
		return []Lack{NoResale}
	default:
		p.Forgone = *s.Fetches
	}
	return nil
}

func (p Parts) cash() float64 { return p.Scrap + p.Energy + p.Flux + p.Crucible + p.Element - p.Dross }

// over turns parts of a kilogram charged into parts of a kilogram of metal.
func (p Parts) over(r float64) Parts {
	lost := (p.Scrap + p.Forgone) * (1/r - 1)
	for _, x := range []*float64{&p.Scrap, &p.Forgone, &p.Energy, &p.Flux, &p.Crucible, &p.Element, &p.Dross} {
		*x /= r
	}
	p.Lost = lost
	return p
}
