package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/pressly/goose/v3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	sqlite "modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"drosswise/migrations"
)

// lastStep is the number of the newest migration.
func lastStep(t *testing.T) int {
	steps, err := fs.Glob(migrations.Files, "*.sql")
	require.NoError(t, err)
	require.NotEmpty(t, steps)
	return len(steps)
}

func TestOpenMakesAndFindsTheDatabase(t *testing.T) {
	ctx := context.Background()
	dir := filepath.Join(t.TempDir(), "a b#c?d%25é", "data") // as people name folders
	s, err := Open(ctx, dir, time.Now)
	require.NoError(t, err)
	require.NoError(t, s.Ping(ctx))
	assert.Equal(t, []string{fmt.Sprint(lastStep(t))}, texts(t, s.read, "SELECT max(version_id) FROM goose_db_version"))
	_, err = s.write.Exec("UPDATE shop SET name = 'The shed'")
	require.NoError(t, err)
	require.NoError(t, s.Close())

	s, err = Open(ctx, dir, time.Now)
	require.NoError(t, err)
	defer s.Close()
	p, err := s.Shop(ctx)
	require.NoError(t, err)
	assert.Equal(t, "The shed", p.Name)
	left, err := filepath.Glob(filepath.Join(dir, "*.before-*"))
	require.NoError(t, err)
	assert.Empty(t, left, "nothing was upgraded")
	info, err := os.Stat(filepath.Join(dir, FileName))
	require.NoError(t, err)
	assert.Positive(t, info.Size())
}

// Every table of ours refuses a value of the wrong type.
func TestTablesAreStrict(t *testing.T) {
	w := newWorkshop(t)
	loose := texts(t, w.read, "SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND strict = 0")
	assert.Equal(t, []string{"goose_db_version", "sqlite_schema", "sqlite_sequence"}, loose)
	_, err := w.write.Exec("UPDATE shop SET ambient = 'warm'")
	assert.ErrorContains(t, err, "cannot store TEXT value in INTEGER column")
}

// Pragmas hold for each connection of each pool, also for one that the pool
// opens later on.
func TestPragmas(t *testing.T) {
	w := newWorkshop(t)
	check := func(c *sql.Conn, name string, queryOnly int) {
		for pragma, want := range map[string]any{
			"journal_mode": "wal", "synchronous": int64(2), "foreign_keys": int64(1), "busy_timeout": int64(5000), "query_only": int64(queryOnly),
		} {
			var got any
			require.NoError(t, c.QueryRowContext(context.Background(), "PRAGMA "+pragma).Scan(&got))
			assert.Equal(t, want, got, "%s of %s", pragma, name)
		}
	}
	conn := func(db *sql.DB) *sql.Conn {
		c, err := db.Conn(context.Background())
		require.NoError(t, err)
		return c
	}
	one, two := conn(w.read), conn(w.read)
	check(one, "the first reader", 1)
	check(two, "the second reader", 1)
	_, err := two.ExecContext(context.Background(), "UPDATE shop SET name = 'x'")
	assert.Error(t, err, "a reader does not write")
	require.NoError(t, errors.Join(one.Close(), two.Close()))

	first := conn(w.write)
	check(first, "the writer", 0)
	assert.ErrorIs(t, first.Raw(func(any) error { return driver.ErrBadConn }), driver.ErrBadConn) // the pool drops it
	second := conn(w.write)
	check(second, "the writer's next connection", 0)
	require.NoError(t, second.Close())
	assert.Equal(t, 1, w.write.Stats().MaxOpenConnections)
}

// A file that a newer version has written is not touched.
func TestNewerDatabase(t *testing.T) {
	w := newWorkshop(t)
	_, err := w.write.Exec("INSERT INTO goose_db_version (version_id, is_applied) VALUES (?, 1)", lastStep(t)+1)
	require.NoError(t, err)
	_, err = Open(context.Background(), w.dir, time.Now)
	assert.ErrorIs(t, err, ErrNewer)
}

