package main

import (
	"archive/zip"
	"io"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/server/copies"
	"drosswise/store"
)

// TestAnOwnerKeepsCopies makes one, downloads it, restores it elsewhere, and is
// told on Today when they are old or fail.
func TestAnOwnerKeepsCopies(t *testing.T) {
	s := newShed(t)
	s.clock.Store(time.Now().UnixMilli())
	p := s.settled(t, habits["kg and point"])
	off := p.open("/shop/copies")
	assert.Contains(t, off.text(), "No copies are made")
	dir := filepath.Join(t.TempDir(), "copies")
	s.app.copies = copies.In(dir, s.dir, slog.New(slog.DiscardHandler))
	assert.Contains(t, p.open("/shop/copies").text(), "none yet")
	assert.NotContains(t, p.open("/").text(), "copies of the shop are old")
	page := p.save(p.fill("/shop/copies", "/shop/copies"))
	assert.Contains(t, page.text(), "read back and found whole")

	all, err := s.app.copies.List()
	require.NoError(t, err)
	require.Len(t, all, 1)
	got := p.do(http.MethodGet, "/shop/copies/"+all[0].Name, nil)
	require.Equal(t, http.StatusOK, got.status)
	file := filepath.Join(t.TempDir(), "copy.db")
	require.NoError(t, os.WriteFile(file, []byte(got.body), 0o600))
	_, err = store.Restore(t.Context(), file, t.TempDir(), false, time.Now())
	require.NoError(t, err)
	for _, no := range []string{"drosswise-20000101-000000.db", "..%2Fdrosswise.db", "drosswise.db"} {
		assert.Equal(t, http.StatusNotFound, p.do(http.MethodGet, "/shop/copies/"+no, nil).status, no)
	}

	s.pass(3 * 24 * time.Hour)
	assert.Contains(t, p.open("/").text(), "The copies of the shop are old.")
	require.NoError(t, os.RemoveAll(dir))
	require.NoError(t, os.WriteFile(dir, nil, 0o600))
	page = p.save(p.fill("/shop/copies", "/shop/copies"))
	assert.Contains(t, page.text(), "was not made")
	assert.Regexp(t, "The copy of the shop of .* was not made.", p.open("/").text())
	s.app.copies = copies.In(dir, s.dir, slog.New(slog.DiscardHandler))
	assert.Contains(t, p.open("/").text(), "was not made.", "remembered by a program that was started anew")

	got = p.do(http.MethodGet, "/shop/export.zip", nil)
	require.Equal(t, http.StatusOK, got.status)
	z, err := zip.NewReader(strings.NewReader(got.body), int64(len(got.body)))
	require.NoError(t, err)
	shop, err := z.Open("shop.csv")
	require.NoError(t, err)
	text, err := io.ReadAll(shop)
	require.NoError(t, err)
	assert.Contains(t, string(text), "mass_unit")
}
