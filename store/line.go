package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"reflect"
	"slices"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

const lines = `SELECT l.id, l.key, l.kind, l.at, l.noted_at, l.person_id, coalesce(l.source_id, 0), coalesce(l.lot_id, 0), coalesce(l.pour_id, 0),
	l.tare, coalesce(l.scale_id, 0), l.spread, l.as_found, l.dry, l.preheated, l.into_hot, l.which, l.mould, l.count, l.cost,
	l.meter, l.energy, l.temp, coalesce(l.probe_id, 0), l.volts, l.amps, l.watts, l.ohms, coalesce(l.crucible_id, 0), coalesce(l.element_id, 0), l.note,
	k.at, k.person_id, k.reason, k.key
	FROM line l LEFT JOIN strike k ON k.id = (SELECT max(id) FROM strike WHERE line_id = l.id) AND k.struck = 1`

func scanLine(rows *sql.Rows) (melt.Line, error) {
	var l melt.Line
	var strike struckBy
	err := rows.Scan(&l.ID, &l.Key, &l.Kind, &l.At, &l.Noted, &l.By, &l.Source, &l.Lot, &l.Pour,
		&l.Tare, &l.Scale, &l.Spread, &l.AsFound, &l.Dry, &l.Preheated, &l.IntoHot, &l.Which, &l.Mould, &l.Count, &l.Cost,
		&l.Meter, &l.Energy, &l.Temp, &l.Probe, &l.Volts, &l.Amps, &l.Watts, &l.Ohms, &l.Crucible, &l.Element, &l.Note,
		&strike.at, &strike.by, &strike.reason, &strike.key)
	if strike.at != nil {
		l.Strike = &melt.Strike{At: *strike.at, By: strike.by.Int64, Reason: strike.reason.String, Key: strike.key.String}
	}
	return l, err
}

// meltLines reads a melt's lines with their weighings, in the order of writing.
func meltLines(ctx context.Context, q querier, meltID int64) ([]melt.Line, error) {
	all, err := collect(ctx, q, scanLine, lines+" WHERE l.melt_id = ? ORDER BY l.id", meltID)
	if err != nil {
		return nil, fmt.Errorf("lines: %w", err)
	}
	return all, weigh(ctx, q, all, "SELECT w.line_id, w.gross FROM line l JOIN weighing w ON w.line_id = l.id WHERE l.melt_id = ? ORDER BY w.line_id, w.n", meltID)
}

// weigh reads what the scale showed for lines, in their order.
func weigh(ctx context.Context, q querier, all []melt.Line, query string, arg any) error {
	rows, err := q.QueryContext(ctx, query, arg)
	if err != nil {
		return fmt.Errorf("weighings: %w", err)
	}
	defer rows.Close()
	i := 0
	for rows.Next() {
		var id int64
		var gross quantity.Mass
		if err := rows.Scan(&id, &gross); err != nil {
			return fmt.Errorf("weighings: %w", err)
		}
		for all[i].ID != id {
			i++
		}
		all[i].Gross = append(all[i].Gross, gross)
	}
	return rows.Err()
}

// linesOf reads the lines of many melts, named by a JSON list, by melt.
func linesOf(ctx context.Context, q querier, melts string) (map[int64][]melt.Line, error) {
	const these = " (SELECT value FROM json_each(?)) "
	all, err := collect(ctx, q, scanLine, lines+" WHERE l.melt_id IN"+these+"ORDER BY l.melt_id, l.id", melts)
	if err != nil {
		return nil, fmt.Errorf("lines: %w", err)
	}
	if err := weigh(ctx, q, all, "SELECT w.line_id, w.gross FROM line l JOIN weighing w ON w.line_id = l.id WHERE l.melt_id IN"+these+"ORDER BY l.melt_id, w.line_id, w.n", melts); err != nil {
		return nil, err
	}
	type count struct {
		melt int64
		n    int
	}
	counts, err := collect(ctx, q, func(rows *sql.Rows) (c count, err error) {
		return c, rows.Scan(&c.melt, &c.n)
	}, "SELECT melt_id, count(*) FROM line WHERE melt_id IN"+these+"GROUP BY melt_id ORDER BY melt_id", melts)
	if err != nil {
		return nil, fmt.Errorf("lines: %w", err)
	}
	by := make(map[int64][]melt.Line, len(counts))
	for _, c := range counts {
		by[c.melt], all = all[:c.n:c.n], all[c.n:]
	}
	return by, nil
}

// Add writes a line in a melt and makes the melt's figures anew. The line is
// held against the melt as it stands at that moment (melt.Check): what is
// refused comes back as melt.Refusals. A key that is stored already gives no
// error when the content is the same and ErrKeyUsed when it is not. A line
// without a time happened now. sure says that the person has seen the doubts.
func (s *Store) Add(ctx context.Context, by int64, code melt.Code, l melt.Line, sure bool) error {
	return s.AddLate(ctx, by, code, l, s.Now(), sure)
}

