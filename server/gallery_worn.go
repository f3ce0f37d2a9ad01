package main

import (
	"math"
	"net/url"

	"drosswise/foundry/drift"
	"drosswise/foundry/life"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/wear"
	"drosswise/views"
)

// wornScenes are what the records say of how kit wears, worked out as in a real
// shop from made-up readings.
func wornScenes() []scene {
	style := quantity.Style{Currency: "EUR"}
	near := galleryItem(3, galleryReadings())
	near.Worn = galleryElement(9)
	few := galleryItem(3, galleryReadings())
	few.Worn = galleryElement(2)
	few.Worn.Old = true
	pot := galleryItem(2, nil)
	pot.Worn = galleryPot()
	slow := galleryItem(1, nil)
	slow.Worn = galleryCourse(45)
	fresh := galleryItem(1, nil)
	fresh.Worn, fresh.May = galleryCourse(4), false
	scale := galleryItem(4, nil)
	scale.Worn = galleryScale()
	good := newForm(url.Values{"wire": {"FeCrAl 22Cr-5.8Al"}, "diameter": {"1.6"}, "length": {"14.4"}, "volts": {"230"}, "circuit": {"16"}, "plug": {"13"}}, style)
	bad := newForm(url.Values{"wire": {""}, "volts": {"much"}, "turns": {"-3"}}, style)
	return []scene{
		{"kit/element-near", "An element set near its limit", near.Page},
		{"kit/element-few", "An element set with too few readings", few.Page},
		{"kit/crucible-lives", "How long a crucible may last", pot.Page},
		{"kit/furnace-slower", "A furnace that got slower", slow.Page},
		{"kit/furnace-new", "A furnace with few melts, for a reader", fresh.Page},
		{"kit/scale-off", "A scale beyond its own ±", scale.Page},
		{"kit/bench", "A coil to work out", views.Bench{Wires: wires()}.Page},
		{"kit/bench-done", "A coil worked out", views.Bench{Wires: wires(), Result: good.bench(), Filled: filled(good)}.Page},
		{"kit/bench-refused", "A coil that cannot be", views.Bench{Wires: wires(), Result: bad.bench(), Filled: filled(bad)}.Page},
	}
}

// galleryElement is a set that rises by 0.2 % for each hour hot.
func galleryElement(readings int) *views.Worn {
	it := galleryKit()[3]
	set := wear.SetOf(it)
	set.New, set.Hours = new(26_500*quantity.Resistance(1)), float64(5*readings)+2
	var list []wear.Reading
	for i := range readings {
		ohms := 26.5 * (1 + 0.002*5*float64(i)) * (1 + 0.001*math.Sin(float64(7*i)))
		list = append(list, wear.Reading{ID: int64(i + 1), Hours: float64(5 * i), Heats: 3 * i, Ohms: new(quantity.Resistance(ohms * float64(quantity.Ohm)))})
		set.HeatHours = append(set.HeatHours, 1.7)
	}
	look := wear.Look(set, list)
	w := &views.Worn{At: galleryNow, Element: &look}
	galleryLives(w, []float64{32, 29, 24}, 26)
	return w
}

// galleryLives fills in the lives of pieces that wore out, and the outlook of
// one in service.
func galleryLives(w *views.Worn, worn []float64, age float64) {
	pieces := []life.Piece{{ID: 9, Age: age, End: life.InService}}
	for i, heats := range worn {
		pieces = append(pieces, life.Piece{ID: int64(i + 1), Age: heats, End: life.WornOut})
	}
	learnt, err := life.Learn(pieces, life.Heats, 40)
	if err != nil {
		return
	}
	if o, err := learnt.Outlook(age, 10); err == nil {
		w.Lives, w.Outlook = learnt, &o
		if c, err := life.CostOf(48, o); err == nil {
			w.Cost = &c
		}
	}
}

