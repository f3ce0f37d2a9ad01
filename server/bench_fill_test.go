package main

import (
	"context"
	"database/sql"
	"fmt"
	"math/rand/v2"
	"net/url"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/store"
)

// fillLarge makes a shop in an empty folder that has melted for twenty years:
// so many melts with so many lines together, the last of each furnace still
// running. The same numbers give the same shop. Kit, scrap and prices are
// entered through the store; lines go straight into the ledger's tables, in
// few transactions and without waiting for the disk, since at a safe commit
// each a million would take half an hour. Figures are made by Rebuild, and how
// long that takes is logged.
func fillLarge(tb testing.TB, dir string, melts, lines int) {
	tb.Helper()
	ctx := context.Background()
	c := &setClock{at: largeFrom.AddDate(0, 0, -40)}
	st, err := store.Open(ctx, dir, c.now)
	require.NoError(tb, err)
	f := newFiller(tb, filepath.Join(dir, store.FileName))
	shop := stock(tb, st, c, f.hire())

	began := time.Now()
	f.fill(shop, melts, lines)
	f.deliver(shop)
	f.end()
	tb.Logf("%d melts with %d lines written in %s", melts, lines, time.Since(began).Round(time.Millisecond))

	began = time.Now()
	n, err := st.Rebuild(ctx)
	require.NoError(tb, err)
	require.Equal(tb, melts, n)
	tb.Logf("figures of %d melts made in %s (Rebuild)", n, time.Since(began).Round(time.Millisecond))
	require.NoError(tb, st.Close())
}

// filler writes the ledger's tables directly.
type filler struct {
	tb      testing.TB
	db      *sql.DB
	tx      *sql.Tx
	r       *rand.Rand
	made    map[string]*sql.Stmt
	line    int64                     // the last line's id
	meters  map[int64]quantity.Energy // by furnace
	numbers map[string]int            // the last number of a furnace and year
	lots    map[int64]quantity.Mass   // charged from each delivery
	pours   []int64                   // lines of recent pours of ingots
}

func newFiller(tb testing.TB, path string) *filler {
	q := url.Values{"_pragma": {"busy_timeout(5000)", "synchronous(OFF)", "foreign_keys(0)", "cache_size(-262144)", "temp_store(MEMORY)"}}
	db, err := sql.Open("sqlite", (&url.URL{Scheme: "file", Opaque: path, RawQuery: q.Encode()}).String())
	require.NoError(tb, err)
	db.SetMaxOpenConns(1)
	return &filler{
		tb: tb, db: db, r: rand.New(rand.NewPCG(26, 41)), made: map[string]*sql.Stmt{},
		meters: map[int64]quantity.Energy{}, numbers: map[string]int{}, lots: map[int64]quantity.Mass{},
	}
}

// insert writes a row of so many values.
func (f *filler) insert(into string, values ...any) {
	st, ok := f.made[into]
	if !ok {
		marks := "?"
		for range len(values) - 1 {
			marks += ",?"
		}
		var err error
		st, err = f.tx.Prepare("INSERT INTO " + into + " VALUES (" + marks + ")")
		require.NoError(f.tb, err)
		f.made[into] = st
	}
	if _, err := st.Exec(values...); err != nil {
		require.NoError(f.tb, err, into)
	}
}

func (f *filler) begin() {
	var err error
	f.tx, err = f.db.Begin()
	require.NoError(f.tb, err)
	clear(f.made)
}

func (f *filler) commit() { require.NoError(f.tb, f.tx.Commit()) }

// end checks that every reference leads somewhere and lets go of the file.
func (f *filler) end() {
	var table sql.NullString
	err := f.db.QueryRow(`SELECT "table" FROM pragma_foreign_key_check LIMIT 1`).Scan(&table)
	require.ErrorIs(f.tb, err, sql.ErrNoRows, "hanging reference in %s", table.String)
	require.NoError(f.tb, f.db.Close())
}

// hire adds the people, an owner first; nobody can sign in as them until they
// are given a password.
func (f *filler) hire() []int64 {
	f.begin()
	var ids []int64
	for i := range largePeople {
		role := []string{"owner", "melter", "melter", "melter", "reader", "reader"}[i%6]
		f.insert("person (id, name, role, password, created_at)", i+1, fmt.Sprintf("Person %d", i+1), role, "-", quantity.At(largeFrom))
		ids = append(ids, int64(i+1))
	}
	f.commit()
	return ids
}

// fill writes the melts in the order of time, the furnaces by turns.
func (f *filler) fill(shop largeShop, melts, lines int) {
	count := sequence(melts, lines)
	step := largeTo.Sub(largeFrom) / time.Duration(melts)
	const batch = 20_000
	for i := range melts {
		if i%batch == 0 {
			f.begin()
		}
		at := largeFrom.Add(step*time.Duration(i) + time.Duration(f.r.Int64N(int64(step))))
		f.melt(shop, int64(i+1), i%largeFurnaces, float64(i)/float64(melts), quantity.At(at.Truncate(time.Minute)), count(i), i >= melts-largeFurnaces)
		if i%batch == batch-1 || i == melts-1 {
			f.commit()
		}
	}
}

