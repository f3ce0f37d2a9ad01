package store

import (
	"context"
	"fmt"
	"strings"

	"drosswise/foundry/quantity"
)

// LotMelts says how many kilograms of each of some deliveries went into which
// melt, by delivery and melt. Melts that were made void took nothing.
func (s *Store) LotMelts(ctx context.Context, lots []int64) (map[int64]map[int64]float64, error) {
	all := make(map[int64]map[int64]float64, len(lots))
	if len(lots) == 0 {
		return all, nil
	}
	ids := make([]any, len(lots))
	for i, id := range lots {
		ids[i] = id
	}
	marks := strings.TrimSuffix(strings.Repeat("?,", len(ids)), ",")
	rows, err := s.read.QueryContext(ctx, `
		SELECT lot_id, melt_id, charged FROM figure_lot
		WHERE (melt_id, lot_id) IN (SELECT melt_id, lot_id FROM line WHERE lot_id IN (`+marks+`))`, ids...)
	if err != nil {
		return nil, fmt.Errorf("melts of deliveries: %w", err)
	}
	defer rows.Close()
	for rows.Next() {
		var lot, melt int64
		var charged quantity.Mass
		if err := rows.Scan(&lot, &melt, &charged); err != nil {
			return nil, fmt.Errorf("melts of deliveries: %w", err)
		}
		if all[lot] == nil {
			all[lot] = map[int64]float64{}
		}
		all[lot][melt] = charged.Kilograms()
	}
	return all, rows.Err()
}
