package store

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
	"drosswise/foundry/sheet"
)

func struck(key, reason string) Mark { return Mark{Key: key, Struck: true, Reason: reason} }

// The test vector of the trade notes (§4) through the file: Y is 93.4 %. With
// the 2.00 kg of profile struck it is 7.47/6.00; with the strike lifted it is
// what it was, to the last byte.
func TestStrikeMovesTheYieldThereAndBack(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.vector(t)
	assert.InDelta(t, 0.934, w.yield(t, h), 0.0005)
	assert.InDelta(t, 7.47/8, w.yield(t, h), 1e-9)
	figures := texts(t, w.read, "SELECT * FROM figure")
	total, err := w.Totals(ctx, Filter{})
	require.NoError(t, err)
	assert.Equal(t, Totals{Melts: 1, Charged: 8 * kg, OfSource: 8 * kg, YieldCharged: 8 * kg, Recovered: 747 * kg / 100, EnergyCharged: 8 * kg, Energy: 116 * kWh / 10}, total)

	profile := w.lineOf(t, h, melt.Charge)
	require.Equal(t, w.sources[1], profile.Source)
	require.NoError(t, w.Strike(ctx, w.by, h.Code, profile.ID, struck("strike-1", "other melt")))
	assert.InDelta(t, 7.47/6, w.yield(t, h), 1e-9)
	_, lines, err := w.Melt(ctx, h.Code)
	require.NoError(t, err)
	assert.Equal(t, &melt.Strike{At: w.Now(), By: w.by, Reason: "other melt", Key: "strike-1"}, lines[2].Strike)
	total, err = w.Totals(ctx, Filter{Source: w.sources[1]})
	require.NoError(t, err)
	assert.Zero(t, total)

	require.NoError(t, w.Strike(ctx, w.by, h.Code, profile.ID, Mark{Key: "strike-2"}))
	assert.Equal(t, figures, texts(t, w.read, "SELECT * FROM figure"))
	total, err = w.Totals(ctx, Filter{Source: w.sources[1]})
	require.NoError(t, err)
	assert.Equal(t, 2*kg, total.OfSource)
	assert.Len(t, texts(t, w.read, "SELECT key FROM strike"), 2, "both stay in the book")
}

// Striking what is struck and lifting what stands change nothing, and a strike
// that a phone sends again after it was lifted does not strike again: what is
// kept always is what the lines say.
func TestStrikesSentAgain(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.vector(t)
	spill, skim := w.lineOf(t, h, melt.Spill), w.lineOf(t, h, melt.Skim)
	plain := w.dump(t)
	require.NoError(t, w.Strike(ctx, w.by, h.Code, spill.ID, Mark{Key: "lift-000"}))
	w.still(t, plain)

	require.NoError(t, w.Strike(ctx, w.by, h.Code, spill.ID, struck("strike-1", "")))
	once := w.dump(t)
	require.NoError(t, w.Strike(ctx, w.by, h.Code, spill.ID, struck("strike-1", "")))
	require.NoError(t, w.Strike(ctx, w.by, h.Code, spill.ID, struck("strike-9", "")))
	w.still(t, once)

	require.NoError(t, w.Strike(ctx, w.by, h.Code, spill.ID, Mark{Key: "strike-2"}))
	lifted := w.dump(t)
	require.NoError(t, w.Strike(ctx, w.by, h.Code, spill.ID, struck("strike-1", "")), "an old one again")
	w.still(t, lifted)
	assert.ErrorIs(t, w.Strike(ctx, w.by, h.Code, skim.ID, struck("strike-1", "")), ErrConflict, "a key of another line")
	assert.ErrorIs(t, w.Strike(ctx, w.by, h.Code, 9999, struck("strike-3", "")), ErrNotFound)
	other := w.start(t, 1)
	lifted = w.dump(t)
	assert.ErrorIs(t, w.Strike(ctx, w.by, other.Code, spill.ID, struck("strike-3", "")), ErrNotFound, "a line of another melt")
	w.still(t, lifted)
	_, err := w.Rebuild(ctx)
	require.NoError(t, err)
	w.still(t, lifted)
}

