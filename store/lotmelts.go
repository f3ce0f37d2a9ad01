package store

import (
	"context"
	"fmt"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
)

// Batches says of every delivery how much of it went into which melt. Melts
// that were made void took nothing. It reads all melts: it is made for what is
// worked out beside the pages.
func (s *Store) Batches(ctx context.Context) ([]recovery.Batch, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT lot_id, melt_id, charged FROM figure_lot")
	if err != nil {
		return nil, fmt.Errorf("melts of deliveries: %w", err)
	}
	defer rows.Close()
	var all []recovery.Batch
	at := map[int64]int{}
	for rows.Next() {
		var lot, melt int64
		var charged quantity.Mass
		if err := rows.Scan(&lot, &melt, &charged); err != nil {
			return nil, fmt.Errorf("melts of deliveries: %w", err)
		}
		i, had := at[lot]
		if !had {
			i, at[lot] = len(all), len(all)
			all = append(all, recovery.Batch{ID: lot, Charged: map[int64]float64{}})
		}
		all[i].Charged[melt] = charged.Kilograms()
	}
	return all, rows.Err()
}