// AddLate is Add for a line that waited in a phone: without a time of its own
// it happened when it was tapped. A line that is stored already keeps its time.
func (s *Store) AddLate(ctx context.Context, by int64, code melt.Code, l melt.Line, tapped quantity.Moment, sure bool) error {
	return s.change(ctx, by, func(t *tx) error { return t.add(ctx, code, l, tapped, sure) })
}

// Replace strikes a line and writes another in its stead, in one step: details
// added later, or a correction.
func (s *Store) Replace(ctx context.Context, by int64, code melt.Code, old int64, l melt.Line, reason string, sure bool) error {
	return s.change(ctx, by, func(t *tx) error {
		m := Mark{Key: l.Key, Struck: true, Reason: reason}
		return t.replace(ctx, code, old, l, m, sure)
	})
}

func (t *tx) replace(ctx context.Context, code melt.Code, old int64, l melt.Line, m Mark, sure bool) error {
	h, err := heading(ctx, t, code)
	if err != nil {
		return err
	}
	had, err := meltLines(ctx, t, h.ID)
	if err != nil {
		return err
	}
	if err := same(had, l); err != nil {
		return quiet(err)
	}
	i := slices.IndexFunc(had, func(x melt.Line) bool { return x.ID == old })
	if i < 0 {
		return fmt.Errorf("line %d of %s: %w", old, code, ErrNotFound)
	}
	if !had[i].Stands() {
		return fmt.Errorf("line %d of %s is struck already: %w", old, code, ErrConflict)
	}
	if melt.StateOf(melt.Standing(had)) == melt.Running {
		err := t.mark(ctx, "line_id", old, m)
		if errors.Is(err, errSame) {
			err = fmt.Errorf("key %s stands for a strike: %w", m.Key, ErrKeyUsed)
		}
		if err != nil {
			return err
		}
	}
	return t.add(ctx, code, l, t.now, sure)
}

// add writes the line.
func (t *tx) add(ctx context.Context, code melt.Code, l melt.Line, tapped quantity.Moment, sure bool) error {
	h, err := heading(ctx, t, code)
	if err != nil {
		return err
	}
	had, err := meltLines(ctx, t, h.ID)
	if err != nil {
		return err
	}
	if err := same(had, l); err != nil {
		return quiet(err)
	}
	if l.At == 0 {
		l.At = tapped
	}
	bench, err := t.bench(ctx, h, had, sure)
	if err != nil {
		return err
	}
	if err := melt.Check(h, had, l, bench); err != nil {
		return err
	}
	if err := t.checkNames(ctx, h, l); err != nil {
		return err
	}
	if l.Kind == melt.Using && l.Note == "" {
		cracked, err := t.cracked(ctx, l.Crucible)
		if err != nil {
			return err
		}
		if cracked != "" {
			return melt.Refusals{crackRefusal(cracked, "note")}
		}
	}
	l.By, l.Noted = t.by, t.now
	if err := t.insertLine(ctx, h.ID, &l); err != nil {
		return err
	}
	return t.refigure(ctx, h, append(had, l))
}

// same looks for the line's key among those stored: errSame when it is there
// with the same content, ErrKeyUsed when it is there with another.
func same(had []melt.Line, l melt.Line) error {
	i := slices.IndexFunc(had, func(x melt.Line) bool { return x.Key == l.Key })
	if i < 0 {
		return nil
	}
	old := had[i]
	l.ID, l.Noted, l.By, l.Strike = old.ID, old.Noted, old.By, old.Strike
	if l.At == 0 {
		l.At = old.At
	}
	if len(l.Gross) == 0 {
		l.Gross = nil
	}
	if reflect.DeepEqual(old, l) {
		return errSame
	}
	return fmt.Errorf("key %s stands for another line: %w", l.Key, ErrKeyUsed)
}

// quiet turns "stored already" into success.
func quiet(err error) error {
	if errors.Is(err, errSame) {
		return nil
	}
	return err
}

// bench gathers what a line is held against.
func (t *tx) bench(ctx context.Context, h melt.Heading, had []melt.Line, sure bool) (melt.Bench, error) {
	b := melt.Bench{Now: t.now, Sure: sure}
	var err error
	if b.Scales, err = scales(ctx, t); err != nil {
		return b, err
	}
	crucible := melt.KitOf(h, melt.Standing(had)).Crucible
	if crucible == 0 {
		return b, nil
	}
	it, err := kitItem(ctx, t, crucible)
	if err != nil {
		return b, err
	}
	if fill, _, ok := it.SafeFill(); ok {
		b.SafeFill = &fill
	}
	return b, nil
}

func scales(ctx context.Context, q querier) (map[int64]melt.Scale, error) {
	rows, err := q.QueryContext(ctx, "SELECT id, name, resolution, coalesce(capacity, 0), coalesce(gain, 0) FROM kit WHERE kind = 'scale'")
	if err != nil {
		return nil, fmt.Errorf("scales: %w", err)
	}
	defer rows.Close()
	all := map[int64]melt.Scale{}
	for rows.Next() {
		var id int64
		var s melt.Scale
		if err := rows.Scan(&id, &s.Name, &s.Resolution, &s.Capacity, &s.Gain); err != nil {
			return nil, fmt.Errorf("scales: %w", err)
		}
		all[id] = s
	}
	return all, rows.Err()
}

