package store

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

func TestQuotes(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	day := quantity.Moment(24 * quantity.Hour)
	old := scrap.Quote{Key: w.key(), Of: scrap.Unmelted, Source: w.sources[1], At: w.Now() - day, Price: 650_000}
	p := scrap.Quote{Key: w.key(), Of: scrap.Unmelted, Source: w.sources[1], At: w.Now(), Price: 700_000, Note: "yard by the canal"}
	ingots := scrap.Quote{Key: w.key(), Of: scrap.IngotsSold, At: w.Now() - day, Price: 1_700_000}
	for _, q := range []scrap.Quote{old, p, p, ingots} { // the second twice
		require.NoError(t, w.AddQuote(ctx, w.by, q))
	}
	all, err := w.Quotes(ctx)
	require.NoError(t, err)
	require.Len(t, all, 3)
	assert.Equal(t, p.Price, all[0].Price)
	assert.Equal(t, w.by, all[0].By)
	assert.Equal(t, p.Note, scrap.Latest(all, scrap.Unmelted, w.sources[1]).Note)
	assert.Equal(t, ingots.Price, scrap.Latest(all, scrap.IngotsSold, 0).Price)
	assert.Nil(t, scrap.Latest(all, scrap.IngotsBought, 0))
	assert.Nil(t, scrap.Latest(all, scrap.Unmelted, w.sources[0]))

	strike := Mark{Key: w.key(), Struck: true, Reason: "misheard"}
	for range 2 { // two taps
		require.NoError(t, w.StrikeQuote(ctx, w.by, all[0].ID, strike))
	}
	all, err = w.Quotes(ctx)
	require.NoError(t, err)
	require.NotNil(t, all[0].Strike)
	assert.Equal(t, "misheard", all[0].Strike.Reason)
	assert.Equal(t, old.Price, scrap.Latest(all, scrap.Unmelted, w.sources[1]).Price, "the one before holds again")

	require.NoError(t, w.StrikeQuote(ctx, w.by, all[0].ID, Mark{Key: w.key()}))
	require.NoError(t, w.StrikeQuote(ctx, w.by, all[0].ID, strike), "the first tap, come late")
	again, err := w.Quote(ctx, all[0].ID)
	require.NoError(t, err)
	assert.Nil(t, again.Strike)
	require.ErrorIs(t, w.StrikeQuote(ctx, w.by, all[1].ID, strike), ErrConflict, "a key of another stroke")
	require.ErrorIs(t, w.StrikeQuote(ctx, w.by, 9999, Mark{Key: w.key(), Struck: true}), ErrNotFound)
	_, err = w.write.Exec("UPDATE yard_price SET price = 1")
	assert.ErrorContains(t, err, "never changed")
}
