package main

import (
	"crypto/rand"
	"encoding/json"
	"errors"
	"maps"
	"net/http"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"

	"drosswise/foundry/melt"
	"drosswise/store"
	"drosswise/views"
)

// What a visitor may run into beside what the store says.
var (
	errForbidden = errors.New("not allowed")
	errSignedOut = errors.New("signed out")
	errCrossSite = errors.New("cross-site request")
	errTooLarge  = errors.New("request too large")
	errBadForm   = errors.New("form cannot be read")
	errTooOften  = errors.New("too many attempts")
	errNotYet    = errors.New("no estimate yet")
	errNotTwo    = errors.New("not two sources")
	errOtherWay  = errors.New("method not allowed")
	errOther     = errors.New("sent for another person")
	errToken     = errors.New("token does not work")
	errScope     = errors.New("token does not reach so far")
)

// answer is how a kind of failure is told: status, heading and what to do.
type answer struct {
	status int
	title  string
	detail string
}

var (
	notFound = answer{http.StatusNotFound, "There is nothing here", "The address may be mistyped, or what stood here was never in this shop."}
	unknown  = answer{http.StatusInternalServerError, "That did not work", "The fault is ours, and what was saved before is still there. Try again; if it stays, look in the server's log for this number:"}
)

// answers pairs each failure with its answer, the first that fits.
var answers = []struct {
	err error
	answer
}{
	{store.ErrNotFound, notFound},
	{store.ErrConflict, answer{http.StatusConflict, "That has changed meanwhile", "Somebody else, or a second tap, was there first, so nothing was changed. Go back, load the page again and look."}},
	{errForbidden, answer{http.StatusForbidden, "That is not yours to do", "Your role in this shop does not reach so far. An owner can change that under Set-up."}},
	{store.ErrFull, answer{http.StatusUnprocessableEntity, "The melt has too many readings", "Nothing of this was kept. A melt takes 4 million readings of 40 sensors. See whether the logger goes on sending to a melt that is long over, or sends more often than it needs to."}},
	{errSignedOut, answer{http.StatusUnauthorized, "Sign in first", "Sign in, then send it again."}},
	{errToken, answer{http.StatusUnauthorized, "That token does not work", "It may have expired or been ended, or be mistyped. Its person makes a new one under Your account, Tokens for programs."}},
	{errScope, answer{http.StatusForbidden, "That token does not reach so far", "Make one of a wider scope under Your account, Tokens for programs, if the program is to do this. Pages are for browsers, which sign in."}},
	{errCrossSite, answer{http.StatusForbidden, "That came from another site", "It was not saved. If you run Drosswise behind a proxy, let it pass the Host header on, or start it with -origin."}},
	{errTooLarge, answer{http.StatusRequestEntityTooLarge, "That is too much at once", "It was not saved. Send less at a time."}},
	{errBadForm, answer{http.StatusBadRequest, "The form came in broken", "It was not saved. Go back, load the page again and send it once more."}},
	{errNotYet, answer{http.StatusServiceUnavailable, "The first estimate is being made", "Ask again in a moment."}},
	{errNotTwo, answer{http.StatusBadRequest, "Those are not two sources", "Give the numbers of two different sources of this shop as a and b."}},
	{errOther, answer{http.StatusForbidden, "Somebody else is signed in", "What was logged on this phone by another person waits until that person signs in here again."}},
	{errOtherWay, answer{http.StatusMethodNotAllowed, "That cannot be done here", "Something is at this address, and it cannot be asked in this way."}},
	{errTooOften, answer{http.StatusTooManyRequests, "Too many attempts", "Wait a few minutes, then try again."}},
}

// answerTo is the answer to a failure, unknown when it is none of these.
func answerTo(err error) answer {
	for _, x := range answers {
		if errors.Is(err, x.err) {
			return x.answer
		}
	}
	return unknown
}

