package store

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A statement that is kept is as good as a new one: within itself, after it
// failed, and after it was left half read.
func TestKeptStatements(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	conn, err := w.write.Conn(ctx)
	require.NoError(t, err)
	const every = "SELECT id FROM kit ORDER BY id"
	rows, err := conn.QueryContext(ctx, every)
	require.NoError(t, err)
	n := 0
	for rows.Next() {
		var inner int
		require.NoError(t, conn.QueryRowContext(ctx, every).Scan(&inner), "the same text within itself, left half read")
		assert.Equal(t, 1, inner)
		n++
	}
	require.NoError(t, rows.Err())
	assert.Equal(t, 8, n)

	const add = "INSERT INTO person (name, role, password, created_at) VALUES (?, 'reader', '-', 0)"
	for _, name := range []string{"Ann", "Ann", "Bea", "Bea", "Cas"} {
		_, err := conn.ExecContext(ctx, add, name)
		if name == "Cas" {
			require.NoError(t, err)
		}
	}
	require.NoError(t, conn.Close())
	assert.Equal(t, []string{"Ann", "Bea", "Bench", "Cas"}, texts(t, w.read, "SELECT name FROM person"))

	// One that still read something would keep the log from being folded in.
	require.NoError(t, w.read.QueryRowContext(ctx, every).Scan(&n))
	var busy, log, folded int
	require.NoError(t, w.write.QueryRowContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)").Scan(&busy, &log, &folded))
	assert.Zero(t, busy)
}

// What was kept under the old schema serves under the new one.
func TestKeptStatementsAfterASchemaChange(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	const all = "SELECT * FROM source_sum"
	assert.Empty(t, texts(t, w.read, all))
	_, err := w.write.ExecContext(ctx, "ALTER TABLE source_sum ADD COLUMN more INTEGER NOT NULL DEFAULT 7")
	require.NoError(t, err)
	_, err = w.write.ExecContext(ctx, "INSERT INTO source_sum VALUES (1, 0, 0, 0, 0, 0, 0, 8)")
	require.NoError(t, err)
	rows, err := w.read.QueryContext(ctx, all)
	require.NoError(t, err)
	defer rows.Close()
	columns, err := rows.Columns()
	require.NoError(t, err)
	assert.Len(t, columns, 8)
}

// A connection that has no room left still keeps what it runs now: the
// statements of the migrations fill it before anything else is asked.
func TestNewStatementsFindRoom(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	conn, err := w.read.Conn(ctx)
	require.NoError(t, err)
	defer conn.Close()
	var n int
	for i := range 2 * mostKept {
		require.NoError(t, conn.QueryRowContext(ctx, fmt.Sprintf("SELECT %d", i)).Scan(&n))
	}
	require.NoError(t, conn.Raw(func(raw any) error {
		kept := raw.(*keeper).kept
		assert.Len(t, kept, mostKept)
		assert.Contains(t, kept, fmt.Sprintf("SELECT %d", 2*mostKept-1))
		return nil
	}))
}
