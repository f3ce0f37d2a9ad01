package wear

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stepped are the readings of d_resistance_1 with a step in Ω from one on.
func stepped(t *testing.T, from int, step float64) (Set, []Reading) {
	set, readings := wornSet(t)
	readings = slices.Clone(readings)
	for i := from; i < len(readings); i++ {
		readings[i].Ohms = ohm(readings[i].Ohms.Ohms() + step)
	}
	return set, readings
}

// A step of known size is found where it is, with its direction; the trend
// starts anew after it, and no hours are taken out of the step.
func TestStepsAreNamed(t *testing.T) {
	for name, try := range map[string]struct {
		from  int
		step  float64
		parts []string
	}{
		"a joint going":    {5, 0.9, []string{"Between 70 h and 96 h hot the ohms stepped up by 0.8", "a joint may be going"}},
		"turns that touch": {5, -0.6, []string{"Between 70 h and 96 h hot the ohms stepped down by 0.", "Look for turns that touch"}},
		"near the end":     {8, 0.5, []string{"Between 140 h and 160 h hot the ohms stepped up by 0."}},
	} {
		set, readings := stepped(t, try.from, try.step)
		l := Look(set, readings)
		require.Len(t, l.Jumps, 1, name)
		j := l.Jumps[0]
		assert.Less(t, j.Size.Low, try.step, name)
		assert.Greater(t, j.Size.High, try.step, name)
		assert.InDelta(t, try.step/14.2, j.Share, 0.01, name)
		assert.Equal(t, readings[try.from].Hours, l.From, name)
		assert.Equal(t, len(readings)-try.from, l.Readings, name)
		for _, part := range try.parts {
			assert.Contains(t, l.Say(plain), part, name)
		}
		require.NotNil(t, l.Rise, name)
		assert.InDelta(t, 0.00241/14, *l.Rise, 0.00003, "%s: slope of the stretch alone", name)
	}
}

// A step up leaves the limit where it is; a step down lowers it with the ohms.
func TestTheLimitAfterAStep(t *testing.T) {
	set, readings := stepped(t, 5, 0.9)
	assert.InDelta(t, 15.4, Look(set, readings).LimitOhms, 1e-9)
	set, readings = stepped(t, 5, -0.6)
	assert.InDelta(t, 15.4*(1-0.6/14.21), Look(set, readings).LimitOhms, 0.03)
}

func TestNoStepWhereThereIsNone(t *testing.T) {
	set, readings := wornSet(t)
	assert.Empty(t, Look(set, readings).Jumps)
	set, readings = stepped(t, 9, 0.9)
	assert.Empty(t, Look(set, readings).Jumps, "the last reading alone may be misread")
	set, readings = stepped(t, 5, 0.1)
	assert.Empty(t, Look(set, readings).Jumps, "less than two in a hundred")
}

// A repair breaks the trend even where nothing steps; work at the hours of a
// reading was done before it.
func TestARepairBreaksTheTrend(t *testing.T) {
	set, readings := wornSet(t)
	set.Repairs = []Repair{{ID: 7, Hours: 96}}
	l := Look(set, readings)
	require.Len(t, l.Jumps, 1)
	assert.Equal(t, int64(7), l.Jumps[0].Repair)
	assert.Equal(t, 96.0, l.From)
	assert.InDelta(t, 15.4, l.LimitOhms, 1e-9)
	assert.Contains(t, l.Say(plain), "The repair between 70 h and 96 h hot made no step that can be told from none")

	set.Repairs[0].Hours = 150
	l = Look(set, readings)
	assert.Equal(t, TooFew, l.Code)
	assert.Contains(t, l.Say(plain), "cannot be said from 2 readings since 160 h hot")

	set, readings = stepped(t, 5, -0.6)
	set.Repairs = []Repair{{ID: 7, Hours: 80}}
	assert.Contains(t, Look(set, readings).Say(plain), "At the repair between 70 h and 96 h hot the ohms stepped down by 0.")
}