// fail answers a request that could not be done: a page for a person, problem
// details (RFC 9457) for a program. What is not known is logged with a number
// and never shown.
func (a *app) fail(w http.ResponseWriter, r *http.Request, v visit, err error) {
	an, id := answerTo(err), ""
	var refused melt.Refusals
	if errors.As(err, &refused) {
		an = answer{http.StatusUnprocessableEntity, notWritten, refused[0].Say(v.style)}
	}
	if an.status == http.StatusInternalServerError {
		id = faultID()
		a.log.Error("request failed", "id", id, "route", routeOf(r), "err", err)
	}
	challenge(w, r, err)
	if wantsJSON(r) {
		a.problem(w, an, faultNumber(id))
		return
	}
	page := views.Problem{Title: an.title, Detail: an.detail, ID: id, SignedOut: !v.signedIn()}
	if err := a.show(w, r, an.status, page.Page(a.frame(r, v, an.title, ""))); err != nil {
		a.log.Error("error page failed", "err", err)
		http.Error(w, an.title, an.status)
	}
}

// refused tells a script what is wrong with a form: what cannot be, and what is
// doubted, each by field.
func (a *app) refused(w http.ResponseWriter, f *form) error {
	an := answer{http.StatusUnprocessableEntity, notWritten, ""}
	for _, said := range []map[string]string{f.doubts, f.faults} {
		for _, field := range slices.Sorted(maps.Keys(said)) {
			an.detail = said[field]
		}
	}
	a.problem(w, an, map[string]any{"faults": f.faults, "doubts": f.doubts})
	return nil
}

// faultNumber is the member of problem details that names a fault in the log.
func faultNumber(id string) map[string]any {
	if id == "" {
		return nil
	}
	return map[string]any{"instance": faultURN(id)}
}

func faultURN(id string) string { return "urn:drosswise:fault:" + id }

// problem writes problem details, with more members if there are any.
func (a *app) problem(w http.ResponseWriter, an answer, more map[string]any) {
	body := map[string]any{"type": "about:blank", "title": an.title, "status": an.status, "detail": an.detail}
	maps.Copy(body, more)
	w.Header().Set("Content-Type", "application/problem+json")
	w.WriteHeader(an.status)
	if err := json.NewEncoder(w).Encode(body); err != nil {
		a.log.Debug("answer not taken", "err", err)
	}
}

// wantsJSON reports whether a program asks: by what it accepts, by how it gets in, or by where.
func wantsJSON(r *http.Request) bool {
	if _, program := bearer(r); program || strings.HasPrefix(r.URL.Path, "/api/") {
		return true
	}
	accept := r.Header.Get("Accept")
	return strings.Contains(accept, "json") && !strings.Contains(accept, "text/html")
}

// faultID is a short number that cannot be misread over the telephone.
func faultID() string {
	const letters = "abcdefghjkmnpqrstuvwxyz23456789"
	b := make([]byte, 8)
	rand.Read(b) // never fails
	for i := range b {
		b[i] = letters[int(b[i])%len(letters)]
	}
	return string(b)
}

// offlinePage is what a phone keeps to show for pages that it does not keep.
func offlinePage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	page := views.Problem{Title: "No answer from the shop", Detail: "This page is not kept on the phone. The running melts, Today and the lists seen last open without the shop, and what you log waits on the phone until it answers."}
	return a.show(w, r, http.StatusOK, page.Page(views.Frame{Title: page.Title, Shop: v.shop.Name, Style: v.style, Now: v.now}))
}

// refuseCrossSite answers before a session is at hand for a page.
func (a *app) refuseCrossSite(w http.ResponseWriter, r *http.Request) {
	an := answerTo(errCrossSite)
	if wantsJSON(r) {
		a.problem(w, an, nil)
		return
	}
	http.Error(w, an.title+". "+an.detail, an.status)
}

// recovered turns a panic into an ordinary failure.
func (a *app) recovered(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			p := recover()
			if p == nil {
				return
			}
			if p == http.ErrAbortHandler {
				panic(p)
			}
			id := faultID()
			a.log.Error("panic", "id", id, "route", routeOf(r), "value", p, "stack", string(debug.Stack()))
			a.problem(w, unknown, faultNumber(id))
		}()
		next.ServeHTTP(w, r)
	})
}

// logged notes each request by its route, without what was asked for.
func (a *app) logged(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		began := time.Now()
		ww := middleware.NewWrapResponseWriter(w, r.ProtoMajor)
		next.ServeHTTP(ww, r)
		took := time.Since(began)
		a.metrics.saw(r, ww.Status(), took)
		a.log.Debug("request", "method", r.Method, "route", routeOf(r), "status", ww.Status(), "took", took)
	})
}

func routeOf(r *http.Request) string {
	if c := chi.RouteContext(r.Context()); c != nil {
		return c.RoutePattern()
	}
	return ""
}
