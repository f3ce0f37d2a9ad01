package main

import (
	"io"
	"log"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/static"
)

// pagesKept lists the pages that the service worker keeps, and complains of one
// whose files are not all beside it.
const pagesKept = `(async () => {
	const all = [];
	for (const name of await caches.keys()) {
		const cache = await caches.open(name);
		for (const request of await cache.keys()) {
			const path = new URL(request.url).pathname;
			if (path.startsWith("/static/") || ["/offline", "/whose", "/healthz"].includes(path)) continue;
			all.push(path);
			const text = await (await cache.match(request)).text();
			for (const file of text.match(/\/static\/[0-9a-f]{12}\/[\w.-]+/g) || []) if (!await cache.match(file)) all.push("no " + file + " for " + path);
		}
	}
	return all.sort();
})()`

// keepsPages waits until the service worker keeps these pages and no others.
func (b *tab) keepsPages(want ...string) {
	b.t.Helper()
	got, want := []string(nil), append([]string{}, want...)
	for began := time.Now(); time.Since(began) < patience; time.Sleep(50 * time.Millisecond) {
		if got = ask[[]string](b, pagesKept); assert.ObjectsAreEqual(want, got) {
			return
		}
	}
	require.Equal(b.t, want, got)
}

// gate is a shop behind a line that can be cut for whoever asks, service workers
// too, which the browser's own emulation lets through.
type gate struct {
	*httptest.Server
	cut atomic.Bool
}

func gated(t *testing.T, s http.Handler) *gate {
	g := &gate{}
	g.Server = httptest.NewUnstartedServer(g.pass(s))
	g.begin(t, g.Start)
	return g
}

// pass lets requests through while the line is not cut.
func (g *gate) pass(s http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if g.cut.Load() {
			panic(http.ErrAbortHandler)
		}
		s.ServeHTTP(w, r)
	})
}

func (g *gate) begin(t *testing.T, start func()) {
	g.Config.ErrorLog = log.New(io.Discard, "", 0)
	start()
	t.Cleanup(g.Close)
}

// open lets everybody through, or nobody any more.
func (g *gate) open(yes bool) {
	g.cut.Store(!yes)
	if !yes {
		g.CloseClientConnections()
	}
}

// TestReloadedWithoutTheNetwork reloads the page of a melt while the network is
// gone, goes to other pages and comes back, on the addresses that browsers
// trust: this machine's own, and one with a certificate of the shop's.
func TestReloadedWithoutTheNetwork(t *testing.T) {
	for name, gated := range map[string]func(*testing.T, http.Handler) *gate{"on this machine": gated, "over HTTPS": gatedHTTPS} {
		t.Run(name, func(t *testing.T) { reloadedWithoutTheNetwork(t, gated) })
	}
}

func reloadedWithoutTheNetwork(t *testing.T, gated func(*testing.T, http.Handler) *gate) {
	s, p := afternoon(t)
	code := p.start("")
	at := "/melts/" + string(code)
	g := gated(t, s)
	b := browse(t, g.URL)
	b.signIn()
	b.keepsPages("/", "/melts", at, at+"/forms")
	b.tap("Go on with")
	b.ready()
	g.open(false)
	b.shows("No answer from the shop. This page is as it was at") // also while it stays open
	b.loads(chromedp.Reload())
	b.shows("No answer from the shop. This page is as it was at")
	b.ready()
	ask[bool](b, "navigator.storage.persist = async () => window.asksToKeep = true, true")
	b.tap("Weigh in")
	b.enter("mass", "2.150")
	b.choose("source", "Wheels")
	b.tap("Weigh in")
	b.shows("Charged Wheels 2.150 kg. Kept here, not sent.")
	assert.True(t, ask[bool](b, "window.asksToKeep === true"), "what waits is not thrown away for want of room")
	b.loads(chromedp.Reload())
	b.shows("Charged Wheels Kept here, not sent.")
	b.ready()
	assert.Equal(t, "source-1", ask[string](b, "Melt.template('data-form=charge').content.querySelector('[name=source]').value"), "the last source is still chosen")
	b.tap("Mark power on")
	b.tap("Temp")
	b.enter("temp", "690")
	b.press("In the metal")
	b.tap("Write the temperature")
	b.shows("3 lines kept here, not sent")
	b.tap("Temp")
	b.loads(chromedp.Reload()) // with a form open
	b.shows("Where it was read")
	b.tap("Back without saving")
	b.shows("Power on. Tap when isolated")

	b.open("/")
	b.shows("Go on with " + string(code))
	b.shows("This page is as it was at")
	b.open("/melts")
	b.shows("Melts")
	b.open("/shop")
	b.shows("This page is not kept on the phone")
	b.shows("3 lines kept on this phone, not sent")
	assert.Empty(t, b.violations())
	b.open(at)
	b.shows("Power on. Tap when isolated")
	b.shows("3 lines kept here, not sent")
	require.Empty(t, s.lines(t, code))
	g.open(true)
	b.press("Send now")
	b.drained()
	assert.Len(t, s.lines(t, code), 3)
	for began := time.Now(); strings.Contains(b.text(), "as it was at"); time.Sleep(20 * time.Millisecond) {
		require.Less(t, time.Since(began), patience, "the page is the shop's again")
	}
}

