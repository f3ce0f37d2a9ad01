package main

import (
	"fmt"
	"math"
	"net/url"
	"time"

	"drosswise/foundry/findings"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
	"drosswise/views"
)

// yieldScenes are what all melts together tell of scrap: the ranking, the page
// of a source, and two set side by side. The figures are worked out as in a
// real shop, from made-up melts.
func yieldScenes() []scene {
	many := galleryMelts(40)
	typo := many
	typo.Melts = append([]recovery.Melt(nil), many.Melts...)
	typo.Melts[31] = mistyped(typo.Melts[31])
	ranked := galleryRanking(many)
	never := galleryScrap(4)
	never.Source.ID, never.Source.Name, never.Record = 5, "Brake levers", scrap.Record{}
	ranked.Rows = append([]views.ScrapRow{never}, ranked.Rows...)
	ranked.Quotes = galleryQuotes()
	old := ranked
	old.Told.Old = true
	named := ranked
	named.ByName, named.May = true, false
	first := galleryRanking(recovery.Shop{Sources: many.Sources})
	first.Told.Estimates = nil
	few := galleryRanking(recovery.Shop{Sources: many.Sources, Melts: many.Melts[:2]})
	few.Melts = galleryRows(2)
	one := galleryRanking(recovery.Shop{Sources: many.Sources[:1], Melts: only(many.Melts, 1)})
	one.Rows = []views.ScrapRow{galleryScrap(1)}
	pair := recovery.Shop{Sources: many.Sources[:2]}
	for i := range 12 {
		pair.Melts = append(pair.Melts, galleryCharge(i, map[int64]float64{1: 1.2, 2: 0.6}))
	}
	stuck := galleryRanking(pair)
	stuck.Rows = []views.ScrapRow{galleryScrap(2), galleryScrap(1)}
	return append([]scene{
		{"scrap/ranked", "Scrap, cleanest first", ranked.Page},
		{"scrap/ranked-old", "Scrap, while a newer estimate is made", old.Page},
		{"scrap/ranked-name", "Scrap, by name, for a reader", named.Page},
		{"scrap/first", "Scrap, before the first estimate", first.Page},
		{"scrap/few", "Scrap, too few melts to rank", few.Page},
		{"scrap/one-source", "Scrap, one source in all melts", one.Page},
		{"scrap/together", "Scrap, two sources never charged apart", stuck.Page},
		{"source/known", "A source that its melts tell of", gallerySourceTold(many, 1).Page},
		{"source/suspect", "A source with a melt that does not fit", gallerySourceTold(typo, 2).Page},
		{"source/together", "A source never charged apart", gallerySourceTold(pair, 1).Page},
		{"source/never", "A source never charged, while others are", gallerySourceTold(recovery.Shop{Sources: many.Sources, Melts: pair.Melts}, 4).Page},
	}, append(compareScenes(many), yieldFormScenes()...)...)
}

// galleryCharge is a closed melt of so many kilograms of each source, which
// gives what is true of them, somewhat more or less from melt to melt.
func galleryCharge(i int, kg map[int64]float64) recovery.Melt {
	metal := map[int64]float64{1: 0.93, 2: 0.94, 3: 0.77, 4: 0.9}
	m := recovery.Melt{ID: int64(i + 1), Code: fmt.Sprintf("A26-%03d", i+1), Started: galleryNow - quantity.Moment(60-i)*quantity.Moment(50*quantity.Hour), ChargedU: 0.001}
	var charged, recovered float64
	for id := range int64(6) {
		x := kg[id]
		if x == 0 {
			continue
		}
		m.Charges = append(m.Charges, recovery.Charge{Source: id, Kilograms: x})
		m.Readings = append(m.Readings, recovery.Reading{ID: int64(10*i) + id, Part: recovery.PartCharge, Source: id, Kilograms: x})
		charged += x
		recovered += x * metal[id]
	}
	recovered += charged * 0.01 * math.Sin(float64(i*i)) // from melt to melt
	m.Recovered = &recovery.Amount{Kilograms: recovered, U: 0.001}
	m.Dross = &recovery.Amount{Kilograms: 1.02*charged - recovered, U: 0.001}
	return m
}

