package recovery

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func rowsOf(t *testing.T, melts ...Melt) []row {
	rows, out := Shop{Sources: []Source{wheels, cans, frames}, Melts: melts}.table()
	require.Empty(t, out)
	return rows
}

// Worked by hand: 6.00 + 2.00 kg, 7.47 kg of metal, 0.55 kg of dross; u(R) and
// u(C) of 10 g readings (JCGM 100:2008, F.2.2.1), as in the trade notes' vector:
// 93.4 %, 6.9 %, 0.30 points with six weighings at ±10 g.
func TestRowOfAPlainMelt(t *testing.T) {
	m := Melt{
		ID: 1, Charges: []Charge{{Source: 1, Kilograms: 6}, {Source: 3, Kilograms: 2}}, ChargedU: 0.01 * math.Sqrt2,
		Recovered: &Amount{7.47, 0.02}, Dross: &Amount{0.55, 0.01},
	}
	r := rowsOf(t, m)[0]
	assert.Equal(t, []share{{0, 0.75}, {2, 0.25}}, r.shares)
	assert.InDelta(t, 0.934, r.metal, 0.0005)
	assert.InDelta(t, 0.069, r.dross, 0.0005)
	assert.InDelta(t, 0.0030, math.Sqrt(r.metalVar), 0.00005)
}

// Steel comes off what was weighed as found; what its deliveries say was sorted
// off counts as taken off already.
func TestSteelAndAsFound(t *testing.T) {
	whole := &Amount{3, 0}
	r := rowsOf(t, Melt{ID: 1, Steel: 0.5, Recovered: whole, Charges: []Charge{{Source: 1, Kilograms: 2}, {Source: 3, Kilograms: 2, AsFound: true}}})[0]
	assert.InDelta(t, 3.5, r.net, 1e-12)
	assert.InDelta(t, 2/3.5, r.shares[0].part, 1e-12, "the clean one keeps its mass")
	assert.InDelta(t, sq(AsFoundDoubt*1.5/4), r.metalVar, 1e-12)

	r = rowsOf(t, Melt{ID: 1, Steel: 0.4, Recovered: whole, Charges: []Charge{{Source: 1, Kilograms: 2}, {Source: 3, Kilograms: 2, AsFound: true, Ready: 0.8}}})[0]
	assert.InDelta(t, 3.6, r.net, 1e-12, "the steel is what sorting would have taken off")
	assert.Zero(t, r.metalVar)

	r = rowsOf(t, Melt{ID: 1, Steel: 0.4, Recovered: whole, Charges: []Charge{{Source: 1, Kilograms: 1}, {Source: 3, Kilograms: 3}}})[0]
	assert.InDelta(t, 0.25, r.shares[0].part, 1e-12, "nobody knows whose it was")
	assert.InDelta(t, 3.6, r.net, 1e-12)
}

func TestWetAndSpilledCountForLess(t *testing.T) {
	dry := Melt{ID: 1, Recovered: &Amount{3.6, 0.005}, Dross: &Amount{0.2, 0.005}, Charges: []Charge{{Source: 1, Kilograms: 4}}}
	wet, spilled := dry, dry
	wet.Charges = []Charge{{Source: 1, Kilograms: 4, Wet: true}}
	spilled.Spilled = true
	d, w, s := rowsOf(t, dry)[0], rowsOf(t, wet)[0], rowsOf(t, spilled)[0]
	assert.InDelta(t, sq(WetDoubt), w.metalVar-d.metalVar, 1e-12)
	assert.InDelta(t, sq(WetDoubt), w.drossVar-d.drossVar, 1e-12)
	assert.InDelta(t, sq(SpillDoubt), s.metalVar-d.metalVar, 1e-12)
	assert.Equal(t, d.drossVar, s.drossVar, "spilled metal is no dross")
}

// A heel brings its ancestors: half of the first melt's metal is wheels, half
// cans; the third melt's heel holds what the second's was made of.
func TestHeelsCarryTheirAncestry(t *testing.T) {
	charge := func(source int64) []Charge { return []Charge{{Source: source, Kilograms: 4}} }
	metal := &Amount{3.8, 0}
	rows := rowsOf(t,
		Melt{ID: 1, Started: 1, Recovered: metal, Charges: []Charge{{Source: 1, Kilograms: 2}, {Source: 2, Kilograms: 2}}},
		Melt{ID: 2, Started: 2, Recovered: metal, Charges: charge(3), HeelIn: 1, HeelFrom: 1},
		Melt{ID: 3, Started: 3, Recovered: metal, Charges: charge(3), HeelIn: 1, HeelFrom: 2},
		Melt{ID: 4, Started: 4, Recovered: metal, Charges: charge(3), HeelIn: 1},
	)
	again := HeelAgain / 4 // a kilogram of heel under four of charge
	assert.Equal(t, []share{{0, again / 2}, {1, again / 2}, {2, 1}}, rows[1].shares)
	assert.InDelta(t, 3.8/4+again, rows[1].metal, 1e-12)
	require.Len(t, rows[2].shares, 3)
	assert.InDelta(t, again*0.1, rows[2].shares[0].part, 1e-12)
	assert.InDelta(t, 1+again*0.8, rows[2].shares[2].part, 1e-12)
	assert.Equal(t, []share{{2, 1}}, rows[3].shares, "of a heel that nobody knows nothing is counted")

	e := Estimate(Shop{Sources: []Source{wheels, cans, frames}, Melts: []Melt{
		{ID: 1, Started: 1, Recovered: metal, Charges: charge(1)},
		{ID: 2, Started: 2, Recovered: metal, Charges: charge(3), HeelIn: 1, HeelFrom: 1},
	}}, Settings{})
	assert.Equal(t, 1, e.Sources[0].Heels)
	assert.Equal(t, 1, e.Sources[0].Melts)
	assert.InDelta(t, 0.95, e.Melts[1].Metal.Seen, 1e-12, "shown as it was weighed")
}

func TestLeftOut(t *testing.T) {
	metal, one := &Amount{1, 0}, []Charge{{Source: 1, Kilograms: 1}}
	_, out := Shop{Sources: []Source{wheels}, Melts: []Melt{
		{ID: 1, Recovered: metal},
		{ID: 2, Charges: one},
		{ID: 3, Recovered: metal, Charges: []Charge{{Source: 9, Kilograms: 1}}},
		{ID: 4, Recovered: &Amount{-1, 0}, Charges: one},
		{ID: 5, Recovered: &Amount{math.NaN(), 0}, Charges: one},
		{ID: 6, Recovered: metal, Charges: one, Steel: 2},
		{ID: 7, Recovered: metal, Charges: []Charge{{Source: 1}}},
	}}.table()
	want := []OutCode{OutNoCharge, OutNoMetal, OutSource, OutNumber, OutNumber, OutNoCharge, OutNoCharge}
	require.Len(t, out, len(want))
	for i, o := range out {
		assert.Equal(t, Out{Melt: int64(i + 1), Why: want[i]}, o)
	}
}
