package findings

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
)

// plan is what kind of shop to make up.
type plan struct {
	melts    int
	mistyped float64 // share of melts with a mass mistyped
	skewed   bool    // practices go with sources: half of the scrap is mostly treated, the other half mostly not
	effect   map[Practice][2]float64
}

var forms = []scrap.Form{scrap.Profile, scrap.Casting, scrap.Sheet, scrap.Can, scrap.Wire, scrap.Swarf}

// invent makes up a shop of six sources whose practices change metal and dross
// by so much. Constructed.
func invent(pl plan, seed uint64) (recovery.Shop, []Melt) {
	r := rand.New(rand.NewPCG(seed, 77))
	var shop recovery.Shop
	var truth [][2]float64
	for j, form := range forms {
		s := recovery.Source{ID: int64(j + 1), Name: string(form), Form: form}
		prior := recovery.PriorOf(s.Form, s.Coating)
		shop.Sources = append(shop.Sources, s)
		truth = append(truth, [2]float64{prior.Metal.Mean - 0.02*r.NormFloat64(), prior.Dross.Mean + 0.02*r.NormFloat64()})
	}
	phi := 0.014 * math.Exp(0.35*r.NormFloat64())
	var melts []Melt
	for i := range pl.melts {
		m, like := practised(pl, r, i), recovery.Melt{}
		like.ID, like.Code, like.Started = m.ID, m.Code, m.Started
		var metal, dross, all float64
		lead := 0
		for k := range 1 + r.IntN(3) {
			j := r.IntN(len(forms))
			if k == 0 {
				lead = j
			}
			kg := 0.5 + 3*r.Float64()/float64(k+1)
			like.Charges = append(like.Charges, recovery.Charge{Source: int64(j + 1), Kilograms: kg})
			all, metal, dross = all+kg, metal+kg*truth[j][0], dross+kg*truth[j][1]
		}
		if pl.skewed {
			*m.Dried = share(r, map[bool]float64{true: 0.85, false: 0.15}[lead%2 == 0])
		}
		y, d := metal/all+phi*r.NormFloat64(), dross/all+0.8*phi*r.NormFloat64()
		for p, by := range pl.effect {
			y, d = y+by[0]*done(m, p), d+by[1]*done(m, p)
		}
		if r.Float64() < pl.mistyped {
			y += []float64{-0.3, 0.3}[r.IntN(2)]
		}
		like.Recovered, like.Dross = &recovery.Amount{Kilograms: max(0, y*all), U: 0.002}, &recovery.Amount{Kilograms: max(0, d*all), U: 0.002}
		like.ChargedU = 0.002
		m.Charges = like.Charges
		shop.Melts, melts = append(shop.Melts, like), append(melts, m)
	}
	return shop, melts
}

func share(r *rand.Rand, chance float64) float64 {
	if r.Float64() < chance {
		return 1
	}
	return 0
}

func practised(pl plan, r *rand.Rand, i int) Melt {
	m := Melt{ID: int64(i + 1), Code: fmt.Sprintf("A26-%03d", i+1), Started: quantity.Moment(i) * 24 * quantity.Moment(quantity.Hour)}
	m.Dried, m.Preheated, m.IntoHot = of(share(r, 0.5)), of(r.Float64()), of(share(r, 0.3))
	m.HeelIn = of(0.3 * share(r, 0.4))
	m.Pour = of(710 + 40*r.Float64())
	if r.Float64() < 0.5 {
		m.Flux = []Flux{{Kind: "cover flux"}}
	}
	if r.Float64() < 0.1 {
		m.Pour = nil
	}
	return m
}

// done is how much of a practice there was in a melt.
func done(m Melt, p Practice) float64 {
	switch p {
	case Drying:
		return *m.Dried
	case Preheating:
		return *m.Preheated
	case HotMetal:
		return *m.IntoHot
	case Heel:
		return min(1, *m.HeelIn*10)
	case WithFlux:
		return float64(len(m.Flux))
	case Hotter:
		if m.Pour == nil {
			return 2
		}
		return (*m.Pour - 710) / HotterBy
	}
	return 0
}

// score counts how often the ranges hold the truth and what was said.
type score struct{ held, all, right, wrong, none int }

