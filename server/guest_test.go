package main

import (
	"html"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/store"
)

// door is the door of a shop as people run it, on a clock that stands until it
// is moved.
type door struct {
	*app
	t   *testing.T
	dir string

	mu  sync.Mutex
	now time.Time
}

func newDoor(t *testing.T, s settings) *door {
	t.Helper()
	d := &door{t: t, dir: t.TempDir(), now: time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)}
	st, err := store.Open(t.Context(), d.dir, d.clock)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, st.Close()) })
	d.app, err = newApp(st, slog.New(slog.NewTextHandler(t.Output(), &slog.HandlerOptions{Level: slog.LevelWarn})), s)
	require.NoError(t, err)
	t.Cleanup(d.end)
	return d
}

func (d *door) clock() time.Time {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.now
}

func (d *door) pass(span time.Duration) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.now = d.now.Add(span)
}

// guest is somebody's browser: it keeps cookies, and follows no redirect.
type guest struct {
	d       *door
	cookies map[string]string
	address string
	agent   string
}

func (d *door) guest() *guest {
	return &guest{d: d, cookies: map[string]string{}, address: "192.0.2.1:5000", agent: "Mozilla/5.0 (Android 15; Mobile; rv:140.0) Gecko/140.0 Firefox/140.0"}
}

func (g *guest) get(path string) *answered { return g.ask(http.MethodGet, path, nil, nil) }

func (g *guest) post(path string, fields ...string) *answered {
	return g.ask(http.MethodPost, path, filledIn(fields...), nil)
}

// filledIn pairs the names of fields with what is typed into them.
func filledIn(fields ...string) url.Values {
	values := url.Values{}
	for i := 0; i < len(fields); i += 2 {
		values.Add(fields[i], fields[i+1])
	}
	return values
}

func (g *guest) ask(method, path string, form url.Values, header http.Header) *answered {
	r := httptest.NewRequest(method, path, strings.NewReader(form.Encode()))
	r.RemoteAddr = g.address
	r.Host = "shed.example"
	r.Header.Set("User-Agent", g.agent)
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for name, values := range header {
		r.Header[name] = values
	}
	for name, value := range g.cookies {
		r.AddCookie(&http.Cookie{Name: name, Value: value})
	}
	w := httptest.NewRecorder()
	g.d.ServeHTTP(w, r)
	res := w.Result()
	for _, c := range res.Cookies() {
		if c.MaxAge < 0 {
			delete(g.cookies, c.Name)
		} else {
			g.cookies[c.Name] = c.Value
		}
	}
	body, err := io.ReadAll(res.Body)
	require.NoError(g.d.t, err)
	return &answered{Response: res, text: html.UnescapeString(string(body))}
}

// answered is an answer with its text, entities undone.
type answered struct {
	*http.Response
	text string
}

func (a *answered) to() string { return a.Header.Get("Location") }

const goodPassword = "nine warm crucibles"

// owned sets the shop up and gives its owner's browser.
func (d *door) owned() *guest {
	d.t.Helper()
	g := d.guest()
	token, _, err := d.store.FirstLink(d.t.Context())
	require.NoError(d.t, err)
	res := g.ask(http.MethodPost, "/setup/"+token, setUpForm(), nil)
	require.Equal(d.t, http.StatusSeeOther, res.StatusCode, res.text)
	return g
}

func setUpForm() url.Values {
	return filledIn("shop", "Spoke & Crank", "name", "Shed keeper", "password", goodPassword, "again", goodPassword,
		"zone", "Europe/London", "mass_unit", "kg", "temperature", "C", "currency", "GBP", "mark", "point")
}

var joinLink = regexp.MustCompile(`http://shed\.example(/join/[A-Z2-7]{26})`)

// joined lets somebody in, by a link that the owner makes, and gives the new
// browser.
func (d *door) joined(host *guest, role, name string) *guest {
	d.t.Helper()
	g := d.guest()
	res := g.post(d.invited(host, role), "name", name, "password", goodPassword, "again", goodPassword)
	require.Equal(d.t, http.StatusSeeOther, res.StatusCode, res.text)
	require.Equal(d.t, "/", res.to())
	return g
}

func (d *door) invited(host *guest, role string) string {
	d.t.Helper()
	return d.linkIn(host.post("/shop/people", "role", role))
}

func (d *door) linkIn(res *answered) string {
	d.t.Helper()
	require.Equal(d.t, http.StatusOK, res.StatusCode, res.text)
	found := joinLink.FindStringSubmatch(res.text)
	require.NotNil(d.t, found, res.text)
	return found[1]
}

func (g *guest) signsIn(name, password string) *answered {
	return g.post("/signin", "name", name, "password", password)
}

// in reports whether the browser is signed in.
func (g *guest) in() bool { return g.get("/account").StatusCode == http.StatusOK }
