package recovery

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
	"drosswise/testdata"
)

// known is a shop of two hundred melts in which wheels give 0.95 and 0.04 of
// dross, cans 0.78 and 0.20, frames 0.93 and 0.06.
func known() Shop {
	r := rand.New(rand.NewPCG(5, 6))
	metal, dross := []float64{0.95, 0.78, 0.93}, []float64{0.04, 0.20, 0.06}
	shop := Shop{Sources: []Source{wheels, cans, frames}}
	for i := range 200 {
		a, b := r.IntN(3), r.IntN(3)
		x := 1 + 3*r.Float64()
		y := 5 - x
		m := melted(i, (x*metal[a]+y*metal[b])/5+0.012*r.NormFloat64(), (x*dross[a]+y*dross[b])/5+0.008*r.NormFloat64(),
			Charge{Source: int64(a + 1), Kilograms: x}, Charge{Source: int64(b + 1), Kilograms: y})
		shop.Melts = append(shop.Melts, m)
	}
	return shop
}

func TestCompare(t *testing.T) {
	e := Estimate(known(), Settings{})
	c, ok := e.Compare(1, 2)
	require.True(t, ok)
	assert.Equal(t, GivesMore, c.Verdict)
	assert.Greater(t, c.MoreMetal, 0.999)
	assert.Greater(t, c.LessDross, 0.999)
	assert.InDelta(t, 0.17, c.Difference.Middle, 0.01)
	assert.InDelta(t, -0.16, c.Dross.Middle, 0.01)
	back, _ := e.Compare(2, 1)
	assert.Equal(t, GivesLess, back.Verdict)
	assert.InDelta(t, 1, c.MoreMetal+back.MoreMetal, 1e-12)
	_, ok = e.Compare(1, 1)
	assert.False(t, ok)

	// 0.95 kg of metal at 0.95 and 0.78 kg at 0.78 cost the same a kilogram.
	even, ok := e.Cheaper(1, 2, 0.95, 0.78)
	require.True(t, ok)
	assert.InDelta(t, 0.5, even, 0.45)
	dear, _ := e.Cheaper(1, 2, 1.2, 0.78)
	assert.Less(t, dear, 0.001)
	per, ok := e.PerKilogram(2, 0.39)
	require.True(t, ok)
	assert.InDelta(t, 0.5, per.Middle, 0.01)
	assert.Less(t, per.Low, per.High)
}

// Two sources that give the same are called alike once that is known, not before.
func TestNoDifferenceSeen(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	shop := Shop{Sources: []Source{wheels, frames}}
	for i := range 120 {
		shop.Melts = append(shop.Melts, melted(i, 0.93+0.01*r.NormFloat64(), 0.06, Charge{Source: []int64{1, 3}[i%2], Kilograms: 4}))
	}
	c, _ := Estimate(shop, Settings{}).Compare(1, 3)
	assert.Equal(t, NoDifference, c.Verdict)
	shop.Melts = shop.Melts[:4]
	c, _ = Estimate(shop, Settings{}).Compare(1, 3)
	assert.Equal(t, TooClose, c.Verdict)
}

// Trade notes §5: ten points of yield at 0.90/kg are 0.09, and buy 0.35 kWh at
// 0.2573.
func TestTenPoints(t *testing.T) {
	money, kWh := TenPoints(0.9, 0.2573)
	assert.InDelta(t, 0.09, money, 1e-12)
	assert.InDelta(t, 0.35, kWh, 0.005)
	_, kWh = TenPoints(0.9, 0)
	assert.True(t, math.IsNaN(kWh))
}

// The range of a charge's yield holds nine in ten melts of such a charge.
func TestExpectHoldsNineInTen(t *testing.T) {
	e := Estimate(known(), Settings{})
	x, ok := e.Expect(Melt{Charges: []Charge{{Source: 1, Kilograms: 3}, {Source: 2, Kilograms: 2}}})
	require.True(t, ok)
	assert.InDelta(t, 0.6*0.95+0.4*0.78, x.Metal.Middle, 0.006)
	assert.InDelta(t, 0.6*0.04+0.4*0.20, x.Dross.Middle, 0.006)
	assert.InDelta(t, 2*1.645*0.012, x.Metal.Width(), 0.008)
	assert.InDelta(t, 1, x.Known, 1e-12)
	assert.InDelta(t, 5, x.Kilograms, 1e-12)
	r := rand.New(rand.NewPCG(9, 10))
	held := 0
	for range 2000 {
		y := 0.6*0.95 + 0.4*0.78 + 0.012*r.NormFloat64()
		held += hit(x.Metal.Low <= y && y <= x.Metal.High)
	}
	assert.InDelta(t, 0.9, float64(held)/2000, 0.04)
	_, ok = e.Expect(Melt{})
	assert.False(t, ok)
}

