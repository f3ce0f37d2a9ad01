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

// ReadyShares gives how much of each delivery was left after sorting, of those
// that say so.
func (s *Store) ReadyShares(ctx context.Context, lotIDs []int64) (map[int64]float64, error) {
	all := map[int64]float64{}
	for _, id := range lotIDs {
		list, err := collect(ctx, s.read, scanLot, lots+" WHERE l.id = ?", id)
		if err != nil {
			return nil, fmt.Errorf("delivery %d: %w", id, err)
		}
		for _, l := range list {
			if share := readyShare(l); share > 0 && l.Strike == nil {
				all[id] = share
			}
		}
	}
	return all, nil
}
