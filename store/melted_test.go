package store

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/recovery"
	"drosswise/foundry/sheet"
)

// What the estimates read is there while a melt is closed, and only then.
func TestMeltedHoldsClosedMelts(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.vector(t)
	shop, worked, err := w.Melted(ctx)
	require.NoError(t, err)
	assert.Empty(t, shop.Melts, "it is still running")
	assert.Empty(t, worked)
	require.Len(t, shop.Sources, len(w.sources)+1, "own ingots are a source too")
	assert.Equal(t, int64(sheet.OwnIngots), shop.Sources[len(w.sources)].ID)

	before := w.Changes()
	require.NoError(t, w.Add(ctx, w.by, h.Code, w.line(h, melt.Close, 240, func(*melt.Line) {}), false))
	assert.Greater(t, w.Changes(), before)
	shop, worked, err = w.Melted(ctx)
	require.NoError(t, err)
	require.Len(t, shop.Melts, 1)
	m := shop.Melts[0]
	assert.Equal(t, string(h.Code), m.Code)
	require.Len(t, m.Charges, 2)
	assert.InDelta(t, 6, m.Charges[0].Kilograms, 1e-9)
	assert.InDelta(t, 7.47, m.Recovered.Kilograms, 1e-9)
	assert.InDelta(t, 0.55, m.Dross.Kilograms, 1e-9)
	assert.InDelta(t, 0.40, m.HeelIn, 1e-9)
	assert.Zero(t, m.HeelFrom, "no melt before it left one")
	require.Len(t, worked, 1)
	assert.Equal(t, h.ID, worked[0].ID)
	assert.Equal(t, h.Furnace, worked[0].Furnace)
	assert.Equal(t, m.Charges, worked[0].Charges)
	assert.InDelta(t, 11.6, *worked[0].Energy, 1e-9)

	require.NoError(t, w.Add(ctx, w.by, h.Code, w.line(h, melt.Reopen, 250, func(l *melt.Line) { l.Note = "dross was wet" }), false))
	shop, worked, err = w.Melted(ctx)
	require.NoError(t, err)
	assert.Empty(t, shop.Melts)
	assert.Empty(t, worked)
}

// A heel found is the one that the melt before left in the same crucible.
func TestMeltedFollowsHeels(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	first := w.vector(t)
	require.NoError(t, w.Add(ctx, w.by, first.Code, w.line(first, melt.Close, 240, func(*melt.Line) {}), false))
	w.pass(1000 * 60 * 1e9)
	second := w.vector(t)
	require.NoError(t, w.Add(ctx, w.by, second.Code, w.line(second, melt.Close, 240, func(*melt.Line) {}), false))
	shop, _, err := w.Melted(ctx)
	require.NoError(t, err)
	require.Len(t, shop.Melts, 2)
	assert.Equal(t, first.ID, shop.Melts[1].HeelFrom)
}

// The last belief holds, and an empty one goes back to form and coating.
func TestBelief(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	key := w.key()
	b := Belief{Metal: &recovery.Belief{Mean: 0.9, SD: 0.05}}
	require.NoError(t, w.Believe(ctx, w.by, w.sources[0], key, b))
	require.NoError(t, w.Believe(ctx, w.by, w.sources[0], key, b), "the same again")
	all, err := w.Beliefs(ctx)
	require.NoError(t, err)
	assert.Equal(t, map[int64]Belief{w.sources[0]: b}, all)
	require.NoError(t, w.Believe(ctx, w.by, w.sources[0], w.key(), Belief{}))
	all, err = w.Beliefs(ctx)
	require.NoError(t, err)
	assert.Nil(t, all[w.sources[0]].Metal)
	require.ErrorIs(t, w.Believe(ctx, w.by, 9999, w.key(), b), ErrNotFound)
}
