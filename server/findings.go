package main

import (
	"cmp"
	"context"
	"net/http"
	"slices"
	"time"

	"drosswise/foundry/findings"
	"drosswise/foundry/kit"
	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
	"drosswise/foundry/sheet"
	"drosswise/views"
)

// found is what the records answer beside what each scrap gives.
type found struct {
	melts       []findings.Melt // the oldest first
	effects     []findings.Effect
	energy      []furnaceEnergy
	months      []findings.Period
	first, next findings.Period
	usual       findings.Shop
}

// furnaceEnergy is what melting takes in one furnace.
type furnaceEnergy struct {
	furnace int64
	findings.Energy
}

// find answers the shop's questions from its melts.
func find(e *recovery.Estimates, works []sheet.Work, kits []kit.Item, zone *time.Location) found {
	melts := make([]findings.Melt, len(works))
	for i, w := range works {
		melts[i] = w.Melt
	}
	f := found{melts: melts, effects: findings.Effects(e, melts), months: findings.Months(melts, zone), usual: findings.Usual(melts)}
	f.first, f.next = findings.FirstAndNext(melts)
	in := map[int64][]findings.Melt{}
	for _, m := range melts {
		in[m.Furnace] = append(in[m.Furnace], m)
	}
	for _, it := range kits {
		if some := in[it.ID]; len(some) > 0 {
			rated := 0.0
			if it.Power != nil {
				rated = it.Power.Watts() / 1000
			}
			f.energy = append(f.energy, furnaceEnergy{it.ID, findings.Electricity(some, rated)})
		}
	}
	return f
}

func findingsPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	page, err := a.findings(r.Context(), v)
	if err != nil {
		return err
	}
	return a.show(w, r, http.StatusOK, page.Page(a.frame(r, v, "Findings", "findings")))
}

// findings is what the records say, as it was last worked out.
func (a *app) findings(ctx context.Context, v visit) (views.Findings, error) {
	n, err := a.names(ctx, nil)
	if err != nil {
		return views.Findings{}, err
	}
	quotes, err := a.store.Quotes(ctx)
	if err != nil {
		return views.Findings{}, err
	}
	sources := n.SortedSources()
	var page views.Findings
	if est, _ := a.yields.latest(ctx); est != nil {
		page = foundPage(est, sources, quotes, n.Kit)
	}
	page.Told, page.May = a.told(ctx, sources), v.may(melter)
	return page, nil
}

// foundPage holds what was found against the prices written down.
func foundPage(est *estimated, sources []scrap.Source, quotes []scrap.Quote, kits map[int64]kit.Item) views.Findings {
	page := views.Findings{Effects: est.effects, Pays: paybacks(est.found, quotes), Months: est.months, First: est.first, Next: est.next}
	for _, p := range sources {
		if c := costOf(est, p, quotes); c != nil && c.Cost.Melts > 0 {
			page.Costs = append(page.Costs, *c)
		}
	}
	slices.SortStableFunc(page.Costs, func(a, b views.SourceCost) int { return cmp.Compare(dear(a), dear(b)) })
	for _, e := range est.energy {
		page.Energy = append(page.Energy, views.FurnaceEnergy{Furnace: kits[e.furnace].Name, Energy: e.Energy})
	}
	return page
}

// dear orders costs: what is known by its opportunity cost or else by its
// cash, and then what is not known.
func dear(c views.SourceCost) float64 {
	for _, f := range []findings.Figure{c.Cost.Opportunity, c.Cost.Cash} {
		if f.Known() {
			return f.Range.Middle
		}
	}
	return unknownCost
}

const unknownCost = 1e12 // beyond any price

// costOf is what a kilogram of metal from a source costs at the prices written
// down; nil when the source is newer than the estimate.
func costOf(est *estimated, p scrap.Source, quotes []scrap.Quote) *views.SourceCost {
	i := slices.IndexFunc(est.Sources, func(s recovery.SourceEstimate) bool { return s.Source == p.ID })
	if i < 0 || !est.Ranked {
		return nil
	}
	c := views.SourceCost{Source: p, Fetched: scrap.Latest(quotes, scrap.Unmelted, p.ID)}
	var own findings.Scrap
	if p.Paid != nil {
		own.Paid = new(p.Paid.Units())
	}
	if p.Fetches != nil {
		own.Fetches = new(p.Fetches.Units())
	}
	if c.Fetched != nil {
		own.Fetches = new(c.Fetched.Price.Units())
	}
	shop := est.usual
	if q := scrap.Latest(quotes, scrap.DrossSold, 0); q != nil {
		shop.DrossPrice = new(q.Price.Units())
	} else {
		shop.DrossPrice = new(0.0) // thrown away
	}
	c.Cost = findings.CostOf(est.Sources[i], own, shop)
	c.Choice = findings.MeltOrSell(c.Cost, quoted(quotes, scrap.IngotsBought), quoted(quotes, scrap.IngotsSold))
	return &c
}