// A closed melt stays as it is, until its close is struck or it is reopened.
func TestStrikesOnAClosedMelt(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.vector(t)
	spill := w.lineOf(t, h, melt.Spill)
	w.add(t, h, w.line(h, melt.Close, 230))
	before := w.dump(t)
	var rs melt.Refusals
	require.ErrorAs(t, w.Strike(ctx, w.by, h.Code, spill.ID, struck(w.key(), "")), &rs)
	assert.Contains(t, rs[0].Say(quantity.Style{}), "Reopen it")
	require.ErrorAs(t, w.Replace(ctx, w.by, h.Code, spill.ID, w.line(h, melt.Spill, 216, weighed(kg)), "", true), &rs)
	w.still(t, before)

	require.NoError(t, w.Strike(ctx, w.by, h.Code, w.lineOf(t, h, melt.Close).ID, struck(w.key(), "too early")))
	require.NoError(t, w.Strike(ctx, w.by, h.Code, spill.ID, struck(w.key(), "")))
	w.add(t, h, w.line(h, melt.Close, 230))
	w.add(t, h, w.line(h, melt.Reopen, 235, noted("one spill was found")))
	require.NoError(t, w.Strike(ctx, w.by, h.Code, spill.ID, Mark{Key: w.key()}))
	assert.InDelta(t, 7.47/8, w.yield(t, h), 1e-9)
}

// A line is replaced in one step: either the old one is struck and the new one
// stands, or nothing has happened.
func TestReplaceIsOneStep(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.vector(t)
	pour := w.lineOf(t, h, melt.Pour)
	before := w.dump(t)
	for name, l := range map[string]melt.Line{
		"no mass it can be": w.line(h, melt.Pour, 215, weighed(-kg)),
		"too early":         w.line(h, melt.Pour, -10, weighed(kg)),
		"a doubtful mass":   w.line(h, melt.Pour, 215, weighed(70*kg)),
		"unknown scale":     w.line(h, melt.Pour, 215, func(l *melt.Line) { l.Gross, l.Scale = []quantity.Mass{kg}, 999 }),
	} {
		assert.Error(t, w.Replace(ctx, w.by, h.Code, pour.ID, l, "", false), name)
	}
	taken := w.line(h, melt.Pour, 215, weighed(kg))
	taken.Key = w.lineOf(t, h, melt.Spill).Key
	assert.ErrorIs(t, w.Replace(ctx, w.by, h.Code, pour.ID, taken, "", true), ErrConflict, "a key that stands for the spill")
	assert.ErrorIs(t, w.Replace(ctx, w.by, h.Code, 9999, w.line(h, melt.Pour, 215, weighed(kg)), "", true), ErrNotFound)
	w.still(t, before)

	l := w.line(h, melt.Pour, 215, weighed(702*kg/100))
	require.NoError(t, w.Replace(ctx, w.by, h.Code, pour.ID, l, "read 7.52 for 7.02", false))
	assert.InDelta(t, 6.97/8, w.yield(t, h), 1e-9)
	_, lines, err := w.Melt(ctx, h.Code)
	require.NoError(t, err)
	assert.Equal(t, "read 7.52 for 7.02", lines[7].Strike.Reason)
	assert.Equal(t, l.Key, w.lineOf(t, h, melt.Pour).Key)

	after := w.dump(t)
	require.NoError(t, w.Replace(ctx, w.by, h.Code, pour.ID, l, "read 7.52 for 7.02", false), "the same again")
	w.still(t, after)
	assert.ErrorIs(t, w.Replace(ctx, w.by, h.Code, pour.ID, w.line(h, melt.Pour, 215, weighed(kg)), "", true), ErrConflict, "it is struck already")
	used := w.line(h, melt.Pour, 215, weighed(kg))
	require.NoError(t, w.Strike(ctx, w.by, h.Code, w.lineOf(t, h, melt.Spill).ID, struck(used.Key, "")))
	after = w.dump(t)
	assert.ErrorIs(t, w.Replace(ctx, w.by, h.Code, w.lineOf(t, h, melt.Pour).ID, used, "", true), ErrConflict, "its key is a strike's")
	w.still(t, after)
}

