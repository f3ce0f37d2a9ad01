package store

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

// alone melts one source by itself and gives the melt.
func (w *workshop) alone(t testing.TB, source int64, in, out quantity.Mass) melt.Heading {
	t.Helper()
	h := w.start(t, 0)
	w.pass(3 * time.Hour)
	w.add(t, h, w.line(h, melt.Charge, 1, weighed(in), of(source), func(l *melt.Line) { l.Lot = source }))
	w.add(t, h, w.line(h, melt.Pour, 60, weighed(out)))
	return h
}

func TestWhatASourceGivesAlone(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	wheels, profile := w.sources[0], w.sources[1]
	record := func(id int64) scrap.Record {
		all, err := w.Records(ctx)
		require.NoError(t, err)
		one, err := w.Record(ctx, id)
		require.NoError(t, err)
		require.Equal(t, all[id], one)
		return one
	}
	assert.Zero(t, record(wheels))

	// The test vector charges two: it says nothing of either alone.
	w.vector(t)
	assert.Equal(t, scrap.Record{Charged: 6 * kg, Melts: 1}, record(wheels))
	assert.Equal(t, scrap.Record{Charged: 2 * kg, Melts: 1}, record(profile))

	// Two melts of wheels alone, in the second 0.1 kg of steel: 3.8 of 4.0 and
	// 1.7 of 2.0 − 0.1 kg are 5.5 of 5.9 kg.
	w.alone(t, wheels, 4*kg, 38*kg/10)
	h := w.alone(t, wheels, 2*kg, 17*kg/10)
	w.add(t, h, w.line(h, melt.Steel, 50, weighed(kg/10)))
	got := record(wheels)
	assert.Equal(t, 12*kg, got.Charged)
	assert.Equal(t, 3, got.Melts)
	assert.Equal(t, 2, got.Alone.Melts)
	assert.Equal(t, 59*kg/10, got.Alone.Charged)
	assert.Equal(t, 55*kg/10, got.Alone.Recovered)
	y, u, ok := got.Alone.Yield()
	require.True(t, ok)
	assert.InDelta(t, 5.5/5.9, y, 1e-9)
	assert.True(t, u > 0.002 && u < 0.01, "10 g on five weighings of some kilograms, as if all erred together: %v", u)

	// Ingots of an earlier melt beside it: no longer alone.
	pour := w.lineOf(t, h, melt.Pour)
	h = w.alone(t, profile, kg, 9*kg/10)
	assert.Equal(t, 1, record(profile).Alone.Melts)
	w.add(t, h, w.line(h, melt.Charge, 2, weighed(kg), func(l *melt.Line) { l.Pour = pour.ID }))
	assert.Zero(t, record(profile).Alone)
	assert.Equal(t, 2, record(profile).Melts)

	// A void melt counts nowhere, and gives the delivery back what it took.
	left := func() quantity.Mass {
		lots, err := w.Lots(ctx, profile)
		require.NoError(t, err)
		require.Len(t, lots, 1)
		left, ok := lots[0].Left()
		require.True(t, ok)
		return left
	}
	assert.Equal(t, 99*kg, left())
	w.add(t, h, w.line(h, melt.Void, 100, noted("wrong code")))
	assert.Equal(t, 100*kg, left())
	assert.Equal(t, scrap.Record{Charged: 2 * kg, Melts: 1}, record(profile))
	w.add(t, h, w.line(h, melt.Reopen, 101, noted("it was right")))
	assert.Equal(t, 99*kg, left())
	assert.Equal(t, 2, record(profile).Melts)
}

func TestOlderDeliveries(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	for range 4 {
		require.NoError(t, w.AddLot(ctx, w.by, scrap.Lot{Key: w.key(), Source: w.sources[0], At: w.Now(), AsFound: new(kg)}))
	}
	var all []int64
	for from, more := (Place{}), true; more; {
		var lots []scrap.Lot
		var err error
		lots, more, err = w.LotsBefore(ctx, w.sources[0], from, 2)
		require.NoError(t, err)
		require.NotEmpty(t, lots)
		for _, l := range lots {
			all = append(all, l.ID)
		}
		from = Place{lots[len(lots)-1].At, lots[len(lots)-1].ID}
	}
	assert.Equal(t, []int64{7, 6, 5, 4, 1}, all)
	every, err := w.Lots(ctx, 0)
	require.NoError(t, err)
	assert.Len(t, every, 7)
}

// The lists on a page of scrap or kit find their rows by an index, however
// many melts there are.
func TestListsOfScrapAndKitUseIndexes(t *testing.T) {
	w := newWorkshop(t)
	w.vector(t)
	for query, wants := range map[string][]string{
		lots + " WHERE l.source_id = 1 AND (l.at, l.id) < (5, 5) ORDER BY l.at DESC, l.id DESC LIMIT 20": {
			"SEARCH l USING INDEX lot_source (source_id=?", "SEARCH lot_sum USING INTEGER PRIMARY KEY (rowid=?)"},
		"SELECT " + recordColumns + " FROM source_sum WHERE source_id = 1": {"SEARCH source_sum USING INTEGER PRIMARY KEY"},
		kitLines + " WHERE l.kit_id = 1 ORDER BY l.at, l.id":               {"SEARCH l USING INDEX kit_line_kit (kit_id=?)"},
	} {
		var plan string
		for _, row := range texts(t, w.read, "EXPLAIN QUERY PLAN "+query) {
			plan += fmt.Sprintln(row)
		}
		for _, want := range wants {
			assert.Contains(t, plan, want)
		}
		for _, never := range []string{"SCAN l", "SCAN strike", "SCAN lot_sum", "TEMP B-TREE FOR ORDER BY"} {
			assert.NotContains(t, plan, never)
		}
	}
}
