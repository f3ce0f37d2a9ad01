package store

import (
	"context"
	"fmt"
	"strings"

	"drosswise/foundry/melt"
)

// Notes gives what was noted on the lines of melts that stand, in the order in
// which it happened; melts without any are missing.
func (s *Store) Notes(ctx context.Context, codes []melt.Code) (map[melt.Code][]string, error) {
	all := map[melt.Code][]string{}
	if len(codes) == 0 {
		return all, nil
	}
	args := make([]any, len(codes))
	for i, c := range codes {
		args[i] = c
	}
	rows, err := s.read.QueryContext(ctx, `
		SELECT m.code, l.note FROM melt m JOIN line l ON l.melt_id = m.id
		WHERE m.code IN (?`+strings.Repeat(",?", len(codes)-1)+`) AND l.note <> '' AND l.kind NOT IN ('close', 'reopen', 'check')
			AND coalesce((SELECT struck FROM strike WHERE line_id = l.id ORDER BY id DESC LIMIT 1), 0) = 0
		ORDER BY m.id, l.at, l.id`, args...)
	if err != nil {
		return nil, fmt.Errorf("notes: %w", err)
	}
	defer rows.Close()
	for rows.Next() {
		var code melt.Code
		var note string
		if err := rows.Scan(&code, &note); err != nil {
			return nil, fmt.Errorf("notes: %w", err)
		}
		all[code] = append(all[code], note)
	}
	return all, rows.Err()
}
