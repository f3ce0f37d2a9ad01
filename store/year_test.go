package store

import (
	"context"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/year"
)

// The year of the trade notes' test vector (TRADE.md §4): 6 and 2 kg charged,
// 7.52 + 0.05 + 0.30 − 0.40 kg of metal, 11.6 kWh.
func TestAYearIsWhatItsMeltsSay(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	of := w.Now().Time().In(time.UTC).Year()
	empty, err := w.Year(ctx, of, time.UTC)
	require.NoError(t, err)
	assert.Equal(t, year.Year{Of: of, Sources: map[int64]year.Source{}, Heats: map[int64]int{}}, empty)
	years, err := w.Years(ctx)
	require.NoError(t, err)
	assert.Empty(t, years)

	h := w.vector(t)
	got, err := w.Year(ctx, of, time.UTC)
	require.NoError(t, err)
	sh, err := w.Sheet(ctx, h.ID)
	require.NoError(t, err)
	require.True(t, sh.Cash.Known())
	cash := quantity.Money(math.Round(sh.Cash.X * 100))
	sums := year.Sums{Melts: 1, Charged: 8 * kg, YieldCharged: 8 * kg, Recovered: 747 * kg / 100, EnergyCharged: 8 * kg, Energy: 116 * kWh / 10, Priced: 1, Cash: cash, CashRecovered: 747 * kg / 100}
	assert.Equal(t, sums, got.Total())
	assert.Equal(t, sums, got.Months[h.At.Time().In(time.UTC).Month()-1])
	assert.Equal(t, map[int64]year.Source{w.sources[0]: {Melts: 1, Charged: 6 * kg}, w.sources[1]: {Melts: 1, Charged: 2 * kg}}, got.Sources)
	assert.Equal(t, map[int64]int{w.crucibles[0]: 1, w.elements[0]: 1}, got.Heats)
	years, err = w.Years(ctx)
	require.NoError(t, err)
	assert.Equal(t, []int{of}, years)
	for _, other := range []int{of - 1, of + 1} {
		y, err := w.Year(ctx, other, time.UTC)
		require.NoError(t, err)
		assert.Zero(t, y.Total(), "nothing of another year")
		assert.Empty(t, y.Sources)
	}

	// A struck pour takes metal and cost out of the sums, and nothing else.
	before := w.dump(t)
	pour := w.lineOf(t, h, melt.Pour)
	require.NoError(t, w.Strike(ctx, w.by, h.Code, pour.ID, struck(w.key(), "slip")))
	got, err = w.Year(ctx, of, time.UTC)
	require.NoError(t, err)
	assert.Equal(t, year.Sums{Melts: 1, Charged: 8 * kg, EnergyCharged: 8 * kg, Energy: 116 * kWh / 10}, got.Total())
	require.NotEqual(t, before, w.dump(t))

	// Another crucible from the start, and then the melt is void.
	w.add(t, h, w.line(h, melt.Using, 0, func(l *melt.Line) { l.Crucible = w.crucibles[1] }))
	got, err = w.Year(ctx, of, time.UTC)
	require.NoError(t, err)
	assert.Equal(t, map[int64]int{w.crucibles[1]: 1, w.elements[0]: 1}, got.Heats)
	w.add(t, h, w.line(h, melt.Void, 300, noted("not melted after all")))
	got, err = w.Year(ctx, of, time.UTC)
	require.NoError(t, err)
	assert.Equal(t, empty, got)
	_, err = w.Rebuild(ctx)
	require.NoError(t, err)
	w.sound(t)

	require.NoError(t, w.AddKitLine(ctx, w.by, kit.Line{Key: w.key(), Item: w.crucibles[0], Kind: kit.Retired, At: w.Now(), Cause: "worn", Note: "thin"}))
	require.NoError(t, w.AddKitLine(ctx, w.by, kit.Line{Key: w.key(), Item: w.scales[0], Kind: kit.Retired, At: w.Now(), Note: "lost"}))
	got, err = w.Year(ctx, of, time.UTC)
	require.NoError(t, err)
	assert.Equal(t, []year.Retired{{Kit: w.crucibles[0], At: w.Now(), Cause: "worn"}}, got.Retired)
}
