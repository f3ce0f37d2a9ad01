package findings

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
)

func of(x float64) *float64 { return &x }

func estimate(low, middle, high, dross float64) recovery.SourceEstimate {
	return recovery.SourceEstimate{
		Source: 7, Melts: 12,
		Metal: recovery.Figure{Range: recovery.Range{Low: low, Middle: middle, High: high}},
		Dross: recovery.Figure{Range: recovery.Range{Low: dross / 2, Middle: dross, High: 2 * dross}},
	}
}

// wheels is a constructed melt, worked by hand: 8 kg charged for 4.80, 11.6 kWh
// at 0.2573, flux for 0.10, crucible 60/100, element set 45/200, 7.47 kg of
// metal: 4.80 + 2.98468 + 0.10 + 0.60 + 0.225 = 8.70968, which is 1.1660 a
// kilogram; were it all free and worth 6.20, 10.10968 and 1.3534.
var wheels = Shop{
	Energy: of(11.6 / 8), Tariff: of(0.2573), Flux: of(0.01), FluxPrice: of(1.25), Crucible: of(0.60), Element: of(0.225),
	Charge: of(8), DrossPrice: of(0),
}

func TestCostByHand(t *testing.T) {
	e := estimate(0.9, 7.47/8, 0.96, 0.07)
	c := CostOf(e, Scrap{Paid: of(0.60)}, wheels)
	require.True(t, c.Cash.Known())
	assert.InDelta(t, 1.1660, c.Cash.Range.Middle, 5e-5)
	assert.InDelta(t, 8.70968/8/0.96, c.Cash.Range.Low, 1e-9)
	assert.InDelta(t, 8.70968/8/0.90, c.Cash.Range.High, 1e-9)
	assert.Equal(t, c.Cash.Range, c.Opportunity.Range, "paid scrap has nothing forgone")
	assert.Empty(t, c.Cash.Without)
	p := c.Parts
	assert.InDelta(t, c.Cash.Range.Middle, p.Scrap+p.Energy+p.Flux+p.Crucible+p.Element-p.Dross, 1e-12)
	assert.InDelta(t, 4.80/7.47, p.Scrap, 1e-12)
	assert.InDelta(t, 4.80/7.47-0.60, p.Lost, 1e-12, "what was paid, less what was paid for the metal")
	assert.InDelta(t, 8/7.47, c.Scrap.Middle, 1e-12)

	free := CostOf(e, Scrap{Paid: of(0), Fetches: of(6.20 / 8)}, wheels)
	assert.InDelta(t, 3.90968/7.47, free.Cash.Range.Middle, 1e-9)
	assert.InDelta(t, 1.3534, free.Opportunity.Range.Middle, 5e-5)
	assert.InDelta(t, 6.20/7.47, free.Parts.Forgone, 1e-12)
}

// The melt of the hand-worked example is all there is, so what is usual is what
// it took.
func TestUsualIsWhatTheNewestMeltsTook(t *testing.T) {
	one := Melt{Charged: of(8), Energy: of(11.6), Power: of(2.98468), Crucible: of(0.60), Element: of(0.225),
		Flux: []Flux{{Kind: "cover flux", Kilograms: of(0.08), Cost: of(0.10)}}}
	want, took := wheels, Usual([]Melt{one})
	for i, pair := range [][2]*float64{{want.Energy, took.Energy}, {want.Tariff, took.Tariff}, {want.Flux, took.Flux}, {want.FluxPrice, took.FluxPrice},
		{want.Crucible, took.Crucible}, {want.Element, took.Element}, {want.Charge, took.Charge}} {
		require.NotNil(t, pair[1], i)
		assert.InDelta(t, *pair[0], *pair[1], 1e-12, i)
	}
	assert.Nil(t, took.DrossPrice)

	old := Melt{Charged: of(1), Energy: of(50)}
	var melts []Melt
	for range newest {
		melts = append(melts, old)
	}
	for range newest {
		melts = append(melts, one)
	}
	got := Usual(melts)
	assert.InDelta(t, *want.Energy, *got.Energy, 1e-12, "old melts no longer count")
	assert.InDelta(t, *want.FluxPrice, *got.FluxPrice, 1e-12)

	assert.Equal(t, Shop{}, Usual(nil))
	none := Usual([]Melt{{Charged: of(2)}})
	require.NotNil(t, none.Flux)
	assert.Zero(t, *none.Flux, "no flux was used")
	assert.Nil(t, none.Energy)
	assert.Nil(t, Usual([]Melt{{Charged: of(2), FluxOpen: true}}).Flux, "nobody said")
	assert.Nil(t, Usual([]Melt{{Charged: of(2), Flux: []Flux{{Kind: "cover flux"}}}}).Flux, "not weighed")
}

