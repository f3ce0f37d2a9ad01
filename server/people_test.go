package main

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/base64"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/go-chi/chi/v5/middleware"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/crypto/argon2"

	"drosswise/store"
)

// printed gives what a start prints, and the set-up link in it, if there is one.
func printed(t *testing.T, d *door, home string) (text, link string) {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, d.greet(t.Context(), console{out: &out}, home))
	if found := regexp.MustCompile(`(/setup/\S+)\n`).FindStringSubmatch(out.String()); found != nil {
		link = found[1]
	}
	return out.String(), link
}

func TestSetUpByThePrintedLink(t *testing.T) {
	d := newDoor(t, settings{})
	_, early := printed(t, d, "http://127.0.0.1:8372")
	text, link := printed(t, d, "http://0.0.0.0:8372")
	assert.Contains(t, text, "http://localhost:8372/setup/", "a browser cannot go to 0.0.0.0")
	g := d.guest()
	assert.Equal(t, "/signin", g.get("/").to())
	assert.Contains(t, g.get("/signin").text, "has not been set up yet")
	assert.Equal(t, http.StatusNotFound, g.get(early).StatusCode, "a new start makes the earlier link void")
	page := g.get(link)
	assert.Equal(t, http.StatusOK, page.StatusCode)
	assert.Contains(t, page.text, "Europe/London")
	assert.Contains(t, page.text, `<option value="">Choose one</option>`, "the currency is not guessed")

	refused := g.post(link, "shop", "", "zone", "Atlantis", "name", "", "password", "short", "again", "x", "mass_unit", "stone")
	assert.Equal(t, http.StatusUnprocessableEntity, refused.StatusCode)
	for _, sentence := range []string{"Give the shop a name.", "There is no such zone", "Give a name.", "That is too short.", "Choose one of these.", "Choose the currency."} {
		assert.Contains(t, refused.text, sentence)
	}
	assert.Contains(t, refused.text, `value="Atlantis"`, "what was typed is still there")
	assert.NotContains(t, refused.text, `value="short"`, "but not the password")

	form := setUpForm()
	form.Set("zone", "new york")
	done := g.ask(http.MethodPost, link, form, nil)
	require.Equal(t, http.StatusSeeOther, done.StatusCode, done.text)
	assert.Equal(t, "/", done.to(), "today says what to do first")
	assert.True(t, g.in())
	shop, err := d.store.Shop(t.Context())
	require.NoError(t, err)
	assert.Equal(t, store.Shop{Name: "Spoke & Crank", Zone: "America/New_York", MassUnit: "kg", Currency: "GBP", Ambient: 2000, Ready: true}, shop)

	again := d.guest().ask(http.MethodPost, link, setUpForm(), nil)
	assert.Equal(t, http.StatusNotFound, again.StatusCode)
	assert.Contains(t, again.text, "This link does not work")
	text, link = printed(t, d, "http://127.0.0.1:8372")
	assert.Empty(t, link)
	assert.NotContains(t, text, "owner")
}

// Of two who use the set-up link at the same moment one becomes the owner.
func TestSetUpLinkIsUsedOnce(t *testing.T) {
	d := newDoor(t, settings{})
	_, link := printed(t, d, "http://127.0.0.1:8372")
	var group sync.WaitGroup
	var codes [4]int
	for i := range codes {
		group.Go(func() {
			form := setUpForm()
			form.Set("name", "Owner "+string(rune('a'+i)))
			codes[i] = d.guest().ask(http.MethodPost, link, form, nil).StatusCode
		})
	}
	group.Wait()
	slices.Sort(codes[:])
	assert.Equal(t, [4]int{http.StatusSeeOther, 404, 404, 404}, codes)
}

