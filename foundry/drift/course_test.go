package drift

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drosswise/foundry/quantity"
	"drosswise/testdata"
)

// example are the melts of c_energy_1.
func example(t *testing.T) []Melt {
	var melts []Melt
	for i, row := range testdata.Rows(t, "statistics/c_energy_1.csv") {
		melts = append(melts, Melt{
			ID: int64(i + 1), Code: "A26-" + itoa(101 + i)[1:], Started: quantity.Moment(i + 1),
			Cold: of(row.Number(t, "cold_start")), Charged: of(row.Number(t, "charged_kg")), Hours: of(row.Number(t, "hours")), Energy: of(row.Number(t, "kwh")),
		})
	}
	return melts
}

// shop makes up melts of a furnace with its times and supply, as the truth is:
// hours to all molten = (0.5·cold + 0.15·kg + 0.4)·(230/V)², to a minute or two.
func shop(n int, volts func(i int) float64) []Melt {
	r := rand.New(rand.NewPCG(3, 14))
	var melts []Melt
	for i := range n {
		cold, kg, v := float64((i+1)%2), 3+8*r.Float64(), volts(i)
		molten := (0.5*cold+0.15*kg+0.4)*230*230/v/v + 0.04*r.NormFloat64()
		hours := molten + 0.4 + 0.2*r.Float64()
		melts = append(melts, Melt{
			ID: int64(i + 1), Code: "A26-" + itoa(1001 + i)[1:], Started: quantity.Moment(i + 1),
			Cold: &cold, Charged: &kg, Hours: &hours, Molten: &molten, Volts: &v,
			Energy: of(1.8*cold + 0.42*kg + 1.1*hours + 0.2*r.NormFloat64()),
		})
	}
	return melts
}

func steadySupply(int) float64 { return 230 }

func TestEnergyStages(t *testing.T) {
	melts := example(t)
	few := Energy(melts[:5], Settings{})
	assert.Equal(t, TooFew, few.Stage)
	assert.Nil(t, few.Split.Fit)
	assert.InDelta(t, (7.63+10.26+5+11.95+7.38)/(8+12.5+6.2+15+10), *few.PerKilogram.Value, 1e-12)

	some := Energy(melts[:9], Settings{})
	assert.Equal(t, Modelled, some.Stage)
	require.NotNil(t, some.Split.Fit)
	for _, p := range some.Points {
		assert.Nil(t, p.Q)
	}
	all := Energy(melts, Settings{})
	assert.Equal(t, Charting, all.Stage)
	assert.Equal(t, 14, all.Melts)
	assert.Nil(t, all.Open())
	assert.NotNil(t, all.Points[9].Q)

	melts[2].Hours, melts[3].Energy, melts[4].Charged = nil, of(0), of(-1)
	assert.Equal(t, []int{11, 3}, []int{Energy(melts, Settings{}).Melts, Energy(melts, Settings{}).Left})

	melts[3].Renewed = true // though it is left out itself
	fresh := Energy(melts, Settings{})
	assert.Equal(t, int64(6), fresh.Baseline[0])
}

func TestEnergyDrift(t *testing.T) {
	melts := shop(60, steadySupply)
	assert.Nil(t, Energy(melts, Settings{}).Open())
	for i := 45; i < 60; i++ {
		*melts[i].Energy += 0.6
	}
	c := Energy(melts, Settings{})
	a := c.Open()
	require.NotNil(t, a)
	assert.InDelta(t, 46, a.ChangeID, 2)
	assert.InDelta(t, 0.6, a.Size.Middle, 0.15)
	assert.InDelta(t, a.Size.Middle/6.5, a.Share.Middle, 0.04)
	assert.Equal(t, RealChange, Energy(melts, Settings{Closed: map[int64]Close{a.ID: RealChange}}).Alarms[0].Close)
}

// A supply 6 % low makes a melt take 12 % longer; corrected for it nothing is
// named, and without the volts it is.
func TestTimeCorrectedForSupply(t *testing.T) {
	low := func(i int) float64 {
		if i >= 40 {
			return 230 * 0.94
		}
		return 230
	}
	melts := shop(60, low)
	c := Time(melts, Settings{Volts: 230})
	assert.Equal(t, Charting, c.Stage)
	assert.Empty(t, c.Alarms)
	assert.Empty(t, Time(melts, Settings{}).Alarms, "the middle of what was read serves as well")
	for i := range melts {
		melts[i].Volts = nil
	}
	c = Time(melts, Settings{})
	require.NotNil(t, c.Open())
	assert.InDelta(t, 41, c.Open().ChangeID, 2)
	assert.InDelta(t, 0.13, c.Open().Share.Middle, 0.03, "1/0.94² − 1")
	assert.InDelta(t, 0.27, *c.PerKilogram.Value, 0.03)
}

func TestSupplySlips(t *testing.T) {
	assert.Equal(t, 1.0, Melt{Volts: of(23000)}.supply(230), "a slipped unit is not believed")
	assert.Equal(t, 1.0, Melt{Volts: of(0)}.supply(230))
	assert.Equal(t, 1.0, Melt{}.supply(230))
	// −6 % volts, −12 % watts: the trade's rule, P = V²/R.
	assert.InDelta(t, 0.88, Melt{Volts: of(230 * 0.94)}.supply(230), 0.005)
}

func TestCoursesHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.OneOf(rapid.Float64Range(0, 30), rapid.Float64(), rapid.SampledFrom([]float64{0, 1, 230, math.NaN(), math.Inf(-1)}))
		maybe := rapid.Ptr(x, true)
		var melts []Melt
		for i := range rapid.IntRange(0, 30).Draw(t, "n") {
			melts = append(melts, Melt{
				ID: int64(i), Charged: maybe.Draw(t, "kg"), Energy: maybe.Draw(t, "kWh"), Hours: maybe.Draw(t, "h"), Molten: maybe.Draw(t, "molten"),
				Cold: maybe.Draw(t, "cold"), Volts: maybe.Draw(t, "V"), Ohms: maybe.Draw(t, "Ω"), Dross: maybe.Draw(t, "dross"),
			})
		}
		s := Settings{Power: x.Draw(t, "power"), Volts: x.Draw(t, "rule"), Step: x.Draw(t, "step")}
		for _, c := range []Course{Energy(melts, s), Time(melts, s)} {
			text, err := json.Marshal(c)
			require.NoError(t, err)
			assert.NotEmpty(t, text)
			for _, a := range c.Alarms {
				_, err = json.Marshal(Causes(melts, c, a, s, Tools{}))
				require.NoError(t, err)
			}
		}
	})
}

func BenchmarkEnergy(b *testing.B) {
	melts := shop(1000, steadySupply)
	for b.Loop() {
		Energy(melts, Settings{})
	}
}
