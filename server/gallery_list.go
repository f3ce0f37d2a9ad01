package main

import (
	"fmt"
	"net/url"

	"github.com/a-h/templ"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/views"
)

// galleryRows are n melts in a list, the newest first.
func galleryRows(n int) []views.MeltRow {
	var rows []views.MeltRow
	for i := range n {
		charged := quantity.Mass(1500+i*37%900) * gram
		y := 0.97 - float64(i*13%23)/100
		r := views.MeltRow{Code: melt.Code(fmt.Sprintf("A26-%03d", n-i)), State: melt.Closed, Started: at(14, 5) - quantity.Moment(i)*quantity.Moment(31*quantity.Hour), Furnace: "Yard furnace", Sources: []string{"Rims", "Crank arms"}, Charged: charged}
		r.Yield, r.YieldU = &y, new(0.003)
		r.Recovered, r.Energy = new(quantity.Mass(float64(charged)*y)), new(quantity.Energy(float64(charged.Kilograms())*0.9*3.6e6))
		switch i {
		case 1:
			r.State, r.Yield, r.YieldU, r.Recovered = melt.Running, nil, nil, nil
		case 2:
			r.Yield, r.YieldU, r.Recovered = nil, nil, nil
		case 3:
			r.State, r.Charged, r.Sources = melt.Voided, 0, nil
		case 4:
			r.Sources = []string{long, "Rims", "Crank arms", "Drink cans", "Swarf"}
		}
		rows = append(rows, r)
	}
	return rows
}

// listScenes are today and the list of melts: empty, one, many.
func listScenes() []scene {
	todays := map[string]views.Today{
		"empty": {May: true, Owner: true, First: firstSteps(views.Names{}, false, visit{})},
		"one":   {May: true, Last: galleryRows(1)},
		"many": {May: true, Running: galleryRows(2)[1:], Last: galleryRows(6), ToDo: []views.ToDo{
			{Lead: "A time was marked.", Text: "Say what it was, while you still know.", Link: views.Link{Text: "A26-040", Href: "/melt/lacking"}}}},
		"due":    {May: true, Last: galleryRows(6), ToDo: views.DueToDo(galleryDues(), quantity.Style{}, true)},
		"reader": {Last: galleryRows(6), ToDo: views.DueToDo(galleryDues()[:2], quantity.Style{}, false)},
	}
	lists := map[string]views.Melts{
		"empty": {May: true},
		"one":   {May: true, Any: true, Rows: galleryRows(1), Total: &views.MeltTotals{Melts: 1, Charged: 1500 * gram}},
		"many": {May: true, Any: true, Rows: galleryRows(50), Older: "/melts/many", Newer: "/melts/many", Total: &views.MeltTotals{
			Melts: 150, Charged: 310 * kilogram, YieldCharged: 300 * kilogram, Recovered: 268 * kilogram, EnergyCharged: 290 * kilogram, Energy: 280 * quantity.KilowattHour}},
		"nothing-fits": {May: true, Any: true, Words: "zeppelin", Faults: map[string]string{"from": "Type a month as year and month, such as 2026-01."}, From: "yesterday"},
	}
	var all []scene
	for _, name := range []string{"empty", "one", "many", "due", "reader"} {
		p := todays[name]
		all = append(all, scene{"today/" + name, "Today, " + name, func(f views.Frame) templ.Component { return p.Page(f) }})
	}
	for _, name := range []string{"empty", "one", "many", "nothing-fits"} {
		p := lists[name]
		all = append(all, scene{"melts/" + name, "Melts, " + name, func(f views.Frame) templ.Component { return p.Page(f) }})
	}
	return all
}

// formScenes are the forms that a melt begins with.
func formScenes() []scene {
	start := views.Start{Key: "gallery-start", Kit: galleryKit(), Last: galleryHeading(), Warm: true}
	due := start
	due.Due = galleryDue()
	bare := views.Start{Key: "gallery-start"}
	paper := views.Paper{Start: start, Names: galleryNames(), Sources: galleryForm(melt.Spec{}).Sources}
	refused := paper
	refused.Typed = url.Values{"at_date": {"2026-11-20"}, "at_clock": {"19:00"}, "mass1": {"two"}, "source1": {"source-1"}}
	refused.Faults = map[string]string{"mass1": "“two” is not a number. Type it like 1.842 or 1,842."}
	return []scene{
		{"start/ready", "Start a melt", func(f views.Frame) templ.Component { return start.Page(f) }},
		{"start/due", "Start a melt on kit that is due", func(f views.Frame) templ.Component { return due.Page(f) }},
		{"start/empty", "Start a melt without a furnace", func(f views.Frame) templ.Component { return bare.Page(f) }},
		{"paper/ready", "Copy a melt in", func(f views.Frame) templ.Component { return paper.Page(f) }},
		{"paper/refused", "Copy a melt in, refused", func(f views.Frame) templ.Component { return refused.Page(f) }},
	}
}
