package drift

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// steady are rows with a small scatter that is the same every time, and a step
// in those from `at` on.
func steady(n, at int, step float64) []Row {
	rows, _ := history(7, n, n, 0)
	for i := at; i < n; i++ {
		rows[i].Y += step
	}
	return rows
}

func TestWatchNamesAStep(t *testing.T) {
	c := Watch(steady(45, 30, 1), nil, 0)
	require.Len(t, c.Alarms, 1)
	a := c.Open()
	require.NotNil(t, a)
	assert.True(t, a.Up)
	assert.InDelta(t, 31, a.ChangeID, 1)
	assert.Equal(t, []int{int(a.ChangeID) - 1, 46 - int(a.ChangeID)}, []int{a.Before, a.Since})
	require.NotNil(t, a.Size)
	assert.InDelta(t, 1, a.Size.Middle, 0.3)
	assert.Equal(t, 45-int(a.ID), a.Later)
	assert.Less(t, a.Back, a.Later/2)

	points := c.Points
	assert.Nil(t, points[8].Q, "no chart below 10 melts")
	assert.NotNil(t, points[9].Q)
	assert.True(t, points[44].Open)
	assert.Equal(t, points[int(a.ID)-1].Baseline, points[44].Baseline, "nothing is learnt under an open alarm")
}

func TestWatchClosed(t *testing.T) {
	rows := steady(60, 30, 1)
	alarm := Watch(rows, nil, 0).Alarms[0]

	real := Watch(rows, map[int64]Close{alarm.ID: RealChange}, 0)
	require.Len(t, real.Alarms, 1, "the new baseline holds the step")
	assert.Nil(t, real.Open())
	assert.Equal(t, alarm.ChangeID, real.Baseline[0])
	assert.Len(t, real.Baseline, 61-int(alarm.ChangeID))

	few := steady(60, 60, 0)
	for i := 30; i < 34; i++ {
		few[i].Y += 3
	}
	alarm = Watch(few, nil, 0).Alarms[0]
	once := Watch(few, map[int64]Close{alarm.ID: OneOff}, 0)
	assert.Equal(t, OneOff, once.Alarms[0].Close)
	assert.NotContains(t, once.Baseline, alarm.ID)
	assert.Contains(t, once.Baseline, int64(1), "the old baseline goes on")

	rows[40].Reset = true
	renewed := Watch(rows, nil, 0)
	require.Len(t, renewed.Alarms, 1)
	assert.Equal(t, Renewed, renewed.Alarms[0].Close)
	assert.Equal(t, int64(41), renewed.Baseline[0])
	assert.Equal(t, 40, renewed.Alarms[0].Before+renewed.Alarms[0].Since)
	assert.Equal(t, 0, renewed.Points[40].Baseline)
	assert.Nil(t, Watch(rows[:45], map[int64]Close{3: OneOff}, 0).Open(), "a melt that raised nothing")
}

// One misread meter raises a lone alarm and spoils nothing.
func TestWatchLoneMelt(t *testing.T) {
	rows := steady(50, 50, 0)
	rows[35].Y += 20
	c := Watch(rows, nil, 0)
	assert.Nil(t, c.Open())
	require.Len(t, c.Lone(), 1)
	a := c.Lone()[0]
	assert.Equal(t, []int64{36, 36}, []int64{a.ID, a.ChangeID})
	assert.InDelta(t, 20, a.Size.Middle, 1)
	assert.Equal(t, 14, a.Later)
	assert.Greater(t, a.Back, 10)
	assert.Len(t, c.Baseline, 49)
	assert.NotContains(t, c.Baseline, int64(36))
	assert.Empty(t, Watch(rows, map[int64]Close{36: OneOff}, 0).Lone())
	assert.Equal(t, int64(36), Watch(rows, map[int64]Close{36: RealChange}, 0).Baseline[0])

	for i := 36; i < 50; i++ {
		rows[i].Y += 20
	}
	c = Watch(rows, nil, 0)
	require.NotNil(t, c.Open(), "it stayed")
	assert.Equal(t, ByTwo, c.Open().Sign)
	assert.Equal(t, []int64{37, 36}, []int64{c.Open().ID, c.Open().ChangeID})
	assert.Equal(t, 15, c.Open().Since)
	assert.Empty(t, c.Lone())
	assert.Equal(t, Joined, c.Alarms[0].Close)
}

func TestWatchMisreadInBaseline(t *testing.T) {
	rows := steady(9, 9, 0)
	rows[4].Y += 30
	assert.Equal(t, []int64{5}, Watch(rows, nil, 0).Misread)
}

// Whatever the numbers: nothing that is not a number comes out, the same comes
// out twice, and closing an alarm changes nothing before it.
func TestWatchHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.OneOf(rapid.Float64Range(0, 20), rapid.Float64(), rapid.SampledFrom([]float64{0, 1, 1, 1, 5, math.NaN(), math.Inf(1)}))
		var rows []Row
		for i := range rapid.IntRange(0, 40).Draw(t, "n") {
			rows = append(rows, Row{
				ID: int64(i + 1), Y: value.Draw(t, "y"),
				X:     []float64{float64(rapid.IntRange(0, 1).Draw(t, "cold")), value.Draw(t, "kg"), value.Draw(t, "hours")},
				Reset: rapid.IntRange(0, 30).Draw(t, "reset") == 0,
			})
		}
		least := rapid.SampledFrom([]float64{0, 0.01}).Draw(t, "least")
		c := Watch(rows, nil, least)
		text, err := json.Marshal(c) // refuses NaN and Inf
		require.NoError(t, err)
		again, err := json.Marshal(Watch(rows, nil, least))
		require.NoError(t, err)
		assert.JSONEq(t, string(text), string(again))
		if len(c.Alarms) == 0 {
			return
		}
		how := rapid.SampledFrom([]Close{RealChange, OneOff}).Draw(t, "how")
		d := Watch(rows, map[int64]Close{c.Alarms[0].ID: how}, least)
		_, err = json.Marshal(d)
		require.NoError(t, err)
		for i := range c.Points {
			if c.Points[i].ID == c.Alarms[0].ID {
				assert.Equal(t, c.Points[:i], d.Points[:i])
			}
		}
	})
}

func BenchmarkWatch(b *testing.B) {
	rows, _ := history(1, 1000, 1000, 0)
	for b.Loop() {
		Watch(rows, nil, 0)
	}
}