func TestJoining(t *testing.T) {
	d := newDoor(t, settings{})
	host := d.owned()
	link := d.invited(host, "melter")
	g := d.guest()
	assert.Contains(t, g.get(link).text, "As melter: logs melts, scrap and kit.")
	taken := g.post(link, "name", "shed KEEPER", "password", goodPassword, "again", goodPassword)
	assert.Equal(t, http.StatusUnprocessableEntity, taken.StatusCode)
	assert.Contains(t, taken.text, "Somebody has that name already.")
	unlike := g.post(link, "name", "Crew", "password", goodPassword, "again", goodPassword+" ")
	assert.Contains(t, unlike.text, "The two are not the same.")
	assert.Equal(t, http.StatusSeeOther, g.post(link, "name", "Crew", "password", goodPassword, "again", goodPassword).StatusCode)
	assert.True(t, g.in())
	assert.Equal(t, http.StatusNotFound, d.guest().get(link).StatusCode, "it works once")
	assert.NotContains(t, host.get("/shop").text, "/join/", "it is shown once")

	open := d.invited(host, "owner")
	assert.Contains(t, host.get("/shop").text, "One link has not been used yet")
	assert.Equal(t, http.StatusSeeOther, host.post("/shop/links/end").StatusCode)
	assert.Equal(t, http.StatusNotFound, g.get(open).StatusCode, "withdrawn")

	d.pass(7 * 24 * time.Hour)
	late := d.invited(host, "reader")
	d.pass(7 * 24 * time.Hour)
	assert.Equal(t, http.StatusNotFound, g.get(late).StatusCode, "run out")
}

func TestPasswordReset(t *testing.T) {
	d := newDoor(t, settings{})
	host := d.owned()
	g := d.joined(host, "melter", "Crew")
	first := d.linkIn(host.post("/shop/people/2/reset"))
	link := d.linkIn(host.post("/shop/people/2/reset"))
	assert.Equal(t, http.StatusNotFound, g.get(first).StatusCode, "a newer link takes its place")
	assert.Contains(t, g.get(link).text, "For Crew.")
	other := d.guest()
	const changed = "a dozen dry moulds"
	require.Equal(t, http.StatusSeeOther, other.post(link, "password", changed, "again", changed).StatusCode)
	assert.True(t, other.in())
	assert.False(t, g.in(), "signed out everywhere else")
	assert.Equal(t, http.StatusUnprocessableEntity, d.guest().signsIn("Crew", goodPassword).StatusCode)
	assert.Equal(t, http.StatusSeeOther, d.guest().signsIn("crew", changed).StatusCode)

	// The same from a browser that is signed in as that person.
	link = d.linkIn(host.post("/shop/people/2/reset"))
	require.Equal(t, http.StatusSeeOther, other.post(link, "password", goodPassword, "again", goodPassword).StatusCode)
	assert.True(t, other.in())
}

func TestRolesAndEnding(t *testing.T) {
	d := newDoor(t, settings{})
	host := d.owned()
	g := d.joined(host, "melter", "Crew")
	last := host.post("/shop/people/1/end")
	assert.Equal(t, http.StatusUnprocessableEntity, last.StatusCode)
	assert.Contains(t, last.text, "This is the last owner")
	last = host.post("/shop/people/1/role", "role", "reader")
	assert.Equal(t, http.StatusUnprocessableEntity, last.StatusCode)
	assert.Contains(t, last.text, "Make somebody else an owner first.")

	assert.Equal(t, http.StatusForbidden, g.get("/shop/edit").StatusCode)
	assert.NotContains(t, g.get("/shop").text, "/shop/edit", "who may not is not offered it")
	assert.Equal(t, http.StatusUnprocessableEntity, host.post("/shop/people/2/role", "role", "king").StatusCode)
	require.Equal(t, http.StatusSeeOther, host.post("/shop/people/2/role", "role", "owner").StatusCode)
	assert.Equal(t, http.StatusOK, g.get("/shop/edit").StatusCode, "at once, without signing in again")

	require.Equal(t, http.StatusSeeOther, host.post("/shop/people/2/end").StatusCode)
	assert.False(t, g.in())
	assert.Equal(t, http.StatusUnprocessableEntity, g.signsIn("Crew", goodPassword).StatusCode)
	assert.Contains(t, host.get("/shop").text, "No longer here")
	back := d.linkIn(host.post("/shop/people/2/reset"))
	require.Equal(t, http.StatusSeeOther, g.post(back, "password", goodPassword, "again", goodPassword).StatusCode)
	assert.True(t, g.in())
}

