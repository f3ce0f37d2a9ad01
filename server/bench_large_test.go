package main

import (
	"context"
	"database/sql"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drosswise/foundry/quantity"
	"drosswise/store"
)

// browser asks the app as a signed-in browser does, without a network.
type browser struct {
	*app
	tb      testing.TB
	cookies []*http.Cookie
}

const largePassword = "three small furnaces"

// openLarge opens a large shop as people run it, a little after its last melt,
// and signs its owner in.
func openLarge(tb testing.TB, dir string) *browser {
	tb.Helper()
	st := openStore(tb, dir)
	tb.Cleanup(func() { require.NoError(tb, st.Close()) })
	a, err := newApp(st, slog.New(slog.NewTextHandler(io.Discard, nil)), settings{})
	require.NoError(tb, err)
	tb.Cleanup(a.end)
	b := &browser{app: a, tb: tb}
	w := b.post("/signin", url.Values{"name": {"Person 1"}, "password": {largePassword}})
	require.Equal(tb, http.StatusSeeOther, w.Code)
	b.cookies = w.Result().Cookies()
	return b
}

// openStore opens the store of a large shop with a clock that goes on from its
// last melt, and gives the owner the password.
func openStore(tb testing.TB, dir string) *store.Store {
	ctx, began := context.Background(), time.Now()
	st, err := store.Open(ctx, dir, func() time.Time { return largeTo.Add(time.Hour + time.Since(began)) })
	require.NoError(tb, err)
	hash, err := hashPassword(ctx, largePassword)
	require.NoError(tb, err)
	require.NoError(tb, st.SetPassword(ctx, 1, 1, hash, 0))
	return st
}

// withLarge does something with the store alone, and closes it.
func withLarge(tb testing.TB, dir string, do func(*store.Store)) {
	st := openStore(tb, dir)
	do(st)
	require.NoError(tb, st.Close())
}

// request makes a request, compressed or not.
func (b *browser) request(path string, gzip bool) *http.Request {
	r := httptest.NewRequest(http.MethodGet, path, nil)
	r.Header.Set("Accept", "text/html")
	if gzip {
		r.Header.Set("Accept-Encoding", "gzip")
	}
	for _, c := range b.cookies {
		r.AddCookie(c)
	}
	return r
}

func (b *browser) get(path string) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	b.ServeHTTP(w, b.request(path, false))
	return w
}

// signedOut asks as somebody who is not signed in.
func (b *browser) signedOut(path string) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	r := b.request(path, false)
	r.Header.Del("Cookie")
	b.ServeHTTP(w, r)
	return w
}

// readOnly opens the database beside the app.
func readOnly(tb testing.TB, dir string) *sql.DB {
	db, err := sql.Open("sqlite", "file:"+filepath.Join(dir, store.FileName)+"?mode=ro")
	require.NoError(tb, err)
	tb.Cleanup(func() { require.NoError(tb, db.Close()) })
	return db
}

func (b *browser) formRequest(path string, form url.Values) *http.Request {
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	for _, c := range b.cookies {
		r.AddCookie(c)
	}
	return r
}

func (b *browser) post(path string, form url.Values) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	b.ServeHTTP(w, b.formRequest(path, form))
	return w
}

// largePage is a page to look at.
type largePage struct {
	name, path string
	signedOut  bool
}

// largePages are all kinds of page, with the filters and places that could be
// slow. Ids are those that stock gives.
func largePages(tb testing.TB, st *store.Store) []largePage {
	ctx := context.Background()
	running, err := st.RunningMelts(ctx)
	require.NoError(tb, err)
	require.Len(tb, running, largeFurnaces)
	middle := store.Place{At: quantity.At(largeFrom.Add(largeTo.Sub(largeFrom) / 2)), ID: 1}
	rows, _, err := st.Melts(ctx, store.Filter{}, middle, false, 50)
	require.NoError(tb, err)
	closed := string(rows[9].Code)
	open := string(running[0].Code)
	_, lines, err := st.Melt(ctx, running[0].Code)
	require.NoError(tb, err)
	line := lines[0].ID
	year := largeFrom.AddDate(7, 0, 0).Year()
	months := fmt.Sprintf("from=%d-01&to=%d-12", year, year)
	deep := fmt.Sprintf("before=%d-%d", middle.At, middle.ID)
	return []largePage{
		{"Today", "/", false},
		{"Melts", "/melts", false},
		{"Melts deep", "/melts?" + deep, false},
		{"Melts back up", fmt.Sprintf("/melts?after=%d-%d", middle.At, middle.ID), false},
		{"Melts by source", "/melts?source=1", false},
		{"Melts by rare source", "/melts?source=40", false},
		{"Melts by furnace", "/melts?furnace=2", false},
		{"Melts by source and furnace", "/melts?source=1&furnace=2", false},
		{"Melts by months", "/melts?" + months, false},
		{"Melts by all", "/melts?source=1&furnace=2&" + months, false},
		{"Search word", "/melts?q=rims", false},
		{"Search letter", "/melts?q=r", false},
		{"Search words deep", "/melts?q=lathe+swarf&" + deep, false},
		{"Search in months of source", "/melts?q=muffin&source=1&furnace=2&" + months, false},
		{"Search code", "/melts?q=" + closed, false},
		{"Start", "/melts/start", false},
		{"Paper", "/melts/paper", false},
		{"Melt running", "/melts/" + open, false},
		{"Melt closed", "/melts/" + closed, false},
		{"Add charge", "/melts/" + open + "/add/charge", false},
		{"Add pour", "/melts/" + open + "/add/pour", false},
		{"Add kit", "/melts/" + open + "/add/using", false},
		{"Line", fmt.Sprintf("/melts/%s/lines/%d", open, line), false},
		{"Scrap", "/scrap", false},
		{"Scrap by name", "/scrap?by=name", false},
		{"Compare", "/scrap/compare?a=1&b=2", false},
		{"Source", "/scrap/1", false},
		{"Edit source", "/scrap/1/edit", false},
		{"Findings", "/findings", false},
		{"Year", fmt.Sprintf("/years/%d", year), false},
		{"Labels", "/labels?copies=24&of=melt-" + closed, false},
		{"New delivery", "/scrap/1/lots/new", false},
		{"Kit", "/kit", false},
		{"Furnace", "/kit/1", false},
		{"Scale", "/kit/4", false},
		{"Thermocouple", "/kit/12", false},
		{"Crucible", "/kit/30", false},
		{"Element", "/kit/100", false},
		{"Edit crucible", "/kit/30/edit", false},
		{"Add kit line", "/kit/100/add/read", false},
		{"Set-up", "/shop", false},
		{"Account", "/account", false},
		{"Sign-in", "/signin", true},
	}
}
