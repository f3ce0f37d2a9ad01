package store

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/notebook"
	"drosswise/foundry/quantity"
	"drosswise/foundry/table"
)

// oldNotes are rows of a notebook, one every second day, as they come in.
func (w *workshop) oldNotes(t testing.TB, n int, more ...string) OldNotes {
	t.Helper()
	var b strings.Builder
	b.WriteString("Date,Scrap,Charged kg,Ingots kg,Dross kg,kWh,Note\n")
	for i := range n {
		day := opening.AddDate(0, 0, -2*(n-i))
		fmt.Fprintf(&b, "%s,%s,%d.5,%d.1,0.%d,%d,row %d\n", day.Format(time.DateOnly), []string{"Wheels", "wheels", "Old pans", ""}[i%4], 5+i%4, 5+i%4, 1+i%5, 9+i%7, i+1)
	}
	for _, row := range more {
		b.WriteString(row + "\n")
	}
	tab, err := table.Read([]byte(b.String()), 0, table.Limits{})
	require.NoError(t, err)
	m := notebook.Guess(tab, quantity.Style{})
	m.Furnace, m.Scale = w.furnaces[0], w.scales[0]
	shop := notebook.Shop{Now: w.Now()}
	return OldNotes{Key: w.key(), File: "notes.csv", Columns: tab.Columns, Match: m, Drafts: notebook.Drafts(tab, m, shop)}
}

func (w *workshop) count(t testing.TB, table string) (n int) {
	t.Helper()
	require.NoError(t, w.read.QueryRow("SELECT count(*) FROM "+table).Scan(&n))
	return n
}

func TestImportBringsInEveryRowOnce(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	notes := w.oldNotes(t, 40)
	i, err := w.Import(ctx, w.by, notes)
	require.NoError(t, err)
	assert.Equal(t, 40, i.Melts)
	assert.Equal(t, 40, w.count(t, "melt"))
	assert.Equal(t, 5, w.count(t, "source"), "two names that were not there; small letters are the same name")
	h, lines, err := w.Melt(ctx, "A25-001")
	require.NoError(t, err)
	assert.Equal(t, notes.Drafts[0].Heading.At, h.At, "codes run with the days")
	assert.Equal(t, melt.Closed, melt.StateOf(melt.Standing(lines)))

	before := w.dump(t)
	same, err := w.Import(ctx, w.by, notes)
	require.NoError(t, err)
	assert.Equal(t, i.ID, same.ID, "tapped twice")
	w.still(t, before)
	_, err = w.Rebuild(ctx)
	require.NoError(t, err)
	w.still(t, before)

	other := w.oldNotes(t, 3, "2026-03-12,Cans,3,2.5,0.2,5,another table")
	other.Key = notes.Key
	_, err = w.Import(ctx, w.by, other)
	require.ErrorIs(t, err, ErrConflict)
	w.still(t, before)

	notes.Key = w.key()
	none, err := w.Import(ctx, w.by, notes)
	require.NoError(t, err)
	assert.Zero(t, none)
	w.still(t, before)

	more := w.oldNotes(t, 40, "2026-03-13,Cans,3,2.5,0.2,5,row 41")
	in, err := w.RowsIn(ctx, more.Drafts)
	require.NoError(t, err)
	assert.Len(t, in, 40)
	i, err = w.Import(ctx, w.by, more)
	require.NoError(t, err)
	assert.Equal(t, 1, i.Melts, "a table that has grown brings in what is new")
	assert.Equal(t, 41, w.count(t, "melt"))

	all, err := w.Imports(ctx)
	require.NoError(t, err)
	require.Len(t, all, 2)
	assert.Equal(t, i, all[0])
	remembered, err := w.RememberedMatch(ctx, notes.Columns)
	require.NoError(t, err)
	assert.Equal(t, notes.Match, *remembered)
	remembered, err = w.RememberedMatch(ctx, notes.Columns[1:])
	require.NoError(t, err)
	assert.Nil(t, remembered)
}

func TestImportIsAllOrNothing(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	notes := w.oldNotes(t, 20)
	before := w.dump(t)
	for name, spoil := range map[string]func(*notebook.Draft){
		"a line that may not be": func(d *notebook.Draft) { d.Lines[0].Gross = nil },
		"a furnace that is gone": func(d *notebook.Draft) { d.Heading.Furnace = 999 },
		"a scale that is gone":   func(d *notebook.Draft) { d.Lines[0].Scale = 999 },
	} {
		t.Run(name, func(t *testing.T) {
			bad := w.oldNotes(t, 20)
			spoil(&bad.Drafts[19])
			_, err := w.Import(ctx, w.by, bad)
			var row *RefusedRow
			require.ErrorAs(t, err, &row)
			assert.Equal(t, 21, row.Row)
			w.still(t, before)
		})
	}
	stopped, stop := context.WithTimeout(ctx, 5*time.Millisecond)
	defer stop()
	_, err := w.Import(stopped, w.by, w.oldNotes(t, 500))
	require.Error(t, err, "cut off in the midst")
	w.still(t, before)
	_, err = w.Import(ctx, w.by, notes)
	require.NoError(t, err)
}

