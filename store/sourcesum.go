package store

import (
	"context"
	"database/sql"
	"fmt"
	"math"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

// sumSource adds a melt to what came of a source, or takes it out again (sign
// −1).
func (t *tx) sumSource(ctx context.Context, r row, source int64, sign int64) error {
	if r.heats == 0 {
		return nil
	}
	a := r.alone(source)
	_, err := t.ExecContext(ctx, `
		INSERT INTO source_sum (source_id, melts, charged, alone_melts, alone_charged, alone_recovered, alone_spread) VALUES (?,?,?,?,?,?,?)
		ON CONFLICT (source_id) DO UPDATE SET melts = melts + excluded.melts, charged = charged + excluded.charged, alone_melts = alone_melts + excluded.alone_melts,
			alone_charged = alone_charged + excluded.alone_charged, alone_recovered = alone_recovered + excluded.alone_recovered, alone_spread = alone_spread + excluded.alone_spread`,
		source, sign*int64(r.heats), sign*int64(r.sources[source]), sign*int64(a.Melts), sign*int64(a.Charged), sign*int64(a.Recovered), sign*int64(a.Spread))
	if err != nil {
		return fmt.Errorf("sums of sources: %w", err)
	}
	return nil
}

// alone is what the melt says of a source when all that was charged is of it
// (own ingots count as another) and its yield is known; nothing otherwise. A
// heel is not a charge: what it was before and after is in the metal recovered.
func (r row) alone(source int64) scrap.Alone {
	if r.sources[source] != r.charged || r.recovered == nil || r.yield == nil || r.yieldU == nil {
		return scrap.Alone{}
	}
	return scrap.Alone{
		Melts:     r.heats,
		Charged:   r.net,
		Recovered: *r.recovered,
		Spread:    quantity.Mass(math.Round(*r.yieldU * float64(r.net))),
	}
}

// storeLots writes what the melt took out of deliveries in the place of what
// it took before, and corrects what was taken of each in all. A melt that was
// made void took nothing.
func (t *tx) storeLots(ctx context.Context, r, old row) error {
	took := r.lots
	if r.state == melt.Voided {
		took = nil
	}
	for lot := range old.lots {
		if _, still := took[lot]; still {
			continue
		}
		if _, err := t.ExecContext(ctx, "DELETE FROM figure_lot WHERE melt_id = ? AND lot_id = ?", r.melt, lot); err != nil {
			return fmt.Errorf("figures by delivery: %w", err)
		}
		if err := t.sumLot(ctx, lot, -old.lots[lot]); err != nil {
			return err
		}
	}
	for lot, m := range took {
		if old.lots[lot] == m {
			continue
		}
		_, err := t.ExecContext(ctx, "INSERT OR REPLACE INTO figure_lot (melt_id, lot_id, charged) VALUES (?,?,?)", r.melt, lot, m)
		if err != nil {
			return fmt.Errorf("figures by delivery: %w", err)
		}
		if err := t.sumLot(ctx, lot, m-old.lots[lot]); err != nil {
			return err
		}
	}
	return nil
}

// sumLot adds to what was taken out of a delivery; one of which nothing was
// taken has no row.
func (t *tx) sumLot(ctx context.Context, lot int64, m quantity.Mass) error {
	_, err := t.ExecContext(ctx, "INSERT INTO lot_sum (lot_id, charged) VALUES (?,?) ON CONFLICT (lot_id) DO UPDATE SET charged = charged + excluded.charged", lot, m)
	if err == nil && m < 0 {
		_, err = t.ExecContext(ctx, "DELETE FROM lot_sum WHERE lot_id = ? AND charged = 0", lot)
	}
	if err != nil {
		return fmt.Errorf("sums of deliveries: %w", err)
	}
	return nil
}

// Records gives what came of every source that was charged, by its id.
func (s *Store) Records(ctx context.Context) (map[int64]scrap.Record, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT source_id, "+recordColumns+" FROM source_sum")
	if err != nil {
		return nil, fmt.Errorf("sums of sources: %w", err)
	}
	defer rows.Close()
	all := map[int64]scrap.Record{}
	for rows.Next() {
		var id int64
		var r scrap.Record
		if err := rows.Scan(append([]any{&id}, recordFields(&r)...)...); err != nil {
			return nil, fmt.Errorf("sums of sources: %w", err)
		}
		all[id] = r
	}
	return all, rows.Err()
}

// Record gives what came of one source; nothing yet is a zero record.
func (s *Store) Record(ctx context.Context, sourceID int64) (r scrap.Record, err error) {
	err = s.read.QueryRowContext(ctx, "SELECT "+recordColumns+" FROM source_sum WHERE source_id = ?", sourceID).Scan(recordFields(&r)...)
	if err == sql.ErrNoRows {
		return scrap.Record{}, nil
	}
	return r, found("sums of source", err)
}

const recordColumns = "melts, charged, alone_melts, alone_charged, alone_recovered, alone_spread"

func recordFields(r *scrap.Record) []any {
	return []any{&r.Melts, &r.Charged, &r.Alone.Melts, &r.Alone.Charged, &r.Alone.Recovered, &r.Alone.Spread}
}
