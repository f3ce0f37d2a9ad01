package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	sqlite "modernc.org/sqlite"
)

// Backup copies the database of a folder to a file while it may be in use, and
// makes sure of the copy. A file that is already there is never overwritten
// (fs.ErrExist); a folder without a database is fs.ErrNotExist, a disk without
// room ErrNoRoom. What failed leaves nothing behind. The schema stays as it is.
func Backup(ctx context.Context, dir, to string) (err error) {
	from := filepath.Join(dir, FileName)
	if _, err := os.Stat(from); err != nil {
		return fmt.Errorf("look for the database: %w", err)
	}
	if err := vacant(to); err != nil {
		return fmt.Errorf("make the backup's file: %w", err)
	}
	// The content comes under another name and gets its own when it is whole and
	// on disk: a backup that was cut off is never mistaken for one.
	part := to + Unfinished
	defer func() {
		if err != nil {
			err = errors.Join(outOfRoom(err), remove(part), remove(part+"-journal"))
		}
	}()
	if err := copyOnline(ctx, from, part); err != nil {
		return err
	}
	if err := syncFile(part); err != nil {
		return fmt.Errorf("sync the backup: %w", err)
	}
	if err := checkCopy(ctx, part); err != nil {
		return err
	}
	if err := syncFile(part); err != nil {
		return fmt.Errorf("sync the backup: %w", err)
	}
	if err := nameBackup(part, to); err != nil {
		return fmt.Errorf("name the backup: %w", err)
	}
	return syncFile(filepath.Dir(to))
}

// Unfinished is what the name of a backup that is being made ends in.
const Unfinished = ".part"

// nameBackup gives a file its name unless something has that name. Some file systems,
// those of sticks above all, know no second name for a file: there it is looked
// at again and renamed.
func nameBackup(part, to string) error {
	err := os.Link(part, to)
	if err == nil {
		return os.Remove(part)
	}
	if err := vacant(to); err != nil {
		return err
	}
	return os.Rename(part, to)
}

// pagesAtOnce is how much is copied before it is looked whether to go on: 8 MB.
const pagesAtOnce = 2000

// copyOnline copies what one moment held, whoever writes meanwhile: the moment
// is kept by a transaction that reads.
func copyOnline(ctx context.Context, from, to string) error {
	if err := remove(to); err != nil {
		return err
	}
	file, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return fmt.Errorf("make the copy: %w", err)
	}
	file.Close()
	db, err := sql.Open("sqlite", dsn(from, false))
	if err != nil {
		return fmt.Errorf("open database: %w", err)
	}
	defer db.Close()
	conn, err := db.Conn(ctx)
	if err != nil {
		return fmt.Errorf("open database: %w", err)
	}
	defer conn.Close()
	if _, err := conn.ExecContext(ctx, "BEGIN; SELECT count(*) FROM sqlite_schema"); err != nil {
		return fmt.Errorf("begin reading: %w", err)
	}
	defer conn.ExecContext(context.WithoutCancel(ctx), "ROLLBACK")
	err = conn.Raw(func(raw any) error {
		source, ok := raw.(interface {
			NewBackup(uri string) (*sqlite.Backup, error)
		})
		if !ok {
			return errors.New("driver cannot back up")
		}
		b, err := source.NewBackup(plainDSN(to))
		if err != nil {
			return err
		}
		for more := true; more; {
			if more, err = b.Step(pagesAtOnce); err == nil {
				err = ctx.Err()
			}
			if err != nil {
				return errors.Join(err, b.Finish())
			}
		}
		return b.Finish()
	})
	if err != nil {
		return fmt.Errorf("copy database: %w", err)
	}
	return nil
}

// checkCopy turns the copy into a single file and has SQLite read all of it.
func checkCopy(ctx context.Context, path string) error {
	db, err := openAlone(path)
	if err != nil {
		return err
	}
	defer db.Close()
	if err := alone(ctx, db); err != nil {
		return fmt.Errorf("make one file of the copy: %w", err)
	}
	if err := sound(ctx, db); err != nil {
		return err
	}
	return db.Close()
}

// oneFile turns a database that nobody has open into a single file.
func oneFile(ctx context.Context, path string) error {
	db, err := openAlone(path)
	if err != nil {
		return err
	}
	defer db.Close()
	if err := alone(ctx, db); err != nil {
		return fmt.Errorf("make one file of it: %w", err)
	}
	return db.Close()
}

// openAlone opens a file that nobody else should have open.
func openAlone(path string) (*sql.DB, error) {
	db, err := sql.Open("sqlite", plainDSN(path))
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", path, err)
	}
	db.SetMaxOpenConns(1)
	return db, nil
}

// alone folds the write-ahead log into the file and switches it off, which
// SQLite grants only to whoever has the file for itself.
func alone(ctx context.Context, db *sql.DB) error {
	var mode string
	if err := db.QueryRowContext(ctx, "PRAGMA journal_mode = DELETE").Scan(&mode); err != nil {
		return err
	}
	if mode != "delete" {
		return fmt.Errorf("journal mode is still %q", mode)
	}
	return nil
}

// errUnsound marks what SQLite itself found wrong with a file.
var errUnsound = errors.New("file is not sound")

// sound has SQLite read the whole file and follow every reference.
func sound(ctx context.Context, db *sql.DB) error {
	var says string
	if err := db.QueryRowContext(ctx, "PRAGMA integrity_check(1)").Scan(&says); err != nil {
		return fmt.Errorf("check: %w", err)
	}
	if says != "ok" {
		return fmt.Errorf("check: %s: %w", says, errUnsound)
	}
	var table sql.NullString
	err := db.QueryRowContext(ctx, `SELECT "table" FROM pragma_foreign_key_check LIMIT 1`).Scan(&table)
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("check references: %w", err)
	}
	return fmt.Errorf("check: hanging reference in %s: %w", table.String, errUnsound)
}

func remove(path string) error {
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// syncFile puts a file, or the names in a folder, on disk.
func syncFile(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
