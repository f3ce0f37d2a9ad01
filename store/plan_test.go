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

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	sqlite "modernc.org/sqlite"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
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
var grows = []string{"melt", "line", "weighing", "strike", "figure", "figure_source", "figure_lot", "lot", "lot_sum", "melt_words", "kit_line", "change"}

var tableAs = regexp.MustCompile(`(?i)\b(?:FROM|JOIN|UPDATE|INTO)\s+(\w+)(?:\s+(?:AS\s+)?(\w+))?`)

// slow gives what of a query's plan reads a growing table through, or sorts.
func (w *workshop) slow(t *testing.T, s said) []string {
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
	var all []string
	for rows.Next() {
		var id, parent, unused int
		var detail string
		require.NoError(t, rows.Scan(&id, &parent, &unused, &detail))
		what, rest, _ := strings.Cut(strings.TrimPrefix(detail, "SCAN "), " ")
		if strings.HasPrefix(detail, "SCAN ") && slices.Contains(grows, named[what]) || strings.Contains(detail, "TEMP B-TREE") {
			all = append(all, strings.TrimSuffix("SCAN "+named[what]+" "+rest, " "))
			if !strings.HasPrefix(detail, "SCAN ") {
				all[len(all)-1] = detail
			}
		}
	}
	require.NoError(t, rows.Err())
	return all
}

