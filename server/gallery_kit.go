package main

import (
	"net/url"
	"time"

	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/views"
)

// galleryKey is the key of every button in the gallery; nothing takes it.
func galleryKey() string { return "gallery-key" }

// kitScenes are the list of kit, its pages and its forms.
func kitScenes() []scene {
	all := []scene{
		{"kit/empty", "Kit, empty", views.KitList{May: true}.Page},
		{"kit/reader", "Kit, empty, for a reader", views.KitList{}.Page},
		{"kit/many", "Kit, many", galleryKitList().Page},
	}
	for _, s := range []struct {
		path, shows string
		page        views.KitItem
	}{
		{"kit/furnace", "A furnace", galleryItem(1, nil)},
		{"kit/crucible", "A crucible with a crack", galleryItem(2, galleryInspections())},
		{"kit/element", "An element set", galleryItem(3, galleryReadings())},
		{"kit/scale", "A scale", galleryItem(4, nil)},
		{"kit/thermocouple", "A thermocouple", galleryItem(5, nil)},
		{"kit/long", "Kit with a very long name", galleryItem(6, nil)},
	} {
		all = append(all, scene{s.path, s.shows, s.page.Page})
	}
	return append(all, kitFormScenes()...)
}

func galleryKitList() views.KitList {
	p := views.KitList{May: true, Wears: map[int64]kit.Wear{}}
	for i := range int64(6) {
		it := galleryKit()[i+1]
		if it.Kind == kit.Element {
			it.On = 1
		}
		p.Items = append(p.Items, it)
		p.Wears[it.ID] = galleryWear()
	}
	p.Due = galleryDue()
	gone := galleryKit()[2]
	gone.ID, gone.Name, gone.Retired = 7, "C2", true
	p.Items = append(p.Items, gone)
	return p
}

func galleryWear() kit.Wear {
	return kit.Wear{Heats: 31, Charged: 62 * kilogram, Hot: 212 * quantity.Hour, Energy: 60 * quantity.KilowattHour}
}

func galleryItem(id int64, lines []kit.Line) views.KitItem {
	p := views.KitItem{Item: galleryKit()[id], Lines: lines, Wear: galleryWear(), Names: galleryNames(), Melts: galleryRows(3), May: true, NewKeys: galleryKey}
	p.Item.Retired, p.Item.On = kit.Fate(lines)
	p.Names.Kit[id] = p.Item
	if d, ok := galleryDue()[id]; ok {
		p.Due = &d
	}
	return p
}

// galleryWhen is some days before the gallery's own.
func galleryWhen(days int) quantity.Moment {
	return galleryNow - quantity.Moment(days)*quantity.Moment(24*quantity.Hour)
}

func galleryReadings() []kit.Line {
	return []kit.Line{
		{ID: 1, Kind: kit.Fitted, At: galleryWhen(400), Furnace: 1},
		{ID: 2, Kind: kit.Read, At: galleryWhen(90), Ohms: new(26_900 * quantity.Resistance(1)), Temp: new(21 * quantity.Celsius), Note: "meter M1"},
		{ID: 3, Kind: kit.Read, At: galleryWhen(60), Volts: new(231 * quantity.Volt), Amps: new(8050 * quantity.Current(1))},
		{ID: 4, Kind: kit.Read, At: galleryWhen(31), Ohms: new(72 * quantity.Ohm), Strike: &kit.Strike{At: galleryWhen(30), By: 2, Reason: "read with the leads of the other coil"}},
		{ID: 5, Kind: kit.Read, At: galleryWhen(2), Ohms: new(28_800 * quantity.Resistance(1)), Volts: new(231 * quantity.Volt), Amps: new(6 * quantity.Ampere)},
	}
}

func galleryInspections() []kit.Line {
	return []kit.Line{
		{ID: 1, Kind: kit.Inspected, At: galleryWhen(40), Mass: new(1180 * gram), Wall: new(9 * quantity.Millimetre)},
		{ID: 2, Kind: kit.Inspected, At: galleryWhen(1), Cracked: true, Note: "From the lip, a finger long."},
	}
}

// kitFormScenes are the forms of every kind, empty, filled in and refused.
func kitFormScenes() []scene {
	var all []scene
	style := quantity.Style{Currency: "EUR", Zone: time.UTC}
	for i, k := range kit.Kinds {
		it := galleryKit()[int64(i+1)]
		fresh := views.KitForm{Kind: k, Key: galleryKey(), Wires: wires()}
		change := views.KitForm{Filled: filled(newForm(typedKit(it, style), style)), Kind: k, ID: it.ID, Name: it.Name, Wires: wires()}
		wrong := newForm(url.Values{"volts": {"-5"}, "power": {"2"}, "brim": {"a bucket"}, "rated": {"6"}, "ohms": {"0"}, "resolution": {"0"}, "couple": {"Q"}}, style)
		wrong.kit(kit.Item{Kind: k})
		refused := fresh
		refused.Filled = filled(wrong)
		all = append(all,
			scene{"kit/new/" + string(k), "New " + k.Name(), fresh.Page},
			scene{"kit/edit/" + string(k), "Change " + k.Name(), change.Page},
			scene{"kit/refused/" + string(k), "New " + k.Name() + ", refused", refused.Page})
	}
	furnace := []views.Option{{Value: "1", Label: "Yard furnace"}}
	for _, spec := range kit.LineSpecs {
		for i, k := range kit.Kinds {
			if spec.Applies(k) {
				page := views.KitLineForm{Item: galleryKit()[int64(i+1)], Spec: spec, Key: galleryKey(), Furnaces: furnace}
				all = append(all, scene{"kit/line/" + string(k) + "/" + string(spec.Kind), k.Name() + ": " + spec.Verb, page.Page})
			}
		}
	}
	none := views.KitLineForm{Item: galleryKit()[3], Spec: kit.LineSpecs[0], Key: galleryKey()}
	return append(all, scene{"kit/line/no-furnace", "Fitted, without a furnace", none.Page})
}
