package main

import (
	"fmt"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The shop that speed is measured on, made small: every page of it answers,
// and its pages are full, so that the measurement measures something.
func TestEveryPageOfALargeShop(t *testing.T) {
	dir := t.TempDir()
	fillLarge(t, dir, 2000, 20_000)
	br := openLarge(t, dir)
	for _, p := range largePages(t, br.store) {
		w := br.get(p.path)
		if p.signedOut {
			w = br.signedOut(p.path)
		}
		assert.Equal(t, http.StatusOK, w.Code, p.path)
	}
	count := func(query string) (n int) {
		require.NoError(t, readOnly(t, dir).QueryRow(query).Scan(&n))
		return n
	}
	assert.Equal(t, 2000, count("SELECT count(*) FROM figure"))
	assert.Equal(t, 20_000, count("SELECT count(*) FROM line"))
	assert.Equal(t, largeFurnaces, count("SELECT count(*) FROM figure WHERE state = 'running'"))
	assert.Greater(t, count("SELECT count(*) FROM figure WHERE yield BETWEEN 0.5 AND 1"), 1900)
	assert.Greater(t, count("SELECT count(*) FROM strike"), 50)
	assert.Equal(t, largeLots, count("SELECT count(*) FROM lot"))

	// A correction keeps what the line named, though it is no longer offered.
	var code string
	var line, source, lot int64
	err := readOnly(t, dir).QueryRow("SELECT code, line.id, source_id, lot_id FROM line JOIN melt ON melt.id = line.melt_id JOIN figure f ON f.melt_id = melt.id WHERE lot_id IS NOT NULL AND f.state = 'running' LIMIT 1").Scan(&code, &line, &source, &lot)
	require.NoError(t, err)
	form := br.get(fmt.Sprintf("/melts/%s/add/charge?of=%d", code, line)).Body.String()
	assert.Regexp(t, fmt.Sprintf(`<option value="lot-%d-%d" selected>`, source, lot), form)
}
