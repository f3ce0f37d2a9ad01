package store

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

func TestLinesOfKit(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	coil := w.elements[0]
	item := func() (kit.Item, []kit.Line) {
		it, lines, _, err := w.KitItem(ctx, coil)
		require.NoError(t, err)
		return it, lines
	}
	fitted := kit.Line{Key: w.key(), Item: coil, Kind: kit.Fitted, Furnace: w.furnaces[0]}
	require.NoError(t, w.AddKitLine(ctx, w.by, fitted))
	require.NoError(t, w.AddKitLine(ctx, w.by, fitted), "the same key again")
	it, lines := item()
	require.Len(t, lines, 1)
	assert.Equal(t, w.Now(), lines[0].At)
	assert.Equal(t, w.furnaces[0], it.On)

	assert.ErrorIs(t, w.AddKitLine(ctx, w.by, kit.Line{Key: w.key(), Item: coil, Kind: kit.Fitted, Furnace: w.crucibles[0]}), ErrNotFound, "a crucible is no furnace")
	assert.ErrorIs(t, w.AddKitLine(ctx, w.by, kit.Line{Key: w.key(), Item: 999, Kind: kit.Note, Note: "?"}), ErrNotFound)
	fitted.Item = w.elements[1]
	assert.ErrorIs(t, w.AddKitLine(ctx, w.by, fitted), ErrConflict, "the key stands for a line of another piece")
	var refused melt.Refusals
	require.ErrorAs(t, w.AddKitLine(ctx, w.by, kit.Line{Key: w.key(), Item: coil, Kind: kit.Read, Ohms: new(quantity.Resistance(0))}), &refused)
	assert.Equal(t, "ohms", refused[0].Field)

	retired := kit.Line{Key: w.key(), Item: coil, Kind: kit.Retired, Note: "broken at a lead"}
	require.NoError(t, w.AddKitLine(ctx, w.by, retired))
	require.NoError(t, w.AddKitLine(ctx, w.by, retired), "a second tap is not a second retirement")
	retired.Key = w.key()
	require.ErrorAs(t, w.AddKitLine(ctx, w.by, retired), &refused)
	it, lines = item()
	assert.True(t, it.Retired)
	assert.Zero(t, it.On)
	require.Len(t, lines, 2)

	key := w.key()
	require.NoError(t, w.StrikeKitLine(ctx, w.by, coil, lines[1].ID, Mark{Key: key, Struck: true}))
	require.NoError(t, w.StrikeKitLine(ctx, w.by, coil, lines[1].ID, Mark{Key: key, Struck: true}))
	it, lines = item()
	assert.False(t, it.Retired)
	assert.Equal(t, w.furnaces[0], it.On)
	require.NotNil(t, lines[1].Strike)
	assert.ErrorIs(t, w.StrikeKitLine(ctx, w.by, w.elements[1], lines[1].ID, Mark{Key: w.key(), Struck: true}), ErrNotFound, "not a line of that piece")
	require.NoError(t, w.StrikeKitLine(ctx, w.by, coil, lines[1].ID, Mark{Key: w.key()}))
	it, _ = item()
	assert.True(t, it.Retired)
}
