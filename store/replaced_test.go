package store

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

// A line and the one written in its stead must never both count.
func TestReplacedLineStaysStruckWhileTheNewOneStands(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.vector(t)
	pour := w.lineOf(t, h, melt.Pour)
	require.NoError(t, w.Replace(ctx, w.by, h.Code, pour.ID, w.line(h, melt.Pour, 215, weighed(702*kg/100)), "misread", false))

	var refused melt.Refusals
	lift := Mark{Key: w.key()}
	require.ErrorAs(t, w.Strike(ctx, w.by, h.Code, pour.ID, lift), &refused)
	assert.InDelta(t, 6.97/8, w.yield(t, h), 1e-9)

	anew := w.lineOf(t, h, melt.Pour)
	require.NoError(t, w.Strike(ctx, w.by, h.Code, anew.ID, Mark{Key: w.key(), Struck: true}))
	require.NoError(t, w.Strike(ctx, w.by, h.Code, pour.ID, lift))
	assert.InDelta(t, 7.47/8, w.yield(t, h), 1e-9)
}

// What was paid for 10 kg as found is the price of the 8 kg left to charge.
func TestDeliveryCostsWhatWasPaidForItAll(t *testing.T) {
	l := scrap.Lot{Paid: new(quantity.Price(800_000)), AsFound: new(10 * kg), AsCharged: new(8 * kg)}
	assert.Equal(t, quantity.Price(1_000_000), *perCharged(l))
	l.AsCharged = nil
	assert.Equal(t, quantity.Price(800_000), *perCharged(l))
}