func run(pl plan, shops int, into map[Practice]*score) {
	for seed := range shops {
		shop, melts := invent(pl, uint64(seed))
		for _, f := range Effects(recovery.Estimate(shop, recovery.Settings{}), melts) {
			if f.Range == nil {
				continue
			}
			truth := pl.effect[f.Practice][0]
			good := truth > 0
			if f.Outcome == Dross {
				truth = pl.effect[f.Practice][1]
				good = truth < 0
			}
			if into[f.Practice] == nil {
				into[f.Practice] = &score{}
			}
			s := into[f.Practice]
			s.all++
			if f.Range.Low <= truth && truth <= f.Range.High {
				s.held++
			}
			switch {
			case f.Code == NoDifference || f.Code == CannotTell:
				s.none++
			case truth != 0 && (f.Code == Helps) == good:
				s.right++
			default:
				s.wrong++
			}
		}
	}
}

// Constructed shops: the truth is the generator's. A range of nine chances in
// ten must hold it in 84 % at least of the questions, and where there is no
// effect none may be claimed in 85 %. DROSSWISE_LONG=1 makes 300 shops of each
// kind up; they gave 88 to 92 % and 89 to 93 %.
func TestRangesHoldTheTruth(t *testing.T) {
	effect := map[Practice][2]float64{Drying: {0.03, -0.03}, WithFlux: {0.015, -0.02}, Hotter: {-0.004, 0.004}}
	shops := 40
	if os.Getenv("DROSSWISE_LONG") != "" {
		shops = 300
	}
	for _, pl := range []plan{
		{melts: 20}, {melts: 40}, {melts: 40, mistyped: 0.02}, {melts: 40, skewed: true},
		{melts: 20, effect: effect}, {melts: 40, effect: effect}, {melts: 40, effect: effect, mistyped: 0.02},
		{melts: 60, effect: effect, skewed: true}, {melts: 120, effect: effect},
	} {
		by := map[Practice]*score{}
		run(pl, shops, by)
		var total, nothing score
		for p, s := range by {
			total.held, total.all, total.right, total.wrong = total.held+s.held, total.all+s.all, total.right+s.right, total.wrong+s.wrong
			if pl.effect[p][0] == 0 {
				nothing.none, nothing.all = nothing.none+s.none, nothing.all+s.all
			}
		}
		held := float64(total.held) / float64(total.all)
		none := float64(nothing.none) / float64(nothing.all)
		t.Logf("%3d melts, mistyped %.2f, skewed %-5v, effects %d: ranges hold %.1f %%; without an effect none is seen in %.1f %%; effects seen right %d, wrong %d of %d",
			pl.melts, pl.mistyped, pl.skewed, len(pl.effect), 100*held, 100*none, total.right, total.wrong, total.all)
		assert.GreaterOrEqual(t, held, 0.84)
		assert.GreaterOrEqual(t, none, 0.85)
		if s := by[Drying]; pl.skewed && shops > 100 {
			assert.GreaterOrEqual(t, float64(s.held)/float64(s.all), 0.84, "drying that goes with some of the scrap")
		}
	}
}

func find(list []Effect, p Practice, o Outcome) Effect {
	for _, f := range list {
		if f.Practice == p && f.Outcome == o {
			return f
		}
	}
	return Effect{}
}

// A plain effect of three points in sixty melts must be seen, with its sign.
func TestEffectIsSeen(t *testing.T) {
	shop, melts := invent(plan{melts: 60, effect: map[Practice][2]float64{Drying: {0.03, -0.03}}}, 5)
	e := recovery.Estimate(shop, recovery.Settings{})
	list := Effects(e, melts)
	metal, dross := find(list, Drying, Metal), find(list, Drying, Dross)
	assert.Equal(t, Helps, metal.Code)
	assert.Equal(t, Helps, dross.Code, "less dross is good")
	assert.Less(t, dross.Range.High, 0.0)
	assert.Greater(t, metal.Up, 0.95)
	assert.Contains(t, metal.Say(quantity.Style{}, nil), "Drying the charge went with")
	assert.Contains(t, metal.Say(quantity.Style{}, nil), "points more metal")
	assert.Contains(t, dross.Say(quantity.Style{}, nil), "points less dross")

	pays, ok := metal.Pays(2, 0.01)
	require.True(t, ok)
	assert.InDelta(t, 2*metal.Range.Middle-0.01, pays.Range.Middle, 1e-12)
	assert.Equal(t, Helps, pays.Code)
	pays, _ = metal.Pays(2, 0.5)
	assert.Equal(t, Costs, pays.Code)
	assert.Contains(t, pays.Say(quantity.Style{}), "Dry it all the same")
	assert.NotContains(t, pays.Say(quantity.Style{}), "does not pay")
	pays.Practice = WithFlux
	assert.Contains(t, pays.Say(quantity.Style{}), "It does not pay")
	_, ok = dross.Pays(2, 0)
	assert.False(t, ok)

	again := Effects(recovery.Estimate(shop, recovery.Settings{}), melts)
	a, err := json.Marshal(list)
	require.NoError(t, err)
	b, err := json.Marshal(again)
	require.NoError(t, err)
	assert.JSONEq(t, string(a), string(b))
	assert.Equal(t, string(a), string(b), "the same records, the same answers")
}

