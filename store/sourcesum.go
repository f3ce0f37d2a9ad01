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
func (t *tx) storeLots(ctx context.Context, r, old row, s sums) error {
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
		s.add(lotSums, -1, [3]int64{lot}, int64(old.lots[lot]))
	}
	for lot, m := range took {
		if old.lots[lot] == m {
			continue
		}
		_, err := t.ExecContext(ctx, "INSERT OR REPLACE INTO figure_lot (melt_id, lot_id, charged) VALUES (?,?,?)", r.melt, lot, m)
		if err != nil {
			return fmt.Errorf("figures by delivery: %w", err)
		}
		s.add(lotSums, +1, [3]int64{lot}, int64(m-old.lots[lot]))
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
