package store

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"syscall"

	"github.com/pressly/goose/v3"
	sqlite "modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"drosswise/foundry/quantity"
	"drosswise/migrations"
)

// Why a file is no backup that can be used.
var (
	ErrNotBackup = errors.New("file is not a backup of a shop")
	ErrDamaged   = errors.New("backup is cut short or damaged")
	ErrLive      = errors.New("file is the database of a running shop, or a copy of it without its log")
)

// ErrNoRoom says that the disk had no room for what was to be written.
var ErrNoRoom = errors.New("no room on the disk")

// Held is what a backup holds, for a person to know it again.
type Held struct {
	Shop   string
	Melts  int
	Lines  int
	Photos int
	Last   *quantity.Moment // when the last line was written; nil without lines
	Bytes  int64
}

// Inspect reads all of a backup, changes nothing, and says what it holds. The
// error is fs.ErrNotExist, ErrNotBackup, ErrDamaged, ErrLive or ErrNewer.
func Inspect(ctx context.Context, path string) (Held, error) {
	size, err := Glance(path)
	if err != nil {
		return Held{}, err
	}
	db, err := sql.Open("sqlite", readOnlyDSN(path))
	if err != nil {
		return Held{}, fmt.Errorf("open %s: %w", path, err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	if err := usable(ctx, db); err != nil {
		return Held{}, err
	}
	h := Held{Bytes: size}
	var last sql.NullInt64
	err = db.QueryRowContext(ctx, "SELECT (SELECT name FROM shop), (SELECT count(*) FROM melt), (SELECT count(*) FROM line), (SELECT max(noted_at) FROM line)").Scan(&h.Shop, &h.Melts, &h.Lines, &last)
	if err != nil {
		return Held{}, fmt.Errorf("read the backup: %w", err)
	}
	if last.Valid {
		h.Last = new(quantity.Moment(last.Int64))
	}
	var photos int // older versions have no table for them
	if err := db.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name = 'photo'").Scan(&photos); err != nil || photos == 0 {
		return h, err
	}
	return h, db.QueryRowContext(ctx, "SELECT count(*) FROM photo").Scan(&h.Photos)
}

// sqliteHeader is how long the header of a database file is, and sqliteMagic
// how it begins (SQLite, "Database File Format", 1.3).
const (
	sqliteHeader = 100
	sqliteMagic  = "SQLite format 3\x00"
)

// Glance looks at a backup's header and size alone, which finds a file that is
// something else, cut short, or the file of a running shop. It gives the size.
func Glance(path string) (bytes int64, err error) {
	f, err := os.Open(path)
	if err != nil {
		return 0, fmt.Errorf("open the backup: %w", err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return 0, fmt.Errorf("look at the backup: %w", err)
	}
	if !info.Mode().IsRegular() {
		return 0, fmt.Errorf("%s is not a file: %w", path, ErrNotBackup)
	}
	// A log beside the file says that it was copied, or is still open, in the
	// middle of its life: without that log it would lack what was saved last.
	if log, err := os.Stat(path + "-wal"); err == nil && log.Size() > 0 {
		return 0, fmt.Errorf("%s has a log of its own beside it: %w", path, ErrLive)
	}
	head := make([]byte, sqliteHeader)
	n, err := io.ReadFull(f, head)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return 0, fmt.Errorf("read the backup: %w", err)
	}
	return info.Size(), headed(head[:n], info.Size())
}

// headed reads what a database file says of itself.
func headed(head []byte, size int64) error {
	if !bytes.HasPrefix([]byte(sqliteMagic), head[:min(len(head), len(sqliteMagic))]) {
		return fmt.Errorf("it does not begin like one: %w", ErrNotBackup)
	}
	if len(head) < sqliteHeader {
		return fmt.Errorf("it has only %d bytes: %w", size, ErrDamaged)
	}
	page := int64(binary.BigEndian.Uint16(head[16:]))
	if page == 1 {
		page = 1 << 16
	}
	pages, counted := int64(binary.BigEndian.Uint32(head[28:])), bytes.Equal(head[24:28], head[92:96])
	if counted && size < pages*page {
		return fmt.Errorf("it has %d of its %d bytes: %w", size, pages*page, ErrDamaged)
	}
	return nil
}

// usable has SQLite read the whole file, and makes sure that it is a shop's and
// of no newer version.
func usable(ctx context.Context, db *sql.DB) error {
	var tables int
	err := db.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name IN ('goose_db_version', 'shop', 'melt', 'line')").Scan(&tables)
	if err != nil {
		return unreadable(err)
	}
	if tables != 4 {
		return fmt.Errorf("it is a database of something else: %w", ErrNotBackup)
	}
	if err := sound(ctx, db); err != nil {
		return unreadable(err)
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
	return nil
}

// unreadable takes a failure to read a file for damage of the file, unless it
// has another cause.
func unreadable(err error) error {
	var e *sqlite.Error
	if errors.As(err, &e) {
		switch e.Code() & 0xff {
		case sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB:
			return errors.Join(ErrDamaged, err)
		}
		return outOfRoom(err)
	}
	if errors.Is(err, errUnsound) {
		return errors.Join(ErrDamaged, err)
	}
	return err
}

// outOfRoom marks a failure that a full disk, or a limit on what may be
// written to it, has caused.
func outOfRoom(err error) error {
	var e *sqlite.Error
	full := errors.As(err, &e) && e.Code()&0xff == sqlite3.SQLITE_FULL
	if full || errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) || errors.Is(err, syscall.EFBIG) {
		return errors.Join(ErrNoRoom, err)
	}
	return err
}

// readOnlyDSN opens a file that nobody writes, and leaves it and its folder as
// they are.
func readOnlyDSN(path string) string {
	q := url.Values{"mode": {"ro"}, "immutable": {"1"}, "_pragma": {"query_only(1)", "temp_store(MEMORY)"}}
	return (&url.URL{Scheme: "file", Opaque: (&url.URL{Path: path}).EscapedPath(), RawQuery: q.Encode()}).String()
}

// vacant reports whether nothing has a name yet.
func vacant(path string) error {
	_, err := os.Lstat(path)
	if err == nil {
		return fmt.Errorf("%s: %w", filepath.Base(path), fs.ErrExist)
	}
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}
