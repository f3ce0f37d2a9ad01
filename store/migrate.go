package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/pressly/goose/v3"

	"drosswise/migrations"
)

// migrate brings the schema up to date. Before it touches a database that
// already holds something it keeps a copy beside it, and afterwards it makes
// sure that no reference was left hanging.
func migrate(ctx context.Context, db *sql.DB, path string) error {
	steps, err := goose.NewProvider(goose.DialectSQLite3, db, migrations.Files)
	if err != nil {
		return fmt.Errorf("read migrations: %w", err)
	}
	at, target, err := steps.GetVersions(ctx)
	if err != nil {
		return fmt.Errorf("read schema version: %w", err)
	}
	if at > target {
		return fmt.Errorf("schema %d, this program knows %d: %w", at, target, ErrNewer)
	}
	if at == target {
		return nil
	}
	if at > 0 {
		if err := keepCopy(ctx, db, path, fmt.Sprintf("%s.before-%d", path, target)); err != nil {
			return fmt.Errorf("copy before upgrade: %w", err)
		}
	}
	if _, err := steps.Up(ctx); err != nil {
		return fmt.Errorf("upgrade: %w", err)
	}
	var table sql.NullString
	err = db.QueryRowContext(ctx, `SELECT "table" FROM pragma_foreign_key_check LIMIT 1`).Scan(&table)
	if err == nil {
		return fmt.Errorf("upgrade left a hanging reference in %s", table.String)
	}
	if !errors.Is(err, sql.ErrNoRows) {
		return fmt.Errorf("check references: %w", err)
	}
	return nil
}

// keepCopy copies the database file after folding the write-ahead log into it.
// Nobody else has it open yet.
func keepCopy(ctx context.Context, db *sql.DB, from, to string) error {
	if _, err := db.ExecContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)"); err != nil {
		return err
	}
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
		dst.Close()
		return err
	}
	if err := dst.Sync(); err != nil {
		dst.Close()
		return err
	}
	return dst.Close()
}
