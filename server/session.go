package main

import (
	"errors"
	"net/http"
	"strings"

	"github.com/alexedwards/scs/v2"

	"drosswise/store"
)

// newSessions makes what keeps a browser's cookie and a sign-in together. How
// long a sign-in may rest is not left to scs, which would write at every
// request: the store looks at when the sign-in was last seen.
func newSessions(st *store.Store) *scs.SessionManager {
	m := scs.New()
	m.Store = st.Sessions()
	m.HashTokenInStore = true
	m.Lifetime = store.SignInLasts
	m.Cookie.Name = "drosswise"
	m.Cookie.HttpOnly = true
	m.Cookie.SameSite = http.SameSiteLaxMode
	return m
}

// withSession finds the session of a request. Cookies do not tell ports apart
// (RFC 6265, 8.5), so that HTTPS has a cookie of its own: it is never sent over
// plain http, and signing in on one does not sign out on the other.
func (a *app) withSession(next http.Handler) http.Handler {
	same := *a.sessions // with the key by which handlers find the session
	same.Cookie.Secure = true
	same.Cookie.Name = "__Host-drosswise" // browsers take it over https only, from this host only
	plain, secure := a.sessions.LoadAndSave(next), same.LoadAndSave(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if a.overHTTPS(r) {
			secure.ServeHTTP(w, r)
		} else {
			plain.ServeHTTP(w, r)
		}
	})
}

// overHTTPS reports whether the visitor's browser speaks HTTPS, to us or to the
// proxy in front.
func (a *app) overHTTPS(r *http.Request) bool {
	return r.TLS != nil || strings.HasPrefix(a.settings.origin, "https://")
}

// sessionFailed answers where the session itself cannot be read or kept.
func (a *app) sessionFailed(w http.ResponseWriter, r *http.Request, err error) {
	id := faultID()
	a.log.Error("session failed", "id", id, "route", routeOf(r), "err", err)
	http.Error(w, unknown.title+". "+unknown.detail+" "+id, unknown.status)
}

// signinKey is where the session keeps the number of its sign-in.
const signinKey = "signin"

// whoIs gives the person who asks and the sign-in they ask by; both are zero
// for somebody who is not signed in.
func (a *app) whoIs(r *http.Request) (store.Person, int64, error) {
	ctx := r.Context()
	signin := a.sessions.GetInt64(ctx, signinKey)
	if signin == 0 {
		return store.Person{}, 0, nil
	}
	p, due, err := a.store.Who(ctx, signin)
	if errors.Is(err, store.ErrNotFound) {
		return store.Person{}, 0, nil
	}
	if err != nil {
		return store.Person{}, 0, err
	}
	if due {
		// A page can be looked at even where nothing can be written.
		if err := a.store.Seen(ctx, signin); err != nil {
			a.log.Warn("sign-in not noted", "err", err)
		}
	}
	return p, signin, nil
}

// letIn signs a person in on the device that asks. The session gets a new
// token, so that one which was known before is worth nothing.
func (a *app) letIn(r *http.Request, v visit, p store.Person) error {
	ctx := r.Context()
	if v.signedIn() {
		if err := a.store.EndSignIn(ctx, v.person.ID, v.signin); err != nil {
			return err
		}
	}
	signin, err := a.store.SignIn(ctx, p.ID, deviceOf(r.UserAgent()))
	if err != nil {
		return err
	}
	if err := a.sessions.RenewToken(ctx); err != nil {
		return err
	}
	a.sessions.Put(ctx, signinKey, signin)
	return nil
}

// deviceOf makes of a browser's long name two words that its owner knows it
// by. The first that fits counts: most browsers also name others.
func deviceOf(agent string) string {
	find := func(pairs [][2]string, otherwise string) string {
		for _, p := range pairs {
			if strings.Contains(agent, p[0]) {
				return p[1]
			}
		}
		return otherwise
	}
	browser := find([][2]string{
		{"Edg", "Edge"}, {"OPR/", "Opera"}, {"SamsungBrowser", "Samsung Internet"}, {"Firefox", "Firefox"}, {"FxiOS", "Firefox"},
		{"CriOS", "Chrome"}, {"Chrome", "Chrome"}, {"Safari", "Safari"},
	}, "A browser")
	system := find([][2]string{
		{"iPhone", "iPhone"}, {"iPad", "iPad"}, {"Android", "Android"}, {"Windows", "Windows"}, {"CrOS", "ChromeOS"},
		{"Macintosh", "Mac"}, {"Linux", "Linux"},
	}, "an unknown device")
	return browser + " on " + system
}