// A melt that was made void counts nowhere, and counts again when it is
// reopened.
func TestVoidCountsNowhere(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.vector(t)
	counted := func() []string {
		all := []string{}
		for _, q := range []string{"tally", "wear", "cash_month", "kit_month", "figure_source", "figure_lot", "source_sum"} {
			all = append(all, texts(t, w.read, "SELECT '"+q+"', * FROM "+q)...)
		}
		return all
	}
	before := counted()
	require.Len(t, before, 3+3+1+2+2+0+2) // all and two sources; furnace, crucible, element; a month; crucible, element; two sources; two sources
	heel, _, err := w.HeelLeft(ctx, w.crucibles[0], Place{At: w.Now(), ID: 1 << 40})
	require.NoError(t, err)
	assert.Equal(t, 3*kg/10, *heel)

	w.add(t, h, w.line(h, melt.Void, 230, noted("written under the wrong furnace")))
	assert.Empty(t, counted())
	total, err := w.Totals(ctx, Filter{})
	require.NoError(t, err)
	assert.Zero(t, total)
	heel, _, err = w.HeelLeft(ctx, w.crucibles[0], Place{At: w.Now(), ID: 1 << 40})
	require.NoError(t, err)
	assert.Nil(t, heel)
	pours, err := w.RecentPours(ctx, 10)
	require.NoError(t, err)
	assert.Empty(t, pours)
	rows, _, err := w.Melts(ctx, Filter{}, Place{}, false, 10)
	require.NoError(t, err)
	require.Len(t, rows, 1)
	assert.Equal(t, melt.Voided, rows[0].State, "it stays in the book")

	w.add(t, h, w.line(h, melt.Reopen, 240, noted("it was right after all")))
	assert.Equal(t, before, counted())
	pours, err = w.RecentPours(ctx, 10)
	require.NoError(t, err)
	assert.Len(t, pours, 1)
}

// Sums pool what came out over the net charge, as the melts' own yields do:
// steel that was found is no metal that was lost, and silicon that was added
// is metal that was charged.
func TestTotalsPoolWhatTheSheetsSay(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.vector(t)
	w.add(t, h, w.line(h, melt.Steel, 218, weighed(kg)))
	w.add(t, h, w.line(h, melt.Addition, 50, weighed(kg/2), func(l *melt.Line) { l.Which = "silicon" }))
	s, err := w.Sheet(ctx, h.ID)
	require.NoError(t, err)
	total, err := w.Totals(ctx, Filter{})
	require.NoError(t, err)
	assert.InDelta(t, s.Yield.X, total.Recovered.Kilograms()/total.YieldCharged.Kilograms(), 1e-9)
	assert.InDelta(t, s.PerCharged.X, total.Energy.KilowattHours()/total.EnergyCharged.Kilograms(), 1e-9)
	assert.Equal(t, 75*kg/10, total.YieldCharged)
}

// Strikes of kit lines and deliveries work alike.
func TestStrikesOfKitLinesAndDeliveries(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	coil := w.elements[0]
	require.NoError(t, w.AddKitLine(ctx, w.by, kit.Line{Key: "fitted-01", Item: coil, Kind: kit.Fitted, At: w.Now(), Furnace: w.furnaces[0]}))
	on := func() int64 {
		it, lines, _, err := w.KitItem(ctx, coil)
		require.NoError(t, err)
		require.Len(t, lines, 1)
		return it.On
	}
	assert.Equal(t, w.furnaces[0], on())
	require.NoError(t, w.StrikeKitLine(ctx, w.by, coil, 1, struck("strike-1", "")))
	assert.Zero(t, on())
	require.NoError(t, w.StrikeKitLine(ctx, w.by, coil, 1, Mark{Key: "strike-2"}))
	require.NoError(t, w.StrikeKitLine(ctx, w.by, coil, 1, struck("strike-1", "")))
	assert.Equal(t, w.furnaces[0], on(), "an old strike sent again does not strike")

	h := w.start(t, 0)
	w.add(t, h, w.line(h, melt.Charge, 0, weighed(kg), of(w.sources[0]), func(l *melt.Line) { l.Lot = w.lots[0] }))
	scrapCost := func() sheet.Costs {
		s, err := w.Sheet(ctx, h.ID)
		require.NoError(t, err)
		return s.Costs
	}
	lots, err := w.Lots(ctx, w.sources[0])
	require.NoError(t, err)
	require.Len(t, lots, 1)
	assert.Equal(t, kg, lots[0].Charged)
	assert.InDelta(t, 0.50, scrapCost().Scrap, 1e-9, "the delivery's price")
	require.NoError(t, w.StrikeLot(ctx, w.by, w.sources[0], w.lots[0], struck("strike-3", "never came")))
	assert.InDelta(t, 0.80, scrapCost().Scrap, 1e-9, "the source's price")
	lots, err = w.Lots(ctx, w.sources[0])
	require.NoError(t, err)
	assert.Equal(t, &scrap.Strike{At: w.Now(), By: w.by, Reason: "never came"}, lots[0].Strike)
	assert.ErrorIs(t, w.StrikeLot(ctx, w.by, w.sources[1], w.lots[0], struck("strike-4", "")), ErrNotFound)
	assert.ErrorIs(t, w.StrikeKitLine(ctx, w.by, w.elements[1], 1, struck("strike-4", "")), ErrNotFound)
}