func TestSignInAndOut(t *testing.T) {
	d := newDoor(t, settings{})
	d.owned()
	g := d.guest()
	assert.Equal(t, "/signin?next=%2Fmelts%3Fsource%3D3", g.get("/melts?source=3").to())
	wrong := g.post("/signin", "name", "Shed keeper", "password", "no", "next", "/melts?source=3")
	assert.Equal(t, http.StatusUnprocessableEntity, wrong.StatusCode)
	assert.Contains(t, wrong.text, "Name and password do not go together.")
	assert.Contains(t, wrong.text, `value="/melts?source=3"`)
	assert.Empty(t, wrong.Cookies(), "who is not in gets no cookie")
	right := g.post("/signin", "name", "SHED keeper", "password", goodPassword, "next", "/melts?source=3")
	assert.Equal(t, http.StatusSeeOther, right.StatusCode)
	assert.Equal(t, "/melts?source=3", right.to())
	assert.Equal(t, "/melts", g.get("/signin?next=/melts").to(), "who is in goes on")

	before := g.cookies["drosswise"]
	require.Equal(t, http.StatusSeeOther, g.signsIn("Shed keeper", goodPassword).StatusCode)
	assert.NotEqual(t, before, g.cookies["drosswise"], "each sign-in has a token of its own")
	old := d.guest()
	old.cookies["drosswise"] = before
	assert.False(t, old.in())

	kept := d.guest()
	kept.cookies["drosswise"] = g.cookies["drosswise"]
	assert.Equal(t, "/signin", g.post("/signout").to())
	assert.Empty(t, g.cookies)
	assert.False(t, kept.in(), "the cookie is worth nothing afterwards")
	assert.Equal(t, "/signin", g.post("/signout").to(), "twice is once")
}

func TestNextStaysInTheShop(t *testing.T) {
	d := newDoor(t, settings{})
	d.owned()
	for _, next := range []string{"//evil.example", "https://evil.example/", `/\evil.example`, "", "javascript:alert(1)", "/\t/evil.example"} {
		assert.Equal(t, "/", d.guest().post("/signin", "name", "Shed keeper", "password", goodPassword, "next", next).to(), next)
	}
}

func TestSignInsAreListedAndEnded(t *testing.T) {
	d := newDoor(t, settings{})
	here := d.owned()
	there := d.guest()
	there.agent = "Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/26.0 Safari/605.1.15"
	require.Equal(t, http.StatusSeeOther, there.signsIn("Shed keeper", goodPassword).StatusCode)
	page := here.get("/account").text
	assert.Contains(t, page, "Firefox on Android")
	assert.Contains(t, page, "Safari on Mac")
	assert.NotContains(t, page, "/account/signins/1/end", "this one is left by signing out")

	crew := d.joined(here, "melter", "Crew")
	assert.Equal(t, http.StatusNotFound, crew.post("/account/signins/2/end").StatusCode, "somebody else's")
	assert.Equal(t, "/account", here.post("/account/signins/2/end").to())
	assert.False(t, there.in())
	assert.True(t, here.in())

	require.Equal(t, http.StatusSeeOther, there.signsIn("Shed keeper", goodPassword).StatusCode)
	const changed = "a dozen dry moulds"
	refused := here.post("/account/password", "current", "not it at all", "password", changed, "again", changed)
	assert.Equal(t, http.StatusUnprocessableEntity, refused.StatusCode)
	assert.Contains(t, refused.text, "That is not your present password.")
	assert.True(t, there.in())
	require.Equal(t, "/account", here.post("/account/password", "current", goodPassword, "password", changed, "again", changed).to())
	assert.True(t, here.in())
	assert.False(t, there.in())
}

func TestTooManyPasswords(t *testing.T) {
	d := newDoor(t, settings{})
	host := d.owned()
	d.joined(host, "melter", "Crew")
	g := d.guest()
	g.address = "198.51.100.1:1"
	for i := range triesPerBoth {
		name := []string{"Crew", "CREW"}[i%2]
		require.Equal(t, http.StatusUnprocessableEntity, g.signsIn(name, "a wrong guess").StatusCode, i)
	}
	refused := g.signsIn("crew", goodPassword)
	assert.Equal(t, http.StatusTooManyRequests, refused.StatusCode)
	assert.Contains(t, refused.text, "Wait ten minutes")
	assert.Equal(t, "600", refused.Header.Get("Retry-After"))
	assert.Equal(t, http.StatusSeeOther, g.signsIn("Shed keeper", goodPassword).StatusCode, "others are not locked out")
	at := d.guest()
	at.address = "198.51.100.2:1"
	assert.Equal(t, http.StatusSeeOther, at.signsIn("Crew", goodPassword).StatusCode, "nor is the owner of the name, elsewhere")
}

