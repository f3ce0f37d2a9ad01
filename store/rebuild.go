package store

import (
	"context"
	"database/sql"
	"fmt"
)

// arithmetic is the version of how figures are worked out. It is raised when
// they come out otherwise or more of them are kept.
const arithmetic = 5

// upToDate makes all figures again when they were made by another arithmetic.
func (s *Store) upToDate(ctx context.Context) error {
	var made int
	if err := s.write.QueryRowContext(ctx, "SELECT version FROM arithmetic").Scan(&made); err != nil {
		return fmt.Errorf("figures: %w", err)
	}
	if made == arithmetic {
		return nil
	}
	_, err := s.Rebuild(ctx)
	return err
}

// Rebuild makes all figures and sums again from the ledger. It changes nothing
// that is not computed, and gives byte for byte what was there unless the
// arithmetic itself has changed. It returns how many melts there were.
func (s *Store) Rebuild(ctx context.Context) (n int, err error) {
	err = s.change(ctx, 0, func(t *tx) error {
		for _, table := range []string{"figure", "figure_source", "figure_lot", "lot_sum", "tally", "source_sum", "wear", "cash_month", "kit_month", "melt_words", "melt_record"} {
			if _, err := t.ExecContext(ctx, "DELETE FROM "+table); err != nil {
				return fmt.Errorf("empty %s: %w", table, err)
			}
		}
		if n, err = t.refigureAll(ctx, "SELECT id FROM melt ORDER BY id"); err != nil {
			return err
		}
		_, err = t.ExecContext(ctx, "UPDATE arithmetic SET version = ?", arithmetic)
		return err
	})
	return n, err
}

// refigureWhere makes the figures of those melts again whose figure row meets
// a condition.
func (t *tx) refigureWhere(ctx context.Context, condition string, args ...any) error {
	_, err := t.refigureAll(ctx, "SELECT melt_id FROM figure WHERE "+condition+" ORDER BY melt_id", args...)
	return err
}

func (t *tx) refigureAll(ctx context.Context, query string, args ...any) (int, error) {
	ids, err := collect(ctx, t, scanID, query, args...)
	if err != nil || len(ids) == 0 {
		return 0, err
	}
	c, err := t.commonFacts(ctx, 0)
	if err != nil {
		return 0, err
	}
	for _, id := range ids {
		if err := t.refigureOne(ctx, c, id); err != nil {
			return 0, err
		}
	}
	return len(ids), nil
}

func (t *tx) refigureOne(ctx context.Context, c common, id int64) error {
	hs, err := collect(ctx, t, scanHeading, headings+" WHERE id = ?", id)
	if err != nil || len(hs) == 0 {
		return fmt.Errorf("melt %d: %w", id, err)
	}
	had, err := meltLines(ctx, t, id)
	if err != nil {
		return err
	}
	return t.refigureWith(ctx, c, hs[0], had)
}

func scanID(rows *sql.Rows) (id int64, err error) {
	err = rows.Scan(&id)
	return id, err
}