// The effect must not be credited to a practice that goes with good scrap:
// profile is always dried here, swarf never, and drying does nothing.
func TestTiedToOneSource(t *testing.T) {
	shop, melts := invent(plan{melts: 60}, 9)
	for i := range melts {
		*melts[i].Dried = 0
		id := int64(6)
		if i%2 == 0 {
			*melts[i].Dried, id = 1, 1
		}
		y := map[int64]float64{1: 0.96, 6: 0.75}[id] + 0.01*float64(i%3-1)
		shop.Melts[i].Charges = []recovery.Charge{{Source: id, Kilograms: 4}}
		shop.Melts[i].Recovered, shop.Melts[i].Dross = &recovery.Amount{Kilograms: 4 * y, U: 0.002}, nil
		melts[i].Charges = shop.Melts[i].Charges
	}
	f := find(Effects(recovery.Estimate(shop, recovery.Settings{}), melts), Drying, Metal)
	assert.Equal(t, []Tie{{Source: 1}}, f.Ties)
	assert.NotEqual(t, Helps, f.Code)
	name := func(id int64) string { return map[int64]string{1: "profile", 6: "swarf"}[id] }
	say := f.Say(quantity.Style{}, name)
	assert.Contains(t, say, "only ever done with profile, and never was the one without the other")
	assert.NotContains(t, say, "without it would tell most", "nobody is told to leave drying out")

	*melts[0].Dried = 0
	f = find(Effects(recovery.Estimate(shop, recovery.Settings{}), melts), Drying, Metal)
	assert.Equal(t, []Tie{{Source: 1, Apart: true}}, f.Ties)
	assert.Contains(t, f.Say(quantity.Style{}, name), "only ever done with profile: that says little of other scrap")
}

// Two habits that always go together are not told apart, and that is said.
func TestTwins(t *testing.T) {
	shop, melts := invent(plan{melts: 40}, 5)
	for i := range melts {
		melts[i].Preheated, melts[i].IntoHot = of(float64(i%2)), of(float64(i%2))
		melts[i].Dried = of(float64(i / 2 % 2))
	}
	list := Effects(recovery.Estimate(shop, recovery.Settings{}), melts)
	f := find(list, Preheating, Metal)
	assert.Equal(t, []Twin{{Practice: HotMetal}}, f.Twins)
	assert.Contains(t, f.Say(quantity.Style{}, nil), "It nearly always went with charging into hot metal, so only what they do together is known.")
	assert.Empty(t, find(list, Drying, Metal).Twins)
}

func TestTooFew(t *testing.T) {
	shop, melts := invent(plan{melts: 20}, 3)
	for i := range melts {
		melts[i].Dried, melts[i].Preheated, melts[i].IntoHot, melts[i].HeelIn = of(1), of(0), nil, of(0)
		melts[i].Pour = of(720)
	}
	melts[0].HeelIn, melts[1].HeelIn = of(0.5), of(0.5)
	list := Effects(recovery.Estimate(shop, recovery.Settings{}), melts)
	for p, words := range map[Practice]string{
		Drying: "it was always done", Preheating: "it was never done", HotMetal: "no melt says whether",
		Heel: "from 2 melts with it and 18 without", Hotter: "all melts were poured alike",
	} {
		f := find(list, p, Metal)
		assert.Equal(t, TooFew, f.Code, p)
		assert.Nil(t, f.Range)
		assert.Contains(t, f.Say(quantity.Style{}, nil), words)
	}
	assert.Contains(t, Heel.Caution(quantity.Style{}), "some teaching foundries forbid it")
	assert.Contains(t, Drying.Caution(quantity.Style{}), "Dry it whatever this says")
	assert.Contains(t, find(list, Hotter, Metal).Say(quantity.Style{Fahrenheit: true}, nil), "Pouring 18 °F hotter")

	for _, f := range Effects(recovery.Estimate(recovery.Shop{}, recovery.Settings{}), nil) {
		assert.Equal(t, TooFew, f.Code)
		assert.NotEmpty(t, f.Say(quantity.Style{}, nil))
	}
}

func TestCaveat(t *testing.T) {
	list := []Effect{{Code: NoDifference, Range: &recovery.Range{}}, {Code: TooFew}, {Code: Helps, Range: &recovery.Range{}}}
	assert.Contains(t, Caveat(list), "2 questions")
	assert.Empty(t, Caveat(list[:2]), "nothing is claimed")
}
