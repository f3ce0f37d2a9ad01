package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/sheet"
)

// Filter says which melts a list shows. Zero fields do not filter.
type Filter struct {
	Source    int64
	Furnace   int64
	Crucible  int64
	Element   int64
	FromMonth int // year · 12 + month − 1
	ToMonth   int
	From, To  quantity.Moment // the same months in the shop's time; To is not part of it
	Words     string
}

// Place is where a page of a list starts: beside this melt.
type Place struct {
	At quantity.Moment
	ID int64
}

// Row is a melt as lists show it.
type Row struct {
	ID        int64
	Code      melt.Code
	State     melt.State
	Started   quantity.Moment
	Furnace   int64
	Crucible  int64
	Element   int64
	Charged   quantity.Mass
	Recovered *quantity.Mass
	Yield     *float64
	YieldU    *float64
	Energy    *quantity.Energy
	Sources   []int64 // most charged first
}

// Place is where the row stands in a list by time.
func (r Row) Place() Place { return Place{r.Started, r.ID} }

const rowColumns = `f.melt_id, m.code, f.state, f.started_at, f.furnace_id, coalesce(f.crucible_id, 0), coalesce(f.element_id, 0), f.charged, f.recovered, f.yield, f.yield_u, f.energy`

func scanRow(rows *sql.Rows) (Row, error) {
	var r Row
	err := rows.Scan(&r.ID, &r.Code, &r.State, &r.Started, &r.Furnace, &r.Crucible, &r.Element, &r.Charged, &r.Recovered, &r.Yield, &r.YieldU, &r.Energy)
	return r, err
}

// list is a query for a page of melts that is being put together.
type list struct {
	from  string   // the table that orders the list, and what belongs to it
	order []string // its columns of the order: time and melt, or both in one rank
	where []string
	args  []any
}

func (l *list) and(condition string, args ...any) {
	l.where = append(l.where, condition)
	l.args = append(l.args, args...)
}

// beside keeps what lies on one side of a place.
func (l *list) beside(side string, p Place) {
	if len(l.order) == 1 {
		l.and(l.order[0]+" "+side+" ?", rank(p.At, p.ID))
		return
	}
	l.and("("+strings.Join(l.order, ", ")+") "+side+" (?, ?)", p.At, p.ID)
}

// query picks the table whose index fits the filter best.
func (f Filter) query() *list {
	l := &list{from: "figure f", order: []string{"f.started_at", "f.melt_id"}}
	switch terms := searchTerms(f.Words); {
	case terms != "":
		l = &list{from: foundWords, order: []string{"w.rowid"}}
		l.and("w.melt_words MATCH ?", f.match(terms))
	case f.Source != 0:
		l = &list{from: "figure_source s JOIN figure f ON f.melt_id = s.melt_id", order: []string{"s.started_at", "s.melt_id"}}
		l.and("s.source_id = ?", f.Source)
		if f.Furnace != 0 {
			l.and("s.furnace_id = ?", f.Furnace)
		}
	case f.Furnace != 0:
		l.and("f.furnace_id = ?", f.Furnace)
	}
	if f.Crucible != 0 {
		l.and("f.crucible_id = ?", f.Crucible)
	}
	if f.Element != 0 {
		l.and("f.element_id = ?", f.Element)
	}
	if f.From != 0 {
		l.beside(">=", Place{At: f.From})
	}
	if f.To != 0 {
		l.beside("<", Place{At: f.To})
	}
	return l
}

