package store

import (
	"context"
	"database/sql"
	"fmt"
	"sort"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/heat"
	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
	"drosswise/foundry/tariff"
)

const (
	kg     = quantity.Kilogram
	kWh    = quantity.KilowattHour
	minute = quantity.Moment(quantity.Minute)
)

// opening is when the workshop of these tests opens in the morning.
var opening = time.Date(2026, 3, 14, 9, 0, 0, 0, time.UTC)

// workshop is a store with a person, two of every kind of kit, three kinds of
// scrap, a delivery of each and a price of electricity. Its clock stands until
// it is moved.
type workshop struct {
	*Store
	dir       string
	by        int64
	clock     *atomic.Int64
	furnaces  []int64
	crucibles []int64
	elements  []int64
	scales    []int64
	sources   []int64
	lots      []int64
	keys      int
}

func newWorkshop(t testing.TB) *workshop {
	t.Helper()
	w := &workshop{dir: t.TempDir(), clock: &atomic.Int64{}}
	w.clock.Store(opening.UnixMilli())
	w.open(t)
	t.Cleanup(func() { assert.NoError(t, w.Close()) })
	_, err := w.write.Exec("INSERT INTO person (name, role, password, created_at) VALUES ('Bench', 'owner', '-', 0)")
	require.NoError(t, err)
	w.by = 1
	w.furnish(t)
	return w
}

func (w *workshop) open(t testing.TB) {
	t.Helper()
	var err error
	w.Store, err = Open(context.Background(), w.dir, func() time.Time { return time.UnixMilli(w.clock.Load()) })
	require.NoError(t, err)
}

// reopen closes the file and opens it again, as after a restart.
func (w *workshop) reopen(t testing.TB) {
	t.Helper()
	require.NoError(t, w.Close())
	w.open(t)
}

func (w *workshop) pass(d time.Duration) { w.clock.Add(d.Milliseconds()) }

// key makes a key that no phone made before.
func (w *workshop) key() string {
	w.keys++
	return fmt.Sprintf("key-%06d", w.keys)
}

func (w *workshop) furnish(t testing.TB) {
	ctx := context.Background()
	add := func(it kit.Item) int64 {
		it.Key = w.key()
		id, err := w.AddKit(ctx, w.by, it)
		require.NoError(t, err)
		return id
	}
	for i, letter := range []string{"A", "B"} {
		w.furnaces = append(w.furnaces, add(kit.Item{Kind: kit.Furnace, Name: "Furnace " + letter, Letter: letter, Volts: new(230 * quantity.Volt)}))
		w.crucibles = append(w.crucibles, add(kit.Item{Kind: kit.Crucible, Name: "Crucible " + letter, Material: heat.ClayGraphite,
			Brim: new(5 * quantity.Litre), Mass: new(3 * kg), Cost: new(quantity.Money(6_000)), ExpectedHeats: new(100)}))
		w.elements = append(w.elements, add(kit.Item{Kind: kit.Element, Name: "Coil " + letter, Wire: "NiCr 80/20", Cost: new(quantity.Money(4_500)), ExpectedHeats: new(200)}))
		w.scales = append(w.scales, add(kit.Item{Kind: kit.Scale, Name: "Scale " + letter, Resolution: quantity.Mass(1+9*i) * quantity.Gram, Capacity: 10 * kg}))
	}
	for i, name := range []string{"Wheels", "Profile", "Cans"} {
		p := scrap.Source{Key: w.key(), Name: name, Form: scrap.Other, Paid: new(quantity.Price(800_000 * (1 - min(i, 1)))), Fetches: new(quantity.Price(700_000))}
		id, err := w.AddSource(ctx, w.by, p)
		require.NoError(t, err)
		w.sources = append(w.sources, id)
		require.NoError(t, w.AddLot(ctx, w.by, scrap.Lot{Key: w.key(), Source: id, At: w.Now(), AsFound: new(100 * kg), Paid: new(quantity.Price(500_000))}))
		w.lots = append(w.lots, int64(i+1))
	}
	price := Tariff{Key: w.key(), Tariff: tariff.Tariff{From: w.Now() - 1000*24*60*minute, Price: 257_300}}
	require.NoError(t, w.AddTariff(ctx, w.by, price))
}

// start starts a melt now.
func (w *workshop) start(t testing.TB, furnace int) melt.Heading {
	t.Helper()
	h, err := w.Start(context.Background(), w.by, melt.Heading{Key: w.key(), At: w.Now(), Furnace: w.furnaces[furnace],
		Crucible: w.crucibles[furnace], Element: w.elements[furnace], Target: melt.Ingots}, "")
	require.NoError(t, err)
	return h
}

// line makes a line some minutes after the melt's start.
func (w *workshop) line(h melt.Heading, k melt.Kind, after int, edits ...func(*melt.Line)) melt.Line {
	l := melt.Line{Key: w.key(), Kind: k, At: h.At + quantity.Moment(after)*minute}
	for _, edit := range edits {
		edit(&l)
	}
	return l
}

// weighed is one reading with a standard uncertainty of 10 g.
func weighed(m quantity.Mass) func(*melt.Line) {
	return func(l *melt.Line) { l.Gross, l.Spread = []quantity.Mass{m}, new(10*quantity.Gram) }
}

func of(source int64) func(*melt.Line) { return func(l *melt.Line) { l.Source = source } }

func noted(note string) func(*melt.Line) { return func(l *melt.Line) { l.Note = note } }

func showing(e quantity.Energy) func(*melt.Line) { return func(l *melt.Line) { l.Meter = new(e) } }