// No page and no save may take longer the more melts there are. What each does
// is heard and explained: it finds rows of tables that grow by an index, and
// what it lists comes in the order of one. Plans do not depend on how much is
// stored, since nothing ever runs ANALYZE.
func TestNothingReadsAGrowingTableThrough(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.vector(t)
	open := w.start(t, 1)
	w.add(t, open, w.line(open, melt.Charge, 0, weighed(kg), of(w.sources[0]), func(l *melt.Line) { l.Lot = w.lots[0] }))
	first := w.lineOf(t, open, melt.Charge)
	here, month := Place{At: w.Now(), ID: 1 << 20}, 2026*12
	months := Filter{FromMonth: month, ToMonth: month + 11, From: w.Now() - 1000*minute, To: w.Now() + 1000*minute}
	with := func(f Filter, edits ...func(*Filter)) Filter {
		for _, edit := range edits {
			edit(&f)
		}
		return f
	}
	source, furnace := func(f *Filter) { f.Source = 1 }, func(f *Filter) { f.Furnace = 1 }
	words := func(f *Filter) { f.Words = "wheels muff" }
	heard := w.listen(t)

	// What each may do all the same: a list without a filter begins at the end
	// of its index and stops after a page; sorts of what a page or a melt holds.
	const (
		newest     = "SCAN figure USING INDEX figure_time"
		found      = "SCAN melt_words VIRTUAL TABLE INDEX"
		byCharged  = "USE TEMP B-TREE FOR LAST 2 TERMS OF ORDER BY"
		fewSorted  = "USE TEMP B-TREE FOR ORDER BY"
		fateScan   = "SCAN kit_line USING COVERING INDEX kit_line_fate"
		newestMelt = "SCAN melt"
	)
	list := func(f Filter, p Place, newer bool) func() error {
		return func() error { _, _, err := w.Melts(ctx, f, p, newer, 50); return err }
	}
	for name, c := range map[string]struct {
		do  func() error
		may []string
	}{
		"melts":              {list(Filter{}, Place{}, false), []string{newest, byCharged}},
		"melts deep":         {list(Filter{}, here, false), []string{byCharged}},
		"melts back":         {list(Filter{}, here, true), []string{byCharged}},
		"melts of source":    {list(with(Filter{}, source), here, false), []string{byCharged}},
		"melts of furnace":   {list(with(Filter{}, furnace), here, false), []string{byCharged}},
		"melts of both":      {list(with(Filter{}, source, furnace), here, true), []string{byCharged}},
		"melts of months":    {list(months, Place{}, false), []string{byCharged}},
		"melts of all":       {list(with(months, source, furnace), here, false), []string{byCharged}},
		"melts in crucible":  {list(Filter{Crucible: w.crucibles[0]}, Place{}, false), []string{byCharged}},
		"melts with element": {list(Filter{Element: w.elements[0]}, Place{}, false), []string{byCharged}},
		"search":             {list(with(Filter{}, words), Place{}, false), []string{found, byCharged}},
		"search deep":        {list(with(Filter{}, words), here, false), []string{found, byCharged}},
		"search back":        {list(with(Filter{}, words, source), here, true), []string{found, byCharged}},
		"search of all":      {list(with(months, words, source, furnace), here, false), []string{found, byCharged}},
		"totals":             {func() error { _, err := w.Totals(ctx, with(months, source, furnace)); return err }, nil},
		"running":            {func() error { _, err := w.RunningMelts(ctx); return err }, []string{byCharged}},
		"sheet":              {func() error { _, err := w.Sheet(ctx, h.ID); return err }, nil},
		"heel left":          {func() error { _, _, err := w.HeelLeft(ctx, w.crucibles[0], here); return err }, nil},
		"recent pours":       {func() error { _, err := w.RecentPours(ctx, 20); return err }, []string{newestMelt, fewSorted}},
		"a melt":             {func() error { _, _, err := w.Melt(ctx, h.Code); return err }, nil},
		"last heading":       {func() error { _, err := w.LastHeading(ctx); return err }, []string{newestMelt}},
		"melt of a line":     {func() error { _, err := w.CodeOf(ctx, first.ID); return err }, nil},
		"kit":                {func() error { _, err := w.Kit(ctx); return err }, []string{fateScan}},
		"a piece of kit":     {func() error { _, _, _, err := w.KitItem(ctx, w.elements[0]); return err }, nil},
		"wear":               {func() error { _, err := w.Wears(ctx); return err }, nil},
		"sources":            {func() error { _, err := w.Sources(ctx); return err }, nil},
		"records":            {func() error { _, err := w.Records(ctx); return err }, nil},
		"open deliveries":    {func() error { _, err := w.OpenLots(ctx, 5); return err }, []string{fewSorted}},
		"deliveries":         {func() error { _, _, err := w.LotsBefore(ctx, 1, here, 20); return err }, nil},
		"start":              {func() error { w.start(t, 0); return nil }, nil},
		"add":                {func() error { w.add(t, open, w.line(open, melt.Charge, 0, weighed(kg), of(w.sources[1]))); return nil }, nil},
		"strike":             {func() error { return w.Strike(ctx, w.by, open.Code, first.ID, struck(w.key(), "slip")) }, nil},
		"add kit line": {func() error {
			return w.AddKitLine(ctx, w.by, kit.Line{Key: w.key(), Item: w.elements[0], Kind: kit.Note, Note: "new"})
		}, nil},
		"add delivery": {func() error {
			return w.AddLot(ctx, w.by, scrap.Lot{Key: w.key(), Source: 1, At: w.Now(), AsFound: new(kg)})
		}, nil},
		"strike delivery, unused": {func() error { return w.StrikeLot(ctx, w.by, w.sources[2], w.lots[2], struck(w.key(), "slip")) }, nil},
		"change kit, name only": {func() error {
			it := kit.Item{ID: w.elements[1], Kind: kit.Element, Name: "Coil X", Wire: "NiCr 80/20", Cost: new(quantity.Money(4_500)), ExpectedHeats: new(200)}
			return w.ChangeKit(ctx, w.by, it)
		}, nil},
	} {
		*heard = (*heard)[:0]
		require.NoError(t, c.do(), name)
		all := slices.Clone(*heard)
		require.NotEmpty(t, all, name)
		for _, s := range all {
			for _, step := range w.slow(t, s) {
				allowed := slices.ContainsFunc(c.may, func(m string) bool { return strings.HasPrefix(step, m) })
				assert.True(t, allowed, "%s: %s\n%s", name, step, s.query)
			}
		}
	}
}
