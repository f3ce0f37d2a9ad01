package life_test

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drosswise/foundry/life"
	"drosswise/foundry/quantity"
)

func weighed(values ...float64) (readings []life.Reading) {
	for i, v := range values {
		readings = append(readings, life.Reading{Age: float64(6 * i), Value: v})
	}
	return readings
}

func TestTrendSays(t *testing.T) {
	kilos, pounds := quantity.Style{}, quantity.Style{MassUnit: quantity.Pounds}
	losing := []float64{4100, 4078, 4061, 4030, 4012, 3990, 3975, 3950, 3932, 3911}
	for _, c := range []struct {
		name      string
		readings  []life.Reading
		style     quantity.Style
		direction life.Direction
		say, lost string
	}{
		{"none", nil, kilos, life.TooFew, "It takes 4 weighings at 3 ages or more to tell a trend of the weight, and it has 0 weighings.", ""},
		{"few", weighed(losing[:3]...), kilos, life.TooFew, "and it has 3 weighings.",
			"Its weight is 39 g less than new, between 38.3 g less and 39.7 g less (9 chances in 10), which is 0.9 % to 1.0 % of it, as far as the last digit read tells: the readings are too few to show how they scatter."},
		{"losing", weighed(losing...), kilos, life.Losing, "Its weight goes down by 3.5 g a heat, between 3.3 g and 3.7 g (9 chances in 10), from 10 weighings.",
			"Its weight is 189 g less than new, between"},
		{"pounds", weighed(losing...), pounds, life.Losing, "Its weight goes down by 0.008 lb a heat, between", "Its weight is 0.417 lb less than new"},
		{"steady", weighed(4000, 4001, 3999, 4000), kilos, life.NoTrend,
			"No trend of its weight can be seen from 4 weighings: anything from gaining 0.3 g to losing 0.3 g a heat would fit (9 chances in 10).", "between 3.9 g more and 3.9 g less"},
		{"gaining", weighed(4000, 4011, 4029, 4040), kilos, life.Gaining, "which wear does not do: clean it, and weigh it cold and dry.", "Its weight is 40 g more than new"},
		{"all at one age", []life.Reading{{30, 4000}, {30, 3990}, {30, 4000}, {30, 3999}}, kilos, life.TooFew, "at 3 ages or more", ""},
	} {
		tr, err := life.TrendOf(c.readings, 1)
		require.NoError(t, err, c.name)
		assert.Equal(t, c.direction, tr.Direction, c.name)
		assert.Contains(t, tr.Say(c.style, life.Weight, life.Heats), c.say, c.name)
		if c.lost == "" {
			assert.Empty(t, tr.SayLost(c.style, life.Weight), c.name)
		} else {
			assert.Contains(t, tr.SayLost(c.style, life.Weight), c.lost, c.name)
		}
	}
	walls, err := life.TrendOf([]life.Reading{{0, 12.1}, {20, 11.6}, {40, 11.2}, {60, 10.7}}, 0.1)
	require.NoError(t, err)
	assert.Contains(t, walls.Say(kilos, life.Wall, life.Heats), "Its wall goes down by 0.023 mm a heat, between")
}

// A mistyped weight is named, and what the others say is shown beside; with
// fewer than eight weighings none is doubted.
func TestTrendNamesSuspects(t *testing.T) {
	values := []float64{4100, 4078, 4061, 4030, 4012, 3990, 3975, 3950, 3432, 3911}
	tr, err := life.TrendOf(weighed(values...), 1)
	require.NoError(t, err)
	assert.Equal(t, []int{8}, tr.Suspects)
	assert.InDelta(t, 3.5, tr.Without.Middle, 0.1)
	assert.Contains(t, tr.SaySuspects(quantity.Style{}, life.Weight, life.Heats),
		"1 weighing may be mistyped, far off what the others agree on: look at it again; without it the weight would be losing 3.5 g a heat")
	few, err := life.TrendOf(weighed(4100, 4078, 3461, 4030, 4012), 1)
	require.NoError(t, err)
	assert.Empty(t, few.Suspects)
	assert.Empty(t, few.SaySuspects(quantity.Style{}, life.Weight, life.Heats))
}

