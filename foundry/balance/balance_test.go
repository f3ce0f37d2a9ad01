package balance_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/balance"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/testdata"
)

const (
	kg   = quantity.Kilogram
	gram = quantity.Gram
)

// mass turns kilograms of a table into a mass.
func mass(kilograms float64) quantity.Mass { return quantity.Mass(math.Round(kilograms * float64(kg))) }

func written(lines ...melt.Line) []melt.Line {
	for i := range lines {
		lines[i].ID, lines[i].Key = int64(i+1), fmt.Sprintf("line-%04d", i+1)
	}
	return lines
}

// The worked example a_melt_balance_1 in testdata: every reading has
// u = d/√12 (JCGM 100:2008, F.2.2.1), a net mass d/√6 as its container was
// weighed too, heels the person's own 50 g. Each charge and the dross had a
// container of its own.
func TestWorkedExample(t *testing.T) {
	var lines []melt.Line
	var scales map[int64]melt.Scale
	for _, row := range testdata.Rows(t, "statistics/a_melt_balance_1.csv") {
		x := mass(row.Number(t, "value"))
		direct := melt.Line{Scale: 1, Gross: []quantity.Mass{x}}
		container := quantity.Mass(200+len(lines)) * gram
		net := melt.Line{Scale: 1, Tare: container, Gross: []quantity.Mass{x + container}}
		heel := melt.Line{Gross: []quantity.Mass{x}}
		switch row["item"] {
		case "readability_kg":
			scales = map[int64]melt.Scale{1: {Resolution: x}}
		case "scale_factor_rel_u":
			require.Zero(t, x)
		case "charge_net_kg":
			net.Kind, net.Source = melt.Charge, 1
			lines = append(lines, net)
		case "ingot_kg":
			direct.Kind = melt.Pour
			lines = append(lines, direct)
		case "dross_net_kg":
			net.Kind = melt.Skim
			lines = append(lines, net)
		case "heel_in_kg":
			heel.Kind = melt.HeelIn
			lines = append(lines, heel)
		case "heel_out_kg":
			heel.Kind = melt.HeelOut
			lines = append(lines, heel)
		case "heel_std_uncertainty_kg":
			for i := range lines {
				if lines[i].Kind == melt.HeelIn || lines[i].Kind == melt.HeelOut {
					lines[i].Spread = new(x)
				}
			}
		default:
			require.Failf(t, "unknown item", row["item"])
		}
	}
	b := balance.Of(written(lines...), scales)
	yield, drossRate := b.Recovered().Over(b.Net()), b.Dross.Over(b.Net())
	assert.Equal(t, 10, b.Readings)
	for quantity, got := range map[string]float64{
		"charged (kg)":               b.Charged.X,
		"u(charged) from resolution": b.Charged.U(),
		"metal produced = ingots + heel out - heel in (kg)": b.Recovered().X,
		"u(metal)":              b.Recovered().U(),
		"yield":                 yield.X,
		"u(yield)":              yield.U(),
		"dross rate":            drossRate.X,
		"u(dross rate)":         drossRate.U(),
		"unaccounted loss (kg)": b.Unaccounted().X,
		"u(unaccounted)":        b.Unaccounted().U(),
	} {
		want := expected(t, quantity)
		assert.InDelta(t, want.Number(t, "expected"), got, want.Number(t, "abs_tolerance"), quantity)
	}
}

func expected(t *testing.T, quantity string) testdata.Row {
	for _, row := range testdata.Rows(t, "statistics/expected.csv") {
		if row["example"] == "a_melt_balance_1" && row["quantity"] == quantity {
			return row
		}
	}
	require.Failf(t, "no such answer", quantity)
	return nil
}

