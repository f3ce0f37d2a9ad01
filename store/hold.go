package store

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	sqlite "modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// heldName is the name of the file inside the data folder that whoever serves
// it keeps locked.
const heldName = "serving.lock"

// Hold takes a data folder for one server, until release or the end of the
// process, however that comes: the operating system holds the lock, through an
// empty database because that locks alike everywhere. ErrInUse when another
// server has the folder. Commands beside a server do not ask for it.
func Hold(ctx context.Context, dir string) (release func() error, err error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, fmt.Errorf("make data folder: %w", err)
	}
	db, err := openAlone(filepath.Join(dir, heldName))
	if err != nil {
		return nil, err
	}
	conn, err := db.Conn(ctx)
	if err == nil {
		_, err = conn.ExecContext(ctx, "BEGIN EXCLUSIVE")
	}
	var e *sqlite.Error
	if errors.As(err, &e) && e.Code()&0xff == sqlite3.SQLITE_BUSY {
		err = errors.Join(ErrInUse, err)
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("hold %s: %w", dir, err), db.Close())
	}
	return func() error { return errors.Join(conn.Close(), db.Close()) }, nil
}
