package drift

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/quantity"
)

// Source: Welch's test by hand on small whole numbers: means 2 and 5, variances
// 1 and 4, n 3 and 3: u = √(1/3 + 4/3) = 1.29099, t = 2.32379,
// ν = (5/3)²/((1/3)²/2 + (4/3)²/2) = 2.94118.
func TestShiftByHand(t *testing.T) {
	s := shift([]float64{1, 2, 3}, []float64{3, 5, 7}, 0.001)
	require.NotNil(t, s)
	assert.InDelta(t, 2.32379, s.T, 1e-5)
	assert.InDelta(t, 2.94118, s.DF, 1e-5)
	assert.Equal(t, []float64{2, 5, 3}, []float64{s.Before, s.Since, s.Change.Middle})
	assert.InDelta(t, 2.37*1.29099, s.Change.High-s.Change.Middle, 0.05, "t table: 2.353 at 3 df, 2.920 at 2")
	assert.Nil(t, shift([]float64{1, 2}, []float64{3, 5, 7}, 0.001))

	same := shift([]float64{1, 1, 1}, []float64{2, 2, 2}, 0.1) // the step alone scatters
	assert.InDelta(t, 1/(0.1/3.4641/1.73205*1.41421), same.T, 0.01)
}

// drifted is a shop whose energy rises by 0.6 kWh from melt 46 on.
func drifted(t *testing.T) ([]Melt, Course, Alarm) {
	melts := shop(60, steadySupply)
	for i := 45; i < 60; i++ {
		*melts[i].Energy += 0.6
	}
	c := Energy(melts, Settings{})
	require.NotNil(t, c.Open())
	return melts, c, *c.Open()
}

// written gives a reading to every melt: a level, a scatter and a step from melt
// 46 on.
func written(melts []Melt, level, scatter, step float64) []*float64 {
	r := rand.New(rand.NewPCG(8, 8))
	var values []*float64
	for i := range melts {
		v := level + scatter*r.NormFloat64()
		if i >= 45 {
			v += step
		}
		values = append(values, &v)
	}
	return values
}

func TestCausesNothingKnown(t *testing.T) {
	melts, c, a := drifted(t)
	for i := range melts {
		melts[i].Volts = nil
	}
	list := Causes(melts, c, a, Settings{}, Tools{})
	assert.Len(t, list, 11)
	for _, l := range list {
		assert.Equal(t, Unknown, l.Finding, l.Clue)
	}
	assert.Equal(t, Element, list[0].Cause)
}

func TestCausesByEvidence(t *testing.T) {
	melts, c, a := drifted(t)
	ohms, lid, dross := written(melts, 14, 0.1, 0.8), written(melts, 6, 1, 1.5), written(melts, 0.06, 0.01, 0)
	for i := range melts {
		melts[i].Ohms, melts[i].LidOpen, melts[i].Dross = ohms[i], lid[i], dross[i]
	}
	melts[50].LiningNoted = true
	bad := Meter(MeterOf{Step: 0.01, Gain: 0.02}, []MeterCheck{{At: 55, Reading: 18, Second: 20, Tolerance: 0.01}}, nil)
	good := Scale(ScaleOf{Step: 0.01, Gain: 0.001}, []ScaleCheck{{At: 55, Mass: 10, Reading: 10}}, nil)
	old := Thermocouple(ProbeOf{Class: 2, Step: 1}, []ProbeCheck{{At: 3, Reading: 650, Freezes: &Freezings[2], Purity: 0.999}}, nil)
	list := Causes(melts, c, a, Settings{}, Tools{Scale: &good, Meter: &bad, Probe: &old})

	found := map[Cause]Finding{}
	for _, l := range list {
		if l.Clue != "power" {
			found[l.Cause] = l.Finding
		}
	}
	assert.Equal(t, map[Cause]Finding{
		Element: Supports, Lid: Supports, Lining: Noted, Charge: NotSeen, Supply: NotSeen, Holding: Unknown, Pouring: Unknown,
		ByMeter: Against, ByScale: Against, ByProbe: Unknown,
	}, found, "the meter counts too little, the probe was checked long before")
	assert.Equal(t, []Cause{Element, Lid, Lining}, []Cause{list[0].Cause, list[1].Cause, list[2].Cause})
	assert.InDelta(t, 0.8, list[0].Shift.Change.Middle, 0.1)
	assert.Equal(t, 20, list[0].Shift.MeltsBefore)
}

func TestCausesGoBothWays(t *testing.T) {
	melts := shop(60, steadySupply)
	for i := 45; i < 60; i++ {
		*melts[i].Energy -= 0.6
	}
	ohms := written(melts, 14, 0.1, 0.8)
	for i := range melts {
		melts[i].Ohms = ohms[i]
	}
	c := Energy(melts, Settings{})
	reads := Scale(ScaleOf{Step: 0.01, Gain: 0.001}, []ScaleCheck{{At: quantity.Moment(55), Mass: 10, Reading: 10.2}}, nil)
	list := Causes(melts, c, *c.Open(), Settings{}, Tools{Scale: &reads})
	assert.Equal(t, ByScale, list[0].Cause, "it reads too much, so less metal than is known")
	assert.Equal(t, Supports, list[0].Finding)
	assert.Equal(t, Element, list[len(list)-1].Cause, "more ohms do not save")
}

// The supply cannot explain a time that is corrected for it, but one that is not.
func TestCausesOfTime(t *testing.T) {
	melts := shop(60, steadySupply)
	for i := 45; i < 60; i++ {
		*melts[i].Molten += 0.2
	}
	c := Time(melts, Settings{})
	power := written(melts, 4.4, 0.03, -0.3)
	for i := range melts {
		melts[i].Power = power[i]
	}
	list := Causes(melts, c, *c.Open(), Settings{}, Tools{})
	assert.Equal(t, "power", list[0].Clue)
	assert.Equal(t, Supports, list[0].Finding)
	for _, l := range list {
		assert.NotContains(t, []Cause{Supply, Holding, Pouring, ByMeter, ByProbe}, l.Cause)
	}
	for i := range melts {
		melts[i].Volts = nil
	}
	list = Causes(melts, Time(melts, Settings{}), *Time(melts, Settings{}).Open(), Settings{}, Tools{})
	assert.True(t, slices.ContainsFunc(list, func(l Likely) bool { return l.Cause == Supply && l.Finding == Unknown }))
}