// TestSigningOutForgetsThePages leaves nothing of a person's pages in the phone
// once they signed out, or somebody else signed in.
func TestSigningOutForgetsThePages(t *testing.T) {
	s, p := afternoon(t)
	code := p.start("")
	at := "/melts/" + string(code)
	g := gated(t, s)
	b := browse(t, g.URL)
	b.signIn()
	b.keepsPages("/", "/melts", at, at+"/forms")
	b.open("/account")
	b.tap("Sign out")
	b.keepsPages()
	g.open(false)
	b.open("/")
	b.shows("This page is not kept on the phone")
	g.open(true)

	b.signIn()
	b.keepsPages("/", "/melts", at, at+"/forms")
	s.endSignIns(t) // by the owner, from another device
	b.open("/melts")
	require.Contains(t, b.where(), "/signin")
	b.keepsPages()
}

// TestANewVersionOfThePages updates the program under an open phone: what it
// keeps is fetched anew for the new version, or all of it stays.
func TestANewVersionOfThePages(t *testing.T) {
	s, p := afternoon(t)
	code := p.start("")
	at := "/melts/" + string(code)
	var version atomic.Int32
	g := gated(t, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if v := version.Load(); r.URL.Path == "/sw.js" && v > 0 {
			old := httptest.NewRecorder()
			static.Worker(old, r)
			w.Header().Set("Content-Type", "text/javascript")
			w.Write([]byte(strings.Replace(old.Body.String(), "[", `["/healthz?`+strings.Repeat("x", int(v))+`",`, 1)))
			return
		}
		if version.Load() == 1 && r.URL.Path == at {
			panic(http.ErrAbortHandler) // the network goes while the new version is fetched
		}
		s.ServeHTTP(w, r)
	}))
	b := browse(t, g.URL)
	b.signIn()
	b.keepsPages("/", "/melts", at, at+"/forms")
	caches := func() []string { return ask[[]string](b, "caches.keys()") }
	first := caches()
	require.Len(t, first, 1)
	update := func() {
		t.Helper()
		ask[bool](b, `(async () => {
			const r = await navigator.serviceWorker.getRegistration();
			await r.update().catch(() => {});
			for (const began = Date.now(); (r.installing || r.waiting) && Date.now() - began < 10000;) await new Promise((done) => setTimeout(done, 50));
			return true;
		})()`)
	}
	version.Store(1)
	update()
	assert.Contains(t, caches(), first[0], "the old version stays, whole")
	version.Store(2)
	update()
	require.Eventually(t, func() bool { now := caches(); return len(now) == 1 && now[0] != first[0] }, patience, 100*time.Millisecond)
	b.keepsPages("/", "/melts", at, at+"/forms")
	g.open(false)
	b.open(at)
	b.shows("Power is off")
}
