package store

import (
	"context"
	"database/sql"
	"fmt"

	"drosswise/foundry/scrap"
)

const quotes = `
	SELECT p.id, p.key, p.goods, coalesce(p.source_id, 0), p.at, p.price, p.person_id, p.note, k.at, k.person_id, k.reason
	FROM yard_price p LEFT JOIN yard_price_strike k ON k.id = (SELECT max(id) FROM yard_price_strike WHERE price_id = p.id) AND k.struck = 1`

func scanQuote(rows *sql.Rows) (q scrap.Quote, err error) {
	var strike struckBy
	err = rows.Scan(&q.ID, &q.Key, &q.Of, &q.Source, &q.At, &q.Price, &q.By, &q.Note, &strike.at, &strike.by, &strike.reason)
	if strike.at != nil {
		q.Strike = &scrap.Strike{At: *strike.at, By: strike.by.Int64, Reason: strike.reason.String}
	}
	return q, err
}

// Quotes lists all prices that were written down, struck ones too, the newest
// first.
func (s *Store) Quotes(ctx context.Context) ([]scrap.Quote, error) {
	all, err := collect(ctx, s.read, scanQuote, quotes+" ORDER BY p.at DESC, p.id DESC")
	if err != nil {
		return nil, fmt.Errorf("prices: %w", err)
	}
	return all, nil
}

// Quote reads one price.
func (s *Store) Quote(ctx context.Context, id int64) (scrap.Quote, error) {
	return quote(ctx, s.read, id)
}

func quote(ctx context.Context, q querier, id int64) (scrap.Quote, error) {
	all, err := collect(ctx, q, scanQuote, quotes+" WHERE p.id = ?", id)
	if err != nil {
		return scrap.Quote{}, fmt.Errorf("price: %w", err)
	}
	if len(all) == 0 {
		return scrap.Quote{}, fmt.Errorf("price %d: %w", id, ErrNotFound)
	}
	return all[0], nil
}

// AddQuote writes a price; the same key writes it once.
func (s *Store) AddQuote(ctx context.Context, by int64, q scrap.Quote) error {
	return s.change(ctx, by, func(t *tx) error {
		r, err := t.ExecContext(ctx, `INSERT INTO yard_price (key, goods, source_id, at, price, noted_at, person_id, note)
			VALUES (?,?,?,?,?,?,?,?) ON CONFLICT (key) DO NOTHING`, q.Key, q.Of, orNull(q.Source), q.At, q.Price, t.now, by, q.Note)
		if err != nil {
			return fmt.Errorf("add price: %w", err)
		}
		if n, err := r.RowsAffected(); err != nil || n > 0 {
			return err
		}
		var same scrap.Quote
		if err := t.QueryRowContext(ctx, "SELECT goods, coalesce(source_id, 0), price, note FROM yard_price WHERE key = ?", q.Key).Scan(&same.Of, &same.Source, &same.Price, &same.Note); err != nil {
			return fmt.Errorf("add price: %w", err)
		}
		return alike("price", same, scrap.Quote{Of: q.Of, Source: q.Source, Price: q.Price, Note: q.Note})
	})
}

// StrikeQuote strikes a price, or puts it back; the same key does it once.
func (s *Store) StrikeQuote(ctx context.Context, by, id int64, m Mark) error {
	return s.change(ctx, by, func(t *tx) error {
		q, err := quote(ctx, t, id)
		if err != nil {
			return err
		}
		if (q.Strike == nil) != m.Struck {
			return quiet(t.marked(ctx, "yard_price_strike", "price_id", id, m))
		}
		return quiet(t.markIn(ctx, "yard_price_strike", "price_id", id, m))
	})
}