func TestDrossBringsOrCosts(t *testing.T) {
	e := estimate(0.9, 0.9, 0.9, 0.1)
	shop := wheels
	plain := CostOf(e, Scrap{Paid: of(0.6)}, shop).Cash.Range.Middle
	shop.DrossPrice = of(0.5)
	assert.InDelta(t, plain-0.05/0.9, CostOf(e, Scrap{Paid: of(0.6)}, shop).Cash.Range.Middle, 1e-12)
	shop.DrossPrice = of(-0.5)
	assert.InDelta(t, plain+0.05/0.9, CostOf(e, Scrap{Paid: of(0.6)}, shop).Cash.Range.Middle, 1e-12)
}

func TestBlankIsNotZero(t *testing.T) {
	e := estimate(0.9, 0.92, 0.94, 0.05)
	c := CostOf(e, Scrap{}, Shop{})
	assert.Equal(t, []Lack{NoEnergy, NoTariff, NoScrapPrice}, c.Cash.Lacks)
	assert.Nil(t, c.Cash.Range)

	c = CostOf(e, Scrap{Paid: of(0)}, Shop{Energy: of(1.5), Tariff: of(0.25)})
	require.True(t, c.Cash.Known())
	assert.InDelta(t, 0.375/0.92, c.Cash.Range.Middle, 1e-12)
	assert.Equal(t, []Lack{NoFlux, NoCrucibleCost, NoElementCost, NoDrossPrice}, c.Cash.Without)
	assert.Equal(t, []Lack{NoResale}, c.Opportunity.Lacks)
	assert.Nil(t, c.Opportunity.Range)

	none := wheels
	none.Flux, none.FluxPrice = of(0), nil
	assert.Empty(t, CostOf(e, Scrap{Paid: of(1)}, none).Cash.Without, "no flux needs no price")
	none.Charge = nil
	assert.Equal(t, []Lack{NoUsualCharge}, CostOf(e, Scrap{Paid: of(1)}, none).Cash.Without)

	assert.Contains(t, CostOf(estimate(0, 0.3, 0.9, 0.1), Scrap{Paid: of(1)}, wheels).Cash.Lacks, NoRecovery)
	for lack := range lackSentences {
		assert.NotEmpty(t, lack.Sentence())
	}
}

func TestMeltOrSell(t *testing.T) {
	day, err := quantity.Style{}.ReadDate("2026-11-03")
	require.NoError(t, err)
	c := CostOf(estimate(0.88, 0.92, 0.95, 0.05), Scrap{Paid: of(0), Fetches: of(0.70)}, wheels)
	cost := *c.Opportunity.Range
	quote := func(price float64) *Quote { return &Quote{price, day} }

	v := MeltOrSell(c, quote(cost.High), quote(cost.Low))
	assert.InDelta(t, 0.95, v.Use.Chance, 1e-9, "the price at the end of the 90 % range")
	assert.InDelta(t, 0.05, v.Sell.Chance, 1e-9)
	assert.Equal(t, Helps, v.Use.Code)
	assert.Equal(t, Costs, v.Sell.Code)
	assert.InDelta(t, 0, v.Use.Gain.Low, 1e-12)
	assert.InDelta(t, cost.High-cost.Middle, v.Use.Gain.Middle, 1e-12)
	assert.Equal(t, CannotTell, MeltOrSell(c, quote(cost.Middle), nil).Use.Code)
	assert.InDelta(t, 0.5, MeltOrSell(c, quote(cost.Middle), nil).Use.Chance, 1e-9)

	say := v.Say(quantity.Style{Currency: "GBP"})
	assert.Contains(t, say, "Melting it for your own use pays. On 3 Nov 2026 an equal ingot cost")
	assert.Contains(t, say, "Melting it in order to sell does not pay")
	assert.Contains(t, say, "rarely pays")

	unsaid := MeltOrSell(CostOf(estimate(0.88, 0.92, 0.95, 0.05), Scrap{Paid: of(0)}, wheels), quote(2), nil)
	assert.Nil(t, unsaid.Use)
	assert.Contains(t, unsaid.Say(quantity.Style{}), NoResale.Sentence())
	assert.Contains(t, MeltOrSell(c, nil, nil).Say(quantity.Style{}), "with the date")
}

func TestSayCost(t *testing.T) {
	e := estimate(0.9, 7.47/8, 0.96, 0.07)
	style := quantity.Style{Currency: "GBP"}
	assert.Equal(t, "A kilogram of clean metal costs 1.17 GBP, between 1.13 GBP and 1.21 GBP (9 chances in 10) in cash. "+
		"Nothing else was given up for it: the scrap was paid for, or would have fetched nothing.", CostOf(e, Scrap{Paid: of(0.60)}, wheels).Say(style))
	style.MassUnit = quantity.Pounds
	assert.Contains(t, CostOf(e, Scrap{Paid: of(0.60)}, wheels).Say(style), "A pound of clean metal costs 0.53 GBP", "1.1660 · 0.45359237")
	e.Melts = 0
	assert.Contains(t, CostOf(e, Scrap{Paid: of(0.60)}, Shop{Energy: of(1), Tariff: of(1)}).Say(style), "never charged yet")
}