func galleryPot() *views.Worn {
	w := &views.Worn{At: galleryNow}
	galleryLives(w, []float64{41, 36, 45}, 18)
	var grams []life.Reading
	for i := range 7 {
		grams = append(grams, life.Reading{Age: float64(5 * i), Value: 1240 - 2.3*float64(5*i) + math.Sin(float64(5*i))})
	}
	if t, err := life.TrendOf(grams, 1); err == nil {
		w.Weight = &t
	}
	return w
}

// galleryCourse is a furnace of which the last twelve melts take half a kWh
// more, and longer.
func galleryCourse(n int) *views.Worn {
	var melts []drift.Melt
	for i := range n {
		m, kg := drift.Melt{ID: int64(i + 1), Code: string(melt.NewCode("A", 2026, i+1)), Started: galleryWhen(2 * (n - i)), Cold: new(float64((i + 1) % 3 / 2))}, 1.7+0.3*math.Sin(float64(5*i))
		hours := 1.3 + 0.3*kg + 0.05*math.Cos(float64(3*i))
		kwh := 0.9**m.Cold + 0.4*kg + 0.7*hours + 0.05*math.Sin(float64(11*i))
		molten := hours - 0.2
		if i >= n-12 && n > 20 {
			kwh, molten = kwh+0.5, molten+0.15
		}
		m.Charged, m.Hours, m.Energy, m.Molten, m.Ohms = &kg, &hours, &kwh, &molten, new(26.5+0.05*float64(i))
		melts = append(melts, m)
	}
	s := drift.Settings{Power: 2, Volts: 230}
	c := &views.Course{Energy: drift.Energy(melts, s), Time: drift.Time(melts, s)}
	if c.Alarm, c.Of = c.Energy.Open(), drift.OfEnergy; c.Alarm != nil {
		c.Causes = drift.Causes(melts, c.Energy, *c.Alarm, s, drift.Tools{})
		c.Closed = []views.ClosedAlarm{{Melt: "A26-004", How: "one_off", When: "3 Sep 2026", Who: "Workshop", Note: "The lid stood open."}}
	}
	if w, err := drift.Box(0.23, 0.23, 0.3, []drift.Layer{{Brick: drift.Bricks[0], Thickness: 0.114}}, 720, 14, drift.Outside{}); err == nil {
		c.Wall = &w
		if fit := c.Energy.Split; fit != nil && fit.Fit != nil {
			if loss, ok := drift.CompareLoss(w.Watts, fit.Fit.PerHour); ok {
				c.Loss = &loss
			}
		}
	}
	c.Served = &views.Timeline{Title: "Element sets and crucibles", From: galleryWhen(400), To: galleryNow, Rows: []views.Served{
		{Name: "E4", Href: "/kit/3", From: galleryWhen(400), To: galleryWhen(90), Note: "element set · 30 heats, 51 h hot"},
		{Name: "E5", Href: "/kit/3", From: galleryWhen(88), To: galleryWhen(2), Now: true, Note: "element set · 26 heats, 44 h hot"},
		{Name: "C3", Href: "/kit/2", From: galleryWhen(300), To: galleryWhen(1), Now: true, Note: "crucible · 45 heats, 80 h hot"},
	}}
	return &views.Worn{At: galleryNow, Course: c}
}

func galleryScale() *views.Worn {
	list := []drift.ScaleCheck{{At: galleryWhen(300), Mass: 1, Reading: 1}, {At: galleryWhen(10), Mass: 1, Reading: 1.012}}
	in := drift.Scale(drift.ScaleOf{Step: 0.001}, list, []drift.Used{{ID: 1, At: galleryWhen(100)}, {ID: 2, At: galleryWhen(50)}})
	return &views.Worn{At: galleryNow, Tool: &in, Doubted: []views.Link{{Text: "A26-001", Href: "/melts/A26-001"}, {Text: "A26-002", Href: "/melts/A26-002"}}}
}
