package main

import (
	"strings"
	"time"

	"drosswise/foundry/crucible"
	"drosswise/foundry/heat"
	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
	"drosswise/foundry/sheet"
	"drosswise/foundry/tariff"
	"drosswise/views"
)

// The gallery's people, kit and scrap. All of it is made up.

const (
	kilogram = quantity.Kilogram
	gram     = quantity.Gram
)

// long is a name as long as a name may be.
var long = strings.Repeat("Unterfahrschutzbefestigungswinkel ", 3)[:78]

// at is a moment of the gallery's day.
func at(hour, minute int) quantity.Moment {
	return quantity.At(time.Date(2026, 11, 21, hour, minute, 0, 0, time.UTC))
}

func galleryKit() map[int64]kit.Item {
	return map[int64]kit.Item{
		1: {ID: 1, Kind: kit.Furnace, Name: "Yard furnace", Letter: "A", Heating: "wire", Volts: new(230 * quantity.Volt), Circuit: new(13 * quantity.Ampere), Power: new(2000 * quantity.Watt)},
		2: {ID: 2, Kind: kit.Crucible, Name: "C3", Material: heat.ClayGraphite, Brim: new(1380 * quantity.Millilitre), Mass: new(1240 * gram), Cost: new(quantity.Money(6000)), ExpectedHeats: new(100)},
		3: {ID: 3, Kind: kit.Element, Name: "E5", Wire: "FeCrAl 22Cr-5.8Al", Ohms: new(26500 * quantity.Resistance(1)), Cost: new(quantity.Money(4500)), ExpectedHeats: new(200)},
		4: {ID: 4, Kind: kit.Scale, Name: "Kitchen scale", Resolution: gram, Capacity: 5 * kilogram},
		5: {ID: 5, Kind: kit.Probe, Name: "T1", Couple: "K"},
		6: {ID: 6, Kind: kit.Crucible, Name: long, Material: heat.Graphite, Rated: new(6 * kilogram), RatedIn: crucible.Brass},
	}
}

func gallerySources() map[int64]scrap.Source {
	free, paid, yard := quantity.Price(0), 800_000*quantity.Price(1), 700_000*quantity.Price(1)
	return map[int64]scrap.Source{
		1: {ID: 1, Name: "Rims", Form: scrap.Profile, Coating: "anodised", Alloy: "6061", Sure: "likely", Paid: &free, Fetches: &yard},
		2: {ID: 2, Name: "Crank arms", Form: scrap.Casting, Coating: "bare", Paid: &paid},
		3: {ID: 3, Name: "Drink cans", Form: scrap.Can, Coating: "lacquered", Paid: &free, Fetches: &yard, Hazards: scrap.Hazards{Wet: true, Hollow: true}},
		4: {ID: 4, Name: long, Form: scrap.Other, Note: strings.Repeat("From the bottom of the second bin. ", 20)},
	}
}

func galleryNames() views.Names {
	return views.Names{Kit: galleryKit(), Sources: gallerySources(), People: map[int64]string{1: "Workshop", 2: "Evening crew"}, Pours: map[int64]melt.Code{900: "A26-040"}}
}

func galleryHeading() melt.Heading {
	return melt.Heading{ID: 1, Code: "A26-041", At: at(14, 5), Furnace: 1, Crucible: 2, Element: 3, Probe: 5, Target: melt.Ingots, By: 1, Noted: at(14, 5)}
}

func weighed(l melt.Line, gross ...quantity.Mass) melt.Line {
	l.Gross, l.Scale = gross, 4
	return l
}

// numbered gives lines the numbers and times of writing that a store would.
func numbered(lines ...melt.Line) []melt.Line {
	for i := range lines {
		lines[i].ID, lines[i].By = int64(i+1), 1
		lines[i].Key = "gallery-" + string(rune('a'+i))
		if lines[i].Noted == 0 {
			lines[i].Noted = lines[i].At
		}
	}
	return lines
}

// runningLines is a melt at 14:46, with a weight that was read wrong.
func runningLines() []melt.Line {
	return numbered(
		melt.Line{Kind: melt.Checked, At: at(14, 8), Count: new(7), Note: "crucible dry and sound"},
		melt.Line{Kind: melt.PowerOn, At: at(14, 12), Meter: new(quantity.Energy(128436 * 36000))},
		weighed(melt.Line{Kind: melt.Charge, At: at(14, 20), Source: 1, Dry: true}, 540*gram, 526*gram),
		weighed(melt.Line{Kind: melt.Charge, At: at(14, 29), Source: 2, Dry: true}, 364*gram),
		melt.Line{Kind: melt.Charge, At: at(14, 41), Source: 2, Gross: []quantity.Mass{4120 * gram}, Scale: 4, Strike: &melt.Strike{At: at(14, 42), By: 1, Reason: "read wrong"}},
		weighed(melt.Line{Kind: melt.Charge, At: at(14, 41), Source: 2, Dry: true, Preheated: true}, 412*gram),
		melt.Line{Kind: melt.Temperature, At: at(14, 46), Which: melt.InMetal, Temp: new(694 * quantity.Celsius), Probe: 5},
	)
}

// closedLines is the same melt to its end.
func closedLines() []melt.Line {
	pour := weighed(melt.Line{Kind: melt.Pour, At: at(15, 14), Count: new(6), Mould: "half-kilo tray", Temp: new(722 * quantity.Celsius)}, 1671*gram)
	return numbered(append(runningLines(),
		melt.Line{Kind: melt.AllMolten, At: at(15, 2)},
		melt.Line{Kind: melt.Isolated, At: at(15, 10), Meter: new(quantity.Energy(128579 * 36000))},
		weighed(melt.Line{Kind: melt.Skim, At: at(15, 12), Which: "grey dry"}, 112*gram),
		pour,
		melt.Line{Kind: melt.Addition, At: at(15, 8), Which: "cover flux", Cost: new(quantity.Money(10))},
		melt.Line{Kind: melt.Close, At: at(15, 32)},
	)...)
}

func galleryFacts() sheet.Facts {
	k := galleryKit()
	f := sheet.Facts{
		Scales: map[int64]melt.Scale{4: {Name: "Kitchen scale", Resolution: gram, Capacity: 5 * kilogram}}, Sources: map[int64]sheet.Source{}, Ambient: 15 * quantity.Celsius,
		Zone: time.UTC, Coin: 0.01, Tariffs: []tariff.Tariff{{Price: 257_300}},
		Crucible: &sheet.Crucible{Kind: k[2].Material, Mass: k[2].Mass, Cost: k[2].Cost, Heats: k[2].ExpectedHeats},
		Element:  &sheet.Element{Wire: k[3].Wire, Cost: k[3].Cost, Heats: k[3].ExpectedHeats},
	}
	for id, p := range gallerySources() {
		f.Sources[id] = sheet.Source{Name: p.Name, Alloy: p.Alloy, Paid: p.Paid, Fetches: p.Fetches}
	}
	return f
}

// galleryMelt is a melt's page with its figures worked out.
func galleryMelt(lines []melt.Line) views.Melt {
	h, k := galleryHeading(), galleryKit()
	m := views.Melt{Heading: h, Lines: lines, Sheet: sheet.Of(h, lines, galleryFacts()), Names: galleryNames(), HeatNo: 18, May: true, Keys: views.MeltKeys{Power: "gallery-power", Stamp: "gallery-stamp", Undo: "gallery-undo"}}
	if fill, basis, ok := k[2].SafeFill(); ok {
		m.SafeFill, m.FillFrom = &fill, basis
	}
	return m
}