func TestAStruckImportCountsNowhereAndCanComeInAgain(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	w.start(t, 1)
	empty, err := w.Totals(ctx, Filter{})
	require.NoError(t, err)
	i, err := w.Import(ctx, w.by, w.oldNotes(t, 12))
	require.NoError(t, err)
	require.NoError(t, w.Add(ctx, w.by, "A26-001", melt.Line{Key: w.key(), Kind: melt.Void, Note: "never was"}, true))
	full, err := w.Totals(ctx, Filter{})
	require.NoError(t, err)
	assert.Equal(t, 11, full.Melts)

	w.pass(time.Hour)
	require.NoError(t, w.StrikeImport(ctx, w.by, i.ID, "matched in pounds"))
	require.NoError(t, w.StrikeImport(ctx, w.by, i.ID, "twice"))
	after, err := w.Totals(ctx, Filter{})
	require.NoError(t, err)
	assert.Equal(t, empty, after)
	got, melts, err := w.ImportOf(ctx, i.ID)
	require.NoError(t, err)
	assert.Equal(t, "matched in pounds", got.Struck.Reason)
	require.Len(t, melts, 12)
	for _, m := range melts {
		assert.Equal(t, melt.Voided, m.State)
	}
	before := w.dump(t)
	_, err = w.Rebuild(ctx)
	require.NoError(t, err)
	w.still(t, before)

	again, err := w.Import(ctx, w.by, w.oldNotes(t, 12))
	require.NoError(t, err)
	assert.Equal(t, 12, again.Melts)
	after, err = w.Totals(ctx, Filter{})
	require.NoError(t, err)
	assert.Equal(t, 12, after.Melts)
	assert.True(t, errors.Is(w.StrikeImport(ctx, w.by, 99, "x"), ErrNotFound))
	_, _, err = w.ImportOf(ctx, 99)
	assert.ErrorIs(t, err, ErrNotFound)
}

func TestUploadsWaitForAWhile(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	key, err := w.AddUpload(ctx, w.by, 0, "notes.csv", []byte("a,b\n1,2\n"))
	require.NoError(t, err)
	m := notebook.Match{Columns: map[string]notebook.Field{"a": notebook.Date}, Furnace: 1}
	require.NoError(t, w.MatchUpload(ctx, w.by, key, "semicolon", &m))
	same, err := w.AddUpload(ctx, w.by, 0, "notes again.csv", []byte("a,b\n1,2\n"))
	require.NoError(t, err)
	assert.Equal(t, key, same)
	u, err := w.Upload(ctx, key)
	require.NoError(t, err)
	matched, err := u.Match()
	require.NoError(t, err)
	assert.Equal(t, &m, matched)
	u.matched = ""
	assert.Equal(t, Upload{Key: key, At: w.Now(), By: w.by, File: "notes again.csv", Delimiter: "semicolon", Body: []byte("a,b\n1,2\n")}, u)

	for n := range mostUploads {
		w.pass(time.Minute)
		_, err := w.AddUpload(ctx, w.by, 0, "more.csv", fmt.Appendf(nil, "a,c\n%d,2\n", n))
		require.NoError(t, err)
	}
	_, err = w.Upload(ctx, key)
	assert.ErrorIs(t, err, ErrNotFound, "the oldest of too many")
	all, err := w.Uploads(ctx, 0)
	require.NoError(t, err)
	assert.Len(t, all, mostUploads)
	w.pass(31 * 24 * time.Hour)
	_, err = w.AddUpload(ctx, w.by, 0, "last.csv", []byte("x"))
	require.NoError(t, err)
	all, err = w.Uploads(ctx, 0)
	require.NoError(t, err)
	assert.Len(t, all, 1)
	assert.ErrorIs(t, w.MatchUpload(ctx, w.by, "nothing-here", "", nil), ErrNotFound)
}

// BenchmarkImport brings in 2,000 old melts of six lines each, read, made into
// drafts and written.
func BenchmarkImport(b *testing.B) {
	for b.Loop() {
		b.StopTimer()
		w := newWorkshop(b)
		b.StartTimer()
		i, err := w.Import(context.Background(), w.by, w.oldNotes(b, 2000))
		require.NoError(b, err)
		require.Equal(b, 2000, i.Melts)
	}
}
