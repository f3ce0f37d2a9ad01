package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"drosswise/foundry/drift"
	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/sheet"
)

// Used is a melt as the wear of the kit that it was made with is read from it.
// A melt that is not closed yet has only its hours.
type Used struct {
	sheet.Work
	State    melt.State
	Heat     bool // something was charged
	Hot      quantity.Span
	Crucible int64
	Element  int64
}

// UsedBy lists the melts made with a furnace, crucible or element set, but for
// those made void, the oldest first: the newest of them, at most so many.
func (s *Store) UsedBy(ctx context.Context, it kit.Item, most int) ([]Used, error) {
	column := map[kit.Kind]string{kit.Furnace: "furnace_id", kit.Crucible: "crucible_id", kit.Element: "element_id"}[it.Kind]
	if column == "" {
		return nil, nil
	}
	all, err := collect(ctx, s.read, scanUsed, `
		SELECT f.melt_id, m.code, f.started_at, f.furnace_id, f.state, f.heats, f.hot, coalesce(f.crucible_id, 0), coalesce(f.element_id, 0), coalesce(r.worked, '{}')
		FROM figure f JOIN melt m ON m.id = f.melt_id LEFT JOIN melt_record r ON r.melt_id = f.melt_id
		WHERE f.`+column+` = ? AND f.state <> 'void' ORDER BY f.started_at DESC, f.melt_id DESC LIMIT ?`, it.ID, most)
	if err != nil {
		return nil, fmt.Errorf("melts with %s: %w", it.Name, err)
	}
	slices.Reverse(all)
	return all, nil
}

func scanUsed(rows *sql.Rows) (u Used, err error) {
	var worked []byte
	var id int64
	var code string
	var started quantity.Moment
	var furnace int64
	if err := rows.Scan(&id, &code, &started, &furnace, &u.State, &u.Heat, &u.Hot, &u.Crucible, &u.Element, &worked); err != nil {
		return u, err
	}
	err = json.Unmarshal(worked, &u.Work)
	u.ID, u.Code, u.Started, u.Furnace = id, code, started, furnace
	return u, err
}

// Causes says why each piece of kit that is retired came to its end, as its last
// retirement says.
func (s *Store) Causes(ctx context.Context) (map[int64]string, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT l.kit_id, l.cause FROM kit_line l WHERE l.kind = 'retired'
			AND NOT coalesce((SELECT struck FROM strike WHERE id = (SELECT max(id) FROM strike WHERE kit_line_id = l.id)), 0)
		ORDER BY l.kit_id, l.at, l.id`)
	if err != nil {
		return nil, fmt.Errorf("causes: %w", err)
	}
	defer rows.Close()
	all := map[int64]string{}
	for rows.Next() {
		var id int64
		var cause string
		if err := rows.Scan(&id, &cause); err != nil {
			return nil, fmt.Errorf("causes: %w", err)
		}
		all[id] = cause
	}
	return all, rows.Err()
}

// AlarmClose is how a person closed an alarm of a furnace.
type AlarmClose struct {
	Melt melt.Code
	How  string
	At   quantity.Moment
	By   int64
	Note string
}

// AlarmCloses lists how a furnace's alarms were closed, by the melt that raised
// them; the last word on each holds, and an empty one opens it again.
func (s *Store) AlarmCloses(ctx context.Context, furnace int64) (map[int64]AlarmClose, error) {
	rows, err := s.read.QueryContext(ctx, `
		SELECT a.melt_id, m.code, a.how, a.at, a.person_id, a.note FROM alarm_close a JOIN melt m ON m.id = a.melt_id
		WHERE a.furnace_id = ? ORDER BY a.id`, furnace)
	if err != nil {
		return nil, fmt.Errorf("alarms: %w", err)
	}
	defer rows.Close()
	all := map[int64]AlarmClose{}
	for rows.Next() {
		var id int64
		var c AlarmClose
		if err := rows.Scan(&id, &c.Melt, &c.How, &c.At, &c.By, &c.Note); err != nil {
			return nil, fmt.Errorf("alarms: %w", err)
		}
		if all[id] = c; c.How == "" {
			delete(all, id)
		}
	}
	return all, rows.Err()
}

// CloseAlarm writes how an alarm of a furnace is closed; the same key writes it
// once, with other content it is an ErrKeyUsed.
func (s *Store) CloseAlarm(ctx context.Context, by, furnace int64, key string, c AlarmClose) error {
	return s.change(ctx, by, func(t *tx) error {
		var id int64
		err := t.QueryRowContext(ctx, "SELECT id FROM melt WHERE code = ? AND furnace_id = ?", c.Melt, furnace).Scan(&id)
		if errors.Is(err, sql.ErrNoRows) {
			return fmt.Errorf("melt %s of furnace %d: %w", c.Melt, furnace, ErrNotFound)
		}
		if err != nil {
			return fmt.Errorf("close alarm: %w", err)
		}
		r, err := t.ExecContext(ctx, "INSERT INTO alarm_close (key, furnace_id, melt_id, how, note, at, person_id) VALUES (?,?,?,?,?,?,?) ON CONFLICT (key) DO NOTHING",
			key, furnace, id, c.How, c.Note, t.now, by)
		if err != nil {
			return fmt.Errorf("close alarm: %w", err)
		}
		if n, err := r.RowsAffected(); err != nil || n == 0 {
			var same bool
			err = errors.Join(err, t.QueryRowContext(ctx, "SELECT furnace_id = ? AND melt_id = ? AND how = ? AND note = ? FROM alarm_close WHERE key = ?", furnace, id, c.How, c.Note, key).Scan(&same))
			return errors.Join(err, alike("alarm", same, true))
		}
		t.worn()
		return nil
	})
}

// MeltsWith lists the newest melts since a moment that any kit was used in,
// instruments too, the oldest first.
func (s *Store) MeltsWith(ctx context.Context, item int64, since quantity.Moment, most int) ([]drift.Used, error) {
	all, err := collect(ctx, s.read, func(rows *sql.Rows) (u drift.Used, err error) {
		err = rows.Scan(&u.ID, &u.At)
		return u, err
	}, `SELECT melt_id, started_at FROM (SELECT melt_id, started_at, used FROM figure WHERE started_at >= ? AND state <> 'void' ORDER BY started_at DESC LIMIT ?)
		WHERE EXISTS (SELECT 1 FROM json_each(used) WHERE value = ?) ORDER BY started_at`, since, most, item)
	if err != nil {
		return nil, fmt.Errorf("melts with kit %d: %w", item, err)
	}
	return all, nil
}

// Codes gives the codes of melts, in their order; melts that are not there are
// left out.
func (s *Store) Codes(ctx context.Context, melts []int64) ([]melt.Code, error) {
	var all []melt.Code
	for _, id := range melts {
		var code melt.Code
		err := s.read.QueryRowContext(ctx, "SELECT code FROM melt WHERE id = ?", id).Scan(&code)
		if errors.Is(err, sql.ErrNoRows) {
			continue
		}
		if err != nil {
			return nil, fmt.Errorf("codes: %w", err)
		}
		all = append(all, code)
	}
	return all, nil
}
