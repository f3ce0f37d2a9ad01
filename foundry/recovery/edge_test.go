package recovery

import (
	"encoding/json"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

var (
	wheels = Source{ID: 1, Name: "Wheels", Form: scrap.Casting, Coating: "bare"}
	cans   = Source{ID: 2, Name: "Cans", Form: scrap.Can}
	frames = Source{ID: 3, Name: "Frames", Form: scrap.Profile, Coating: "painted"}
)

// melted is a melt of 4 kg in all by default readings, i weeks into the log.
func melted(i int, yield, dross float64, charges ...Charge) Melt {
	kg := 0.0
	for _, c := range charges {
		kg += c.Kilograms
	}
	return Melt{
		ID: int64(i + 1), Code: "A26-00" + string(rune('1'+i%9)), Started: quantity.Moment(i) * 7 * 24 * quantity.Moment(quantity.Hour),
		Charges: charges, ChargedU: 0.002, Recovered: &Amount{yield * kg, 0.002}, Dross: &Amount{dross * kg, 0.002},
	}
}

func codes(s SourceEstimate) (list []ReasonCode) {
	for _, r := range s.Reasons {
		list = append(list, r.Code)
	}
	return list
}

func TestNothingAtAll(t *testing.T) {
	e := Estimate(Shop{}, Settings{})
	assert.Empty(t, e.Sources)
	assert.Empty(t, e.Melts)
	assert.Empty(t, e.Experiments())
	assert.False(t, e.Ranked)
	_, ok := e.Compare(1, 2)
	assert.False(t, ok)
	_, ok = e.Expect(Melt{Charges: []Charge{{Source: 1, Kilograms: 1}}})
	assert.False(t, ok)
	_, err := json.Marshal(e)
	assert.NoError(t, err)
}

// Without melts every figure is the prior: practice says 93–97 % for clean
// castings (common practice, no source).
func TestNoMelts(t *testing.T) {
	e := Estimate(Shop{Sources: []Source{wheels, cans}}, Settings{})
	w := e.Sources[0]
	assert.Equal(t, Belief{0.95, 0.035}, w.Metal.Prior)
	assert.InDelta(t, 0.95, w.Metal.Mean, 1e-9)
	assert.InDelta(t, 1, w.Metal.Information, 0.01)
	assert.InDelta(t, 0, w.Metal.Effective, 0.01)
	assert.Equal(t, []ReasonCode{NeverCharged, FewMelts}, codes(w))
	assert.False(t, w.Separable)
	c, ok := e.Compare(1, 2)
	require.True(t, ok)
	assert.Equal(t, TooClose, c.Verdict, "no ranking without melts")
	x, ok := e.Expect(Melt{Charges: []Charge{{Source: 1, Kilograms: 4}}})
	require.True(t, ok)
	assert.Zero(t, x.Known)
	assert.Greater(t, x.Metal.Width(), 0.05)
}

func TestOneMelt(t *testing.T) {
	e := Estimate(Shop{Sources: []Source{wheels, cans}, Melts: []Melt{melted(0, 0.93, 0.05, Charge{Source: 1, Kilograms: 4})}}, Settings{})
	assert.False(t, e.Ranked)
	assert.Empty(t, e.Suspects(), "nothing to hold it against")
	w := e.Sources[0]
	assert.Less(t, w.Metal.Mean, 0.95)
	assert.Greater(t, w.Metal.Mean, 0.93)
	assert.Equal(t, 1, w.Alone)
	assert.Contains(t, codes(w), FewMelts)
	require.Len(t, e.Melts, 1)
	assert.InDelta(t, 0.93, e.Melts[0].Metal.Seen, 1e-12)
	assert.InDelta(t, 0.95, e.Melts[0].Metal.Expected, 0.002, "by its form, without itself")
}

// With one source and many melts the figure is their mean and the range that
// of a mean of n: 1.645 φ/√n, for the prior hardly counts any more.
func TestOneSource(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	var melts []Melt
	mean := 0.0
	const n = 64
	for i := range n {
		y := 0.92 + 0.012*r.NormFloat64()
		mean += y / n
		melts = append(melts, melted(i, y, 0.05, Charge{Source: 1, Kilograms: 4}))
	}
	e := Estimate(Shop{Sources: []Source{wheels}, Melts: melts}, Settings{})
	m := e.Sources[0].Metal
	assert.InDelta(t, mean, m.Middle, 0.0005)
	assert.InDelta(t, 2*1.645*0.012/8, m.Width(), 0.0012)
	assert.InDelta(t, 0.012, e.Metal.Scatter.Middle, 0.002)
	assert.InDelta(t, n, m.Effective, 5)
	assert.True(t, e.Sources[0].Separable)
	assert.Empty(t, e.Sources[0].Reasons)
}

func twoAlways(n int) Shop {
	r := rand.New(rand.NewPCG(3, 4))
	shop := Shop{Sources: []Source{wheels, cans, frames}}
	for i := range n {
		y := 0.6*0.94 + 0.4*0.80 + 0.012*r.NormFloat64()
		shop.Melts = append(shop.Melts, melted(i, y, 0.1, Charge{Source: 1, Kilograms: 3}, Charge{Source: 2, Kilograms: 2}))
	}
	return shop
}

// Two sources in one ratio for ever: only the blend is known, it is known well,
// and melting one of them alone is what helps.
func TestAlwaysTheSameTwo(t *testing.T) {
	e := Estimate(twoAlways(40), Settings{})
	require.Len(t, e.Groups, 1)
	g := e.Groups[0]
	assert.Equal(t, []Blend{{1, 0.6}, {2, 0.4}}, g.Sources)
	assert.False(t, g.Apart)
	assert.InDelta(t, 0.884, g.Metal.Middle, 0.005)
	assert.Less(t, g.Metal.Width(), 0.012)
	for j, other := range []int64{2, 1} {
		assert.Equal(t, Reason{Together, []int64{other}}, e.Sources[j].Reasons[0])
		assert.False(t, e.Sources[j].Separable)
		assert.Greater(t, e.Sources[j].Metal.Width(), 4*g.Metal.Width())
	}
	require.NotNil(t, g.Try)
	assert.EqualValues(t, 2, g.Try.Widest, "cans are known the least")
	assert.Less(t, g.Try.SDAfter, g.Try.SDBefore/2)
	assert.InDelta(t, 2.5, g.Try.Kilograms, 0.001, "half a usual charge")

	name := func(id int64) string { return []string{"", "wheels", "cans", "frames"}[id] }
	assert.Equal(t, "Nearly always charged together with cans: only their blend is known.", e.Sources[0].Reasons[0].Say(name))
	assert.Contains(t, g.Try.Say(quantity.Style{}, name), "alone once, about 2.5")
}

// The experiment's promise is kept: after the melt the range is as narrow as
// was said, whatever the melt yields.
func TestExperimentKeepsItsPromise(t *testing.T) {
	shop := twoAlways(40)
	before := Estimate(shop, Settings{})
	try := before.Groups[0].Try
	for _, yield := range []float64{0.78, 0.82} {
		melts := slices.Clone(shop.Melts)
		truth := yield
		if try.Source == 1 {
			truth = (0.884 - 0.4*yield) / 0.6
		}
		melts = append(melts, melted(40, truth, 0.1, Charge{Source: try.Source, Kilograms: try.Kilograms}))
		after := Estimate(Shop{Sources: shop.Sources, Melts: melts}, Settings{})
		assert.InDelta(t, try.SDAfter, after.Sources[1].Metal.SD, 0.25*try.SDAfter)
		assert.Empty(t, after.Groups)
	}
	best := before.Experiments()[0]
	for _, x := range before.Experiments() {
		assert.GreaterOrEqual(t, x.SDAfter, best.SDAfter)
		assert.LessOrEqual(t, x.SDAfter, x.SDBefore)
	}
}

// The same melts give the same figures to the last bit, in whatever order they
// are handed over.
func TestDeterministic(t *testing.T) {
	tr := invent(plan{melts: 60, sources: 8, mistyped: 0.05, heels: true}, 7)
	first, err := json.Marshal(Estimate(tr.Shop, Settings{}))
	require.NoError(t, err)
	slices.Reverse(tr.Melts)
	second, err := json.Marshal(Estimate(tr.Shop, Settings{}))
	require.NoError(t, err)
	assert.Equal(t, string(first), string(second))
}
