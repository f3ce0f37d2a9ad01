// Package store is the memory: people, kit, scrap, melts and their lines, and
// the figures kept beside them, in one SQLite file. Melts, lines and strikes
// are only ever added. What a method has answered is on disk.
package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"sync/atomic"
	"time"

	sqlite "modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// Kinds of failure a caller can answer to.
var (
	ErrNotFound = errors.New("not found")
	ErrConflict = errors.New("conflict")
	ErrNewer    = errors.New("database is from a newer version")
	// ErrKeyUsed is the ErrConflict of a key that came before with other content.
	ErrKeyUsed = fmt.Errorf("key came before with other content: %w", ErrConflict)
)

// FileName is the database's name inside the data folder.
const FileName = "drosswise.db"

// readers is how many may read at once beside the one writer.
const readers = 4

// Store is an open database: one connection that writes and a few that read.
type Store struct {
	write, read *sql.DB
	path        string
	clock       func() time.Time
	changes     atomic.Uint64 // see Changes
	wear        atomic.Uint64 // see WearChanges
	shown       atomic.Uint64 // see ShownChanges
	kit         atomic.Pointer[keptKit]
	looks       atomic.Pointer[keptLooks]
}

// Open opens the database in a folder, makes both when they are not there, and
// brings the schema and the figures up to date. What an import left that was
// killed goes. It returns ErrNewer for a database that a newer version has
// written.
func Open(ctx context.Context, dir string, clock func() time.Time) (*Store, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, fmt.Errorf("make data folder: %w", err)
	}
	clearMaking(ctx, dir)
	s := &Store{path: filepath.Join(dir, FileName), clock: clock}
	var err error
	if s.write, err = openPool(dsn(s.path, true)); err != nil {
		return nil, fmt.Errorf("open database: %w", err)
	}
	s.write.SetMaxOpenConns(1)
	if err := migrate(ctx, s.write, s.path); err != nil {
		return nil, errors.Join(err, s.write.Close())
	}
	if s.read, err = openPool(dsn(s.path, false)); err != nil {
		return nil, errors.Join(fmt.Errorf("open database for reading: %w", err), s.write.Close())
	}
	s.read.SetMaxOpenConns(readers)
	s.read.SetMaxIdleConns(readers)
	if err := s.upToDate(ctx); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

// Close closes the readers first, so that the writer can fold the write-ahead
// log into the file.
func (s *Store) Close() error { return errors.Join(s.read.Close(), s.write.Close()) }

// Ping answers whether the database answers.
func (s *Store) Ping(ctx context.Context) error {
	var one int
	return s.read.QueryRowContext(ctx, "SELECT 1 FROM shop").Scan(&one)
}

// Now is the store's clock.
func (s *Store) Now() quantity.Moment { return quantity.At(s.clock()) }

// dsn names the file with its pragmas, so that every pooled connection has
// them. synchronous=FULL is what makes an answer mean that it is on disk;
// the write lock is taken at the start, since a transaction that reads first
// and then writes is refused at once if another wrote between.
func dsn(path string, writer bool) string {
	q := url.Values{"_pragma": {"busy_timeout(5000)", "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)", "temp_store(MEMORY)"}}
	if writer {
		q.Set("_txlock", "immediate")
	} else {
		q.Add("_pragma", "query_only(1)")
	}
	return (&url.URL{Scheme: "file", Opaque: (&url.URL{Path: path}).EscapedPath(), RawQuery: q.Encode()}).String()
}

// tx is one change to the ledger: everything in it has the same time and was
// done by the same person.
type tx struct {
	*sql.Tx
	now     quantity.Moment
	by      int64
	touched bool // what the estimates read has changed
	aged    bool // what wear is read from has changed

	pictured bool // photos were added or struck

	look func(melt.Heading, []melt.Line) error // what is to be said of melts before their figures are made, nil for nothing
}

// change runs fn in a transaction and commits it unless fn fails.
func (s *Store) change(ctx context.Context, by int64, fn func(*tx) error) error {
	t, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return fmt.Errorf("begin: %w", err)
	}
	defer t.Rollback()
	c := &tx{Tx: t, now: s.Now(), by: by}
	if err := fn(c); err != nil {
		return err
	}
	if err := t.Commit(); err != nil {
		return fmt.Errorf("commit: %w", err)
	}
	if c.touched {
		s.changes.Add(1)
	}
	if c.touched || c.aged {
		s.wear.Add(1)
	}
	if c.touched || c.pictured {
		s.shown.Add(1)
	}
	return nil
}

// refigured marks that what the estimates read has changed.
func (t *tx) refigured() { t.touched = true }

// Changes counts the changes to what Melted gives, since the store was opened.
func (s *Store) Changes() uint64 { return s.changes.Load() }

// worn marks that what wear is read from has changed.
func (t *tx) worn() { t.aged = true }

// WearChanges counts the changes to what wear is read from, melts among it,
// since the store was opened.
func (s *Store) WearChanges() uint64 { return s.wear.Load() }

// ShownChanges counts the changes to what the pages of melts show, photos among
// it, since the store was opened.
func (s *Store) ShownChanges() uint64 { return s.shown.Load() }

// snapshot runs several reads on the database as it is at one moment, so that
// a line written meanwhile is in all of them or in none.
func (s *Store) snapshot(ctx context.Context, fn func(querier) error) error {
	t, err := s.read.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return fmt.Errorf("begin reading: %w", err)
	}
	defer t.Rollback()
	return fn(t)
}

// querier is what reading needs: a pool or a transaction.
type querier interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

// collect reads all rows of a query, each by scan.
func collect[T any](ctx context.Context, q querier, scan func(*sql.Rows) (T, error), query string, args ...any) ([]T, error) {
	rows, err := q.QueryContext(ctx, query, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var all []T
	for rows.Next() {
		one, err := scan(rows)
		if err != nil {
			return nil, err
		}
		all = append(all, one)
	}
	return all, rows.Err()
}

// found turns the driver's "no rows" into ErrNotFound.
func found(what string, err error) error {
	if errors.Is(err, sql.ErrNoRows) {
		return fmt.Errorf("%s: %w", what, ErrNotFound)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", what, err)
	}
	return nil
}

// clashes turns a broken unique rule into ErrConflict.
func clashes(what string, err error) error {
	var e *sqlite.Error
	if errors.As(err, &e) && (e.Code() == sqlite3.SQLITE_CONSTRAINT_UNIQUE || e.Code() == sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY) {
		return fmt.Errorf("%s: %w", what, ErrConflict)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", what, err)
	}
	return nil
}

// orNull stores an id of 0 as NULL: nothing was named.
func orNull(id int64) sql.NullInt64 { return sql.NullInt64{Int64: id, Valid: id != 0} }
