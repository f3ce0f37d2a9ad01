package sheet_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/sheet"
)

func worked(h melt.Heading, lines []melt.Line) sheet.Work {
	return sheet.Worked(h, lines, vectorFacts(), sheet.Of(h, lines, vectorFacts()))
}

// The vector of the trade notes, §4, as the findings see it.
func TestWorkedVector(t *testing.T) {
	h, lines := vectorHeading(), vectorLines()
	h.Noted = h.At
	m := worked(h, lines)
	for name, c := range map[string]struct {
		got  *float64
		want float64
	}{
		"charged": {m.Charged, 8}, "recovered": {m.Recovered, 7.47}, "energy": {m.Energy, 11.6}, "heel": {m.HeelIn, 0.40}, "cold": {m.Cold, 1},
		"power": {m.Power, 11.6 * 0.2573}, "molten": {m.Molten, 3 + 10.0/60}, "dross": {m.Dross, 0.55 / 8}, "crucible": {m.Crucible, 0.60}, "element": {m.Element, 0.225}, "pour": {m.Pour, 720},
		"into hot metal": {m.IntoHot, 0},
	} {
		require.NotNil(t, c.got, name)
		assert.InDelta(t, c.want, *c.got, 1e-6, name)
	}
	require.Len(t, m.Flux, 1)
	assert.InDelta(t, 0.10, *m.Flux[0].Cost, 1e-12)
	assert.False(t, m.FluxOpen)

	h.Warm = true
	assert.Zero(t, *worked(h, lines).Cold)
}

// On a melt that was copied in later a blank is no answer; at the furnace an
// empty box is a no.
func TestWorkedLeavesOpenWhatNobodySaid(t *testing.T) {
	h, lines := vectorHeading(), without(vectorLines(), melt.Addition, melt.HeelIn, melt.HeelOut)
	for i := range lines {
		lines[i].Dry, lines[i].Preheated = false, false
	}
	h.Noted = h.At
	m := worked(h, lines)
	require.NotNil(t, m.Dried)
	assert.Zero(t, *m.Dried)
	assert.Nil(t, m.HeelIn, "no line says whether there was one")
	assert.False(t, m.FluxOpen)

	h.Noted = h.At + quantity.Moment(48*quantity.Hour)
	m = worked(h, lines)
	assert.Nil(t, m.Dried)
	assert.True(t, m.FluxOpen)
	for i := range lines {
		if lines[i].Kind == melt.Charge {
			lines[i].Dry = true // 6 kg of 8
			break
		}
	}
	assert.InDelta(t, 0.75, *worked(h, lines).Dried, 1e-9, "a tick is an answer")

	open := worked(h, without(lines, melt.Charge, melt.Pour, melt.PowerOn))
	assert.Nil(t, open.Charged)
	assert.Nil(t, open.Dried)
	assert.Nil(t, open.Recovered)
	assert.Nil(t, open.Hours)
}