// One mass in all the ways it can be weighed; d is the scale's step of 10 g.
// What a reading adds is d/√12, and the container stands once in every reading
// it was in: with weight n for n readings (JCGM 100:2008, 5.1).
func TestDoubtOfOneMass(t *testing.T) {
	d := 0.010 / math.Sqrt(12)
	scales := map[int64]melt.Scale{
		1: {Resolution: 10 * gram},
		2: {Resolution: 10 * gram, Gain: 2_000}, // ± 0.2 % as limits: /√3
	}
	for _, c := range []struct {
		name string
		line melt.Line
		x, u float64
	}{
		{"one reading", melt.Line{Scale: 1, Gross: []quantity.Mass{kg}}, 1, d},
		{"gross and container", melt.Line{Scale: 1, Gross: []quantity.Mass{kg}, Tare: 200 * gram}, 0.8, math.Sqrt(2) * d},
		{"three readings", melt.Line{Scale: 1, Gross: []quantity.Mass{kg, kg, 2 * kg}}, 4, math.Sqrt(3) * d},
		{"three readings, one container", melt.Line{Scale: 1, Gross: []quantity.Mass{kg, kg, 2 * kg}, Tare: 200 * gram}, 3.4, math.Sqrt(3+9) * d},
		{"the scale's own error", melt.Line{Scale: 2, Gross: []quantity.Mass{3 * kg}}, 3, math.Hypot(d, 3*0.002/math.Sqrt(3))},
		{"the person's own spread", melt.Line{Scale: 2, Gross: []quantity.Mass{3 * kg}, Spread: new(50 * gram)}, 3, 0.05},
		{"a spread of nothing", melt.Line{Scale: 2, Gross: []quantity.Mass{3 * kg}, Spread: new(quantity.Mass(0))}, 3, 0},
		{"no scale", melt.Line{Gross: []quantity.Mass{3 * kg}}, 3, 0},
		{"a typed zero", melt.Line{Scale: 1, Gross: []quantity.Mass{0}}, 0, d},
		{"nothing weighed", melt.Line{Scale: 1, Tare: 200 * gram}, 0, 0},
	} {
		c.line.Kind = melt.Charge
		b := balance.Of(written(c.line), scales)
		assert.InDelta(t, c.x, b.Charged.X, 1e-12, c.name)
		assert.InDelta(t, c.u, b.Charged.U(), 1e-12, c.name)
		assert.Equal(t, len(c.line.Gross), b.Readings, c.name)
	}
}

// A heel is judged by eye: a tenth of it, and at least 50 g (common practice,
// no source); a crucible found empty is empty.
func TestDoubtOfAHeel(t *testing.T) {
	for m, u := range map[quantity.Mass]float64{400 * gram: 0.05, 2 * kg: 0.2, 0: 0} {
		for _, k := range []melt.Kind{melt.HeelIn, melt.HeelOut} {
			b := balance.Of(written(melt.Line{Kind: k, Gross: []quantity.Mass{m}}), nil)
			assert.InDelta(t, u, b.HeelIn.Plus(b.HeelOut).U(), 1e-12, "%s of %d g", k, m/gram)
		}
	}
}

// A container that was weighed once and comes off the charge and off the dross
// is one reading: in U it cancels where it was used on both sides. A scale's
// own error cancels in ratios and stays in differences as g·|U|, as all masses
// were weighed on it.
func TestReadingsAreNotCountedTwice(t *testing.T) {
	scales := map[int64]melt.Scale{1: {Resolution: 10 * gram}, 2: {Resolution: 1, Gain: 3_000}}
	d := 0.010 / math.Sqrt(12)
	pot := func(k melt.Kind, scale int64, net quantity.Mass, tare quantity.Mass) melt.Line {
		return melt.Line{Kind: k, Scale: scale, Tare: tare, Gross: []quantity.Mass{net + tare}}
	}
	same := balance.Of(written(pot(melt.Charge, 1, 2*kg, 500*gram), pot(melt.Skim, 1, kg, 500*gram)), scales)
	assert.InDelta(t, math.Sqrt(2)*d, same.Unaccounted().U(), 1e-12)
	other := balance.Of(written(pot(melt.Charge, 1, 2*kg, 500*gram), pot(melt.Skim, 1, kg, 600*gram)), scales)
	assert.InDelta(t, 2*d, other.Unaccounted().U(), 1e-12)

	b := balance.Of(written(pot(melt.Charge, 2, 8*kg, 0), pot(melt.Pour, 2, 7*kg, 0), pot(melt.Skim, 2, 600*gram, 0)), scales)
	g := 0.003 / math.Sqrt(3)
	assert.InDelta(t, g*7, b.Ingots.U(), 1e-7)
	assert.InDelta(t, 0, b.Recovered().Over(b.Net()).U(), 1e-6)
	assert.InDelta(t, g*0.4, b.Unaccounted().U(), 1e-6)
	assert.InDelta(t, g*(8-7), b.Charged.Minus(b.Ingots).U(), 1e-7, "one factor for both")
}

