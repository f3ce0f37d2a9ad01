package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	sqlite "modernc.org/sqlite"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/scrap"
)

// ear is a way to open connections on which every statement is heard.
type ear struct {
	keeping
	mu    *sync.Mutex
	heard *[]said
}

// said is a statement with what was bound to it: a plan can depend on both.
type said struct {
	query string
	args  []any
}

type heardConn struct {
	*keeper
	ear ear
}

func (e ear) Connect(ctx context.Context) (driver.Conn, error) {
	c, err := e.keeping.Connect(ctx)
	if err != nil {
		return nil, err
	}
	return heardConn{c.(*keeper), e}, nil
}

func (e ear) hear(query string, args []driver.NamedValue) {
	e.mu.Lock()
	defer e.mu.Unlock()
	s := said{query: query}
	for _, a := range args {
		s.args = append(s.args, a.Value)
	}
	*e.heard = append(*e.heard, s)
}

func (c heardConn) QueryContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Rows, error) {
	c.ear.hear(query, args)
	return c.keeper.QueryContext(ctx, query, args)
}

func (c heardConn) ExecContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Result, error) {
	c.ear.hear(query, args)
	return c.keeper.ExecContext(ctx, query, args)
}

// listen puts ears on both pools of a store.
func (w *workshop) listen(t *testing.T) *[]said {
	e := ear{mu: &sync.Mutex{}, heard: &[]said{}}
	pool := func(old *sql.DB, writer bool) *sql.DB {
		require.NoError(t, old.Close())
		base, err := sqlite.NewConnector(dsn(w.path, writer))
		require.NoError(t, err)
		e.keeping = keeping{base}
		return sql.OpenDB(e)
	}
	w.read, w.write = pool(w.read, false), pool(w.write, true)
	w.write.SetMaxOpenConns(1)
	return e.heard
}

// grows are the tables that have a row per melt or line or delivery, so that
// reading one through takes the longer the more a shop has logged.
var grows = []string{"melt", "line", "weighing", "strike", "figure", "figure_source", "figure_lot", "lot", "lot_sum", "melt_words", "kit_line", "change", "photo", "photo_strike"}

var tableAs = regexp.MustCompile(`(?i)\b(?:FROM|JOIN|UPDATE|INTO)\s+(\w+)(?:\s+(?:AS\s+)?(\w+))?`)

// plan gives what of a statement's plan reads a growing table through, and its
// sorts.
func (w *workshop) plan(t *testing.T, s said) (through, sorts []string) {
	named := map[string]string{}
	for _, m := range tableAs.FindAllStringSubmatch(s.query, -1) {
		named[m[1]] = m[1]
		if m[2] != "" {
			named[m[2]] = m[1]
		}
	}
	rows, err := w.write.Query("EXPLAIN QUERY PLAN "+s.query, s.args...)
	require.NoError(t, err, s.query)
	defer rows.Close()
	for rows.Next() {
		var id, parent, unused int
		var step string
		require.NoError(t, rows.Scan(&id, &parent, &unused, &step))
		if strings.Contains(step, "TEMP B-TREE") {
			sorts = append(sorts, step)
		}
		table, how, _ := strings.Cut(strings.TrimPrefix(step, "SCAN "), " ")
		if !strings.HasPrefix(step, "SCAN ") || !slices.Contains(grows, named[table]) {
			continue
		}
		if named[table] == "melt_words" && !strings.HasSuffix(how, "INDEX 0:") {
			continue // looked up by word or by rank; SQLite says SCAN of every table that is not its own
		}
		through = append(through, strings.TrimSpace(named[table]+" "+how))
	}
	require.NoError(t, rows.Err())
	return through, sorts
}

