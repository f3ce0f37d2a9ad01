package store

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// Whatever has happened, in whatever order: figures, sums and search made anew
// from the ledger are byte for byte those that were kept on the way.
func TestRebuildGivesTheSame(t *testing.T) {
	taken := map[string]int{}
	for seed := range uint64(2) {
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) {
			w, ctx := newWorkshop(t), context.Background()
			h := newHistory(t, w, seed)
			for range 3 {
				h.run(130)
				before := w.dump(t)
				n, err := w.Rebuild(ctx)
				require.NoError(t, err)
				assert.Equal(t, len(h.melts), n)
				w.still(t, before)
				w.garble(t)
				_, err = w.Rebuild(ctx)
				require.NoError(t, err)
				w.still(t, before)
			}
			w.sound(t)
			sumsAreRight(t, w)
			for name, n := range h.taken {
				taken[name] += n
			}
		})
	}
	for _, name := range []string{"add charge", "add pour", "add void", "add close", "add reopen", "strike", "lift", "replace", "change kit", "change source", "add tariff", "set shop"} {
		assert.Positive(t, taken[name], "no history has this: %s", name)
	}
}

// garble spoils all that is computed, as a fault in the arithmetic might have.
func (w *workshop) garble(t *testing.T) {
	for _, statement := range []string{
		"UPDATE figure SET charged = charged + 1, yield = 7, words = 'nonsense', body = '{}'",
		"UPDATE figure_source SET charged = charged + 1",
		"INSERT OR REPLACE INTO figure_source SELECT melt_id, 3, 7, furnace_id, started_at FROM figure",
		"INSERT OR REPLACE INTO figure_lot SELECT melt_id, 1, 7 FROM figure",
		"UPDATE tally SET melts = melts + 1",
		"UPDATE cash_month SET cash = cash + 1",
		"INSERT OR REPLACE INTO kit_month SELECT id, 1, 1 FROM kit",
		"INSERT INTO tally VALUES (0, 1, 1, 1, 1, 1, 1, 1, 1, 1)",
		"INSERT OR REPLACE INTO source_sum SELECT id, 1, 1, 1, 1, 1, 1 FROM source",
		"INSERT OR REPLACE INTO wear SELECT id, 1, 1, 1, 1 FROM kit",
		"UPDATE melt_record SET body = '{}', worked = '{}'",
		"DELETE FROM melt_words WHERE rowid IN (SELECT rowid FROM melt_words LIMIT 5)",
	} {
		_, err := w.write.Exec(statement)
		require.NoError(t, err, statement)
	}
}

// sumsAreRight adds the sums up another way, from the melts' figures.
func sumsAreRight(t *testing.T, w *workshop) {
	ctx := context.Background()
	rows, _, err := w.Melts(ctx, Filter{}, Place{}, false, 10_000)
	require.NoError(t, err)
	var want Totals
	hot := map[int64]quantity.Energy{}
	for _, r := range rows {
		if r.State == melt.Voided {
			continue
		}
		if r.Energy != nil {
			want.Energy += *r.Energy
			want.EnergyCharged += r.Charged
			for _, id := range []int64{r.Furnace, r.Crucible, r.Element} {
				hot[id] += *r.Energy
			}
		}
		if r.Charged == 0 {
			continue
		}
		want.Melts++
		want.Charged += r.Charged
		if r.Recovered != nil {
			want.Recovered += *r.Recovered
		}
	}
	require.Positive(t, want.Melts)
	got, err := w.Totals(ctx, Filter{})
	require.NoError(t, err)
	want.OfSource, want.YieldCharged = want.Charged, got.YieldCharged
	assert.Equal(t, want, got)
	wears, err := w.Wears(ctx)
	require.NoError(t, err)
	delete(hot, 0) // melts without a crucible or an element
	for id, energy := range hot {
		assert.Equal(t, energy, wears[id].Energy, "kit %d", id)
	}
}