// A charge that was weighed as found, with what its delivery says of sorting,
// and steel that was found in it count as in the estimate itself.
func TestExpectOfAnUnsortedCharge(t *testing.T) {
	e := Estimate(known(), Settings{})
	sorted := melted(0, 0.9, 0.1, Charge{Source: 1, Kilograms: 3}, Charge{Source: 2, Kilograms: 1.6})
	found := sorted
	found.Charges = []Charge{{Source: 1, Kilograms: 3}, {Source: 2, Kilograms: 2, AsFound: true, Ready: 0.8}}
	want, ok := e.Expect(sorted)
	require.True(t, ok)
	got, ok := e.Expect(found)
	require.True(t, ok)
	assert.InDelta(t, 4.6, got.Kilograms, 1e-12)
	assert.InDelta(t, want.Metal.Middle, got.Metal.Middle, 1e-6)
	assert.InDelta(t, want.Dross.Width(), got.Dross.Width(), 1e-5)

	same, ok := e.Hold(sorted)
	require.True(t, ok)
	held, ok := e.Hold(found)
	require.True(t, ok)
	assert.InDelta(t, 0.9, held.Seen, 1e-12, "over the net charge")
	assert.InDelta(t, same.Z, held.Z, 1e-6)

	found.Steel = 0.6 // of which 0.4 kg is what sorting would have taken off
	got, ok = e.Expect(found)
	require.True(t, ok)
	row := rowsOf(t, found)[0]
	assert.InDelta(t, 4.4, got.Kilograms, 1e-12)
	assert.InDelta(t, row.net, got.Kilograms, 1e-12)
	held, _ = e.Hold(found)
	assert.InDelta(t, row.metal, held.Seen, 1e-12)

	found.Charges[1].Ready = 0
	unsure, ok := e.Expect(found)
	require.True(t, ok)
	assert.Greater(t, unsure.Metal.Width(), 1.1*want.Metal.Width(), "nobody knows how much of it is metal")
	found.Recovered = nil
	_, ok = e.Hold(found)
	assert.False(t, ok)
}

func TestUnusual(t *testing.T) {
	e := Estimate(known(), Settings{})
	charge := Charge{Source: 1, Kilograms: 4}
	for seen, want := range map[float64]Unusual{0.955: AsExpected, 0.92: SomewhatOff, 0.86: FarOff} {
		h, ok := e.Hold(melted(0, seen, 0.05, charge))
		require.True(t, ok)
		assert.Equal(t, want, h.Unusual(), "%v is %.1f", seen, h.Z)
	}
	far := 0
	for _, m := range e.Melts {
		far += hit(m.Metal.Unusual() != AsExpected)
	}
	assert.InDelta(t, 0.05*200, far, 7, "one in twenty is beyond two")
	assert.Equal(t, NotKnown, (*Held)(nil).Unusual())
}

// The figures of a mistyped melt are named, with what would fit.
func TestNamesTheReading(t *testing.T) {
	shop := known()
	m := &shop.Melts[30]
	m.Charges = []Charge{{Source: 1, Kilograms: 4.120}, {Source: 3, Kilograms: 1.350}}
	ingots := math.Round((1.420*0.95+1.350*0.93)*1000) / 1000
	m.Recovered, m.Dross = &Amount{ingots, 0.002}, &Amount{0.130, 0.002}
	m.Code = "A26-031"
	m.Readings = []Reading{
		{ID: 1, Part: PartCharge, Source: 1, Kilograms: 4.120}, {ID: 2, Part: PartCharge, Source: 3, Kilograms: 1.350},
		{ID: 3, Part: PartMetal, Kilograms: ingots}, {ID: 4, Part: PartDross, Kilograms: 0.130},
	}
	e := Estimate(shop, Settings{})
	assert.LessOrEqual(t, len(e.Suspects()), 1+2, "of 200 melts, at most one in a hundred wrongly")
	s, ok := e.Melt(m.ID)
	require.True(t, ok)
	require.True(t, s.Suspect)
	assert.Equal(t, "A26-031", s.Code)
	require.NotEmpty(t, s.Slips)
	assert.EqualValues(t, 1, s.Slips[0].Reading)
	assert.InDelta(t, 1.420, s.Slips[0].Fits, 0.05)
	assert.Greater(t, s.Slips[0].Chance, 0.8)
	assert.Regexp(t, `^Melt A26-031 does not fit, and (its metal|its dross|what is not accounted for) is furthest off\. Look at a charge, where the scale showed 4120\sg: 14\d\d\sg would fit\.$`, strings.ReplaceAll(s.Say(quantity.Style{MassUnit: quantity.Grams}), "\u202f", ""))
	assert.Empty(t, e.Melts[0].Say(quantity.Style{}))

	trusting := Estimate(shop, Settings{Trusting: true})
	assert.Empty(t, trusting.Suspects())
	off := func(e *Estimates) float64 { return math.Abs(e.Sources[0].Metal.Middle - 0.95) }
	assert.Less(t, off(e), 0.005)
	assert.Greater(t, trusting.Sources[0].Metal.Width(), 1.3*e.Sources[0].Metal.Width())
}