// weighings makes up n weights every five heats that lose 3 g a heat, or none,
// with a scatter of 6 g, and that wander beside it by wander scatters.
func weighings(seed uint64, n int, wander float64) (losing, steady []life.Reading) {
	rng := rand.New(rand.NewPCG(seed, uint64(n)))
	walk := 0.0
	for i := range n {
		age := float64(5 * i)
		if i > 0 {
			walk += wander * 6 * rng.NormFloat64() / math.Sqrt(float64(n-1))
		}
		slip := walk + 6*rng.NormFloat64()
		losing = append(losing, life.Reading{Age: age, Value: math.Round(4000 - 3*age + slip)})
		steady = append(steady, life.Reading{Age: age, Value: math.Round(4000 + slip)})
	}
	return losing, steady
}

// The 90 % range of a loss holds the truth in 82 of 100 or more, and where there
// is no loss a trend is seen in 18 or fewer, also when weights wander.
func TestSimulatedTrend(t *testing.T) {
	pots := 400
	if full() {
		pots = 4000
	}
	for _, wander := range []float64{0, 1, 3} {
		for _, n := range []int{4, 6, 12, 20} {
			covered, wrong, doubted, width := 0, 0, 0, 0.0
			for seed := range pots {
				losing, steady := weighings(uint64(seed), n, wander)
				a, err := life.TrendOf(losing, 1)
				require.NoError(t, err)
				b, err := life.TrendOf(steady, 1)
				require.NoError(t, err)
				covered += one(a.Loss.Low <= 3 && 3 <= a.Loss.High)
				wrong += one(b.Direction != life.NoTrend)
				doubted += len(a.Suspects)
				width += a.Loss.High - a.Loss.Low
			}
			per := func(n int) float64 { return 100 * float64(n) / float64(pots) }
			t.Logf("wander %g, %2d weighings: covered %.1f %%, false trends %.1f %%, readings doubted %.2f %%, 90 %% range %.2f g wide",
				wander, n, per(covered), per(wrong), per(doubted)/float64(n), width/float64(pots))
			assert.GreaterOrEqual(t, per(covered), 82.0, "wander %g, %d weighings", wander, n)
			assert.LessOrEqual(t, per(wrong), 18.0, "wander %g, %d weighings", wander, n)
			assert.Less(t, per(doubted)/float64(n), 1.5, "wander %g, %d weighings", wander, n)
		}
	}
}

func TestTrendRefuses(t *testing.T) {
	for _, x := range []float64{-1, nan, inf, -inf, 1e10} {
		_, err := life.TrendOf([]life.Reading{{Age: x, Value: 1}}, 1)
		refused(t, err, life.BadAge, 0)
		_, err = life.TrendOf([]life.Reading{{Age: 1, Value: x}}, 1)
		refused(t, err, life.BadReading, 0)
		_, err = life.TrendOf(nil, x)
		refused(t, err, life.BadResolution, 0)
	}
	_, err := life.TrendOf(weighed(4000, 0), 1)
	refused(t, err, life.BadReading, 0)
	_, err = life.TrendOf(nil, 0)
	refused(t, err, life.BadResolution, 0)
}

// Whatever the readings, every figure is a number, in order, and can be said.
func TestAnyReadings(t *testing.T) {
	reading := rapid.Custom(func(t *rapid.T) life.Reading {
		return life.Reading{Age: ages.Draw(t, "age"), Value: max(ages.Draw(t, "value"), life.LeastAge)}
	})
	rapid.Check(t, func(t *rapid.T) {
		tr, err := life.TrendOf(rapid.SliceOfN(reading, 0, 15).Draw(t, "readings"), max(ages.Draw(t, "resolution"), life.LeastAge))
		require.NoError(t, err)
		numbers(t, reflect.ValueOf(tr), "")
		for _, r := range []*life.Range{tr.Loss, tr.Lost, tr.Share, tr.Without} {
			ordered(t, r)
		}
		style := quantity.Style{}
		plain(t, tr.Say(style, life.Weight, life.Heats))
		for _, text := range []string{tr.SayLost(style, life.Wall), tr.SaySuspects(style, life.Weight, life.HoursHot)} {
			if text != "" {
				plain(t, text)
			}
		}
	})
}