// A melt whose meter stood still counts no energy and no charge: its sums do
// not depend on the way they came about.
func TestRebuildOfAMeltThatUsedNothing(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.start(t, 0)
	w.add(t, h, w.line(h, melt.Meter, 0, showing(kWh)))
	w.add(t, h, w.line(h, melt.Meter, 1, showing(kWh)))
	before := w.dump(t)
	_, err := w.Rebuild(ctx)
	require.NoError(t, err)
	w.still(t, before)
}

// The name of a source is in the search words of melts made void, too.
func TestRebuildAfterASourceOfAVoidMeltIsRenamed(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.vector(t)
	w.add(t, h, w.line(h, melt.Void, 230, noted("not ours")))
	p, err := w.Source(ctx, w.sources[0])
	require.NoError(t, err)
	p.Name = "Alloy rims"
	require.NoError(t, w.ChangeSource(ctx, w.by, p))
	before := w.dump(t)
	_, err = w.Rebuild(ctx)
	require.NoError(t, err)
	w.still(t, before)
	rows, _, err := w.Melts(ctx, Filter{Words: "rims"}, Place{}, false, 10)
	require.NoError(t, err)
	assert.Len(t, rows, 1)
}

// A price that starts days after a melt's heading still reaches the melt's
// last hours, as far as a line may lie from the heading.
func TestATariffReachesBack(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.start(t, 0)
	w.pass(36 * 60 * 60e9)
	for _, l := range []melt.Line{
		w.line(h, melt.Charge, -36*60, weighed(kg), of(w.sources[0])),
		w.line(h, melt.PowerOn, -36*60),
		w.line(h, melt.Energy, 0, func(l *melt.Line) { l.Energy = new(72 * kWh) }),
		w.line(h, melt.Isolated, 36*60),
	} {
		w.add(t, h, l)
	}
	cost := func() float64 {
		s, err := w.Sheet(ctx, h.ID)
		require.NoError(t, err)
		return s.Costs.Energy
	}
	assert.InDelta(t, 72*0.2573, cost(), 1e-6)
	price := Tariff{Key: w.key()}
	price.From, price.Price = h.At+35*60*minute, 1_000_000
	require.NoError(t, w.AddTariff(ctx, w.by, price))
	assert.InDelta(t, 71*0.2573+1, cost(), 1e-6)
	all, err := w.Tariffs(ctx)
	require.NoError(t, err)
	require.NoError(t, w.StrikeTariff(ctx, w.by, all[0].ID))
	assert.InDelta(t, 72*0.2573, cost(), 1e-6)
}

// Searching finds words from their beginning, however they are typed, and
// never fails for what is typed.
func TestSearch(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.vector(t)
	w.add(t, h, w.line(h, melt.Note, 100, noted("lid left open, été")))
	for words, want := range map[string]int{
		"": 1, "muff": 1, "MUFFIN tin": 1, "a26": 1, "A26-001": 1, "ete": 1, "wheels profile": 1,
		"uffin": 0, "wheels cans": 0, `"`: 0, `"wheels" OR`: 0, "wheels*": 1, "(": 0, "NEAR": 0, "words:lid": 0, "-": 0, "  ": 1, "\x00": 1, "\x00muff": 1, "'; DROP": 0,
	} {
		rows, _, err := w.Melts(ctx, Filter{Words: words}, Place{}, false, 10)
		if assert.NoError(t, err, "%q", words) {
			assert.Len(t, rows, want, "%q", words)
		}
	}
}

// A database whose figures an older program made is brought up to date when it
// is opened, once.
func TestOpenMakesOldFiguresAgain(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.vector(t)
	require.NoError(t, w.Add(ctx, w.by, h.Code, w.line(h, melt.Close, 240, func(*melt.Line) {}), false))
	before := w.dump(t)
	_, err := w.write.Exec("UPDATE melt_record SET worked = '{}'; UPDATE arithmetic SET version = 1")
	require.NoError(t, err)
	require.NoError(t, w.upToDate(ctx))
	w.still(t, before)

	_, err = w.write.Exec("UPDATE melt_record SET worked = '{}'")
	require.NoError(t, err)
	require.NoError(t, w.upToDate(ctx))
	_, worked, err := w.Melted(ctx)
	require.NoError(t, err)
	assert.Nil(t, worked[0].Energy, "the version says that there is nothing to do")
}
