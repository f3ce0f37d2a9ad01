package stage_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drosswise/foundry/caution"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/stage"
)

// TestThroughAMelt goes the way of a melt (TRADE.md's order of the work, common
// practice, no source): after each line the next is the one that is said.
func TestThroughAMelt(t *testing.T) {
	steps := []struct {
		line  melt.Kind
		next  melt.Kind
		stage caution.Stage
	}{
		{"", melt.Checked, caution.BeforeStart},
		{melt.Checked, melt.Charge, caution.Charging},
		{melt.Charge, melt.PowerOn, caution.Charging},
		{melt.PowerOn, melt.FirstLiquid, caution.Charging},
		{melt.FirstLiquid, melt.AllMolten, caution.Charging},
		{melt.Isolated, melt.PowerOn, caution.Charging},
		{melt.Charge, melt.PowerOn, caution.Charging},
		{melt.PowerOn, melt.AllMolten, caution.Charging},
		{melt.AllMolten, melt.Isolated, caution.FluxSkim},
		{melt.Isolated, melt.Temperature, caution.FluxSkim},
		{melt.Temperature, melt.Skim, caution.FluxSkim},
		{melt.Skim, melt.Pour, caution.Pouring},
		{melt.Pour, melt.HeelOut, caution.After},
		{melt.HeelOut, melt.Close, caution.After},
	}
	var lines []melt.Line
	for i, s := range steps {
		if s.line != "" {
			lines = append(lines, at(s.line, i))
		}
		got := stage.Next(lines)
		assert.Equal(t, s.next, got.Kind, "after %d: %s", i, s.line)
		assert.Equal(t, s.stage, got.Stage, "after %d: %s", i, s.line)
	}
}

func at(k melt.Kind, minute int) melt.Line {
	l := melt.Line{Kind: k, At: quantity.Moment(minute+1) * quantity.Moment(quantity.Minute)}
	switch k {
	case melt.Temperature:
		l.Which = melt.InMetal
	case melt.Pour:
		l.Gross = []quantity.Mass{quantity.Kilogram}
	}
	return l
}

// TestOddOrders are melts that are not by the book.
func TestOddOrders(t *testing.T) {
	for _, one := range []struct {
		what  string
		lines []melt.Kind
		next  melt.Kind
	}{
		{"charged before the points were read", []melt.Kind{melt.Charge}, melt.Checked},
		{"read with the power on", []melt.Kind{melt.Charge, melt.PowerOn, melt.AllMolten, melt.Temperature}, melt.Isolated},
		{"switched on empty", []melt.Kind{melt.PowerOn}, melt.Isolated},
		{"cold scrap on the molten pot", []melt.Kind{melt.Charge, melt.PowerOn, melt.AllMolten, melt.Charge}, melt.FirstLiquid},
		{"skimmed with the power on", []melt.Kind{melt.Charge, melt.PowerOn, melt.AllMolten, melt.Skim}, melt.Isolated},
		{"poured with the power on", []melt.Kind{melt.Charge, melt.PowerOn, melt.AllMolten, melt.Pour}, melt.Isolated},
		{"a second round in one melt", []melt.Kind{melt.Charge, melt.PowerOn, melt.AllMolten, melt.Isolated, melt.Pour, melt.Charge}, melt.PowerOn},
		{"read before all was molten", []melt.Kind{melt.Charge, melt.PowerOn, melt.Temperature, melt.AllMolten, melt.Isolated, melt.Skim}, melt.Temperature},
		{"nothing to read with", []melt.Kind{melt.Charge, melt.PowerOn, melt.AllMolten, melt.Isolated, melt.Skim}, melt.Pour},
		{"only poured", []melt.Kind{melt.Pour}, melt.HeelOut},
	} {
		var lines []melt.Line
		for i, k := range one.lines {
			lines = append(lines, at(k, i))
		}
		assert.Equal(t, one.next, stage.Next(lines).Kind, one.what)
	}
}

// TestNextNeverSoothes tries lines of all kinds in all orders: there always is
// a step that has cautions, and with the power on nothing that reaches into the
// furnace is asked for.
func TestNextNeverSoothes(t *testing.T) {
	var kinds []melt.Kind
	for _, s := range melt.Specs() {
		kinds = append(kinds, s.Kind)
	}
	rapid.Check(t, func(t *rapid.T) {
		var lines []melt.Line
		on := false
		for i, k := range rapid.SliceOfN(rapid.SampledFrom(kinds), 0, 30).Draw(t, "kinds") {
			lines = append(lines, at(k, i))
			on = k == melt.PowerOn || on && k != melt.Isolated
		}
		got := stage.Next(lines)
		require.NotEmpty(t, got.Text)
		require.NotContains(t, strings.ToLower(got.Text), "safe")
		require.NotEmpty(t, caution.For(got.Stage, caution.Hazards{}))
		_, known := melt.SpecOf(got.Kind)
		require.True(t, known)
		if on {
			require.NotContains(t, []melt.Kind{melt.Charge, melt.Temperature, melt.Skim, melt.Pour}, got.Kind)
		}
	})
}
