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

	sqlite "modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// Why a backup that can be used is not put in place.
var (
	ErrInUse    = errors.New("database is in use")
	ErrOccupied = errors.New("folder has a database already")
)

// Restore puts a backup into a folder, once all of it has been read and found
// usable (see Inspect for what is refused). Where a database is there already it is
// refused (ErrOccupied) unless replace says otherwise; then the old one is kept
// beside it under the name that comes back. A database that is open somewhere
// is never replaced (ErrInUse). Whatever fails, a full disk (ErrNoRoom) too, leaves
// the old one in its place. Everybody has to sign in again, and links that
// let somebody in have to be made again.
func Restore(ctx context.Context, from, dir string, replace bool, now time.Time) (kept string, err error) {
	if _, err := Glance(from); err != nil {
		return "", err
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", fmt.Errorf("make data folder: %w", err)
	}
	clearMaking(ctx, dir)
	place := filepath.Join(dir, FileName)
	_, err = os.Stat(place)
	occupied := err == nil
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", fmt.Errorf("look for a database: %w", err)
	}
	if occupied && !replace {
		return "", fmt.Errorf("%s: %w", place, ErrOccupied)
	}
	part := place + Unfinished
	defer func() {
		if err != nil {
			err = errors.Join(outOfRoom(err), remove(part), remove(part+"-journal"))
		}
	}()
	if err := takeIn(ctx, from, part); err != nil {
		return "", err
	}
	if err := unused(ctx, place); err != nil {
		return "", err
	}
	aside, err := asideOf(place, now)
	if err != nil {
		return "", err
	}
	if err := swap(part, place, aside); err != nil {
		return "", fmt.Errorf("put the backup in place: %w", err)
	}
	if occupied {
		kept = aside
	}
	return kept, syncFile(dir)
}

// takeIn copies the backup into the folder and looks whether it can be used.
func takeIn(ctx context.Context, from, part string) error {
	if err := copyFile(from, part); err != nil {
		return fmt.Errorf("copy the backup: %w", err)
	}
	db, err := openAlone(part)
	if err != nil {
		return err
	}
	defer db.Close()
	if err := alone(ctx, db); err != nil {
		return unreadable(err)
	}
	if err := usable(ctx, db); err != nil {
		return err
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

// asideOf is what a database is called that another takes the place of: a name
// that nothing has yet, however often that is in one second.
func asideOf(place string, now time.Time) (string, error) {
	name := place + ".replaced-" + now.UTC().Format("20060102-150405")
	for n, free := 1, name; ; n++ {
		if n > 1 {
			free = fmt.Sprintf("%s-%d", name, n)
		}
		err := vacantWithLogs(free)
		if !errors.Is(err, fs.ErrExist) {
			return free, err
		}
	}
}

// vacantWithLogs reports whether neither a database nor its logs have a name yet.
func vacantWithLogs(path string) error {
	for _, of := range append([]string{""}, logs...) {
		if err := vacant(path + of); err != nil {
			return err
		}
	}
	return nil
}

// logs are what SQLite may have beside a database.
var logs = []string{"-wal", "-shm", "-journal"}

// swap puts part in the place of what is there, which gets the name kept, and
// its logs with it: one that stayed would be played into the new database.
// Where the file system can give a file two names, a database is in place at
// every moment, and a start after a power cut makes no empty shop.
func swap(part, place, kept string) error {
	if err := vacantWithLogs(kept); err != nil {
		return err
	}
	if os.Link(place, kept) != nil {
		if err := os.Rename(place, kept); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	for _, log := range logs {
		if err := os.Rename(place+log, kept+log); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return errors.Join(err, back(kept, place))
		}
	}
	if err := os.Rename(part, place); err != nil {
		return errors.Join(err, back(kept, place))
	}
	return nil
}

// back undoes the half of a swap.
func back(kept, place string) (err error) {
	for _, of := range append([]string{""}, logs...) {
		if e := os.Rename(kept+of, place+of); !errors.Is(e, fs.ErrNotExist) {
			err = errors.Join(err, e)
		}
	}
	// Two names of one file: a rename leaves both.
	return errors.Join(err, remove(kept))
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
