package store

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
)

// A crucible with a crack takes a written reason, which stays in the melt.
func TestACrackedCrucibleTakesAReason(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	pot := w.crucibles[0]
	require.NoError(t, w.AddKitLine(ctx, w.by, kit.Line{Key: w.key(), Item: pot, Kind: kit.Inspected, Cracked: true}))
	items, err := w.Kit(ctx)
	require.NoError(t, err)
	cracked := map[int64]bool{}
	for _, it := range items {
		cracked[it.ID] = it.Cracked
	}
	assert.True(t, cracked[pot])
	assert.False(t, cracked[w.crucibles[1]])

	h := melt.Heading{Key: w.key(), At: w.Now(), Furnace: w.furnaces[0], Crucible: pot, Target: melt.Ingots}
	var refused melt.Refusals
	_, err = w.Start(ctx, w.by, h, "")
	require.ErrorAs(t, err, &refused)
	assert.Equal(t, "why_cracked", refused[0].Field)
	_, err = w.LastHeading(ctx)
	require.ErrorIs(t, err, ErrNotFound, "nothing was started")

	for range 2 { // two taps
		started, err := w.Start(ctx, w.by, h, "a trial of the lid, empty")
		require.NoError(t, err)
		_, lines, err := w.Melt(ctx, started.Code)
		require.NoError(t, err)
		require.Len(t, lines, 1)
		assert.True(t, strings.HasSuffix(lines[0].Note, "although a crack is written down: a trial of the lid, empty"), lines[0].Note)
	}

	_, err = w.Start(ctx, w.by, h, "it is all there is")
	require.ErrorIs(t, err, ErrKeyUsed, "another reason under the same key")

	other := w.start(t, 1)
	using := w.line(other, melt.Using, 1, func(l *melt.Line) { l.Crucible = pot })
	require.ErrorAs(t, w.Add(ctx, w.by, other.Code, using, false), &refused)
	assert.Equal(t, "note", refused[0].Field)
	using.Note = "the other one leaks"
	require.NoError(t, w.Add(ctx, w.by, other.Code, using, false))

	it, lines, _, err := w.KitItem(ctx, pot)
	require.NoError(t, err)
	assert.True(t, it.Cracked)
	require.NoError(t, w.StrikeKitLine(ctx, w.by, pot, lines[0].ID, Mark{Key: w.key(), Struck: true, Reason: "it was soot"}))
	h.Key = w.key()
	_, err = w.Start(ctx, w.by, h, "")
	require.NoError(t, err, "the crack is struck")
}
