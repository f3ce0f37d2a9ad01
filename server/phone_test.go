package main

import (
	"context"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/store"
)

// shed is a shop as people run it, behind a real listener. Its clock stands
// until a test moves it.
type shed struct {
	*app
	server *httptest.Server
	dir    string
	clock  *atomic.Int64
}

// evening is when these tests copy in what was melted during the day.
var evening = time.Date(2026, 3, 14, 20, 0, 0, 0, time.UTC)

func newShed(t testing.TB) *shed {
	t.Helper()
	s := &shed{dir: t.TempDir(), clock: &atomic.Int64{}}
	s.clock.Store(evening.UnixMilli())
	st, err := store.Open(context.Background(), s.dir, s.now)
	require.NoError(t, err)
	s.app, err = newApp(st, slog.New(slog.NewTextHandler(t.Output(), &slog.HandlerOptions{Level: slog.LevelWarn})), settings{})
	require.NoError(t, err)
	s.server = httptest.NewServer(s.app)
	t.Cleanup(func() {
		s.server.Close()
		s.end()
		assert.NoError(t, st.Close())
	})
	return s
}

func (s *shed) now() time.Time {
	if at := s.clock.Load(); at != 0 {
		return time.UnixMilli(at)
	}
	return time.Now()
}

// runs lets the shop's clock go, from now.
func (s *shed) runs() { s.clock.Store(0) }

func (s *shed) pass(d time.Duration) { s.clock.Add(d.Milliseconds()) }

// phone is somebody's browser without script: it keeps its cookies, reads the
// forms of a page and sends them as they stand.
type phone struct {
	t    testing.TB
	home string
	*http.Client
}

func (s *shed) phone(t testing.TB) *phone {
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	return &phone{t: t, home: s.server.URL, Client: &http.Client{
		Jar:           jar,
		Timeout:       30 * time.Second,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}}
}

// got is what came back.
type got struct {
	status int
	header http.Header
	body   string
	path   string // that was asked for
}

// do asks as a browser on plain http in the house does: it says from which
// page it comes, and no more.
func (p *phone) do(method, path string, body io.Reader, header ...string) got {
	p.t.Helper()
	r, err := http.NewRequest(method, p.home+path, body)
	require.NoError(p.t, err)
	r.Header.Set("Accept", "text/html")
	if method != http.MethodGet {
		r.Header.Set("Origin", p.home)
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for i := 0; i < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	resp, err := p.Do(r)
	require.NoError(p.t, err, "%s %s", method, path)
	defer resp.Body.Close()
	all, err := io.ReadAll(resp.Body)
	require.NoError(p.t, err)
	return got{resp.StatusCode, resp.Header, string(all), path}
}

// open looks at a page that must be there.
func (p *phone) open(path string) got {
	p.t.Helper()
	g := p.do(http.MethodGet, path, nil)
	require.Equal(p.t, http.StatusOK, g.status, "%s\n%s", path, g.text())
	return g
}

func (p *phone) post(path string, values url.Values) got {
	p.t.Helper()
	return p.do(http.MethodPost, path, strings.NewReader(values.Encode()))
}

// send sends what is filled in.
func (p *phone) send(f filledForm) got {
	p.t.Helper()
	return p.post(f.action, f.values)
}

// save sends what is filled in, which must be taken, and looks at the page
// that follows.
func (p *phone) save(f filledForm) got {
	p.t.Helper()
	g := p.send(f)
	require.Equal(p.t, http.StatusSeeOther, g.status, "%s: %s", f.action, g.faults())
	return p.open(g.header.Get("Location"))
}

// fill opens a page and fills in the form that is sent to an address.
func (p *phone) fill(path, action string, typed ...string) filledForm {
	p.t.Helper()
	return p.open(path).form(p.t, action).typed(typed...)
}

// log writes one line of a melt through its form.
func (p *phone) log(code melt.Code, kind melt.Kind, typed ...string) got {
	p.t.Helper()
	return p.save(p.line(code, kind, typed...))
}

// line fills in the form for one line of a melt.
func (p *phone) line(code melt.Code, kind melt.Kind, typed ...string) filledForm {
	p.t.Helper()
	return p.fill("/melts/"+string(code)+"/add/"+string(kind), "/melts/"+string(code)+"/lines", typed...)
}

// start starts a melt at the time of day, or now.
func (p *phone) start(clock string) melt.Code {
	p.t.Helper()
	f := p.fill("/melts/start", "/melts")
	if clock != "" {
		f = f.typed("at_date", "2026-03-14", "at_clock", clock)
	}
	g := p.send(f)
	require.Equal(p.t, http.StatusSeeOther, g.status, g.faults())
	code, ok := strings.CutPrefix(g.header.Get("Location"), "/melts/")
	require.True(p.t, ok)
	return melt.Code(code)
}

// lines reads a melt's lines from the store.
func (s *shed) lines(t testing.TB, code melt.Code) []melt.Line {
	t.Helper()
	_, lines, err := s.store.Melt(context.Background(), code)
	require.NoError(t, err)
	return lines
}
