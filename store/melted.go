package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
	"drosswise/foundry/sheet"
)

// keepRecord keeps what the estimates of all sources and the findings read of
// a melt, while it is closed; a running or void melt has none.
func (t *tx) keepRecord(ctx context.Context, w worked, had bool) error {
	if w.record == nil {
		if !had {
			return nil
		}
		_, err := t.ExecContext(ctx, "DELETE FROM melt_record WHERE melt_id = ?", w.melt)
		return err
	}
	_, err := t.ExecContext(ctx, `INSERT INTO melt_record (melt_id, body, worked) VALUES (?, ?, ?)
		ON CONFLICT (melt_id) DO UPDATE SET body = excluded.body, worked = excluded.worked`, w.melt, string(w.record), string(w.habits))
	return err
}

// record gives a closed melt as the estimates and the findings read it, as
// JSON; nil for one that is not closed.
func record(h melt.Heading, lines []melt.Line, f sheet.Facts, s sheet.Sheet) (body, worked []byte, err error) {
	if s.State != melt.Closed {
		return nil, nil, nil
	}
	if body, err = json.Marshal(sheet.Record(h, lines, f)); err != nil {
		return nil, nil, err
	}
	worked, err = json.Marshal(sheet.Worked(h, lines, f, s))
	return body, worked, err
}

// Melted is all that the estimates of all sources and the findings are made
// from: the newest 15,000 closed melts, the oldest first, with the melt that
// left its heel and with how it was worked, and every source with what the
// shop believes of it.
func (s *Store) Melted(ctx context.Context) (shop recovery.Shop, worked []sheet.Work, err error) {
	err = s.snapshot(ctx, func(q querier) (err error) {
		if shop.Sources, err = believed(ctx, q); err != nil {
			return err
		}
		shop.Melts, worked, err = melted(ctx, q)
		return err
	})
	return shop, worked, err
}

// mostMelted is how many of the newest closed melts are read: what scrap gave
// decades ago says little of it now, and a small machine has little memory.
const mostMelted = 15_000

func melted(ctx context.Context, q querier) (all []recovery.Melt, worked []sheet.Work, err error) {
	rows, err := q.QueryContext(ctx, `
		SELECT r.body, r.worked, f.started_at, f.furnace_id, coalesce(f.crucible_id, 0), f.heel_left FROM figure f JOIN melt_record r ON r.melt_id = f.melt_id
		WHERE f.state = 'closed' AND f.started_at >= coalesce((SELECT started_at FROM figure WHERE state = 'closed' ORDER BY started_at DESC LIMIT 1 OFFSET ?), 0)
		ORDER BY f.started_at, f.melt_id`, mostMelted-1)
	if err != nil {
		return nil, nil, fmt.Errorf("records: %w", err)
	}
	defer rows.Close()
	heels := map[int64]int64{} // crucible -> the melt that left something in it last
	for rows.Next() {
		var body, how []byte
		var started quantity.Moment
		var crucible int64
		var left *quantity.Mass
		var m recovery.Melt
		var w sheet.Work
		if err := rows.Scan(&body, &how, &started, &w.Furnace, &crucible, &left); err != nil {
			return nil, nil, fmt.Errorf("records: %w", err)
		}
		if err := errors.Join(json.Unmarshal(body, &m), json.Unmarshal(how, &w)); err != nil {
			return nil, nil, fmt.Errorf("records: %w", err)
		}
		m.Started = started
		if m.HeelIn > 0 && crucible != 0 {
			m.HeelFrom = heels[crucible]
		}
		delete(heels, crucible)
		if left != nil && *left > 0 {
			heels[crucible] = m.ID
		}
		w.ID, w.Code, w.Started, w.Charges = m.ID, m.Code, m.Started, m.Charges
		all, worked = append(all, m), append(worked, w)
	}
	return all, worked, rows.Err()
}