// melt writes one melt with so many lines.
func (f *filler) melt(shop largeShop, id int64, furnace int, share float64, at quantity.Moment, lines int, running bool) {
	h := melt.Heading{
		ID: id, Key: largeKey("melt", id), At: at, Furnace: shop.furnaces[furnace], Crucible: using(shop.crucibles, furnace, share),
		Element: using(shop.elements, furnace, share), Probe: shop.probes[furnace], Target: melt.Targets[min(f.r.IntN(12), 2)%3],
	}
	if f.r.IntN(10) < 7 {
		h.Target = melt.Ingots
	}
	letter, year := string(rune('A'+furnace)), at.Time().Year()
	number := f.number(letter, year)
	noted, by := at, shop.people[f.r.IntN(4)]
	if f.r.IntN(50) == 0 {
		noted += quantity.Moment(30 * 24 * quantity.Hour) // copied in from paper
	}
	f.insert("melt (id, key, code, letter, year, number, at, noted_at, person_id, furnace_id, crucible_id, element_id, probe_id, warm, target, ambient)",
		h.ID, h.Key, melt.NewCode(letter, year, number), letter, year, number, h.At, noted, by, h.Furnace, h.Crucible, h.Element, h.Probe, furnace == 0, h.Target, quantity.Temperature(500+f.r.IntN(2000)))
	made := f.course(shop, h, share, lines, running)
	for i := range made {
		made[i].By, made[i].Noted = by, max(noted, made[i].At)
		f.write(h, made[i])
	}
}

func (f *filler) number(letter string, year int) int {
	key := fmt.Sprint(letter, year)
	f.numbers[key]++
	return f.numbers[key]
}

// write adds a line with its weighings, and the stroke through it if any.
func (f *filler) write(h melt.Heading, l melt.Line) {
	f.line++
	l.ID = f.line
	zero := func(id int64) any {
		if id == 0 {
			return nil
		}
		return id
	}
	f.insert(`line (id, melt_id, key, kind, at, noted_at, person_id, source_id, lot_id, pour_id, tare, scale_id, dry, which, mould, count, meter, temp, probe_id, note)`,
		l.ID, h.ID, largeKey("line", l.ID), l.Kind, l.At, l.Noted, l.By, zero(l.Source), zero(l.Lot), zero(l.Pour), l.Tare, zero(l.Scale), l.Dry,
		l.Which, l.Mould, l.Count, l.Meter, l.Temp, zero(l.Probe), l.Note)
	for i, g := range l.Gross {
		f.insert("weighing", l.ID, i+1, g)
	}
	if l.Strike != nil {
		f.insert("strike (key, line_id, struck, at, person_id, reason)", largeKey("strike", l.ID), l.ID, 1, l.Strike.At, l.Strike.By, l.Strike.Reason)
	} else if l.Lot != 0 {
		f.lots[l.Lot] += l.Mass()
	}
	if l.Kind == melt.Pour && l.Stands() && h.Target == melt.Ingots {
		f.pours = append(f.pours, l.ID)
		f.pours = slices.Delete(f.pours, 0, max(0, len(f.pours)-30))
	}
}

const lotsPerSource = largeLots / largeSources

// lotAt is the delivery that a source (its place) is charged from when a share
// of the twenty years is over.
func lotAt(source int, share float64) int64 {
	return int64(int(share*lotsPerSource)*largeSources + source + 1)
}

// deliver writes the deliveries that the charges came from, largeLots of them
// spread over the sources and the years. Of most nothing is left; one in ten,
// and the last of each source, has some.
func (f *filler) deliver(shop largeShop) {
	f.begin()
	for i := range largeLots {
		id, source, turn := int64(i+1), shop.scrap[i%largeSources], i/largeSources
		at := largeFrom.Add(largeTo.Sub(largeFrom) / lotsPerSource * time.Duration(turn)).Add(-time.Hour)
		ready := f.lots[id]
		if turn == lotsPerSource-1 || f.r.IntN(10) == 0 {
			ready += ready/20 + 2*quantity.Kilogram
		}
		var paid any
		if f.r.IntN(2) == 0 {
			paid = quantity.Price(200_000 + f.r.IntN(500_000))
		}
		f.insert("lot (id, key, source_id, at, noted_at, person_id, as_found, as_charged, steel, plastic, paid, note)",
			id, largeKey("lot", id), source, quantity.At(at), quantity.At(at), shop.people[0], ready+ready/12+quantity.Kilogram, ready, ready/40, ready/60, paid, "")
	}
	f.commit()
}
