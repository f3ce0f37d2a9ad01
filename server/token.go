package main

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/quantity"
	"drosswise/store"
	"drosswise/views"
)

// bearer gives the token that a program sends (RFC 6750, 2.1); ok is false for
// a request without one.
func bearer(r *http.Request) (text string, ok bool) {
	scheme, text, ok := strings.Cut(r.Header.Get("Authorization"), " ")
	return strings.TrimSpace(text), ok && strings.EqualFold(scheme, "Bearer")
}

// program gives the person in whose name a program asks, whose role reaches no
// further than the token's scope.
func (a *app) program(ctx context.Context, text string) (store.Person, store.Scope, error) {
	p, k, err := a.store.Bearer(ctx, text)
	if errors.Is(err, store.ErrNotFound) {
		return store.Person{}, "", errToken
	}
	if err != nil {
		return store.Person{}, "", err
	}
	if err := a.store.TokenUsed(ctx, k); err != nil {
		a.log.Warn("token not noted", "err", err)
	}
	if k.Scope == store.ScopeLog && roleOf(p.Role) > melter {
		p.Role = "melter"
	}
	return p, k.Scope, nil
}

// readingsPattern is the one address that a token for readings reaches.
const readingsPattern = "/api/v1/melts/{code}/readings"

// reaches reports whether a token's scope reaches an address. What the pages do
// beside the API is for browsers; what they hand out as a file is for programs
// too.
func reaches(scope store.Scope, rt route) bool {
	api, looks := strings.HasPrefix(rt.pattern, "/api/") || rt.pattern == "/metrics", rt.method == get
	file := looks && (strings.HasSuffix(rt.pattern, ".csv") || strings.HasSuffix(rt.pattern, ".jpg"))
	switch scope {
	case store.ScopeReadings:
		return rt.method == post && rt.pattern == readingsPattern
	case store.ScopeRead:
		return looks && (api || file) && rt.pattern != exportPath && rt.pattern != copyPath
	}
	return api || file
}

// challenge says to a program by which rule it was not let in (RFC 6750, 3).
func challenge(w http.ResponseWriter, r *http.Request, err error) {
	switch {
	case errors.Is(err, errToken):
		w.Header().Set("WWW-Authenticate", `Bearer realm="Drosswise", error="invalid_token"`)
	case errors.Is(err, errScope):
		w.Header().Set("WWW-Authenticate", `Bearer realm="Drosswise", error="insufficient_scope"`)
	case errors.Is(err, errSignedOut):
		w.Header().Set("WWW-Authenticate", `Bearer realm="Drosswise"`)
	}
}

func tokensPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.showTokens(w, r, v, http.StatusOK, newForm(url.Values{"scope": {string(store.ScopeReadings)}, "days": {"365"}}, v.style))
}

func (a *app) showTokens(w http.ResponseWriter, r *http.Request, v visit, status int, f *form) error {
	tokens, err := a.store.Tokens(r.Context(), v.person.ID)
	if err != nil {
		return err
	}
	page := views.Tokens{Form: f.typed()}
	for _, k := range tokens {
		page.Tokens = append(page.Tokens, views.Token{ID: k.ID, Name: k.Name, Scope: string(k.Scope), At: k.At, Expires: k.Expires, Used: k.Used})
	}
	return a.show(w, r, status, page.Page(a.frame(r, v, "Tokens for programs", "")))
}

// mostName is how many letters the name of a token may have.
const mostName = 80

// makeToken makes a token. It is shown in the answer itself, and kept nowhere
// that it could be read from later.
func makeToken(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	name := f.name("name", mostName, "Say what the token is for, so that you know it again.")
	scope := store.Scope(f.one("scope", string(store.ScopeReadings), string(store.ScopeRead), string(store.ScopeLog), string(store.ScopeAll)))
	days, _ := strconv.Atoi(f.one("days", "30", "90", "365", "1826"))
	if !f.ok() {
		return a.showTokens(w, r, v, http.StatusUnprocessableEntity, f)
	}
	text, err := a.store.MakeToken(r.Context(), v.person.ID, name, scope, v.now+quantity.Moment(days)*quantity.Moment(24*quantity.Hour))
	if err != nil {
		return err
	}
	page := views.TokenGiven{Name: name, Text: text}
	return a.show(w, r, http.StatusOK, page.Page(a.frame(r, v, "The token for "+name, "")))
}

func endToken(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	if err := a.store.EndToken(r.Context(), v.person.ID, pathID(chi.URLParam(r, "id"))); err != nil {
		return err
	}
	a.flash(r, "The token no longer works.")
	return seeOther(w, r, "/account/tokens")
}