// believed lists all sources as the estimates see them, own ingots last.
func believed(ctx context.Context, q querier) ([]recovery.Source, error) {
	all, err := collect(ctx, q, scanSource, sources+" ORDER BY id")
	if err != nil {
		return nil, fmt.Errorf("sources: %w", err)
	}
	beliefs, err := beliefs(ctx, q)
	if err != nil {
		return nil, err
	}
	list := make([]recovery.Source, len(all), len(all)+1)
	for i, p := range all {
		b := beliefs[p.ID]
		list[i] = recovery.Source{ID: p.ID, Name: p.Name, Form: p.Form, Coating: p.Coating, Metal: b.Metal, Dross: b.Dross, Ended: p.Ended != nil}
	}
	return append(list, recovery.Source{ID: sheet.OwnIngots, Name: "Own ingots", Form: scrap.Ingot, Coating: "bare", Ended: true}), nil
}

// Belief is what the shop thinks a source gives, in the stead of what its form
// and coating suggest; nil leaves it to those.
type Belief struct{ Metal, Dross *recovery.Belief }

// Beliefs gives what the shop believes of its sources, by source.
func (s *Store) Beliefs(ctx context.Context) (map[int64]Belief, error) { return beliefs(ctx, s.read) }

func beliefs(ctx context.Context, q querier) (map[int64]Belief, error) {
	type row struct {
		source                                 int64
		metalMean, metalSD, drossMean, drossSD sql.NullInt64
	}
	all, err := collect(ctx, q, func(rows *sql.Rows) (r row, err error) {
		err = rows.Scan(&r.source, &r.metalMean, &r.metalSD, &r.drossMean, &r.drossSD)
		return r, err
	}, "SELECT source_id, metal_mean, metal_sd, dross_mean, dross_sd FROM belief WHERE id IN (SELECT max(id) FROM belief GROUP BY source_id)")
	if err != nil {
		return nil, fmt.Errorf("beliefs: %w", err)
	}
	share := func(mean, sd sql.NullInt64) *recovery.Belief {
		if !mean.Valid {
			return nil
		}
		return &recovery.Belief{Mean: float64(mean.Int64) / 1e6, SD: float64(sd.Int64) / 1e6}
	}
	list := make(map[int64]Belief, len(all))
	for _, r := range all {
		list[r.source] = Belief{share(r.metalMean, r.metalSD), share(r.drossMean, r.drossSD)}
	}
	return list, nil
}

// Believe writes what the shop believes of a source from now on; the same key
// writes it once, with other content it is an ErrConflict.
func (s *Store) Believe(ctx context.Context, by, sourceID int64, key string, b Belief) error {
	ppm := func(x *recovery.Belief) (mean, sd any) {
		if x == nil {
			return nil, nil
		}
		return int64(x.Mean*1e6 + 0.5), int64(x.SD*1e6 + 0.5)
	}
	return s.change(ctx, by, func(t *tx) error {
		if _, err := source(ctx, t, sourceID); err != nil {
			return err
		}
		metalMean, metalSD := ppm(b.Metal)
		drossMean, drossSD := ppm(b.Dross)
		r, err := t.ExecContext(ctx, `INSERT INTO belief (key, source_id, at, person_id, metal_mean, metal_sd, dross_mean, dross_sd)
			VALUES (?,?,?,?,?,?,?,?) ON CONFLICT (key) DO NOTHING`, key, sourceID, t.now, by, metalMean, metalSD, drossMean, drossSD)
		if err != nil {
			return fmt.Errorf("believe: %w", err)
		}
		if n, err := r.RowsAffected(); err != nil || n == 0 {
			var same bool
			err = errors.Join(err, t.QueryRowContext(ctx, `SELECT source_id = ? AND metal_mean IS ? AND metal_sd IS ? AND dross_mean IS ? AND dross_sd IS ? FROM belief WHERE key = ?`,
				sourceID, metalMean, metalSD, drossMean, drossSD, key).Scan(&same))
			return errors.Join(err, alike("belief", same, true))
		}
		t.refigured()
		return nil
	})
}
