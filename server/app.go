package main

import (
	"bytes"
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"net/url"
	"time"

	"github.com/a-h/templ"
	"github.com/alexedwards/scs/v2"
	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"

	"drosswise/server/ageing"
	"drosswise/server/copies"
	"drosswise/static"
	"drosswise/store"
)

// app is the door: it answers requests from the store.
type app struct {
	store    *store.Store
	log      *slog.Logger
	api      *described
	sessions *scs.SessionManager
	attempts attempts // at passwords
	settings settings
	yields   *beside[estimated]   // what all melts tell of scrap
	ages     *beside[ageing.Book] // how kit wears
	curves   *curves              // what readings come to
	copies   *copies.Folder       // nil when none are made
	metrics  *metrics
	uploads  chan struct{}   // photos on their way in
	ending   <-chan struct{} // closed when the server is to stop
	secure   *secured        // nil without HTTPS of our own
	http.Handler
}

// newApp makes the door of a shop. It is an http.Handler as people run it;
// tests use the same.
func newApp(st *store.Store, log *slog.Logger, s settings) (*app, error) {
	a := &app{store: st, log: log, settings: s, attempts: newAttempts(), uploads: make(chan struct{}, photosAtOnce)}
	a.yields = &beside[estimated]{what: "estimate", changes: st.Changes, log: log, work: func(ctx context.Context) (*estimated, error) { return estimateAll(ctx, st) }}
	a.ages = &beside[ageing.Book]{what: "wear", changes: st.WearChanges, log: log, work: func(ctx context.Context) (*ageing.Book, error) { return ageing.Read(ctx, st) }}
	a.curves = &curves{store: st, log: log, wanted: map[int64]bool{}}
	a.metrics = newMetrics(a)
	a.api = a.describe()
	a.sessions = newSessions(st)
	a.sessions.ErrorFunc = a.sessionFailed
	cross := http.NewCrossOriginProtection()
	if s.origin != "" {
		u, err := url.Parse(s.origin)
		if err != nil || u.Host == "" {
			return nil, fmt.Errorf("-origin %q is not an address like https://melts.example.org", s.origin)
		}
		if err := cross.AddTrustedOrigin(u.Scheme + "://" + u.Host); err != nil {
			return nil, fmt.Errorf("-origin: %w", err)
		}
	}
	cross.SetDenyHandler(http.HandlerFunc(a.refuseCrossSite))

	r := chi.NewRouter()
	if s.proxies > 0 {
		r.Use(middleware.ClientIPFromXFFTrustedProxies(s.proxies))
	} else {
		r.Use(middleware.ClientIPFromRemoteAddr)
	}
	r.Use(a.logged, a.recovered, headers, middleware.Compress(5, "text/html", "text/css", "text/javascript", "image/svg+xml", "application/json"))
	r.Use(limited, middleware.Timeout(maxTime), cross.Handler, middleware.GetHead)
	r.Get("/healthz", a.health)
	r.Handle("/static/*", static.Handler())
	r.Get("/sw.js", static.Worker)
	r.Get("/manifest.webmanifest", static.Manifest)
	r.Group(func(r chi.Router) {
		r.Use(a.withSession)
		for _, rt := range a.routes() {
			r.Method(rt.method, rt.pattern, a.guard(rt))
		}
		r.NotFound(a.guard(route{least: anyone, handle: nothingHere}).ServeHTTP)
		r.MethodNotAllowed(a.guard(route{least: anyone, handle: otherWay}).ServeHTTP)
	})
	a.Handler = r
	return a, nil
}

// end stops what is being worked out beside the pages: after it the store can be
// closed.
func (a *app) end() {
	a.yields.end()
	a.ages.end()
	a.curves.end()
}

// health answers whether the database answers.
func (a *app) health(w http.ResponseWriter, r *http.Request) {
	if err := a.store.Ping(r.Context()); err != nil {
		a.log.Error("health", "err", err)
		http.Error(w, "the database does not answer", http.StatusServiceUnavailable)
		return
	}
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	fmt.Fprint(w, "ok")
}

// show renders a page whole before the first byte goes out, so that a failure
// can still become an error page.
func (a *app) show(w http.ResponseWriter, r *http.Request, status int, page templ.Component) error {
	var b bytes.Buffer
	if err := page.Render(r.Context(), &b); err != nil {
		return fmt.Errorf("render: %w", err)
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, err := b.WriteTo(w)
	if err != nil {
		a.log.Debug("answer not taken", "err", err)
	}
	return nil
}

// seeOther sends the browser on after something was saved.
func seeOther(w http.ResponseWriter, r *http.Request, where string) error {
	http.Redirect(w, r, where, http.StatusSeeOther)
	return nil
}

// limits of a request's body and of the time its answer may take.
const (
	maxBody = 256 << 10
	maxTime = 60 * time.Second
)

// headers says what a browser may do with our pages: nothing from elsewhere,
// nothing inline, in nobody's frame.
func headers(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; object-src 'none'")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(self), geolocation=(), microphone=()")
		h.Set("Cache-Control", "no-store")
		next.ServeHTTP(w, r)
	})
}

// limited cuts off bodies that are too large. Nobody reads one before it is
// known who sends it.
func limited(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		most := int64(maxBody)
		switch {
		case takesPhoto(r):
			most = maxPhotoBody
		case takesOldNotes(r):
			most = maxOldBody
		case takesLogFile(r):
			most = maxLogBody
		case takesLogText(r):
			most = maxLogJSON
		case takesReadings(r):
			most = maxReadings
		}
		r.Body = http.MaxBytesReader(w, r.Body, most)
		next.ServeHTTP(w, r)
	})
}