// check runs something and holds the plan of every statement it made against
// what may be: tables it may walk through, and whether it may sort.
func (w *workshop) check(t *testing.T, heard *[]said, name string, do func() error, maySort bool, mayWalk ...string) {
	t.Helper()
	const byCharged = "USE TEMP B-TREE FOR LAST 2 TERMS OF ORDER BY" // the sources of each melt of a page
	*heard = (*heard)[:0]
	require.NoError(t, do(), name)
	all := slices.Clone(*heard)
	require.NotEmpty(t, all, name)
	for _, s := range all {
		through, sorts := w.plan(t, s)
		for _, step := range through {
			assert.Contains(t, mayWalk, step, "%s\n%s", name, s.query)
		}
		for _, sort := range sorts {
			assert.True(t, maySort || sort == byCharged, "%s: %s\n%s", name, sort, s.query)
		}
	}
}

// A page of a list takes as long however many melts there are, and however
// deep in the list it lies: it is found by an index and comes in its order.
// Plans do not depend on how much is stored, since nothing ever runs ANALYZE.
func TestListsAreFoundByAnIndexInItsOrder(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	w.vector(t)
	heard := w.listen(t)
	through, sorts := w.plan(t, said{query: "SELECT * FROM line l JOIN melt m ON m.id = l.melt_id WHERE l.note = ? ORDER BY l.at", args: []any{""}})
	assert.Equal(t, []string{"line"}, through, "a table that is read through is noticed")
	assert.NotEmpty(t, sorts, "sorting is noticed")

	top, deep := Place{}, Place{At: w.Now(), ID: 1 << 20}
	year := Filter{FromMonth: 2026 * 12, ToMonth: 2026*12 + 11, From: w.Now() - 1000*minute, To: w.Now() + 1000*minute}
	all := year
	all.Source, all.Furnace = w.sources[0], w.furnaces[0]
	searched := all
	searched.Words = "wheels muff"
	for name, f := range map[string]Filter{
		"all": {}, "source": {Source: w.sources[0]}, "furnace": {Furnace: w.furnaces[0]}, "source and furnace": {Source: w.sources[0], Furnace: w.furnaces[0]},
		"months": year, "source, furnace and months": all, "crucible": {Crucible: w.crucibles[0]}, "element": {Element: w.elements[0]},
		"words": {Words: "wheels"}, "words of source": {Words: "wheels muff", Source: w.sources[0]}, "words and everything": searched,
	} {
		for where, p := range map[string]Place{"top": top, "deep": deep} {
			for way, newer := range map[string]bool{"older": false, "newer": true} {
				walk := []string{}
				if f == (Filter{}) && p == top { // along the index from its end, for one page
					walk = append(walk, "figure USING INDEX figure_time")
				}
				w.check(t, heard, name+" "+where+" "+way, func() error { _, _, err := w.Melts(ctx, f, p, newer, 50); return err }, false, walk...)
			}
		}
	}
	w.check(t, heard, "running", func() error { _, err := w.RunningMelts(ctx); return err }, false)
	w.check(t, heard, "deliveries", func() error { _, _, err := w.LotsBefore(ctx, w.sources[0], deep, 20); return err }, false)
}