// Melts lists melts, the newest first: those older than a place, or just newer
// than it when newer is set; a zero place starts at the top. more says that
// the list goes on in that direction.
func (s *Store) Melts(ctx context.Context, f Filter, from Place, newer bool, limit int) (rows []Row, more bool, err error) {
	l := f.query()
	way, past := " DESC", "<"
	if newer {
		way, past = " ASC", ">"
	}
	if from != (Place{}) {
		l.beside(past, from)
	}
	query := "SELECT " + rowColumns + " FROM " + l.from + " JOIN melt m ON m.id = f.melt_id"
	if len(l.where) > 0 {
		query += " WHERE " + strings.Join(l.where, " AND ")
	}
	query += fmt.Sprintf(" ORDER BY %s%s LIMIT %d", strings.Join(l.order, way+", "), way, limit+1)
	if rows, err = collect(ctx, s.read, scanRow, query, l.args...); err != nil {
		return nil, false, fmt.Errorf("melts: %w", err)
	}
	if more = len(rows) > limit; more {
		rows = rows[:limit]
	}
	if newer {
		slices.Reverse(rows)
	}
	return rows, more, s.withSources(ctx, rows)
}

// withSources adds what was charged to each row.
func (s *Store) withSources(ctx context.Context, rows []Row) error {
	if len(rows) == 0 {
		return nil
	}
	at := map[int64]*Row{}
	ids := make([]any, len(rows))
	for i := range rows {
		at[rows[i].ID], ids[i] = &rows[i], rows[i].ID
	}
	marks := strings.TrimSuffix(strings.Repeat("?,", len(ids)), ",")
	got, err := s.read.QueryContext(ctx, "SELECT melt_id, source_id FROM figure_source WHERE melt_id IN ("+marks+") ORDER BY melt_id, charged DESC, source_id", ids...)
	if err != nil {
		return fmt.Errorf("sources of melts: %w", err)
	}
	defer got.Close()
	for got.Next() {
		var id, source int64
		if err := got.Scan(&id, &source); err != nil {
			return fmt.Errorf("sources of melts: %w", err)
		}
		at[id].Sources = append(at[id].Sources, source)
	}
	return got.Err()
}

// Totals are running totals of the melts that a filter shows. Ratios are
// pooled: the sum of what came out over the sum of what went in, of those melts
// in which both are known.
type Totals struct {
	Melts         int
	Charged       quantity.Mass
	OfSource      quantity.Mass
	YieldCharged  quantity.Mass
	Recovered     quantity.Mass
	EnergyCharged quantity.Mass
	Energy        quantity.Energy
}

// Totals adds up the melts of a filter by source, furnace and months; words
// and other kit do not count.
func (s *Store) Totals(ctx context.Context, f Filter) (Totals, error) {
	var t Totals
	query := "SELECT coalesce(sum(melts), 0), coalesce(sum(charged), 0), coalesce(sum(of_source), 0), coalesce(sum(yield_charged), 0), coalesce(sum(recovered), 0), coalesce(sum(energy_charged), 0), coalesce(sum(energy), 0) FROM tally WHERE source_id = ?"
	args := []any{f.Source}
	for _, c := range []struct {
		and string
		arg int64
	}{{" AND furnace_id = ?", f.Furnace}, {" AND month >= ?", int64(f.FromMonth)}, {" AND month <= ?", int64(f.ToMonth)}} {
		if c.arg != 0 {
			query += c.and
			args = append(args, c.arg)
		}
	}
	err := s.read.QueryRowContext(ctx, query, args...).
		Scan(&t.Melts, &t.Charged, &t.OfSource, &t.YieldCharged, &t.Recovered, &t.EnergyCharged, &t.Energy)
	return t, found("totals", err)
}

// RunningMelts lists melts that are not closed, the newest first.
func (s *Store) RunningMelts(ctx context.Context) ([]Row, error) {
	rows, err := collect(ctx, s.read, scanRow, "SELECT "+rowColumns+" FROM figure f JOIN melt m ON m.id = f.melt_id WHERE f.state = 'running' ORDER BY f.started_at DESC, f.melt_id DESC LIMIT 20")
	if err != nil {
		return nil, fmt.Errorf("running melts: %w", err)
	}
	return rows, s.withSources(ctx, rows)
}

