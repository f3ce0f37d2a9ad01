package findings

import (
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/quantity"
)

func meltsOf(heats []heat) []Melt {
	var melts []Melt
	for _, h := range heats {
		melts = append(melts, Melt{ID: h.id, Charged: of(h.kg), Hours: of(h.hours), Energy: of(h.kwh), Cold: of(h.cold)})
	}
	return melts
}

// Source: c_energy_1 (constructed, R 4.2.2): least squares gives 1.796, 0.4246
// and 1.139; the weak priors may move them by no more than half a standard
// error.
func TestEnergySplit(t *testing.T) {
	e := Electricity(meltsOf(energyExample(t)), 5)
	require.NotNil(t, e.Fit)
	want := expected(t, "c_energy_1")
	for coefficient, got := range map[string]float64{"start-up": e.Fit.Start.Middle, "per kg": e.Fit.PerKilogram.Middle, "per hour": e.Fit.PerHour.Middle} {
		unit := map[string]string{"start-up": "start-up kWh", "per kg": "kWh per kg", "per hour": "kWh per hour"}[coefficient]
		assert.InDelta(t, want["coef "+unit][0], got, want["se "+coefficient][0]/2, coefficient)
	}
	assert.Equal(t, []int{14, 8, 6}, []int{e.Melts, e.First, e.Next})
	assert.Equal(t, Helps, e.Fit.Code)
	assert.Empty(t, e.Fit.Misread, "2.8 is below 3.5")
	assert.False(t, e.Fit.Unbelieved)
	f := e.Fit
	assert.InDelta(t, f.FirstHeat.Middle-f.NextHeat.Middle, f.Difference.Middle, 0.02)
	assert.Contains(t, e.Say(quantity.Style{}), "Melting on while the furnace is hot saves")
}

func TestEnergyMisread(t *testing.T) {
	heats := energyExample(t)
	plain := Electricity(meltsOf(heats), 5).Fit
	heats[4].kwh += 10
	e := Electricity(meltsOf(heats), 5)
	assert.Equal(t, []int64{5}, e.Fit.Misread)
	assert.InDelta(t, plain.Start.Middle, e.Fit.Start.Middle, 0.25)
	assert.Contains(t, e.Say(quantity.Style{}), "The meter of 1 melt does not fit")
}

func TestEnergyTooFew(t *testing.T) {
	melts := meltsOf(energyExample(t))
	e := Electricity(melts[:5], 5)
	assert.Nil(t, e.Fit)
	assert.InDelta(t, (7.63+10.26+5+11.95+7.38)/(8+12.5+6.2+15+10), *e.PerKilogram.Value, 1e-12)
	assert.Contains(t, e.Say(quantity.Style{}), "below 6 melts")

	for i := range melts {
		melts[i].Cold = of(1)
	}
	all := Electricity(melts, 5)
	assert.Equal(t, TooFew, all.Fit.Code)
	assert.Contains(t, all.Say(quantity.Style{}), "14 first heats and 0 after")
	melts[0].Hours, melts[1].Cold, melts[2].Energy = nil, nil, of(0)
	assert.Equal(t, 3, Electricity(melts, 5).Left)
	assert.NotEmpty(t, Electricity(nil, 0).Say(quantity.Style{}))

	low := meltsOf(energyExample(t))
	for i := range low { // a meter that shows a quarter
		*low[i].Energy /= 4
	}
	assert.True(t, Electricity(low, 5).Fit.Unbelieved)
}

// Constructed shops: the truth is the generator's; the bar is 84 % for ranges
// of nine chances in ten. DROSSWISE_LONG=1 makes 500 shops up; they gave 89 to
// 97 %.
func TestEnergyRangesHoldTheTruth(t *testing.T) {
	shops := 60
	if os.Getenv("DROSSWISE_LONG") != "" {
		shops = 500
	}
	for _, n := range []int{8, 15, 40} {
		var held [4]int
		for seed := range shops {
			r := rand.New(rand.NewPCG(uint64(seed), 78))
			a, b, c := 0.5+3*r.Float64(), 0.36+0.14*r.Float64(), 0.5+1.2*r.Float64()
			var heats []heat
			var first, next []float64
			for i := range n {
				h := heat{id: int64(i), cold: float64(i % 2), kg: 3 + 8*r.Float64(), first: i%2 == 1}
				h.hours = 1 + 0.2*h.kg + 0.5*h.cold + 0.4*r.Float64()
				h.kwh = a*h.cold + b*h.kg + c*h.hours + 0.3*r.NormFloat64()
				heats = append(heats, h)
				if h.first {
					first = append(first, h.hours)
				} else {
					next = append(next, h.hours)
				}
			}
			f := Electricity(meltsOf(heats), 5).Fit
			count := func(k int, low, truth, high float64) {
				if low <= truth && truth <= high {
					held[k]++
				}
			}
			count(0, f.Start.Low, a, f.Start.High)
			count(1, f.PerKilogram.Low, b, f.PerKilogram.High)
			count(2, f.PerHour.Low, c, f.PerHour.High)
			count(3, f.Difference.Low, a+c*(median(first)-median(next)), f.Difference.High)
		}
		for k, what := range []string{"start", "kilogram", "hour", "difference"} {
			rate := float64(held[k]) / float64(shops)
			t.Logf("%2d melts, %s: %.1f %%", n, what, 100*rate)
			assert.GreaterOrEqual(t, rate, 0.84, what)
		}
	}
}