// GoneError says which field of a line names what is not there, or is of
// another kind.
type GoneError struct {
	Field string
	err   error
}

func (e *GoneError) Error() string { return e.Field + ": " + e.err.Error() }
func (e *GoneError) Unwrap() error { return e.err }

// gone names the field of what was not found; other errors stay as they are.
func gone(field string, err error) error {
	if !errors.Is(err, ErrNotFound) {
		return err
	}
	return &GoneError{field, err}
}

// checkNames makes sure that what a line names exists and is of the right
// kind, and that ingots come from a pour of another melt.
func (t *tx) checkNames(ctx context.Context, h melt.Heading, l melt.Line) error {
	for _, k := range []struct {
		id   int64
		kind kit.Kind
	}{{l.Scale, kit.Scale}, {l.Probe, kit.Probe}, {l.Crucible, kit.Crucible}, {l.Element, kit.Element}} {
		if k.id == 0 {
			continue
		}
		if _, err := t.kitOf(ctx, k.id, k.kind); err != nil {
			return gone(string(k.kind), err)
		}
	}
	if l.Source != 0 {
		if _, err := source(ctx, t, l.Source); err != nil {
			return gone("source", err)
		}
	}
	for _, ref := range []struct {
		id    int64
		query string
		arg   int64
	}{
		{l.Lot, "SELECT EXISTS (SELECT 1 FROM lot WHERE id = ? AND source_id = ?)", l.Source},
		{l.Pour, "SELECT EXISTS (SELECT 1 FROM line WHERE id = ? AND kind = 'pour' AND melt_id <> ?)", h.ID},
	} {
		if ref.id == 0 {
			continue
		}
		var ok bool
		if err := t.QueryRowContext(ctx, ref.query, ref.id, ref.arg).Scan(&ok); err != nil {
			return fmt.Errorf("check line: %w", err)
		}
		if !ok {
			return gone("source", fmt.Errorf("what line %s names: %w", l.Key, ErrNotFound))
		}
	}
	return nil
}

func (t *tx) insertLine(ctx context.Context, meltID int64, l *melt.Line) error {
	r, err := t.ExecContext(ctx, `
		INSERT INTO line (melt_id, key, kind, at, noted_at, person_id, source_id, lot_id, pour_id, tare, scale_id, spread, as_found, dry, preheated, into_hot,
			which, mould, count, cost, meter, energy, temp, probe_id, volts, amps, watts, ohms, crucible_id, element_id, note)
		VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)`,
		meltID, l.Key, l.Kind, l.At, l.Noted, l.By, orNull(l.Source), orNull(l.Lot), orNull(l.Pour), l.Tare, orNull(l.Scale), l.Spread,
		l.AsFound, l.Dry, l.Preheated, l.IntoHot, l.Which, l.Mould, l.Count, l.Cost, l.Meter, l.Energy, l.Temp, orNull(l.Probe),
		l.Volts, l.Amps, l.Watts, l.Ohms, orNull(l.Crucible), orNull(l.Element), l.Note)
	if err != nil {
		return clashes("add line", err)
	}
	if l.ID, err = r.LastInsertId(); err != nil {
		return err
	}
	for i, gross := range l.Gross {
		if _, err := t.ExecContext(ctx, "INSERT INTO weighing VALUES (?,?,?)", l.ID, i+1, gross); err != nil {
			return fmt.Errorf("add weighing: %w", err)
		}
	}
	return nil
}

// Strike strikes a line of a melt or lifts the strike, and makes the figures
// anew. Striking what is struck, or lifting what stands, changes nothing. On a
// closed melt it is refused (melt.Refusals).
func (s *Store) Strike(ctx context.Context, by int64, code melt.Code, line int64, m Mark) error {
	return s.change(ctx, by, func(t *tx) error {
		h, err := heading(ctx, t, code)
		if err != nil {
			return err
		}
		had, err := meltLines(ctx, t, h.ID)
		if err != nil {
			return err
		}
		i := slices.IndexFunc(had, func(x melt.Line) bool { return x.ID == line })
		if i < 0 {
			return fmt.Errorf("line %d of %s: %w", line, code, ErrNotFound)
		}
		if had[i].Stands() != m.Struck {
			return quiet(t.marked(ctx, "strike", "line_id", line, m))
		}
		if err := melt.CheckStrike(h, had, had[i], m.Struck); err != nil {
			return err
		}
		if err := t.mark(ctx, "line_id", line, m); err != nil {
			return quiet(err)
		}
		had[i].Strike = nil
		if m.Struck {
			had[i].Strike = &melt.Strike{At: t.now, By: t.by, Reason: m.Reason, Key: m.Key}
		}
		return t.refigure(ctx, h, had)
	})
}
