package sheet_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/sheet"
	"drosswise/foundry/tariff"
)

// missing is one thing left out of the vector, and every figure that then has
// no result, with what it says is lacking. A blank is never taken as zero, and
// figures that do not need the blank stay.
type missing struct {
	name  string
	edit  func(*melt.Heading, *[]melt.Line, *sheet.Facts)
	lacks map[string][]sheet.Lack
}

// all says the same lack of several figures.
func all(lack sheet.Lack, names ...string) map[string][]sheet.Lack {
	m := map[string][]sheet.Lack{}
	for _, n := range names {
		m[n] = []sheet.Lack{lack}
	}
	return m
}

func lines(edit func(lines *[]melt.Line)) func(*melt.Heading, *[]melt.Line, *sheet.Facts) {
	return func(_ *melt.Heading, l *[]melt.Line, _ *sheet.Facts) { edit(l) }
}

func leaving(kinds ...melt.Kind) func(*melt.Heading, *[]melt.Line, *sheet.Facts) {
	return lines(func(l *[]melt.Line) { *l = without(*l, kinds...) })
}

func facts(edit func(f *sheet.Facts)) func(*melt.Heading, *[]melt.Line, *sheet.Facts) {
	return func(_ *melt.Heading, _ *[]melt.Line, f *sheet.Facts) { edit(f) }
}

func unweighed(k melt.Kind) func(*melt.Heading, *[]melt.Line, *sheet.Facts) {
	return lines(func(l *[]melt.Line) { change(*l, k, func(l *melt.Line) { l.Gross = nil }) })
}

func TestBlankIsNotZero(t *testing.T) {
	noIngots := all(sheet.NoIngots, "ingots", "recovered", "unaccounted", "yield", "good_yield", "loss", "kwh_per_kg_usable", "cash_per_kg", "opportunity_per_kg")
	noDross := all(sheet.NoDross, "dross", "dross_rate", "unaccounted")
	noTemp := all(sheet.NoPourTemp, "pour_temp", "heat_metal", "heat_crucible", "heat_rest", "efficiency")
	costs := []string{"cash", "cash_per_kg", "opportunity", "opportunity_per_kg"}
	for _, c := range []missing{
		{"nothing", leaving(), nil},
		{"charge", leaving(melt.Charge), all(sheet.NoCharge, append(costs, "charged", "yield", "good_yield", "loss", "dross_rate", "unaccounted",
			"kwh_per_kg_charged", "heat_metal", "heat_rest", "efficiency", "melt_rate")...)},
		{"mass of the pour", unweighed(melt.Pour), noIngots},
		{"pour", leaving(melt.Pour), noIngots},
		{"mass of the skim", unweighed(melt.Skim), noDross},
		{"skim", leaving(melt.Skim), noDross},
		{"heel and spill", leaving(melt.HeelIn, melt.HeelOut, melt.Spill), nil},
		{"energy", lines(func(l *[]melt.Line) { change(*l, melt.Isolated, func(l *melt.Line) { l.Meter = nil }) }),
			all(sheet.NoEnergy, append(costs, "energy", "kwh_per_kg_charged", "kwh_per_kg_usable", "heat_rest", "efficiency")...)},
		{"temperature", leaving(melt.Temperature), noTemp},
		{"temperature in the metal", lines(func(l *[]melt.Line) { change(*l, melt.Temperature, hot(900, melt.Chamber)) }), noTemp},
		{"crucible", facts(func(f *sheet.Facts) { f.Crucible = nil }), all(sheet.NoCrucible, "heat_crucible", "heat_rest")},
		{"mass of the crucible", facts(func(f *sheet.Facts) { f.Crucible.Mass = nil }), all(sheet.NoCrucibleMass, "heat_crucible", "heat_rest")},
		{"kind of crucible", facts(func(f *sheet.Facts) { f.Crucible.Kind = "other" }), all(sheet.NoCrucibleHeat, "heat_crucible", "heat_rest")},
		{"power on", lines(func(l *[]melt.Line) { change(*l, melt.PowerOn, func(l *melt.Line) { l.Kind = melt.Meter }) }),
			all(sheet.NoPowerOn, "hot_hours", "time_to_molten", "melt_rate")},
		{"all molten", leaving(melt.AllMolten), all(sheet.NoAllMolten, "time_to_molten", "melt_rate")},
		{"tariff", facts(func(f *sheet.Facts) { f.Tariffs = nil }), all(sheet.NoTariff, costs...)},
		{"tariff of the day", facts(func(f *sheet.Facts) { f.Tariffs[0].From = start + quantity.Moment(quantity.Hour) }), all(sheet.NoTariff, costs...)},
		{"price of the scrap", facts(func(f *sheet.Facts) { f.Sources[wheels] = sheet.Source{} }), all(sheet.NoScrapPrice, costs...)},
		{"what free scrap would fetch", facts(func(f *sheet.Facts) { f.Sources[profile] = sheet.Source{Paid: new(quantity.Price(0))} }),
			all(sheet.NoResale, "opportunity", "opportunity_per_kg")},
		{"metal", func(_ *melt.Heading, l *[]melt.Line, _ *sheet.Facts) {
			*l = without(*l, melt.Spill, melt.HeelOut)
			change(*l, melt.Pour, func(l *melt.Line) { l.Gross = []quantity.Mass{0} })
		}, all(sheet.NoMetal, "kwh_per_kg_usable", "cash_per_kg", "opportunity_per_kg")},
		{"net charge", lines(func(l *[]melt.Line) { *l = append(*l, line(melt.Steel, 218, weighed(8*kg))) }),
			all(sheet.NoNet, "yield", "good_yield", "loss", "dross_rate", "heat_metal", "heat_rest", "efficiency")},
		{"cold", facts(func(f *sheet.Facts) { f.Ambient = 800 * quantity.Celsius }),
			all(sheet.ColdAmbient, "heat_metal", "heat_crucible", "heat_rest", "efficiency")},
	} {
		h, l, f := vectorHeading(), vectorLines(), vectorFacts()
		c.edit(&h, &l, &f)
		got := map[string][]sheet.Lack{}
		for name, figure := range figures(sheet.Of(h, l, f)) {
			if len(figure.Lacks) > 0 {
				got[name] = figure.Lacks
				assert.Zero(t, figure.X, "%s without %s", name, c.name)
				assert.Zero(t, figure.U, "%s without %s", name, c.name)
			}
		}
		if c.lacks == nil {
			c.lacks = map[string][]sheet.Lack{}
		}
		assert.Equal(t, c.lacks, got, "without %s", c.name)
	}
}

