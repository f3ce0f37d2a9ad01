package main

import (
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drosswise/store"
)

// The size that the shop is measured at.
const (
	largeMelts = 100_000
	largeLines = 1_000_000
)

// benchRoot is where large shops are kept between runs: DROSSWISE_BENCH_DIR, or
// a folder in the user's cache.
func benchRoot(tb testing.TB) string {
	root := os.Getenv("DROSSWISE_BENCH_DIR")
	if root == "" {
		cache, err := os.UserCacheDir()
		require.NoError(tb, err)
		root = filepath.Join(cache, "drosswise-bench")
	}
	require.NoError(tb, os.MkdirAll(root, 0o700))
	return root
}

// largeDir gives the folder of the large shop, filling it when there is none
// of today's schema and arithmetic: it is named by what a small sample of it
// holds.
func largeDir(tb testing.TB) string {
	tb.Helper()
	root := benchRoot(tb)
	dir := filepath.Join(root, "shop-"+sampleSum(tb))
	if _, err := os.Stat(dir); err == nil {
		return dir
	}
	old, err := filepath.Glob(filepath.Join(root, "shop-*"))
	require.NoError(tb, err)
	for _, o := range old {
		require.NoError(tb, os.RemoveAll(o))
	}
	making, err := os.MkdirTemp(root, "shop-making-")
	require.NoError(tb, err)
	fillLarge(tb, making, largeMelts, largeLines)
	require.NoError(tb, os.Rename(making, dir))
	return dir
}

// sampleSum is the checksum of everything in a shop of thirty melts.
func sampleSum(tb testing.TB) string {
	dir := tb.TempDir()
	fillLarge(tb, dir, 30, 300)
	db, err := sql.Open("sqlite", filepath.Join(dir, store.FileName))
	require.NoError(tb, err)
	defer db.Close()
	sum := sha256.New()
	add := func(query string) (first []string) {
		rows, err := db.Query(query)
		require.NoError(tb, err)
		defer rows.Close()
		columns, err := rows.Columns()
		require.NoError(tb, err)
		for rows.Next() {
			cells := make([]any, len(columns))
			for i := range cells {
				cells[i] = new(sql.NullString)
			}
			require.NoError(tb, rows.Scan(cells...))
			for _, c := range cells {
				fmt.Fprintf(sum, "%q,", c.(*sql.NullString).String)
			}
			first = append(first, cells[0].(*sql.NullString).String)
		}
		require.NoError(tb, rows.Err())
		return first
	}
	tables := add("SELECT name, sql FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'melt_words%' AND name NOT LIKE 'goose%' ORDER BY name")
	add("SELECT name, sql FROM sqlite_master WHERE type <> 'table' OR name = 'melt_words' ORDER BY name")
	for _, t := range tables {
		add("SELECT * FROM " + t)
	}
	return hex.EncodeToString(sum.Sum(nil)[:6])
}

// workingCopy copies the large shop, so that what a run writes does not stay.
// It lies beside the original, on the same disk. Copies of runs that were cut
// off are cleared away.
func workingCopy(tb testing.TB) string {
	tb.Helper()
	from := largeDir(tb)
	left, err := filepath.Glob(filepath.Join(benchRoot(tb), "run-*"))
	require.NoError(tb, err)
	for _, l := range left {
		if info, err := os.Stat(l); err == nil && time.Since(info.ModTime()) > 2*time.Hour {
			require.NoError(tb, os.RemoveAll(l))
		}
	}
	dir, err := os.MkdirTemp(benchRoot(tb), "run-")
	require.NoError(tb, err)
	tb.Cleanup(func() { require.NoError(tb, os.RemoveAll(dir)) })
	src, err := os.Open(filepath.Join(from, store.FileName))
	require.NoError(tb, err)
	defer src.Close()
	dst, err := os.Create(filepath.Join(dir, store.FileName))
	require.NoError(tb, err)
	_, err = io.Copy(dst, src)
	require.NoError(tb, err)
	require.NoError(tb, dst.Sync())
	require.NoError(tb, dst.Close())
	return dir
}
