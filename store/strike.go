package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"reflect"

	"drosswise/foundry/quantity"
)

// Mark is a stroke through a line, or the lifting of one.
type Mark struct {
	Key    string // made by the phone; the same key marks once
	Struck bool   // false lifts the strike
	Reason string
}

// mark adds a stroke to the column's line. A key that marked this line so
// before gives errSame, also when it was marked otherwise since; a key that
// stands for another mark gives ErrKeyUsed.
func (t *tx) mark(ctx context.Context, column string, id int64, m Mark) error {
	return t.markIn(ctx, "strike", column, id, m)
}

// marked looks for a mark's key among those that were made: errSame when it made
// this mark, ErrKeyUsed when it made another, nil when it is new.
func (t *tx) marked(ctx context.Context, table, column string, id int64, m Mark) error {
	var same bool
	err := t.QueryRowContext(ctx, "SELECT "+column+" IS ? AND struck = ? AND reason = ? FROM "+table+" WHERE key = ?", id, m.Struck, m.Reason, m.Key).Scan(&same)
	switch {
	case err == nil && same:
		return errSame
	case err == nil:
		return fmt.Errorf("key %s stands for another strike: %w", m.Key, ErrKeyUsed)
	case !errors.Is(err, sql.ErrNoRows):
		return fmt.Errorf("strike: %w", err)
	}
	return nil
}

// markIn is mark for what has a table of strikes of its own.
func (t *tx) markIn(ctx context.Context, table, column string, id int64, m Mark) error {
	if err := t.marked(ctx, table, column, id, m); err != nil {
		return err
	}
	_, err := t.ExecContext(ctx, "INSERT INTO "+table+" (key, "+column+", struck, at, person_id, reason) VALUES (?,?,?,?,?,?)",
		m.Key, id, m.Struck, t.now, t.by, m.Reason)
	if err != nil {
		return fmt.Errorf("strike: %w", err)
	}
	return nil
}

// struckBy reads the strike that a line may have.
type struckBy struct {
	at     *quantity.Moment
	by     sql.NullInt64
	reason sql.NullString
	key    sql.NullString
}

// alike is nil where what is stored under a key says the same as what came with
// it again, else an ErrKeyUsed. The moments are left out of it by the caller:
// who says none means now, and now is later the second time.
func alike(what string, stored, again any) error {
	if !reflect.DeepEqual(stored, again) {
		return fmt.Errorf("the key stands for another %s: %w", what, ErrKeyUsed)
	}
	return nil
}
