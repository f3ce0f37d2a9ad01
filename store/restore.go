package store

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"time"

	"github.com/pressly/goose/v3"
	sqlite "modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"drosswise/migrations"
)

// Why a backup is not put in place.
var (
	ErrInUse     = errors.New("database is in use")
	ErrNotBackup = errors.New("file is not a backup of a shop")
	ErrOccupied  = errors.New("folder has a database already")
)

// Restore puts a backup into a folder. Where a database is there already it is
// refused (ErrOccupied) unless replace says otherwise; then the old one is kept
// beside it under the name that comes back. A database that is open somewhere
// is never replaced (ErrInUse). Everybody has to sign in again, and links that
// let somebody in have to be made again.
func Restore(ctx context.Context, from, dir string, replace bool, now time.Time) (kept string, err error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", fmt.Errorf("make data folder: %w", err)
	}
	place := filepath.Join(dir, FileName)
	_, err = os.Stat(place)
	occupied := err == nil
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", fmt.Errorf("look for a database: %w", err)
	}
	if occupied && !replace {
		return "", fmt.Errorf("%s: %w", place, ErrOccupied)
	}
	part := place + ".part"
	defer func() {
		if err != nil {
			err = errors.Join(err, remove(part))
		}
	}()
	if err := takeIn(ctx, from, part); err != nil {
		return "", err
	}
	aside, err := setAside(ctx, place, now)
	if err != nil {
		return "", err
	}
	if occupied {
		kept = aside
	}
	if err := os.Rename(part, place); err != nil {
		return kept, fmt.Errorf("put the backup in place: %w", err)
	}
	return kept, syncFile(dir)
}

// takeIn copies the backup into the folder and looks whether it can be used.
func takeIn(ctx context.Context, from, part string) error {
	// A log beside the file says that it was copied, or is still open, in the
	// middle of its life: without that log it would lack what was saved last.
	if log, err := os.Stat(from + "-wal"); err == nil && log.Size() > 0 {
		return fmt.Errorf("%s has a log of its own beside it: %w", from, ErrNotBackup)
	}
	if err := copyFile(from, part); err != nil {
		return fmt.Errorf("copy the backup: %w", err)
	}
	db, err := openAlone(part)
	if err != nil {
		return err
	}
	defer db.Close()
	if err := alone(ctx, db); err != nil {
		return errors.Join(ErrNotBackup, err)
	}
	if err := sound(ctx, db); err != nil {
		return errors.Join(ErrNotBackup, err)
	}
	var tables int
	err = db.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name IN ('goose_db_version', 'shop', 'melt', 'line')").Scan(&tables)
	if err != nil || tables != 4 {
		return errors.Join(ErrNotBackup, err)
	}
	steps, err := goose.NewProvider(goose.DialectSQLite3, db, migrations.Files)
	if err != nil {
		return fmt.Errorf("read migrations: %w", err)
	}
	switch at, target, err := steps.GetVersions(ctx); {
	case err != nil:
		return fmt.Errorf("read schema version: %w", err)
	case at > target:
		return fmt.Errorf("schema %d, this program knows %d: %w", at, target, ErrNewer)
	}
	// Who was signed in when the backup was made may have been signed out since.
	for _, change := range []string{
		"DELETE FROM session",
		"DELETE FROM invitation WHERE used_at IS NULL",
		"UPDATE signin SET ended_at = seen_at WHERE ended_at IS NULL",
	} {
		if _, err := db.ExecContext(ctx, change); err != nil {
			return fmt.Errorf("end sign-ins: %w", err)
		}
	}
	return db.Close()
}

// setAside renames the database that is to be replaced, once it is certain that
// nobody has it open. One that is too damaged to tell is renamed with its log.
func setAside(ctx context.Context, place string, now time.Time) (kept string, err error) {
	if err := unused(ctx, place); err != nil {
		return "", err
	}
	kept = place + ".replaced-" + now.UTC().Format("20060102-150405")
	for _, file := range []string{"", "-wal", "-shm", "-journal"} {
		if _, err := os.Lstat(kept + file); err == nil {
			return "", fmt.Errorf("%s: %w", kept+file, fs.ErrExist)
		}
		// A log that is left behind would be played into the new database.
		if err := os.Rename(place+file, kept+file); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return "", fmt.Errorf("set the old database aside: %w", err)
		}
	}
	return kept, nil
}

// unused makes sure that nobody has the database open.
func unused(ctx context.Context, place string) error {
	if _, err := os.Stat(place); errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	db, err := openAlone(place)
	if err != nil {
		return err
	}
	defer db.Close()
	err = alone(ctx, db)
	var e *sqlite.Error
	if errors.As(err, &e) && e.Code()&0xff == sqlite3.SQLITE_BUSY {
		return errors.Join(ErrInUse, err)
	}
	return db.Close()
}

func copyFile(from, to string) error {
	src, err := os.Open(from)
	if err != nil {
		return err
	}
	defer src.Close()
	dst, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	if _, err := io.Copy(dst, src); err != nil {
		return errors.Join(err, dst.Close())
	}
	return errors.Join(dst.Sync(), dst.Close())
}

// plainDSN opens a file without putting it into write-ahead logging, and waits
// only briefly for others.
func plainDSN(path string) string {
	q := url.Values{"_pragma": {"busy_timeout(500)", "synchronous(FULL)", "foreign_keys(1)", "temp_store(MEMORY)"}}
	return (&url.URL{Scheme: "file", Opaque: (&url.URL{Path: path}).EscapedPath(), RawQuery: q.Encode()}).String()
}
