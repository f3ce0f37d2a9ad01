package drift

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drosswise/foundry/gum"
	"drosswise/foundry/probe"
	"drosswise/foundry/quantity"
)

func of(x float64) *float64 { return &x }

// A scale of 10 g steps with a maker's ± of 0.1 %, under a 10 kg mass good to 1 g.
func TestScale(t *testing.T) {
	kind := ScaleOf{Step: 0.010, Gain: 0.001}
	check := func(at quantity.Moment, reading float64) ScaleCheck {
		return ScaleCheck{At: at, Mass: 10, Tolerance: 0.001, Reading: reading}
	}
	used := []Used{{1, 5}, {2, 15}, {3, 25}, {4, 35}}

	in := Scale(kind, []ScaleCheck{check(10, 10.00), check(20, 9.99), check(30, 9.96)}, used)
	assert.Equal(t, []Verdict{Within, CannotTell, Beyond}, []Verdict{in.Checks[0].Verdict, in.Checks[1].Verdict, in.Checks[2].Verdict})
	assert.Equal(t, []int64{2, 3, 4}, in.Doubtful, "all since the last good check")
	assert.Equal(t, quantity.Moment(10), *in.Good)

	// By hand (JCGM 100:2008, F.2.2.1 and 4.3.7): u² = 0.010²/12 + 0.001²/3, so
	// ±1.645u is 4.84 g; the mass cancels in the drift, √2·0.010/√12·1.645 = 6.72 g.
	last := in.Checks[2].Error
	assert.InDelta(t, -0.040, last.Middle, 1e-9)
	assert.InDelta(t, 0.00484, last.High-last.Middle, 0.00001)
	require.NotNil(t, in.Drift)
	assert.InDelta(t, -0.040, in.Drift.Middle, 1e-9)
	assert.InDelta(t, 0.00672, in.Drift.High-in.Drift.Middle, 0.00001)

	again := Scale(kind, []ScaleCheck{check(10, 9.9), check(20, 10.00)}, used)
	assert.Empty(t, again.Doubtful, "found good again")
	never := Scale(kind, []ScaleCheck{check(10, 9.9)}, used)
	assert.Equal(t, []int64{1, 2, 3, 4}, never.Doubtful, "never found good")
	assert.Nil(t, never.Drift)

	other := check(20, 10)
	other.Mass, other.Reading = 5, 5
	assert.Nil(t, Scale(kind, []ScaleCheck{check(10, 10), other}, nil).Drift, "another mass tells no drift")
}

// Source: fixed points of ITS-90 (Preston-Thomas 1990, read in copies); the
// depression 1/A per share of foreign atoms against R·T²/L with heats of fusion
// of 10.71 (NIST-JANAF), 7.32 and 7.03 kJ/mol (zinc and tin, from memory).
func TestFreezings(t *testing.T) {
	kelvin := map[string]float64{"tin": 505.078, "zinc": 692.677, "aluminium": 933.473}
	fusion := map[string]float64{"tin": 7030, "zinc": 7320, "aluminium": 10710} // J/mol
	for _, f := range Freezings {
		assert.InDelta(t, kelvin[f.Metal]-273.15, f.Celsius, 1e-9, f.Metal)
		assert.InEpsilon(t, fusion[f.Metal]/(8.314462618*kelvin[f.Metal]*kelvin[f.Metal]), f.Cryoscopic, 0.02, f.Metal)
	}
	at, ok := Freezings[2].point(1)
	require.True(t, ok)
	assert.Equal(t, gum.Exact(660.323), at)
	at, ok = Freezings[2].point(0.999)
	require.True(t, ok)
	assert.InDelta(t, 660.323-0.336, at.X, 0.001)
	_, ok = Freezings[2].point(0.95)
	assert.False(t, ok, "scrap has no freezing point")
}

