package store_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/store"
)

func TestOneHoldsAFolder(t *testing.T) {
	dir := t.TempDir()
	release, err := store.Hold(t.Context(), dir)
	require.NoError(t, err)
	_, err = store.Hold(t.Context(), dir)
	require.ErrorIs(t, err, store.ErrInUse)
	other, err := store.Hold(t.Context(), t.TempDir())
	require.NoError(t, err)
	require.NoError(t, other())

	require.NoError(t, release())
	again, err := store.Hold(t.Context(), dir)
	require.NoError(t, err)
	assert.NoError(t, again())
}