func galleryMelts(n int) recovery.Shop {
	var shop recovery.Shop
	for id := range int64(6) {
		if p, ok := gallerySources()[id]; ok {
			shop.Sources = append(shop.Sources, recovery.Source{ID: p.ID, Name: p.Name, Form: p.Form, Coating: p.Coating})
		}
	}
	for i := range n {
		kg := []map[int64]float64{{1: 1.8}, {1: 1.2, 2: 0.7}, {2: 1.6}, {1: 0.9, 3: 0.8}}[i%4]
		if i%20 == 3 { // hardly ever, and only with others
			kg = map[int64]float64{1: 1.4, 4: 0.12}
		}
		shop.Melts = append(shop.Melts, galleryCharge(i, kg))
	}
	return shop
}

// only keeps the melts of one source.
func only(melts []recovery.Melt, source int64) (kept []recovery.Melt) {
	for _, m := range melts {
		if len(m.Charges) == 1 && m.Charges[0].Source == source {
			kept = append(kept, m)
		}
	}
	return kept
}

// mistyped is a melt whose first charge was typed 2.5 kg too heavy.
func mistyped(m recovery.Melt) recovery.Melt {
	m = galleryCharge(int(m.ID-1), map[int64]float64{2: 1.12, 3: 0.5})
	m.Charges[0].Kilograms, m.Readings[0].Kilograms = 4.12, 4.12
	return m
}

func galleryTold(shop recovery.Shop) views.Yields {
	t := views.Yields{Estimates: recovery.Estimate(shop, recovery.Settings{}), At: galleryNow, Names: map[int64]string{}}
	for id, p := range gallerySources() {
		t.Names[id] = p.Name
	}
	return t
}

func galleryRanking(shop recovery.Shop) views.ScrapList {
	p := views.ScrapList{Told: galleryTold(shop), May: true}
	for _, id := range []int64{2, 3, 1, 4} {
		p.Rows = append(p.Rows, galleryScrap(id))
	}
	return p
}

func gallerySourceTold(shop recovery.Shop, id int64) views.Source {
	p := gallerySource(id, galleryLots())
	p.Told, p.Melts, p.Fits = galleryTold(shop), nil, map[melt.Code]recovery.MeltFit{}
	p.Metal = &recovery.Belief{Mean: 0.92, SD: 0.04}
	p.Quotes = galleryQuotes()
	est := &estimated{Estimates: p.Told.Estimates, found: found{usual: galleryUsual()}}
	p.Cost = costOf(est, p.ScrapRow.Source, p.Quotes)
	p.History = est.History(id, pointsShown)
	p.Handled = map[melt.Code]views.Handled{}
	p.Batches = map[int64]recovery.BatchFit{3: {ID: 3, Melts: 4, Off: recovery.Range{Low: -0.061, Middle: -0.04, High: -0.019}}, 1: {ID: 1, Melts: 1}}
	for i := len(shop.Melts) - 1; i >= 0 && len(p.Melts) < 12; i-- {
		m, charged := shop.Melts[i], 0.0
		for _, c := range m.Charges {
			charged += c.Kilograms
		}
		y := m.Recovered.Kilograms / charged
		p.Melts = append(p.Melts, views.MeltRow{Code: melt.Code(m.Code), State: melt.Closed, Started: m.Started, Sources: []string{"Rims", "Crank arms"}, Yield: &y, YieldU: new(0.002)})
	}
	for i, r := range p.Melts {
		p.Handled[r.Code] = views.Handled{Pour: new(718 + float64(7*i%13)), Notes: []string{"", "Stirred twice before the skim.", ""}[i%3 : i%3+1]}
	}
	for _, fit := range p.Told.Melts {
		p.Fits[melt.Code(fit.Code)] = fit
	}
	return p
}