// One name is guarded wherever the tries come from.
func TestTooManyPasswordsForOneName(t *testing.T) {
	tries := newAttempts()
	from := func(address string) (said string, header http.Header) {
		r, w := httptest.NewRequest(http.MethodPost, "/signin", nil), httptest.NewRecorder()
		r.RemoteAddr = address + ":1"
		middleware.ClientIPFromRemoteAddr(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			said = tries.tooMany(w, r, "Crew")
		})).ServeHTTP(w, r)
		return said, w.Header()
	}
	for i := range triesPerName {
		said, _ := from(fmt.Sprintf("198.51.100.%d", i))
		require.Empty(t, said, i)
	}
	said, header := from("203.0.113.7")
	assert.Contains(t, said, "Wait an hour")
	assert.Equal(t, "3600", header.Get("Retry-After"))
}

// Who knows the password may use it as often as he likes.
func TestRightPasswordsAreNotCounted(t *testing.T) {
	d := newDoor(t, settings{})
	d.owned()
	for i := range triesPerAddress + 1 {
		require.Equal(t, http.StatusSeeOther, d.guest().signsIn("Shed keeper", goodPassword).StatusCode, i)
	}
}

func TestTooManyPasswordsFromOneAddress(t *testing.T) {
	for name, c := range map[string]struct {
		settings settings
		header   func(i int) http.Header
		last     int
	}{
		"direct": {settings{}, func(int) http.Header { return nil }, http.StatusTooManyRequests},
		// Anybody can write this header: without a proxy it does not count.
		"made-up header": {settings{}, func(i int) http.Header {
			return http.Header{"X-Forwarded-For": {"203.0.113." + string(rune('1'+i%9))}}
		}, http.StatusTooManyRequests},
		"behind a proxy": {settings{proxies: 1}, func(i int) http.Header {
			return http.Header{"X-Forwarded-For": {"203.0.113.7, 203.0.113." + string(rune('1'+i%9))}}
		}, http.StatusUnprocessableEntity},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			d := newDoor(t, c.settings)
			g := d.guest()
			last := 0
			for i := range triesPerAddress + 1 {
				form := filledIn("name", "name "+string(rune('A'+i)), "password", "a wrong guess")
				last = g.ask(http.MethodPost, "/signin", form, c.header(i)).StatusCode
			}
			assert.Equal(t, c.last, last)
		})
	}
}

// It takes as long to refuse a name that nobody has as a wrong password.
func TestUnknownNamesTakeAsLong(t *testing.T) {
	d := newDoor(t, settings{})
	d.owned()
	took := map[string]time.Duration{}
	for range 9 { // by turns, so that whatever else the machine does meets both
		for _, name := range []string{"Shed keeper", "Nobody"} {
			began := time.Now()
			_, ok, err := d.knows(context.Background(), name, "a wrong guess")
			if one := time.Since(began); took[name] == 0 || one < took[name] {
				took[name] = one
			}
			require.NoError(t, err)
			require.False(t, ok)
		}
	}
	assert.Greater(t, took["Nobody"], took["Shed keeper"]/2, "%v", took)
	assert.Less(t, took["Nobody"], took["Shed keeper"]*2, "%v", took)
}

func TestABrokenDatabaseTellsNoSecrets(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	d.log = slog.New(slog.DiscardHandler)
	require.NoError(t, d.store.Close())
	res := g.get("/account")
	assert.Equal(t, http.StatusInternalServerError, res.StatusCode)
	assert.Contains(t, res.text, "look in the server's log for this number: ")
	assert.NotContains(t, res.text, "sql")
	assert.Equal(t, http.StatusServiceUnavailable, g.get("/healthz").StatusCode)
}

func TestCookiesThatAreNoSignIn(t *testing.T) {
	d := newDoor(t, settings{})
	d.owned()
	for _, value := range []string{"", "x", strings.Repeat("A", 43), "' OR 1=1 --"} {
		g := d.guest()
		g.cookies["drosswise"] = value
		res := g.get("/melts")
		assert.Equal(t, "/signin?next=%2Fmelts", res.to(), value)
		assert.Empty(t, res.Cookies(), "nothing is kept for a stranger")
	}
}

