package store

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/kit"
	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
	"drosswise/foundry/tariff"
)

// A key that comes again with the same content is stored once; with other
// content nothing may look as if that had been stored.
func TestKeyWithOtherContentIsRefused(t *testing.T) {
	w := newWorkshop(t)
	ctx := context.Background()
	source := scrap.Source{Key: w.key(), Name: "Rims", Form: scrap.Other}
	id, err := w.AddSource(ctx, w.by, source)
	require.NoError(t, err)
	scale := kit.Item{Key: w.key(), Kind: kit.Scale, Name: "Shelf scale", Resolution: 1_000}
	_, err = w.AddKit(ctx, w.by, scale)
	require.NoError(t, err)
	price := Tariff{Key: w.key(), Tariff: tariff.Tariff{From: w.Now(), Price: 300_000, Bands: []tariff.Band{{FromMinute: 0, ToMinute: 360, Price: 100_000}}}}
	require.NoError(t, w.AddTariff(ctx, w.by, price))
	key, believed := w.key(), Belief{Metal: &recovery.Belief{Mean: 0.8, SD: 0.05}}
	require.NoError(t, w.Believe(ctx, w.by, id, key, believed))

	h := w.start(t, 0)
	closing, alarm := AlarmClose{Melt: h.Code, How: "one_off", Note: "the lid was off"}, w.key()
	require.NoError(t, w.CloseAlarm(ctx, w.by, h.Furnace, alarm, closing))

	again, err := w.AddSource(ctx, w.by, source)
	require.NoError(t, err)
	assert.Equal(t, id, again)
	_, err = w.AddKit(ctx, w.by, scale)
	require.NoError(t, err)
	require.NoError(t, w.AddTariff(ctx, w.by, price))
	require.NoError(t, w.Believe(ctx, w.by, id, key, believed))

	require.NoError(t, w.CloseAlarm(ctx, w.by, h.Furnace, alarm, closing))
	closing.How = "real_change"
	assert.ErrorIs(t, w.CloseAlarm(ctx, w.by, h.Furnace, alarm, closing), ErrKeyUsed)
	source.Name, scale.Name = "Frames", "Other scale"
	_, err = w.AddSource(ctx, w.by, source)
	assert.ErrorIs(t, err, ErrConflict)
	_, err = w.AddKit(ctx, w.by, scale)
	assert.ErrorIs(t, err, ErrConflict)
	price.Bands = []tariff.Band{{FromMinute: 0, ToMinute: 420, Price: 100_000}}
	assert.ErrorIs(t, w.AddTariff(ctx, w.by, price), ErrConflict)
	believed.Metal.Mean = 0.7
	assert.ErrorIs(t, w.Believe(ctx, w.by, id, key, believed), ErrConflict)
}