func quoted(quotes []scrap.Quote, of scrap.Goods) *findings.Quote {
	q := scrap.Latest(quotes, of, 0)
	if q == nil {
		return nil
	}
	return &findings.Quote{Price: q.Price.Units(), On: q.At}
}

// paybacks are what the effects of habits are worth, in the order of effects:
// nil where the price of metal or the cost of the habit is not written down.
// Charging into a heel or into hot metal costs nothing; what drying, preheating
// and more heat cost nobody wrote.
func paybacks(f found, quotes []scrap.Quote) []*findings.Payback {
	all := make([]*findings.Payback, len(f.effects))
	metal := scrap.Latest(quotes, scrap.IngotsBought, 0)
	if metal == nil {
		metal = scrap.Latest(quotes, scrap.IngotsSold, 0)
	}
	if metal == nil {
		return all
	}
	for i, e := range f.effects {
		cost := 0.0
		switch e.Practice {
		case findings.Heel, findings.HotMetal:
		case findings.WithFlux:
			if f.usual.FluxPrice == nil || f.usual.Flux == nil || f.kindsOfFlux() > 1 {
				continue
			}
			cost = *f.usual.Flux * *f.usual.FluxPrice
		default:
			continue
		}
		if p, ok := e.Pays(metal.Price.Units(), cost); ok {
			all[i] = &p
		}
	}
	return all
}

// kindsOfFlux counts the fluxes that any melt used.
func (f found) kindsOfFlux() int {
	kinds := map[string]bool{}
	for _, e := range f.effects {
		if e.Practice == findings.WithFlux {
			kinds[e.Kind] = true
		}
	}
	return len(kinds)
}

// toldEffect is what a habit does, for a program.
type toldEffect struct {
	findings.Effect
	Pays *findings.Payback `json:"pays,omitempty"` // money for each kg charged
	Says string            `json:"says"`
}

// toldCost is what a kilogram of metal from a source costs, for a program.
type toldCost struct {
	Name string `json:"name"`
	findings.Cost
	Choice findings.Choice `json:"choice"`
	Says   string          `json:"says"`
}

// toldFurnace is what a furnace takes for a kilogram, for a program.
type toldFurnace struct {
	Name string `json:"furnace"`
	findings.Energy
	Says string `json:"says"`
}

// foundTold is what the records say, for a program.
type foundTold struct {
	Made     madeJSON          `json:"estimate"`
	Currency string            `json:"currency"`
	Costs    []toldCost        `json:"costs"`
	Effects  []toldEffect      `json:"effects"`
	Caveat   string            `json:"caveat,omitempty"`
	Furnaces []toldFurnace     `json:"furnaces"`
	First    findings.Period   `json:"first_heats"`
	Next     findings.Period   `json:"next_heats"`
	Months   []findings.Period `json:"months"`
}

func findingsJSON(a *app, ctx context.Context, v visit, _ *struct{}) (body foundTold, err error) {
	page, err := a.findings(ctx, v)
	if err != nil {
		return body, err
	}
	if page.Told.Estimates == nil {
		return body, errNotYet
	}
	body = foundTold{
		Made: madeOf(page.Told), Currency: v.shop.Currency, Costs: []toldCost{}, Effects: []toldEffect{}, Furnaces: []toldFurnace{},
		First: page.First, Next: page.Next, Months: orNone(page.Months),
	}
	for _, c := range page.Costs {
		body.Costs = append(body.Costs, toldCost{c.Source.Name, c.Cost, c.Choice, c.Cost.Say(v.style) + " " + c.Choice.Say(v.style)})
	}
	for i, e := range page.Effects {
		body.Effects = append(body.Effects, toldEffect{e, page.Pays[i], e.Say(v.style, page.Told.Name)})
	}
	body.Caveat = findings.Caveat(page.Effects)
	for _, e := range page.Energy {
		body.Furnaces = append(body.Furnaces, toldFurnace{e.Furnace, e.Energy, e.Say(v.style)})
	}
	return body, nil
}
