package main

import (
	"math"
	"time"

	"drosswise/foundry/findings"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
	"drosswise/foundry/sheet"
	"drosswise/views"
)

// findingsScenes are what the records say, worked out as in a real shop from
// made-up melts.
func findingsScenes() []scene {
	full := galleryFindings(galleryMelts(40), galleryQuotes())
	reader := galleryFindings(galleryMelts(40), nil)
	reader.May = false
	few := galleryMelts(4)
	return []scene{
		{"findings/full", "What the records say", full.Page},
		{"findings/unpriced", "What the records say without prices, for a reader", reader.Page},
		{"findings/few", "What a few melts say", galleryFindings(few, galleryQuotes()).Page},
		{"findings/none", "No closed melt yet", galleryFindings(recovery.Shop{Sources: few.Sources}, nil).Page},
		{"findings/first", "Before the first answers", views.Findings{May: true}.Page},
	}
}

// galleryFindings is the page as the server makes it of made-up melts.
func galleryFindings(shop recovery.Shop, quotes []scrap.Quote) views.Findings {
	kits := []kit.Item{{ID: 1, Kind: kit.Furnace, Name: "Yard furnace", Power: new(2000 * quantity.Watt)}}
	var melts []sheet.Work
	for i, m := range shop.Melts {
		melts = append(melts, sheet.Work{Melt: galleryWorked(i, m)})
	}
	est := &estimated{Estimates: recovery.Estimate(shop, recovery.Settings{}), At: galleryNow}
	est.found = find(est.Estimates, melts, kits, time.UTC)
	var sources []scrap.Source
	for _, id := range []int64{2, 3, 1, 4} {
		sources = append(sources, gallerySources()[id])
	}
	page := foundPage(est, sources, quotes, map[int64]kit.Item{1: kits[0]})
	page.Told, page.May = galleryTold(shop), true
	return page
}

// galleryWorked is how a made-up melt was worked: most of it dried, some poured
// hotter, every third in a furnace still hot.
func galleryWorked(i int, m recovery.Melt) findings.Melt {
	w := findings.Melt{ID: m.ID, Code: m.Code, Started: m.Started, Furnace: 1, Charges: m.Charges, Recovered: &m.Recovered.Kilograms, Cold: new(1.0)}
	kg := 0.0
	for _, c := range m.Charges {
		kg += c.Kilograms
	}
	start, wobble := 1.1, math.Sin(float64(3*i))
	if i%3 == 2 {
		w.Cold, start = new(0.0), 0.3
	}
	hours := 1.4 + 0.5*kg + 0.1*wobble
	kwh := start + 0.38*kg + 0.7*hours + 0.04*wobble
	w.Charged, w.Hours, w.Energy, w.Power = &kg, &hours, &kwh, new(kwh*0.2573)
	w.Cash = new(kwh*0.2573 + 0.82)
	w.Opportunity = new(*w.Cash + 0.62*kg)
	w.Dried, w.Preheated, w.IntoHot, w.Pour = new(float64(i%4/2)), new(0.0), new(0.0), new(715+10*math.Abs(wobble))
	w.HeelIn = new(float64(i % 2))
	return w
}