// A person's own belief stands in for the form's, is shown, and gives way to
// melts as any other.
func TestOwnBelief(t *testing.T) {
	sure := wheels
	sure.Metal = &Belief{0.80, 0.01}
	e := Estimate(Shop{Sources: []Source{sure, cans}}, Settings{})
	m := e.Sources[0].Metal
	assert.True(t, m.OwnPrior)
	assert.Equal(t, Belief{0.80, 0.01}, m.Prior)
	assert.InDelta(t, 0.80, m.Middle, 1e-4)
	assert.InDelta(t, 0.01, m.SD, 1e-6)
	assert.False(t, e.Sources[0].Dross.OwnPrior)

	shop := known()
	shop.Sources[0] = sure
	e = Estimate(shop, Settings{})
	assert.InDelta(t, 0.94, e.Sources[0].Metal.Middle, 0.01)

	sure.Metal = &Belief{0.8, 0} // not a belief
	e = Estimate(Shop{Sources: []Source{sure}}, Settings{})
	assert.False(t, e.Sources[0].Metal.OwnPrior)
}

// A source that got worse is followed when old melts count for less.
func TestHalfLife(t *testing.T) {
	shop := Shop{Sources: []Source{wheels}}
	for i := range 80 {
		y := 0.95 + 0.004*float64(i%3-1)
		if i >= 60 {
			y -= 0.04
		}
		shop.Melts = append(shop.Melts, melted(i, y, 0.04, Charge{Source: 1, Kilograms: 4}))
	}
	all := Estimate(shop, Settings{}).Sources[0].Metal
	recent := Estimate(shop, Settings{HalfLife: 8 * 7 * 24 * quantity.Hour}).Sources[0].Metal
	assert.InDelta(t, 0.94, all.Middle, 0.004)
	assert.InDelta(t, 0.91, recent.Middle, 0.012)
	assert.Less(t, recent.Effective, all.Effective)
}

func TestHistory(t *testing.T) {
	e := Estimate(known(), Settings{})
	h := e.History(2, 10)
	require.Len(t, h, 10)
	last := h[len(h)-1]
	assert.Equal(t, e.Sources[1].Melts, last.Own)
	assert.InDelta(t, e.Sources[1].Metal.Middle, last.Metal.Middle, 0.001)
	assert.InDelta(t, e.Sources[1].Metal.Width(), last.Metal.Width(), 0.15*last.Metal.Width())
	assert.Greater(t, h[0].Metal.Width(), 1.5*last.Metal.Width())
	for i := 1; i < len(h); i++ {
		assert.Less(t, h[i-1].At, h[i].At)
		assert.LessOrEqual(t, h[i].Metal.Width(), h[i-1].Metal.Width()*1.01)
	}
	assert.Len(t, e.History(2, 1000), e.Sources[1].Melts)
	assert.Empty(t, e.History(99, 10))
}

// Source: the practice rows of physics/melt_loss.csv (common practice, no
// source). A prior that cites one has its mean within the row's range, and
// nine tenths of it reach at least as far as the row does.
func TestPriorsAgreeWithPractice(t *testing.T) {
	cited := 0
	for _, p := range Priors {
		assert.NotEmpty(t, p.Basis)
		assert.True(t, p.Metal.valid() && p.Dross.valid(), p.Form)
		assert.LessOrEqual(t, p.Metal.Mean+p.Dross.Mean, 1.03, "%s %s", p.Form, p.Coating)
		if p.Flag != Practice {
			continue
		}
		row := practiceRow(t, p.Basis)
		low, high := row.Number(t, "metal_min_wt_pct")/100, row.Number(t, "metal_max_wt_pct")/100
		assert.True(t, low <= p.Metal.Mean && p.Metal.Mean <= high, "%s %s", p.Form, p.Coating)
		assert.GreaterOrEqual(t, 2*1.645*p.Metal.SD, high-low, "%s %s", p.Form, p.Coating)
		cited++
	}
	assert.Equal(t, 8, cited)
}

// practiceRow finds the row that a basis begins with.
func practiceRow(t *testing.T, basis string) testdata.Row {
	for _, row := range testdata.Rows(t, "physics/melt_loss.csv") {
		if row["flag"] == "practice" && strings.HasPrefix(basis, row["scrap_or_residue"]) {
			return row
		}
	}
	require.Failf(t, "no such row", "%s", basis)
	return nil
}

func TestPriorOf(t *testing.T) {
	assert.Equal(t, 0.97, PriorOf(scrap.Profile, "bare").Metal.Mean)
	assert.Equal(t, 0.96, PriorOf(scrap.Profile, "anodised").Metal.Mean, "no row of its own")
	assert.Equal(t, 0.77, PriorOf(scrap.Can, "lacquered").Metal.Mean)
	assert.Equal(t, scrap.Other, PriorOf("", "").Form)
	for _, f := range scrap.Forms {
		assert.Equal(t, f.Form, PriorOf(f.Form, "").Form, "every form has a row")
	}
}