// A typed zero is a result.
func TestZeroIsNotBlank(t *testing.T) {
	nothing := func(l *melt.Line) { l.Gross = []quantity.Mass{0} }
	l := vectorLines()
	change(l, melt.Skim, nothing)
	change(l, melt.HeelOut, nothing)
	change(l, melt.Isolated, showing(1_200*kWh))
	s := sheet.Of(vectorHeading(), l, vectorFacts())
	for name, f := range map[string]sheet.Figure{"dross": s.Dross, "dross rate": s.DrossRate, "heel": s.HeelOut, "energy": s.Energy} {
		assert.True(t, f.Known(), name)
		assert.Zero(t, f.X, name)
	}
	assert.InDelta(t, 7.17, s.Recovered.X, 1e-9)
	assert.Equal(t, []bool{true, true}, []bool{s.HeelInSaid, s.HeelOutSaid})
	left := sheet.Of(vectorHeading(), without(l, melt.HeelIn), vectorFacts())
	assert.Equal(t, []bool{false, true}, []bool{left.HeelInSaid, left.HeelOutSaid})
}

// Two lacks of one figure are both named, and each once.
func TestSeveralLacks(t *testing.T) {
	s := sheet.Of(vectorHeading(), nil, sheet.Facts{})
	assert.Equal(t, []sheet.Lack{sheet.NoCharge, sheet.NoIngots}, s.Yield.Lacks)
	assert.Equal(t, []sheet.Lack{sheet.NoCharge, sheet.NoIngots, sheet.NoDross}, s.Unaccounted.Lacks)
	assert.Equal(t, []sheet.Lack{sheet.NoCharge, sheet.NoEnergy, sheet.NoIngots}, s.CashPerKg.Lacks)
	assert.Equal(t, []sheet.Lack{sheet.NoEnergy, sheet.NoCharge, sheet.NoPourTemp}, s.Rest.Lacks)
	assert.Equal(t, melt.Running, s.State)
	assert.Empty(t, s.Flags)
}

func TestEveryLackHasASentence(t *testing.T) {
	for _, l := range []sheet.Lack{
		sheet.NoCharge, sheet.NoNet, sheet.NoIngots, sheet.NoDross, sheet.NoMetal, sheet.NoEnergy, sheet.NoPourTemp, sheet.NoCrucible,
		sheet.NoCrucibleMass, sheet.NoCrucibleHeat, sheet.NoPowerOn, sheet.NoAllMolten, sheet.NoTariff, sheet.NoScrapPrice, sheet.NoResale,
		sheet.NoCrucibleCost, sheet.NoElementCost, sheet.NoAdditionCost, sheet.ColdAmbient,
	} {
		assert.Regexp(t, `^[A-Z].*\.$`, l.Sentence(), string(l))
	}
}