// A database of any earlier version is brought up to date, and stays beside it
// as it was.
func TestUpgradeKeepsACopy(t *testing.T) {
	ctx := context.Background()
	for from := 1; from < lastStep(t); from++ {
		dir := t.TempDir()
		path := filepath.Join(dir, FileName)
		db, err := sql.Open("sqlite", dsn(path, true))
		require.NoError(t, err)
		steps, err := goose.NewProvider(goose.DialectSQLite3, db, migrations.Files)
		require.NoError(t, err)
		_, err = steps.UpTo(ctx, int64(from))
		require.NoError(t, err)
		_, err = db.Exec("INSERT INTO person (name, role, password, created_at) VALUES ('Bench', 'owner', '-', 0)")
		require.NoError(t, err)
		require.NoError(t, db.Close())

		s, err := Open(ctx, dir, time.Now)
		require.NoError(t, err, "from %d", from)
		assert.Equal(t, []string{fmt.Sprint(lastStep(t))}, texts(t, s.read, "SELECT max(version_id) FROM goose_db_version"))
		assert.Equal(t, []string{"Bench"}, texts(t, s.read, "SELECT name FROM person"))
		require.NoError(t, s.Ping(ctx))
		require.NoError(t, s.Close())

		copied, err := sql.Open("sqlite", dsn(fmt.Sprintf("%s.before-%d", path, lastStep(t)), true))
		require.NoError(t, err)
		assert.Equal(t, []string{fmt.Sprint(from)}, texts(t, copied, "SELECT max(version_id) FROM goose_db_version"))
		assert.Equal(t, []string{"Bench"}, texts(t, copied, "SELECT name FROM person"))
		assert.Equal(t, []string{"ok"}, texts(t, copied, "PRAGMA integrity_check"))
		require.NoError(t, copied.Close())
	}
}

// References are kept by the file itself, whoever writes.
func TestReferencesHold(t *testing.T) {
	w := newWorkshop(t)
	h := w.start(t, 0)
	for name, statement := range map[string]string{
		"person of a melt":    "INSERT INTO melt (key, code, letter, year, number, at, noted_at, person_id, furnace_id, warm, target) VALUES ('k', 'A26-900', 'A', 2026, 900, 0, 0, 99, 1, 0, 'ingots')",
		"furnace of a melt":   "INSERT INTO melt (key, code, letter, year, number, at, noted_at, person_id, furnace_id, warm, target) VALUES ('k', 'A26-900', 'A', 2026, 900, 0, 0, 1, 99, 0, 'ingots')",
		"melt of a line":      "INSERT INTO line (melt_id, key, kind, at, noted_at, person_id) VALUES (99, 'hanging-1', 'stamp', 0, 0, 1)",
		"scale of a line":     "INSERT INTO line (melt_id, key, kind, at, noted_at, person_id, scale_id) VALUES (1, 'hanging-1', 'stamp', 0, 0, 1, 99)",
		"pour of a line":      "INSERT INTO line (melt_id, key, kind, at, noted_at, person_id, pour_id) VALUES (1, 'hanging-1', 'charge', 0, 0, 1, 99)",
		"line of a weighing":  "INSERT INTO weighing VALUES (99, 1, 0)",
		"line of a strike":    "INSERT INTO strike (key, line_id, struck, at, person_id) VALUES ('hanging-1', 99, 1, 0, 1)",
		"source of a lot":     "INSERT INTO lot (key, source_id, at, noted_at, person_id) VALUES ('k', 99, 0, 0, 1)",
		"kit that has a melt": fmt.Sprintf("DELETE FROM kit WHERE id = %d", h.Furnace),
	} {
		_, err := w.write.Exec(statement)
		var e *sqlite.Error
		require.ErrorAs(t, err, &e, name)
		assert.Equal(t, sqlite3.SQLITE_CONSTRAINT_FOREIGNKEY, e.Code(), name)
	}
	w.sound(t)
}
