package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"reflect"
	"slices"

	"drosswise/foundry/scrap"
	"drosswise/foundry/sheet"
)

const sources = `SELECT id, key, name, form, coating, alloy, sure, paid, fetches, hollow, wet, magnesium, zinc_lead, batteries, note, created_at, person_id, ended_at FROM source`

func scanSource(rows *sql.Rows) (scrap.Source, error) {
	var p scrap.Source
	h := &p.Hazards
	err := rows.Scan(&p.ID, &p.Key, &p.Name, &p.Form, &p.Coating, &p.Alloy, &p.Sure, &p.Paid, &p.Fetches,
		&h.Hollow, &h.Wet, &h.Magnesium, &h.ZincLead, &h.Batteries, &p.Note, &p.Created, &p.By, &p.Ended)
	return p, err
}

// Sources lists all scrap by name.
func (s *Store) Sources(ctx context.Context) ([]scrap.Source, error) {
	all, err := collect(ctx, s.read, scanSource, sources+" ORDER BY name")
	if err != nil {
		return nil, fmt.Errorf("sources: %w", err)
	}
	return all, nil
}

// Source reads one kind of scrap.
func (s *Store) Source(ctx context.Context, id int64) (scrap.Source, error) {
	return source(ctx, s.read, id)
}

func source(ctx context.Context, q querier, id int64) (scrap.Source, error) {
	all, err := collect(ctx, q, scanSource, sources+" WHERE id = ?", id)
	if err != nil {
		return scrap.Source{}, fmt.Errorf("source: %w", err)
	}
	if len(all) == 0 {
		return scrap.Source{}, fmt.Errorf("source %d: %w", id, ErrNotFound)
	}
	return all[0], nil
}

func sourceValues(p scrap.Source) []any {
	h := p.Hazards
	return []any{p.Name, p.Form, p.Coating, p.Alloy, p.Sure, p.Paid, p.Fetches, h.Hollow, h.Wet, h.Magnesium, h.ZincLead, h.Batteries, p.Note, p.Ended}
}

// AddSource adds a kind of scrap and gives its id; the same key adds it once,
// with other content it is an ErrConflict. So is a name that is taken.
func (s *Store) AddSource(ctx context.Context, by int64, p scrap.Source) (id int64, err error) {
	err = s.change(ctx, by, func(t *tx) error {
		had, err := collect(ctx, t, scanSource, sources+" WHERE key = ?", p.Key)
		if err != nil {
			return fmt.Errorf("add source: %w", err)
		}
		if len(had) > 0 {
			id, had[0].Ended = had[0].ID, p.Ended
			return alike("kind of scrap", sourceValues(had[0]), sourceValues(p))
		}
		id, err = t.addSource(ctx, p)
		return err
	})
	return id, err
}

func (t *tx) addSource(ctx context.Context, p scrap.Source) (int64, error) {
	r, err := t.ExecContext(ctx, `
		INSERT INTO source (name, form, coating, alloy, sure, paid, fetches, hollow, wet, magnesium, zinc_lead, batteries, note, ended_at, key, created_at, person_id)
		VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)`, append(sourceValues(p), p.Key, t.now, t.by)...)
	if err != nil {
		return 0, clashes("add source", err)
	}
	t.refigured()
	return r.LastInsertId()
}

// ChangeSource changes what is known of a kind of scrap. The figures of melts
// it was charged in are made again. A name that is taken is an ErrConflict.
func (s *Store) ChangeSource(ctx context.Context, by int64, p scrap.Source) error {
	return s.change(ctx, by, func(t *tx) error {
		was, err := source(ctx, t, p.ID)
		if err != nil {
			return err
		}
		_, err = t.ExecContext(ctx, `
			UPDATE source SET name=?, form=?, coating=?, alloy=?, sure=?, paid=?, fetches=?, hollow=?, wet=?, magnesium=?, zinc_lead=?, batteries=?, note=?, ended_at=?
			WHERE id=?`, append(sourceValues(p), p.ID)...)
		if err != nil {
			return clashes("change source", err)
		}
		t.refigured()
		if err := t.record(ctx, "source", p.ID, was, p); err != nil {
			return err
		}
		if reflect.DeepEqual(figured(was), figured(p)) {
			return nil
		}
		// Melts that are void have no row by source, yet figures of their own.
		return t.refigureWhere(ctx, `melt_id IN (SELECT melt_id FROM figure_source WHERE source_id = ?1)
			OR state = 'void' AND EXISTS (SELECT 1 FROM line l WHERE l.melt_id = figure.melt_id AND l.source_id = ?1)`, p.ID)
	})
}

// figured is what figures of melts are made from of a source.
func figured(p scrap.Source) sheet.Source {
	return sheet.Source{Name: p.Name, Alloy: p.Alloy, Paid: p.Paid, Fetches: p.Fetches}
}

const lots = `SELECT l.id, l.key, l.source_id, l.at, l.noted_at, l.person_id, l.as_found, l.as_charged, l.steel, l.plastic, l.paid, l.note,
	coalesce((SELECT charged FROM lot_sum WHERE lot_id = l.id), 0), k.at, k.person_id, k.reason
	FROM lot l LEFT JOIN strike k ON k.id = (SELECT max(id) FROM strike WHERE lot_id = l.id) AND k.struck = 1`

