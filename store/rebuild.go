package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"
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
		if n, err = t.refigureAll(ctx, true, everyMelt); err != nil {
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
	_, err := t.refigureAll(ctx, false, "SELECT melt_id FROM figure WHERE "+condition+" ORDER BY melt_id", args...)
	return err
}

// atOnce is how many melts are read and worked out together when very many are.
const atOnce = 200

const everyMelt = "SELECT id FROM melt ORDER BY id"

// refigureAll makes the figures of many melts again; none means that no figures
// are there. While some are written the next are worked out.
func (t *tx) refigureAll(ctx context.Context, none bool, query string, args ...any) (int, error) {
	ids, err := collect(ctx, t, scanID, query, args...)
	if err != nil || len(ids) == 0 {
		return 0, err
	}
	c, err := t.commonFacts(ctx, 0)
	if err != nil {
		return 0, err
	}
	var waiting func() ([]worked, error)
	into := &pending{sums: sums{}}
	for chunk := range slices.Chunk(ids, atOnce) {
		ahead, err := t.workAhead(ctx, c, chunk)
		if err != nil {
			return 0, err
		}
		if waiting != nil {
			if err := t.keepAll(ctx, none, waiting, into); err != nil {
				_, _ = ahead()
				return 0, err
			}
		}
		waiting = ahead
	}
	if err := t.keepAll(ctx, none, waiting, into); err != nil {
		return 0, err
	}
	t.refigured()
	return len(ids), into.write(ctx, t)
}

// workAhead reads melts and begins to work them out; what it gives waits for
// the results.
func (t *tx) workAhead(ctx context.Context, c common, ids []int64) (func() ([]worked, error), error) {
	list, err := json.Marshal(ids)
	if err != nil {
		return nil, err
	}
	hs, err := collect(ctx, t, scanHeading, headings+" WHERE id IN (SELECT value FROM json_each(?)) ORDER BY id", string(list))
	if err != nil {
		return nil, fmt.Errorf("melts: %w", err)
	}
	had, err := linesOf(ctx, t, string(list))
	if err != nil {
		return nil, err
	}
	if t.look != nil {
		for _, h := range hs {
			if err := t.look(h, had[h.ID]); err != nil {
				return nil, err
			}
		}
	}
	all := make([]worked, len(hs))
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	done := make(chan error, 1)
	go func() {
		for i, h := range hs {
			g.Go(func() (err error) {
				all[i], err = work(c, h, had[h.ID])
				return err
			})
		}
		done <- g.Wait()
	}()
	return func() ([]worked, error) { return all, <-done }, nil
}

// keepAll writes the figures of melts.
func (t *tx) keepAll(ctx context.Context, none bool, results func() ([]worked, error), into *pending) error {
	all, err := results()
	if err != nil {
		return err
	}
	for _, w := range all {
		old, had := row{melt: w.melt}, false
		if !none {
			if old, had, err = t.storedRow(ctx, w.melt); err != nil {
				return err
			}
		}
		if err := t.keep(ctx, w, old, had, into); err != nil {
			return err
		}
	}
	words := into.words
	into.words = into.words[:0]
	return t.indexWords(ctx, words)
}

func scanID(rows *sql.Rows) (id int64, err error) {
	err = rows.Scan(&id)
	return id, err
}