// What counts as charge, as metal out and as neither.
func TestWhatCountsWhere(t *testing.T) {
	weighed := func(k melt.Kind, m quantity.Mass, edits ...func(*melt.Line)) melt.Line {
		l := melt.Line{Kind: k, Gross: []quantity.Mass{m}}
		for _, edit := range edits {
			edit(&l)
		}
		return l
	}
	which := func(w string) func(*melt.Line) { return func(l *melt.Line) { l.Which = w } }
	from := func(source, pour int64) func(*melt.Line) {
		return func(l *melt.Line) { l.Source, l.Pour = source, pour }
	}
	lines := written(
		weighed(melt.Charge, 3*kg, from(1, 0)),
		weighed(melt.Charge, 2*kg, from(0, 77)),
		weighed(melt.Charge, kg, from(1, 0), func(l *melt.Line) { l.AsFound = true }),
		weighed(melt.Addition, 200*gram, which("silicon")),
		weighed(melt.Addition, 300*gram, which("master alloy")),
		weighed(melt.Addition, 40*gram, which("cover flux")),
		weighed(melt.Steel, 500*gram),
		weighed(melt.HeelIn, 400*gram), weighed(melt.HeelOut, 100*gram),
		weighed(melt.Pour, 4*kg), weighed(melt.Pour, kg),
		weighed(melt.Reject, 300*gram), weighed(melt.Spill, 50*gram), weighed(melt.Skim, 450*gram),
		weighed(melt.Note, 9*kg),
	)
	b := balance.Of(lines, nil)
	for name, c := range map[string][2]float64{
		"charged":     {6.5, b.Charged.X},
		"net":         {6.0, b.Net().X},
		"ingots":      {5.0, b.Ingots.X},
		"recovered":   {5.0 + 0.3 + 0.05 + 0.1 - 0.4, b.Recovered().X},
		"good":        {5.0 + 0.1 - 0.4, b.Good().X},
		"unaccounted": {6.0 + 0.4 - (5.0 + 0.3 + 0.05 + 0.45 + 0.1), b.Unaccounted().X},
	} {
		assert.InDelta(t, c[0], c[1], 1e-12, name)
	}
	assert.Equal(t, []balance.Share{{Source: 1, Mass: 4 * kg, AsFound: true}, {Pour: 77, Mass: 2 * kg}}, b.Shares)
	assert.True(t, b.AsFound)
}

// What was poured and skimmed without a mass is told from what was weighed as
// nothing.
func TestUnweighedIsNotZero(t *testing.T) {
	zero := []quantity.Mass{0}
	b := balance.Of(written(melt.Line{Kind: melt.Pour}, melt.Line{Kind: melt.Skim}), nil)
	assert.Equal(t, [4]bool{true, false, true, false}, [4]bool{b.UnweighedPour, b.HasIngots, b.UnweighedSkim, b.HasDross})
	b = balance.Of(written(melt.Line{Kind: melt.Pour, Gross: zero}, melt.Line{Kind: melt.Skim, Gross: zero}), nil)
	assert.Equal(t, [4]bool{false, true, false, true}, [4]bool{b.UnweighedPour, b.HasIngots, b.UnweighedSkim, b.HasDross})
	b = balance.Of(written(melt.Line{Kind: melt.Pour}, melt.Line{Kind: melt.Reject, Gross: []quantity.Mass{kg}}), nil)
	assert.True(t, b.UnweighedPour && b.HasIngots)
}