// Source: tolerance class 2 of type K at 660.32 °C is ±4.95 °C (IEC 60584-1:2013
// as in type_k_check.csv).
func TestThermocouple(t *testing.T) {
	kind := ProbeOf{Class: probe.Class2, Step: 1}
	aluminium := Freezings[2]
	freeze := func(at quantity.Moment, reading float64) ProbeCheck {
		return ProbeCheck{At: at, Reading: reading, Freezes: &aluminium, Purity: 0.999}
	}
	in := Thermocouple(kind, []ProbeCheck{freeze(1, 661), freeze(2, 652)}, []Used{{7, 3}})
	assert.Equal(t, []Verdict{Within, Beyond}, []Verdict{in.Checks[0].Verdict, in.Checks[1].Verdict})
	assert.InDelta(t, 4.95, in.Checks[1].Limit, 0.01)
	assert.Equal(t, []int64{7}, in.Doubtful)
	assert.InDelta(t, -9, in.Drift.Middle, 1e-9)

	second := ProbeCheck{At: 3, Reading: 715, Second: of(720), Class: probe.Class2}
	in = Thermocouple(kind, []ProbeCheck{second}, nil)
	assert.Equal(t, CannotTell, in.Checks[0].Verdict, "two new probes may differ by this much")
	second.Reading = 705
	assert.Equal(t, Beyond, Thermocouple(kind, []ProbeCheck{second}, nil).Checks[0].Verdict)
	unclassed := Thermocouple(ProbeOf{Step: 1}, []ProbeCheck{second}, nil).Checks[0]
	assert.Equal(t, CannotTell, unclassed.Verdict)
	assert.Zero(t, unclassed.Limit)
	assert.Nil(t, Thermocouple(kind, []ProbeCheck{freeze(1, 661), second}, nil).Drift, "60 °C apart")
	assert.Empty(t, Thermocouple(kind, []ProbeCheck{{At: 1, Reading: 700}}, nil).Checks, "nothing to compare with")
}

func TestMeter(t *testing.T) {
	kind := MeterOf{Step: 0.01, Gain: 0.02}
	check := func(at quantity.Moment, reading float64) MeterCheck {
		return MeterCheck{At: at, Reading: reading, Second: 20, Tolerance: 0.01}
	}
	in := Meter(kind, []MeterCheck{check(1, 20.05), check(2, 21)}, []Used{{1, 0}, {2, 2}})
	assert.Equal(t, []Verdict{Within, Beyond}, []Verdict{in.Checks[0].Verdict, in.Checks[1].Verdict})
	assert.InDelta(t, 0.05, in.Checks[1].Error.Middle, 1e-9)
	assert.InDelta(t, normal90*0.01/math.Sqrt(3), in.Checks[1].Error.High-0.05, 0.0001)
	assert.Less(t, in.Drift.Width(), in.Checks[1].Error.Width(), "the second meter's error cancels")
	assert.Equal(t, []int64{2}, in.Doubtful)
}

func TestInstrumentsHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.OneOf(rapid.Float64Range(0, 30), rapid.Float64(), rapid.SampledFrom([]float64{0, math.NaN(), math.Inf(1), 1e300}))
		var scales []ScaleCheck
		var meters []MeterCheck
		var probes []ProbeCheck
		for i := range rapid.IntRange(0, 4).Draw(t, "n") {
			at := quantity.Moment(i)
			scales = append(scales, ScaleCheck{at, x.Draw(t, "mass"), x.Draw(t, "±"), x.Draw(t, "reading")})
			meters = append(meters, MeterCheck{at, x.Draw(t, "reading"), x.Draw(t, "second"), x.Draw(t, "±")})
			second := x.Draw(t, "second")
			probes = append(probes, ProbeCheck{At: at, Reading: x.Draw(t, "reading"), Second: &second})
		}
		for _, in := range []Instrument{
			Scale(ScaleOf{x.Draw(t, "step"), x.Draw(t, "gain")}, scales, nil),
			Meter(MeterOf{x.Draw(t, "step"), x.Draw(t, "gain")}, meters, nil),
			Thermocouple(ProbeOf{probe.Class1, x.Draw(t, "step")}, probes, nil),
		} {
			_, err := json.Marshal(in)
			require.NoError(t, err)
		}
	})
}