func scanLot(rows *sql.Rows) (scrap.Lot, error) {
	var l scrap.Lot
	var strike struckBy
	err := rows.Scan(&l.ID, &l.Key, &l.Source, &l.At, &l.Noted, &l.By, &l.AsFound, &l.AsCharged, &l.Steel, &l.Plastic, &l.Paid, &l.Note,
		&l.Charged, &strike.at, &strike.by, &strike.reason)
	if strike.at != nil {
		l.Strike = &scrap.Strike{At: *strike.at, By: strike.by.Int64, Reason: strike.reason.String}
	}
	return l, err
}

// Lots lists the deliveries of a source, the newest first, with what melts that
// are not void took of each. Source 0 lists those of all sources.
func (s *Store) Lots(ctx context.Context, sourceID int64) ([]scrap.Lot, error) {
	query, args := lots, []any{}
	if sourceID != 0 {
		query, args = lots+" WHERE l.source_id = ?", []any{sourceID}
	}
	all, err := collect(ctx, s.read, scanLot, query+" ORDER BY l.at DESC, l.id DESC", args...)
	if err != nil {
		return nil, fmt.Errorf("lots: %w", err)
	}
	return all, nil
}

// Lot reads one delivery.
func (s *Store) Lot(ctx context.Context, id int64) (scrap.Lot, error) {
	all, err := collect(ctx, s.read, scanLot, lots+" WHERE l.id = ?", id)
	if err != nil {
		return scrap.Lot{}, fmt.Errorf("lot: %w", err)
	}
	if len(all) == 0 {
		return scrap.Lot{}, fmt.Errorf("lot %d: %w", id, ErrNotFound)
	}
	return all[0], nil
}

// LotsBefore lists deliveries of a source as Lots does, those older than a
// place (zero: from the newest on), limit of them at most. more says that there
// are older ones still.
func (s *Store) LotsBefore(ctx context.Context, sourceID int64, from Place, limit int) (all []scrap.Lot, more bool, err error) {
	query, args := lots+" WHERE l.source_id = ?", []any{sourceID}
	if from != (Place{}) {
		query += " AND (l.at, l.id) < (?, ?)"
		args = append(args, from.At, from.ID)
	}
	all, err = collect(ctx, s.read, scanLot, query+" ORDER BY l.at DESC, l.id DESC LIMIT ?", append(args, limit+1)...)
	if err != nil {
		return nil, false, fmt.Errorf("lots: %w", err)
	}
	if more = len(all) > limit; more {
		all = all[:limit]
	}
	return all, more, nil
}

// OpenLots lists deliveries that a charge can come from, the newest first: of
// the last few of each source those that stand and have something left. A list
// to choose from must not grow for ever.
func (s *Store) OpenLots(ctx context.Context, each int) ([]scrap.Lot, error) {
	all, err := collect(ctx, s.read, scanLot, lots+`
		WHERE l.id IN (SELECT n.id FROM source s JOIN lot n ON n.id IN (SELECT id FROM lot WHERE source_id = s.id ORDER BY at DESC, id DESC LIMIT ?))
		AND coalesce(l.as_charged, l.as_found) > coalesce((SELECT charged FROM lot_sum WHERE lot_id = l.id), 0) -- spares reading most of those used up
		ORDER BY l.at DESC, l.id DESC`, each)
	if err != nil {
		return nil, fmt.Errorf("open lots: %w", err)
	}
	return slices.DeleteFunc(all, func(l scrap.Lot) bool {
		left, known := l.Left()
		return l.Strike != nil || !known || left <= 0
	}), nil
}

// AddLot writes a delivery; the same key writes it once.
func (s *Store) AddLot(ctx context.Context, by int64, l scrap.Lot) error {
	return s.change(ctx, by, func(t *tx) error {
		if _, err := source(ctx, t, l.Source); err != nil {
			return err
		}
		r, err := t.ExecContext(ctx, `
			INSERT INTO lot (key, source_id, at, noted_at, person_id, as_found, as_charged, steel, plastic, paid, note)
			VALUES (?,?,?,?,?,?,?,?,?,?,?) ON CONFLICT (key) DO NOTHING`,
			l.Key, l.Source, l.At, t.now, by, l.AsFound, l.AsCharged, l.Steel, l.Plastic, l.Paid, l.Note)
		if err != nil {
			return fmt.Errorf("add lot: %w", err)
		}
		if n, err := r.RowsAffected(); err != nil || n > 0 {
			return err
		}
		had, err := collect(ctx, t, scanLot, lots+" WHERE l.key = ?", l.Key)
		if err != nil || len(had) == 0 {
			return errors.Join(err, ErrConflict)
		}
		same := had[0]
		same.ID, same.At, same.Noted, same.By, same.Strike, same.Charged = l.ID, l.At, l.Noted, l.By, l.Strike, l.Charged
		return alike("delivery", same, l)
	})
}

// StrikeLot strikes a delivery, or lifts the strike.
func (s *Store) StrikeLot(ctx context.Context, by, sourceID, lot int64, m Mark) error {
	return s.change(ctx, by, func(t *tx) error {
		all, err := collect(ctx, t, scanLot, lots+" WHERE l.id = ? AND l.source_id = ?", lot, sourceID)
		if err != nil {
			return fmt.Errorf("lot: %w", err)
		}
		if len(all) == 0 {
			return fmt.Errorf("lot %d: %w", lot, ErrNotFound)
		}
		if (all[0].Strike == nil) != m.Struck {
			return quiet(t.marked(ctx, "strike", "lot_id", lot, m))
		}
		if err := t.mark(ctx, "lot_id", lot, m); err != nil {
			return quiet(err)
		}
		return t.refigureWhere(ctx, "melt_id IN (SELECT melt_id FROM line WHERE lot_id = ?)", lot)
	})
}