// Shares of crucible, element and additions are left out of the cost with a
// word; nothing else is.
func TestCostsLeaveOutWithAWord(t *testing.T) {
	const vector = 8.70968
	for _, c := range []struct {
		name string
		edit func(*melt.Heading, *[]melt.Line, *sheet.Facts)
		out  float64
		lack []sheet.Lack
	}{
		{"crucible's price", facts(func(f *sheet.Facts) { f.Crucible.Cost = nil }), 0.6, []sheet.Lack{sheet.NoCrucibleCost}},
		{"crucible's life", facts(func(f *sheet.Facts) { f.Crucible.Heats = new(0) }), 0.6, []sheet.Lack{sheet.NoCrucibleCost}},
		{"element", facts(func(f *sheet.Facts) { f.Element = nil }), 0.225, []sheet.Lack{sheet.NoElementCost}},
		{"addition's price", lines(func(l *[]melt.Line) { change(*l, melt.Addition, func(l *melt.Line) { l.Cost = nil }) }), 0.1, []sheet.Lack{sheet.NoAdditionCost}},
		{"all three", func(_ *melt.Heading, l *[]melt.Line, f *sheet.Facts) {
			f.Crucible, f.Element = nil, nil
			change(*l, melt.Addition, func(l *melt.Line) { l.Cost = nil })
		}, 0.925, []sheet.Lack{sheet.NoAdditionCost, sheet.NoCrucibleCost, sheet.NoElementCost}},
	} {
		h, l, f := vectorHeading(), vectorLines(), vectorFacts()
		c.edit(&h, &l, &f)
		s := sheet.Of(h, l, f)
		require.True(t, s.Cash.Known(), c.name)
		assert.InDelta(t, vector-c.out, s.Cash.X, 1e-9, c.name)
		for _, figure := range []sheet.Figure{s.Cash, s.CashPerKg, s.Opportunity, s.OpportunityPerKg} {
			assert.Equal(t, c.lack, figure.Without, c.name)
		}
	}
}

// Energy is spread evenly over the time with power on: from 20:00 to 23:00 by
// day and from 23:00 to 24:00 at night 11.6 kWh cost (3·0.30 + 1·0.10)/4 each.
func TestCostByTimeOfDay(t *testing.T) {
	f := vectorFacts()
	f.Tariffs = []tariff.Tariff{{From: start, Price: 300_000, Bands: []tariff.Band{{FromMinute: 23 * 60, ToMinute: 6 * 60, Price: 100_000}}}}
	l := vectorLines()
	change(l, melt.PowerOn, func(l *melt.Line) { l.At = start + quantity.Moment(10*quantity.Hour) })
	change(l, melt.Isolated, func(l *melt.Line) { l.At = start + quantity.Moment(14*quantity.Hour) })
	s := sheet.Of(vectorHeading(), l, f)
	assert.InDelta(t, 11.6*(3*0.30+1*0.10)/4, s.Costs.Energy, 1e-6)

	// With the power cut from 21:00 to 23:00, half is drawn at night.
	l = append(l, line(melt.Isolated, 11*60), line(melt.PowerOn, 13*60))
	s = sheet.Of(vectorHeading(), l, f)
	assert.InDelta(t, 2, s.Hot.X, 1e-9)
	assert.InDelta(t, 11.6*(0.30+0.10)/2, s.Costs.Energy, 1e-6)

	// Without any time of power on, all of it falls on the first line, by day.
	s = sheet.Of(vectorHeading(), append(without(l, melt.PowerOn, melt.Isolated), line(melt.Energy, 900, func(l *melt.Line) { l.Energy = new(2 * kWh) })), f)
	assert.InDelta(t, 2*0.30, s.Costs.Energy, 1e-9)
}

// A delivery's own price goes before the price of its source; ingots of an
// earlier pour were paid for when they were made.
func TestPriceOfLotsAndIngots(t *testing.T) {
	f := vectorFacts()
	f.Lots[lot] = sheet.Lot{Paid: new(quantity.Price(1_000_000))}
	l := vectorLines()
	change(l, melt.Charge, func(l *melt.Line) { l.Lot = lot })
	assert.InDelta(t, 6.0, sheet.Of(vectorHeading(), l, f).Costs.Scrap, 1e-9)

	change(l, melt.Charge, func(l *melt.Line) { l.Source, l.Lot, l.Pour = 0, 0, 99 })
	s := sheet.Of(vectorHeading(), l, f)
	assert.Zero(t, s.Costs.Scrap)
	assert.True(t, s.Cash.Known())
	assert.InDelta(t, 0.934, s.Yield.X, 0.0005)
}
