package demo

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
)

// yieldsAreTrue holds every melt's yield against what really came of its
// charge, and the pooled yield of each scrap that was melted alone against the
// mean it was made with.
func (d *shop) yieldsAreTrue(t *testing.T) {
	type pool struct{ n, charged, recovered, dross float64 }
	pools := map[int]*pool{}
	for _, m := range d.truth {
		_, s := d.melt(t, m.Code)
		net := m.Total() - m.Steel
		if s.Yield.Known() && m.Slip == 0 {
			assert.InDelta(t, m.Recovered/net, s.Yield.X, 4*s.Yield.U+0.002, m.Code)
		}
		if s.DrossRate.Known() && m.Slip == 0 {
			assert.InDelta(t, m.Dross/net, s.DrossRate.X, 4*s.DrossRate.U+0.001, m.Code)
		}
		if metal, ok := alone(m); ok && s.Yield.Known() && s.Dross.Known() && m.Slip == 0 {
			p := pools[metal]
			if p == nil {
				p = &pool{}
				pools[metal] = p
			}
			p.n, p.charged, p.recovered, p.dross = p.n+1, p.charged+s.Charged.X-s.Attachments.X, p.recovered+s.Recovered.X, p.dross+s.Dross.X
		}
	}
	require.Len(t, pools, Ingots, "every scrap was melted alone")
	for metal, p := range pools {
		truth := Scrap[metal]
		assert.GreaterOrEqual(t, p.n, 4.0, truth.Name)
		near := 3*truth.Scatter/math.Sqrt(p.n) + 0.002
		assert.InDelta(t, truth.Yield, p.recovered/p.charged, near, truth.Name)
		assert.InDelta(t, truth.Dross, p.dross/p.charged, near, truth.Name)
		t.Logf("%-26s %2.0f melts alone: yield %.4f (truth %.3f), dross %.4f (truth %.3f)", truth.Name, p.n, p.recovered/p.charged, truth.Yield, p.dross/p.charged, truth.Dross)
	}
	records, err := d.st.Records(t.Context())
	require.NoError(t, err)
	assert.Len(t, records, Ingots)
}

// estimatesAreTrue holds what all melts together say of each scrap against the
// mean it was made with, the noisy ones too, and the melts that are pointed out
// against those that hold a wrong mass.
func (d *shop) estimatesAreTrue(t *testing.T) {
	melted, _, err := d.st.Melted(t.Context())
	require.NoError(t, err)
	e := recovery.Estimate(melted, recovery.Settings{})
	held := 0
	for i, s := range e.Sources {
		for _, truth := range Scrap {
			if truth.Name != melted.Sources[i].Name {
				continue
			}
			t.Logf("%-26s metal %.1f-%.1f %% (truth %.1f), scatter %.1f (truth %.1f), dross %.1f-%.1f %% (truth %.1f)", truth.Name,
				100*s.Metal.Low, 100*s.Metal.High, 100*truth.Yield, 100*s.Metal.Scatter, 100*truth.Scatter, 100*s.Dross.Low, 100*s.Dross.High, 100*truth.Dross)
			for share, f := range map[float64]recovery.Figure{truth.Yield: s.Metal, truth.Dross: s.Dross} {
				assert.InDelta(t, share, f.Middle, f.Width(), truth.Name)
				if f.Low <= share && share <= f.High {
					held++
				}
			}
		}
	}
	assert.GreaterOrEqual(t, held, 13, "of 16 ranges of nine chances in ten")

	suspects := map[string]bool{}
	for _, m := range e.Suspects() {
		suspects[m.Code] = true
		t.Log(m.Say(quantity.Style{}))
	}
	for _, m := range d.truth {
		wrong := m.Mishap == Mistyped || m.Mishap == AsFound // the only ones that were left wrong
		assert.Equal(t, wrong, suspects[string(m.Code)], "%s %s", m.Code, m.Mishap)
	}
}

// energyIsTrue holds the energy of every melt, as metered, against what the
// furnace takes by its truth for the mass and the hours that were logged.
func (d *shop) energyIsTrue(t *testing.T) {
	var sum, squares, n float64
	for _, m := range d.truth {
		_, s := d.melt(t, m.Code)
		if !s.Energy.Known() || m.Mishap == StillOn || m.Slip != 0 {
			continue
		}
		f, start, heel := &yardFurnace, yardFurnace.cold, s.HeelIn.X
		if m.Furnace == benchFurnace.name {
			f, start = &benchFurnace, benchFurnace.cold
		}
		if m.Warm {
			start, heel = f.warm, 0
		}
		off := (s.Energy.X - start - f.perKg*(s.Charged.X+heel) - f.walls*s.Hot.X) / f.scatter
		assert.Less(t, math.Abs(off), 4.5, m.Code)
		sum, squares, n = sum+off, squares+off*off, n+1
	}
	assert.Greater(t, n, 130.0)
	assert.Less(t, math.Abs(sum/n), 3/math.Sqrt(n)+0.1)
	assert.InDelta(t, 1, math.Sqrt(squares/n), 0.25)
}

func (d *shop) elementsAge(t *testing.T) {
	items, err := d.st.Kit(t.Context())
	require.NoError(t, err)
	for _, it := range items {
		if it.Kind != kit.Element || !strings.HasPrefix(it.Name, "E") {
			continue
		}
		_, lines, wear, err := d.st.KitItem(t.Context(), it.ID)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, countKitLines(lines, kit.Read), 5, it.Name)
		last, _, ok := it.OhmsNow(lines)
		require.True(t, ok)
		rise := float64(last)/float64(*it.Ohms) - 1
		if it.Name == "E5" {
			assert.InDelta(t, 0.09, rise, 0.006, "near its end")
			assert.False(t, it.Retired)
			continue
		}
		assert.True(t, it.Retired, it.Name)
		assert.InDelta(t, 0.085, rise, 0.03, it.Name)
		assert.InDelta(t, 29, wear.Heats, 6, it.Name)
	}
}

func countKitLines(lines []kit.Line, k kit.LineKind) (n int) {
	for _, l := range lines {
		if l.Kind == k {
			n++
		}
	}
	return n
}

// alone says whether nothing but one kind of scrap was charged, and which:
// a place in Scrap other than Ingots.
func alone(m *Melt) (metal int, ok bool) {
	all := sortedKeys(m.Charged)
	return all[0], len(all) == 1 && all[0] != Ingots
}