// galleryQuotes are prices of all goods, the newest first.
func galleryQuotes() []scrap.Quote {
	return []scrap.Quote{
		{ID: 4, Of: scrap.IngotsSold, At: galleryWhen(5), Price: 1_700_000, Note: "Clean ingots, mixed alloy."},
		{ID: 3, Of: scrap.IngotsBought, At: galleryWhen(9), Price: 2_600_000, Note: "A356 ingot, by the box."},
		{ID: 2, Of: scrap.IngotsSold, At: galleryWhen(90), Price: 15_500_000, Strike: &scrap.Strike{At: galleryWhen(89), By: 1, Reason: "a slip of the comma"}},
		{ID: 1, Of: scrap.Unmelted, Source: 3, At: galleryWhen(12), Price: 600_000},
	}
}

func galleryUsual() findings.Shop {
	return findings.Shop{Energy: new(1.62), Tariff: new(0.2573), Flux: new(0.0), Crucible: new(0.60), Element: new(0.22), Charge: new(1.9)}
}

func compareScenes(shop recovery.Shop) []scene {
	var sources []scrap.Source
	for _, id := range []int64{2, 3, 1, 4} {
		sources = append(sources, gallerySources()[id])
	}
	set := func(a, b int64) views.Compare {
		p := views.Compare{Sources: sources, A: a, B: b, Told: galleryTold(shop), Power: new(quantity.Price(257_300))}
		p.Metal = &views.MetalPrice{Price: 1_700_000, Basis: "what a yard paid for ingots on 16 Nov 2026"}
		if c, ok := p.Told.Compare(a, b); ok {
			p.Result = &c
		}
		return p
	}
	alike := set(1, 2)
	alike.Result = &recovery.Comparison{A: 1, B: 2, MoreMetal: 0.43, LessDross: 0.6, Difference: recovery.Range{Low: -0.014, Middle: -0.002, High: 0.011}, Dross: recovery.Range{Low: -0.01, Middle: 0, High: 0.01}, Verdict: recovery.NoDifference}
	poor := set(1, 3)
	poor.Metal, poor.Power = nil, nil
	return []scene{
		{"scrap/compare", "Two sources to choose", views.Compare{Sources: sources, Told: galleryTold(shop)}.Page},
		{"scrap/compare-none", "Nothing to compare", views.Compare{}.Page},
		{"scrap/compare-more", "One gives more metal", set(2, 3).Page},
		{"scrap/compare-close", "Too close to call", set(1, 4).Page},
		{"scrap/compare-alike", "No difference seen", alike.Page},
		{"scrap/compare-poor", "Without any price", poor.Page},
		{"scrap/compare-same", "The same twice", set(1, 1).Page},
	}
}

func yieldFormScenes() []scene {
	style := quantity.Style{Currency: "EUR", Zone: time.UTC}
	p := gallerySources()[3]
	wrong := newForm(url.Values{"metal": {"140"}, "metal_sd": {"0"}, "dross": {"much"}}, style)
	wrong.belief("metal")
	wrong.belief("dross")
	dear := newForm(url.Values{"price": {"-1"}, "day": {"2027-01-01"}}, style)
	dear.quote(galleryNow, nil)
	return []scene{
		{"source/belief", "What is believed of a source", views.BeliefForm{Source: p, Key: galleryKey()}.Page},
		{"source/belief-refused", "A belief that was refused", views.BeliefForm{Filled: filled(wrong), Source: p, Key: galleryKey()}.Page},
		{"source/price", "A yard's price for a source", views.PriceForm{Source: &p, Key: galleryKey(), NewKeys: galleryKey, Quotes: galleryQuotes()[3:4]}.Page},
		{"scrap/price-refused", "A price that was refused", views.PriceForm{Filled: filled(dear), Key: galleryKey(), NewKeys: galleryKey, Quotes: galleryQuotes()[:3]}.Page},
	}
}
