package sheet_test

import (
	"fmt"
	"reflect"
	"strings"
	"time"

	"drosswise/foundry/heat"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/sheet"
	"drosswise/foundry/tariff"
)

const (
	kg     = quantity.Kilogram
	kWh    = quantity.KilowattHour
	gram10 = 10 * quantity.Gram
)

// The sources, the scale and the lot of these tests.
const (
	wheels  = 1
	profile = 2
	scale   = 3
	lot     = 4
)

var start = quantity.At(time.Date(2026, 3, 14, 10, 0, 0, 0, time.UTC))

// line is something that happened some minutes after the start.
func line(k melt.Kind, minute int, edits ...func(*melt.Line)) melt.Line {
	l := melt.Line{Kind: k, At: start + quantity.Moment(quantity.Span(minute)*quantity.Minute)}
	for _, edit := range edits {
		edit(&l)
	}
	return l
}

// weighed is one reading that is 10 g off, as a standard uncertainty.
func weighed(m quantity.Mass) func(*melt.Line) {
	return func(l *melt.Line) { l.Gross, l.Spread = []quantity.Mass{m}, new(gram10) }
}

func of(source int64) func(*melt.Line) { return func(l *melt.Line) { l.Source = source } }

func showing(e quantity.Energy) func(*melt.Line) { return func(l *melt.Line) { l.Meter = new(e) } }

func hot(celsius quantity.Temperature, where string) func(*melt.Line) {
	return func(l *melt.Line) { l.Temp, l.Which = new(celsius*quantity.Celsius), where }
}

// written gives lines the ids and keys that a book gives them, in the order
// of writing.
func written(lines ...melt.Line) []melt.Line {
	for i := range lines {
		lines[i].ID, lines[i].Key = int64(i+1), fmt.Sprintf("line-%04d", i+1)
	}
	return lines
}

// vectorLines are the test vector of the trade notes, §4: 6.00 kg of wheels and
// 2.00 kg of profile on a heel of 0.40 kg, 11.6 kWh, 3 h 10 min to all molten.
func vectorLines() []melt.Line {
	return written(
		line(melt.HeelIn, 0, weighed(4*kg/10)),
		line(melt.Charge, 1, weighed(6*kg), of(wheels)),
		line(melt.Charge, 2, weighed(2*kg), of(profile)),
		line(melt.PowerOn, 5, showing(1_200*kWh)),
		line(melt.AllMolten, 5+190),
		line(melt.Temperature, 200, hot(720, melt.InMetal)),
		line(melt.Addition, 205, func(l *melt.Line) { l.Which, l.Cost = "cover flux", new(quantity.Money(10)) }),
		line(melt.Skim, 210, weighed(55*kg/100)),
		line(melt.Pour, 215, weighed(752*kg/100), func(l *melt.Line) { l.Count = new(9) }),
		line(melt.Spill, 216, weighed(5*kg/100)),
		line(melt.HeelOut, 217, weighed(3*kg/10)),
		line(melt.Isolated, 220, showing(1_200*kWh+116*kWh/10)),
		line(melt.Close, 240),
	)
}

func vectorHeading() melt.Heading {
	return melt.Heading{ID: 1, Code: "A26-041", At: start, Furnace: 5, Crucible: 6, Element: 7, Target: melt.Ingots}
}

// vectorFacts are the vector's prices, and a crucible of 3 kg of clay-graphite,
// which the vector does not say.
func vectorFacts() sheet.Facts {
	return sheet.Facts{
		Scales: map[int64]melt.Scale{scale: {Name: "Bench", Resolution: quantity.Gram, Capacity: 10 * kg}},
		Sources: map[int64]sheet.Source{
			wheels:  {Name: "Wheels", Paid: new(quantity.Price(800_000))},
			profile: {Name: "Profile", Paid: new(quantity.Price(0)), Fetches: new(quantity.Price(700_000))},
		},
		Lots:     map[int64]sheet.Lot{},
		Crucible: &sheet.Crucible{Kind: heat.ClayGraphite, Mass: new(3 * kg), Cost: new(quantity.Money(6_000)), Heats: new(100)},
		Element:  &sheet.Element{Wire: "NiCr 80/20", Cost: new(quantity.Money(4_500)), Heats: new(200)},
		Ambient:  20 * quantity.Celsius,
		Tariffs:  []tariff.Tariff{{From: start - quantity.Moment(24*quantity.Hour), Price: 257_300}},
		Zone:     time.UTC,
		Coin:     0.01,
	}
}

// change edits the one line of a kind (the first of several).
func change(lines []melt.Line, k melt.Kind, edit func(*melt.Line)) {
	for i := range lines {
		if lines[i].Kind == k {
			edit(&lines[i])
			return
		}
	}
	panic("no line of kind " + k)
}

// without leaves out the lines of some kinds.
func without(lines []melt.Line, kinds ...melt.Kind) []melt.Line {
	var rest []melt.Line
	for _, l := range lines {
		kept := true
		for _, k := range kinds {
			kept = kept && l.Kind != k
		}
		if kept {
			rest = append(rest, l)
		}
	}
	return rest
}

// figures are all figures of a sheet by the name they are kept under.
func figures(s sheet.Sheet) map[string]sheet.Figure {
	all := map[string]sheet.Figure{}
	v := reflect.ValueOf(s)
	for i := range v.NumField() {
		if f, ok := v.Field(i).Interface().(sheet.Figure); ok {
			name, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
			all[name] = f
		}
	}
	return all
}

func codes(s sheet.Sheet) []sheet.FlagCode {
	var all []sheet.FlagCode
	for _, f := range s.Flags {
		all = append(all, f.Code)
	}
	return all
}
