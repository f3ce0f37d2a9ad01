package demo

import (
	"database/sql"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"drosswise/store"
)

// dumpTable writes all rows of a table out.
func dumpTable(t *testing.T, dir, table string) string {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+filepath.Join(dir, store.FileName))
	require.NoError(t, err)
	defer db.Close()
	rows, err := db.Query("SELECT * FROM " + table + " ORDER BY 1, 2, 3")
	require.NoError(t, err)
	defer rows.Close()
	columns, err := rows.Columns()
	require.NoError(t, err)
	var all strings.Builder
	for rows.Next() {
		values, into := make([]any, len(columns)), make([]any, len(columns))
		for i := range values {
			into[i] = &values[i]
		}
		require.NoError(t, rows.Scan(into...))
		fmt.Fprintln(&all, values...)
	}
	require.NoError(t, rows.Err())
	return all.String()
}

func pragmaSays(t *testing.T, dir, name string) string {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+filepath.Join(dir, store.FileName))
	require.NoError(t, err)
	defer db.Close()
	rows, err := db.Query("PRAGMA " + name)
	require.NoError(t, err)
	defer rows.Close()
	var all strings.Builder
	for rows.Next() {
		var a, b, c, e any
		columns, err := rows.Columns()
		require.NoError(t, err)
		require.NoError(t, rows.Scan([]any{&a, &b, &c, &e}[:len(columns)]...))
		fmt.Fprintln(&all, a)
	}
	require.NoError(t, rows.Err())
	return all.String()
}
