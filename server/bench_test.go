package main

import (
	"context"
	"database/sql"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
)

// BenchmarkPages times every page of the large shop, from the request to the
// last byte of the answer, through everything that people's requests go
// through but the network. Beside each stands the floor: the same bytes served
// from memory.
//
//	go test ./server -run xxx -bench Pages
func BenchmarkPages(b *testing.B) {
	br := openLarge(b, workingCopy(b))
	for _, p := range largePages(b, br.store) {
		for _, coding := range []string{"plain", "gzip"} {
			b.Run(strings.ReplaceAll(p.name, " ", "_")+"/"+coding, func(b *testing.B) {
				request := func() *http.Request {
					r := br.request(p.path, coding == "gzip")
					if p.signedOut {
						r.Header.Del("Cookie")
					}
					return r
				}
				prepare, last := asked(br, request)
				t := measure(b, prepare)
				require.Equal(b, http.StatusOK, last().Code)
				floor, _ := asked(fromMemory(last()), request)
				b.ReportMetric(float64(last().Body.Len()), "bytes")
				b.ReportMetric(sample(least, floor).at(0.5), "floor-p50-ms")
				report(b, t)
			})
		}
	}
}

// BenchmarkSaves times a save from the request to the answer, with
// synchronous=FULL as always, in melts of up to twenty lines; beside it the
// floor: a raw commit of one row through the same driver, with the same
// pragmas, on the same disk.
//
//	go test ./server -run xxx -bench Saves
func BenchmarkSaves(b *testing.B) {
	dir := workingCopy(b)
	br := openLarge(b, dir)
	b.Run("charge", func(b *testing.B) {
		benchSave(b, br, url.Values{"kind": {"charge"}, "source": {"lot-1-1961"}, "mass": {"0.2"}, "scale": {"4"}, "dry": {"1"}})
	})
	b.Run("temperature", func(b *testing.B) {
		benchSave(b, br, url.Values{"kind": {"temperature"}, "temp": {"721"}, "which": {"metal"}, "probe": {"12"}})
	})
	b.Run("note", func(b *testing.B) { benchSave(b, br, url.Values{"kind": {"note"}, "note": {"Bridged over the coil."}}) })
	b.Run("strike", func(b *testing.B) { benchStrike(b, br) })
	b.Run("start", func(b *testing.B) {
		t := measure(b, func() func() {
			r := br.formRequest("/melts", newMelt())
			return func() { br.answers(r, http.StatusSeeOther) }
		})
		report(b, t)
	})
	b.Run("raw_commit", func(b *testing.B) { benchRawCommit(b, dir) })
}

func report(b *testing.B, t timings) {
	b.ReportMetric(t.at(0.5), "p50-ms")
	b.ReportMetric(t.at(0.99), "p99-ms")
	b.ReportMetric(0, "ns/op")
}

// answers asks, and wants a certain status.
func (b *browser) answers(r *http.Request, status int) string {
	w := httptest.NewRecorder()
	b.ServeHTTP(w, r)
	require.Equal(b.tb, status, w.Code, w.Body)
	return w.Header().Get("Location")
}

func newMelt() url.Values {
	return url.Values{"key": {newKey()}, "furnace": {"1"}, "crucible": {"72"}, "element": {"162"}, "target": {"ingots"}}
}

// startMelt starts a melt with a first charge and gives its address.
func (b *browser) startMelt() string {
	where := b.answers(b.formRequest("/melts", newMelt()), http.StatusSeeOther)
	b.answers(b.formRequest(where+"/lines", url.Values{"key": {newKey()}, "kind": {"charge"}, "source": {"source-2"}, "mass": {"1.5"}, "scale": {"4"}}), http.StatusSeeOther)
	return where
}

func benchSave(b *testing.B, br *browser, form url.Values) {
	var where string
	n := 0
	report(b, measure(b, func() func() {
		if n%18 == 0 {
			where = br.startMelt()
		}
		n++
		form.Set("key", newKey())
		r := br.formRequest(where+"/lines", form)
		return func() { br.answers(r, http.StatusSeeOther) }
	}))
}

// benchStrike strikes a line and lifts the strike by turns.
func benchStrike(b *testing.B, br *browser) {
	var path string
	n := 0
	report(b, measure(b, func() func() {
		if n%18 == 0 {
			where := br.startMelt()
			_, lines, err := br.store.Melt(context.Background(), melt.Code(strings.TrimPrefix(where, "/melts/")))
			require.NoError(b, err)
			path = fmt.Sprintf("%s/lines/%d/", where, lines[0].ID)
		}
		act := []string{"strike", "lift"}[n%2]
		n++
		r := br.formRequest(path+act, url.Values{"key": {newKey()}, "reason": {"wrong scale"}})
		return func() { br.answers(r, http.StatusSeeOther) }
	}))
}

func benchRawCommit(b *testing.B, dir string) {
	q := url.Values{"_pragma": {"busy_timeout(5000)", "journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)", "temp_store(MEMORY)"}, "_txlock": {"immediate"}}
	db, err := sql.Open("sqlite", (&url.URL{Scheme: "file", Opaque: filepath.Join(dir, "floor.db"), RawQuery: q.Encode()}).String())
	require.NoError(b, err)
	defer db.Close()
	db.SetMaxOpenConns(1)
	_, err = db.Exec("CREATE TABLE row (id INTEGER PRIMARY KEY, key TEXT NOT NULL UNIQUE, at INTEGER NOT NULL, note TEXT NOT NULL) STRICT")
	require.NoError(b, err)
	report(b, measure(b, func() func() {
		key := newKey()
		return func() {
			tx, err := db.Begin()
			require.NoError(b, err)
			_, err = tx.Exec("INSERT INTO row (key, at, note) VALUES (?,?,?)", key, time.Now().UnixMilli(), "Bridged over the coil.")
			require.NoError(b, err)
			require.NoError(b, tx.Commit())
		}
	}))
}