// A token that somebody reads in the database opens nothing.
func TestSessionTokensAreKeptHashed(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	db := d.beside(t)
	var kept string
	require.NoError(t, db.QueryRow("SELECT token FROM session").Scan(&kept))
	assert.NotContains(t, kept, g.cookies["drosswise"])
	thief := d.guest()
	thief.cookies["drosswise"] = kept
	assert.False(t, thief.in())
}

// beside opens the shop's database a second time.
func (d *door) beside(t *testing.T) *sql.DB {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+filepath.Join(d.dir, store.FileName))
	require.NoError(t, err)
	db.SetMaxOpenConns(1)
	t.Cleanup(func() { db.Close() })
	return db
}

func TestLookingWritesNothing(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	db := d.beside(t)
	version := func() (n int) {
		require.NoError(t, db.QueryRow("PRAGMA data_version").Scan(&n))
		return n
	}
	before := version()
	for _, path := range []string{"/account", "/shop", "/", "/shop/edit"} {
		res := g.get(path)
		require.Equal(t, http.StatusOK, res.StatusCode, path)
		assert.Empty(t, res.Cookies(), path)
	}
	assert.Equal(t, before, version(), "pages were looked at and nothing was written")
	d.pass(time.Hour)
	g.get("/account")
	noted := version()
	assert.NotEqual(t, before, noted, "once an hour the sign-in is seen")
	g.get("/account")
	assert.Equal(t, noted, version())
}

func TestCrossSitePostsAreRefused(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	for name, c := range map[string]struct {
		header http.Header
		status int
	}{
		"another site":             {http.Header{"Sec-Fetch-Site": {"cross-site"}}, http.StatusForbidden},
		"a neighbour":              {http.Header{"Sec-Fetch-Site": {"same-site"}}, http.StatusForbidden},
		"another host, no fetch":   {http.Header{"Origin": {"http://evil.example"}}, http.StatusForbidden},
		"another port, no fetch":   {http.Header{"Origin": {"http://shed.example:81"}}, http.StatusForbidden},
		"a sandbox, no fetch":      {http.Header{"Origin": {"null"}}, http.StatusForbidden},
		"this site":                {http.Header{"Sec-Fetch-Site": {"same-origin"}}, http.StatusSeeOther},
		"this host, plain http":    {http.Header{"Origin": {"http://shed.example"}}, http.StatusSeeOther},
		"no browser: phone script": {nil, http.StatusSeeOther},
	} {
		res := g.ask(http.MethodPost, "/account/theme", filledIn("theme", "dark"), c.header)
		assert.Equal(t, c.status, res.StatusCode, name)
		if c.status == http.StatusForbidden {
			assert.Contains(t, res.text, "came from another site", name)
		}
	}
	in := d.guest().ask(http.MethodPost, "/signin", filledIn("name", "Shed keeper", "password", goodPassword), http.Header{"Sec-Fetch-Site": {"cross-site"}})
	assert.Equal(t, http.StatusForbidden, in.StatusCode, "signing somebody in from elsewhere too")
}

func TestCookieFlags(t *testing.T) {
	for origin, name := range map[string]string{"": "drosswise", "http://shed.example": "drosswise", "https://shed.example": "__Host-drosswise"} {
		d := newDoor(t, settings{origin: origin})
		d.owned()
		cookies := d.guest().signsIn("Shed keeper", goodPassword).Cookies()
		require.Len(t, cookies, 1)
		c := cookies[0]
		assert.Equal(t, name, c.Name)
		assert.True(t, c.HttpOnly)
		assert.Equal(t, http.SameSiteLaxMode, c.SameSite)
		assert.Equal(t, "/", c.Path)
		assert.Empty(t, c.Domain)
		assert.Equal(t, strings.HasPrefix(origin, "https:"), c.Secure)
		assert.InDelta(t, 90*24*3600, c.MaxAge, 5)
		assert.GreaterOrEqual(t, len(c.Value), 43, "256 random bits")
	}
}

