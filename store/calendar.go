package store

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"database/sql"
	"errors"
	"fmt"

	"drosswise/foundry/quantity"
)

// MakeCalendar makes the private address of a person's calendar and gives its
// token, of at least 128 bits, of which only a hash is kept. The one before
// ends.
func (s *Store) MakeCalendar(ctx context.Context, person int64) (token string, err error) {
	err = s.change(ctx, person, func(t *tx) error {
		if err := t.endCalendar(ctx, person); err != nil {
			return err
		}
		token = rand.Text()
		_, err := t.ExecContext(ctx, "INSERT INTO calendar (person_id, token, at) VALUES (?,?,?)", person, calendarHash(token), t.now)
		if err != nil {
			return fmt.Errorf("make calendar: %w", err)
		}
		return t.record(ctx, "calendar", person, nil, map[string]any{"made": true})
	})
	return token, err
}

func calendarHash(token string) []byte {
	sum := sha256.Sum256([]byte(token))
	return sum[:]
}

// EndCalendar ends the address of a person's calendar, if there is one.
func (s *Store) EndCalendar(ctx context.Context, person int64) error {
	return s.change(ctx, person, func(t *tx) error { return t.endCalendar(ctx, person) })
}

func (t *tx) endCalendar(ctx context.Context, person int64) error {
	r, err := t.ExecContext(ctx, "UPDATE calendar SET ended = 1 WHERE person_id = ? AND ended = 0", person)
	if err != nil {
		return fmt.Errorf("end calendar: %w", err)
	}
	if n, err := r.RowsAffected(); err != nil || n == 0 {
		return err
	}
	return t.record(ctx, "calendar", person, map[string]any{"ended": false}, map[string]any{"ended": true})
}

// CalendarSince says when the address of a person's calendar was made, nil when
// there is none.
func (s *Store) CalendarSince(ctx context.Context, person int64) (at *quantity.Moment, err error) {
	err = s.read.QueryRowContext(ctx, "SELECT at FROM calendar WHERE person_id = ? AND ended = 0 ORDER BY id DESC LIMIT 1", person).Scan(&at)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	return at, found("calendar", err)
}

// HasCalendar returns ErrNotFound unless a calendar stands behind the token and
// its person has an account.
func (s *Store) HasCalendar(ctx context.Context, token string) error {
	var one int
	err := s.read.QueryRowContext(ctx, `SELECT 1 FROM calendar c JOIN person p ON p.id = c.person_id
		WHERE c.token = ? AND c.ended = 0 AND p.ended_at IS NULL`, calendarHash(token)).Scan(&one)
	return found("calendar", err)
}