// Nothing else that a page reads or a save does reads a growing table through;
// what it sorts is what one melt holds, or one page.
func TestNothingReadsAGrowingTableThrough(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.vector(t)
	open := w.start(t, 1)
	w.add(t, open, w.line(open, melt.Charge, 0, weighed(kg), of(w.sources[0]), func(l *melt.Line) { l.Lot = w.lots[0] }))
	line := w.lineOf(t, open, melt.Charge)
	heard := w.listen(t)
	check := func(name string, do func() error, mayWalk ...string) { w.check(t, heard, name, do, true, mayWalk...) }

	check("totals", func() error { _, err := w.Totals(ctx, Filter{Source: 1, Furnace: 1, FromMonth: 24000}); return err })
	check("a year", func() error { _, err := w.Year(ctx, 2026, time.UTC); return err })
	check("years", func() error { _, err := w.Years(ctx); return err })
	check("a delivery", func() error { _, err := w.Lot(ctx, w.lots[0]); return err })
	check("sheet", func() error { _, err := w.Sheet(ctx, h.ID); return err })
	check("heel left", func() error { _, _, err := w.HeelLeft(ctx, w.crucibles[0], Place{At: w.Now(), ID: 1}); return err })
	check("recent pours", func() error { _, err := w.RecentPours(ctx, 20); return err }, "melt")    // from the last on
	check("recent sources", func() error { _, err := w.RecentSources(ctx, 5); return err }, "melt") // from the last on
	check("a melt", func() error { _, _, err := w.Melt(ctx, h.Code); return err })
	check("version", func() error { _, err := w.Version(ctx, h.Code); return err })
	check("a line's key", func() error { _, err := w.LineWithKey(ctx, open.Code, line.Key); return err })
	check("last heading", func() error { _, err := w.LastHeading(ctx); return err }, "melt") // the last
	check("melt of a line", func() error { _, err := w.CodeOf(ctx, line.ID); return err })
	check("kit", func() error { _, err := w.Kit(ctx); return err }, "kit_line USING COVERING INDEX kit_line_fate", "kit_line USING INDEX kit_line_cracked", "kit_line USING COVERING INDEX kit_line_cracked")
	check("a piece of kit", func() error { _, _, _, err := w.KitItem(ctx, w.elements[0]); return err })
	check("wear", func() error { _, err := w.Wears(ctx); return err })
	check("records", func() error { _, err := w.Records(ctx); return err })
	check("last looks", func() error { _, err := w.LastLooks(ctx); return err }, "kit_line USING COVERING INDEX kit_line_fate", "kit_line USING INDEX kit_line_cracked", "kit_line USING COVERING INDEX kit_line_cracked")
	for _, of := range []int64{w.furnaces[0], w.crucibles[0], w.elements[0]} {
		it, _, _, err := w.KitItem(ctx, of)
		require.NoError(t, err)
		w.check(t, heard, "last look", func() error { _, err := lastLook(ctx, w.read, it, kit.UsualOf(it.Kind).Rule); return err }, false)
		w.check(t, heard, "pace", func() error { _, err := w.Pace(ctx, it); return err }, false)
	}
	check("rules of the due list", func() error { _, err := w.DueRules(ctx); return err })
	check("a calendar", func() error { _, err := w.CalendarSince(ctx, w.by); return err })
	photo := Photo{Key: w.key(), Of: PhotoOf{Line: line.ID}, Width: 1, Height: 1}
	check("add photo", func() error { return w.AddPhoto(ctx, w.by, photo, pictures) })
	check("strike photo", func() error { return w.StrikePhoto(ctx, w.by, 1, struck(w.key(), "blurred")) })
	check("photos of a melt", func() error { _, err := w.MeltPhotos(ctx, open.ID); return err })
	check("photos of kit", func() error { _, err := w.KitPhotos(ctx, w.crucibles[0]); return err })
	check("photos of deliveries", func() error { _, err := w.LotPhotos(ctx, w.sources[0]); return err })
	check("photos of a life", func() error {
		_, _, err := w.LifePhotos(ctx, kit.Item{Kind: kit.Crucible, ID: w.crucibles[0]}, 24)
		return err
	})
	check("a picture", func() error { _, err := w.Picture(ctx, 1, true); return err })
	check("open deliveries", func() error { _, err := w.OpenLots(ctx, 5); return err })

	check("start", func() error { w.start(t, 0); return nil })
	check("add", func() error {
		return w.Add(ctx, w.by, open.Code, w.line(open, melt.Charge, 0, weighed(kg), of(w.sources[1])), true)
	})
	check("strike", func() error { return w.Strike(ctx, w.by, open.Code, line.ID, struck(w.key(), "slip")) })
	check("add kit line", func() error {
		return w.AddKitLine(ctx, w.by, kit.Line{Key: w.key(), Item: w.elements[0], Kind: kit.Note, Note: "new"})
	})
	check("add delivery", func() error {
		return w.AddLot(ctx, w.by, scrap.Lot{Key: w.key(), Source: w.sources[0], At: w.Now(), AsFound: new(kg)})
	})
}