// add writes a line that must be taken.
func (w *workshop) add(t testing.TB, h melt.Heading, l melt.Line) {
	t.Helper()
	require.NoError(t, w.Add(context.Background(), w.by, h.Code, l, true))
}

// vector writes the melt of the trade notes' test vector (§4), five hours long.
func (w *workshop) vector(t testing.TB) melt.Heading {
	t.Helper()
	h := w.start(t, 0)
	w.pass(5 * time.Hour)
	for _, l := range []melt.Line{
		w.line(h, melt.HeelIn, 0, weighed(4*kg/10)),
		w.line(h, melt.Charge, 1, weighed(6*kg), of(w.sources[0])),
		w.line(h, melt.Charge, 2, weighed(2*kg), of(w.sources[1])),
		w.line(h, melt.PowerOn, 5, showing(1_200*kWh)),
		w.line(h, melt.AllMolten, 195),
		w.line(h, melt.Temperature, 200, func(l *melt.Line) { l.Temp, l.Which = new(720*quantity.Celsius), melt.InMetal }),
		w.line(h, melt.Skim, 210, weighed(55*kg/100)),
		w.line(h, melt.Pour, 215, weighed(752*kg/100), func(l *melt.Line) { l.Count, l.Mould = new(9), "Muffin tin" }),
		w.line(h, melt.Spill, 216, weighed(5*kg/100)),
		w.line(h, melt.HeelOut, 217, weighed(3*kg/10)),
		w.line(h, melt.Isolated, 220, showing(1_200*kWh+116*kWh/10)),
	} {
		w.add(t, h, l)
	}
	return h
}

// yield is the melt's yield as it is kept.
func (w *workshop) yield(t testing.TB, h melt.Heading) float64 {
	t.Helper()
	s, err := w.Sheet(context.Background(), h.ID)
	require.NoError(t, err)
	require.Empty(t, s.Yield.Lacks)
	var kept float64
	require.NoError(t, w.read.QueryRow("SELECT yield FROM figure WHERE melt_id = ?", h.ID).Scan(&kept))
	require.Equal(t, s.Yield.X, kept, "the sheet and the lists say the same")
	return kept
}

// lineOf gives the only standing line of a kind.
func (w *workshop) lineOf(t testing.TB, h melt.Heading, k melt.Kind) melt.Line {
	t.Helper()
	_, lines, err := w.Melt(context.Background(), h.Code)
	require.NoError(t, err)
	l, ok := melt.Last(melt.Standing(lines), k)
	require.True(t, ok)
	return l
}

// dump writes out every row of every table, and what a search for each word
// finds: two stores with the same dump hold the same.
func (w *workshop) dump(t testing.TB) string {
	t.Helper()
	var b strings.Builder
	for _, table := range w.tables(t) {
		fmt.Fprintf(&b, "== %s\n", table)
		for _, row := range texts(t, w.read, "SELECT * FROM "+table) {
			fmt.Fprintln(&b, row)
		}
	}
	words := map[string]bool{}
	for _, text := range texts(t, w.read, "SELECT words FROM figure") {
		for _, word := range strings.Fields(text) {
			words[word] = true
		}
	}
	for _, word := range sorted(words) {
		for _, f := range []Filter{{}, {Source: w.sources[0]}, {Furnace: w.furnaces[0]}} {
			f.Words = word
			found, _, err := w.Melts(context.Background(), f, Place{}, false, 1000)
			require.NoError(t, err)
			fmt.Fprintf(&b, "search %+v:", f)
			for _, r := range found {
				fmt.Fprintf(&b, " %d", r.ID)
			}
			fmt.Fprintln(&b)
		}
	}
	return b.String()
}

// still makes sure that the store holds what it held, and shows only what does
// not.
func (w *workshop) still(t testing.TB, before string) {
	t.Helper()
	now := w.dump(t)
	if before == now {
		return
	}
	had := map[string]bool{}
	for line := range strings.Lines(before) {
		had[line] = true
	}
	for line := range strings.Lines(now) {
		if !had[line] {
			t.Errorf("new: %q", line)
		}
		delete(had, line)
	}
	for _, line := range sorted(had) {
		t.Errorf("gone: %q", line)
	}
	t.Error("the store does not hold what it held")
}

// tables are those with rows of their own: not the innards of the search.
func (w *workshop) tables(t testing.TB) []string {
	return texts(t, w.read, "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'melt\\_words%' ESCAPE '\\' AND name NOT LIKE 'sqlite%' ORDER BY name")
}

// texts reads rows as text, sorted, every column told from the next.
func texts(t testing.TB, db *sql.DB, query string, args ...any) []string {
	t.Helper()
	rows, err := db.Query(query, args...)
	require.NoError(t, err, query)
	defer rows.Close()
	columns, err := rows.Columns()
	require.NoError(t, err)
	var all []string
	for rows.Next() {
		values := make([]any, len(columns))
		for i := range values {
			values[i] = new(any)
		}
		require.NoError(t, rows.Scan(values...))
		fields := make([]string, len(columns))
		for i, v := range values {
			fields[i] = fmt.Sprintf("%v", *v.(*any))
		}
		all = append(all, strings.Join(fields, "\x1f"))
	}
	require.NoError(t, rows.Err())
	sort.Strings(all)
	return all
}

func sorted(set map[string]bool) []string {
	all := make([]string, 0, len(set))
	for s := range set {
		all = append(all, s)
	}
	sort.Strings(all)
	return all
}

// sound makes sure that the file is whole and that no reference hangs.
func (w *workshop) sound(t testing.TB) {
	t.Helper()
	assert.Equal(t, []string{"ok"}, texts(t, w.read, "PRAGMA integrity_check"))
	assert.Empty(t, texts(t, w.read, "PRAGMA foreign_key_check"))
}