func TestSecurityHeaders(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	for _, path := range []string{"/account", "/shop", "/signin", "/nothing/here", "/join/NONE", "/healthz"} {
		h := g.get(path).Header
		csp := h.Get("Content-Security-Policy")
		assert.Contains(t, csp, "default-src 'self'", path)
		assert.Contains(t, csp, "frame-ancestors 'none'", path)
		assert.Contains(t, csp, "form-action 'self'", path)
		assert.NotContains(t, csp, "unsafe", path)
		assert.Equal(t, "nosniff", h.Get("X-Content-Type-Options"), path)
		assert.Equal(t, "same-origin", h.Get("Referrer-Policy"), path)
		assert.Contains(t, strings.Join(h.Values("Cache-Control"), ","), "no-store", path)
	}
	inline := regexp.MustCompile(`(?i)<script(?:[^>]*[^>s]|)>[^<]|<style|\sstyle=|\son[a-z]+=|href="javascript:`)
	for _, path := range []string{"/account", "/shop", "/shop/edit", "/shop/tariffs/new", "/shop/people/1"} {
		assert.False(t, inline.MatchString(g.get(path).text), "%s: %q", path, inline.FindString(g.get(path).text))
	}
}

func TestLargeBodiesAreRefused(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	assert.Equal(t, http.StatusRequestEntityTooLarge, g.post("/shop", "shop", strings.Repeat("x", maxBody)).StatusCode)
}

func TestThemes(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	assert.NotContains(t, g.get("/account").text, "data-theme")
	require.Equal(t, "/account", g.post("/account/theme", "theme", "glare").to())
	assert.Contains(t, g.get("/account").text, `data-theme="glare"`)
	assert.Equal(t, http.StatusBadRequest, g.post("/account/theme", "theme", "plaid").StatusCode)
}

func TestThumbs(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	before := g.get("/account").text
	assert.NotContains(t, before, "data-left")
	assert.Contains(t, before, "data-pad")
	require.Equal(t, "/account", g.post("/account/thumb", "hand", "left").to())
	after := g.get("/account").text
	assert.Contains(t, after, "data-left")
	assert.NotContains(t, after, "data-pad")
	require.Equal(t, "/account", g.post("/account/thumb", "hand", "right", "pad", "1").to())
	assert.Equal(t, before, g.get("/account").text)
	assert.Equal(t, http.StatusBadRequest, g.post("/account/thumb", "hand", "third").StatusCode)
}

func TestPasswords(t *testing.T) {
	ctx := t.Context()
	one, err := hashPassword(ctx, goodPassword)
	require.NoError(t, err)
	two, err := hashPassword(ctx, goodPassword)
	require.NoError(t, err)
	assert.NotEqual(t, one, two, "salted")
	assert.True(t, strings.HasPrefix(one, "$argon2id$v=19$m=19456,t=2,p=1$"), one)
	for password, right := range map[string]bool{goodPassword: true, goodPassword + " ": false, "": false, "Nine warm crucibles": false} {
		got, err := checkPassword(ctx, one, password)
		require.NoError(t, err)
		assert.Equal(t, right, got, password)
	}
	// The reference implementation's own test of argon2id (phc-winner-argon2,
	// src/test.c, version 0x13: "password", "somesalt", t=2, m=2^16 KiB, p=1).
	const vector = "CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc"
	assert.Equal(t, vector, base64.RawStdEncoding.EncodeToString(argon2.IDKey([]byte("password"), []byte("somesalt"), 2, 1<<16, 1, 32)))
	_, err = checkPassword(ctx, "$argon2id$v=19$m=65536,t=2,p=1$c29tc2FsdA$"+vector, "password")
	assert.Error(t, err, "of another cost: refused, not misread")
	cancelled, cancel := context.WithCancel(ctx)
	cancel()
	hashing <- struct{}{}
	hashing <- struct{}{}
	_, err = hashPassword(cancelled, goodPassword)
	<-hashing
	<-hashing
	assert.ErrorIs(t, err, context.Canceled, "who waits for a turn can give up")
}

func TestDeviceNames(t *testing.T) {
	for agent, want := range map[string]string{
		"Mozilla/5.0 (Android 15; Mobile; rv:140.0) Gecko/140.0 Firefox/140.0":                                                                    "Firefox on Android",
		"Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.0 Mobile/15E148 Safari/604.1": "Safari on iPhone",
		"Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/140.0.0.0 Mobile Safari/537.36":                         "Chrome on Android",
		"Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/140.0.0.0 Safari/537.36 Edg/140.0.0.0":           "Edge on Windows",
		"Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) CriOS/140.0 Mobile/15E148 Safari/604.1":  "Chrome on iPhone",
		"curl/8.0": "A browser on an unknown device",
		"":         "A browser on an unknown device",
	} {
		assert.Equal(t, want, deviceOf(agent))
	}
}
