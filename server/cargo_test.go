package main

import (
	"archive/zip"
	"bytes"
	"context"
	"database/sql"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/server/demo"
	"drosswise/store"
)

// commandLine runs a command as a person would type it.
func commandLine(t *testing.T, args ...string) (status int, out, errOut string) {
	var o, e bytes.Buffer
	status = run(context.Background(), args, func(string) string { return "" }, strings.NewReader(""), &o, &e)
	return status, o.String(), e.String()
}

// TestTheDemoMovesOutAndIn exports the demo shop, takes it into an empty folder
// and exports it again: the same bytes, and the same figures.
func TestTheDemoMovesOutAndIn(t *testing.T) {
	dir := t.TempDir()
	was, is := filepath.Join(dir, "was"), filepath.Join(dir, "is")
	_, err := demo.Make(t.Context(), was, "no hash")
	require.NoError(t, err)
	pictured(t, was)
	first, second := filepath.Join(dir, "first.zip"), filepath.Join(dir, "second.zip")
	status, out, errOut := commandLine(t, "export", "-data", was, "-to", first)
	require.Zero(t, status, errOut)
	assert.Contains(t, out, "columns.txt")
	status, _, errOut = commandLine(t, "export", "-data", was, "-to", first)
	assert.Equal(t, 1, status)
	assert.Contains(t, errOut, "not overwritten")

	status, out, errOut = commandLine(t, "import", "-data", is, "-from", first, "-dry-run")
	require.Zero(t, status, errOut)
	assert.Contains(t, out, "Nothing was taken in")
	require.NoDirExists(t, is, "a check leaves nothing")
	status, out, errOut = commandLine(t, "import", "-data", is, "-from", first)
	require.Zero(t, status, errOut)
	assert.Contains(t, out, "-reset NAME")
	status, _, errOut = commandLine(t, "import", "-data", is, "-from", first)
	assert.Equal(t, 1, status)
	assert.Contains(t, errOut, "people have accounts")

	status, _, errOut = commandLine(t, "export", "-data", is, "-to", second)
	require.Zero(t, status, errOut)
	a, err := os.ReadFile(first)
	require.NoError(t, err)
	b, err := os.ReadFile(second)
	require.NoError(t, err)
	require.True(t, bytes.Equal(a, b), "the same bytes")
	for _, table := range []string{"figure", "figure_source", "figure_lot", "lot_sum", "tally", "source_sum", "wear", "melt_record", "cash_month", "kit_month"} {
		assert.Equal(t, tableText(t, was, table), tableText(t, is, table), table)
	}
	assert.NotContains(t, string(a), "no hash")
	z, err := zip.NewReader(bytes.NewReader(a), int64(len(a)))
	require.NoError(t, err)
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		body, err := io.ReadAll(r)
		require.NoError(t, err)
		assert.NotContains(t, string(body), "no hash", f.Name)
	}
	status, out, errOut = commandLine(t, "user", "-data", is, "-reset", demo.People[demo.Workshop].Name)
	require.Zero(t, status, errOut)
	assert.Contains(t, out, "/")
}

// pictured adds photos of a line, of a crucible and of a delivery to a shop,
// one of them struck, with a note that a spreadsheet program would run.
func pictured(t *testing.T, dir string) {
	st, err := open(t.Context(), dir)
	require.NoError(t, err)
	defer st.Close()
	picture := store.Pictures{Full: dross(t, 64, 48), Thumb: dross(t, 16, 12)}
	for i, of := range []store.PhotoOf{{Line: 1}, {KitLine: 1}, {Lot: 1}} {
		key := fmt.Sprintf("picture-%d", i)
		require.NoError(t, st.AddPhoto(t.Context(), 1, store.Photo{Key: key, Of: of, At: st.Now(), Width: 64, Height: 48, Note: "=1+1, \"oily\"\nand 'wet'"}, picture))
	}
	require.NoError(t, st.StrikePhoto(t.Context(), 1, 2, store.Mark{Key: "picture-strike", Struck: true, Reason: "'blurred'"}))
}

// tableText is everything a table of a shop holds.
func tableText(t *testing.T, dir, table string) string {
	db, err := sql.Open("sqlite", "file:"+filepath.Join(dir, store.FileName)+"?mode=ro")
	require.NoError(t, err)
	defer db.Close()
	rows, err := db.Query("SELECT * FROM " + table + " ORDER BY 1, 2")
	require.NoError(t, err)
	defer rows.Close()
	columns, err := rows.Columns()
	require.NoError(t, err)
	var text strings.Builder
	for rows.Next() {
		cells := make([]any, len(columns))
		for i := range cells {
			cells[i] = new(any)
		}
		require.NoError(t, rows.Scan(cells...))
		for _, c := range cells {
			fmt.Fprintf(&text, "%v|", *c.(*any))
		}
		text.WriteByte('\n')
	}
	require.NoError(t, rows.Err())
	require.NotEmpty(t, text.String(), table)
	return text.String()
}