// Sheet reads a melt's figures as they are kept.
func (s *Store) Sheet(ctx context.Context, meltID int64) (sheet.Sheet, error) {
	var body string
	var sh sheet.Sheet
	err := s.read.QueryRowContext(ctx, "SELECT body FROM figure WHERE melt_id = ?", meltID).Scan(&body)
	if err != nil {
		return sh, found("figures", err)
	}
	if err := json.Unmarshal([]byte(body), &sh); err != nil {
		return sh, fmt.Errorf("figures: %w", err)
	}
	return sh, nil
}

// HeelLeft is what the melt before this one left in the same crucible, nil
// when it left nothing that was written, and that melt's code.
func (s *Store) HeelLeft(ctx context.Context, crucible int64, before Place) (*quantity.Mass, melt.Code, error) {
	var left *quantity.Mass
	var code melt.Code
	err := s.read.QueryRowContext(ctx, `
		SELECT f.heel_left, m.code FROM figure f JOIN melt m ON m.id = f.melt_id
		WHERE f.crucible_id = ? AND f.state <> 'void' AND (f.started_at, f.melt_id) < (?, ?) ORDER BY f.started_at DESC, f.melt_id DESC LIMIT 1`,
		crucible, before.At, before.ID).Scan(&left, &code)
	if err == sql.ErrNoRows {
		return nil, "", nil
	}
	return left, code, found("heel left", err)
}

// PourLine is a pour that made ingots: a source for later charges.
type PourLine struct {
	ID    int64
	Code  melt.Code
	At    quantity.Moment
	Count *int
	Mass  quantity.Mass
}

// RecentPours lists the latest weighed pours of ingots, the newest first.
func (s *Store) RecentPours(ctx context.Context, limit int) ([]PourLine, error) {
	scan := func(rows *sql.Rows) (p PourLine, err error) {
		err = rows.Scan(&p.ID, &p.Code, &p.At, &p.Count, &p.Mass)
		return p, err
	}
	all, err := collect(ctx, s.read, scan, `
		SELECT l.id, m.code, l.at, l.count, (SELECT sum(w.gross - l.tare) FROM weighing w WHERE w.line_id = l.id)
		FROM (SELECT id FROM melt JOIN figure ON melt_id = id WHERE target = 'ingots' AND state <> 'void' ORDER BY id DESC LIMIT ?) r
		CROSS JOIN melt m ON m.id = r.id CROSS JOIN line l ON l.melt_id = m.id
		WHERE l.kind = 'pour' AND EXISTS (SELECT 1 FROM weighing w WHERE w.line_id = l.id)
		AND NOT coalesce((SELECT struck FROM strike WHERE id = (SELECT max(id) FROM strike WHERE line_id = l.id)), 0)
		ORDER BY l.id DESC`, limit)
	if err != nil {
		return nil, fmt.Errorf("pours: %w", err)
	}
	return all, nil
}

// RecentSources lists the sources that the last few melts charged, the last one
// first.
func (s *Store) RecentSources(ctx context.Context, melts int) ([]int64, error) {
	scan := func(rows *sql.Rows) (id int64, err error) { return id, rows.Scan(&id) }
	all, err := collect(ctx, s.read, scan, `
		SELECT l.source_id FROM (SELECT id FROM melt ORDER BY id DESC LIMIT ?) r CROSS JOIN line l ON l.melt_id = r.id
		WHERE l.kind = 'charge' AND l.source_id IS NOT NULL GROUP BY l.source_id ORDER BY max(l.id) DESC`, melts)
	if err != nil {
		return nil, fmt.Errorf("recent sources: %w", err)
	}
	return all, nil
}

// Names gives every person's name by id, those who left too.
func (s *Store) Names(ctx context.Context) (map[int64]string, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT id, name FROM person")
	if err != nil {
		return nil, fmt.Errorf("names: %w", err)
	}
	defer rows.Close()
	all := map[int64]string{}
	for rows.Next() {
		var id int64
		var name string
		if err := rows.Scan(&id, &name); err != nil {
			return nil, fmt.Errorf("names: %w", err)
		}
		all[id] = name
	}
	return all, rows.Err()
}
