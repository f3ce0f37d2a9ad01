package main

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"drosswise/foundry/quantity"
	"drosswise/store"
	"drosswise/views"
)

// visit is what a handler knows of the request it answers: who asks, in which
// shop, and how that shop writes numbers.
type visit struct {
	person store.Person // zero when signed out
	signin int64        // the sign-in this is part of, 0 for a program
	scope  store.Scope  // how far a program's token reaches, "" for a browser
	shop   store.Shop
	style  quantity.Style
	now    quantity.Moment
}

// What a script reads of who is signed in and of the shop's clock in any
// answer, and whom it may name when it sends what somebody logged earlier.
const (
	personHeader = "Drosswise-Person"
	nowHeader    = "Drosswise-Now" // milliseconds since 1970 UTC
)

// tag names the person in this shop and no other, "" while nobody is signed
// in: a phone keeps lines by it, and two shops may have had one address.
func (v visit) tag() string {
	if !v.signedIn() {
		return ""
	}
	return strconv.FormatInt(v.person.ID, 36) + "-" + strconv.FormatInt(int64(v.person.Since), 36)
}

func (v visit) signedIn() bool { return v.person.ID != 0 }

// may reports whether the visitor has at least a role.
func (v visit) may(least role) bool {
	return least == anyone || v.signedIn() && roleOf(v.person.Role) >= least
}

// guard lets through who may, and turns what a handler could not do into an
// answer.
func (a *app) guard(rt route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		v, err := a.visitOf(r)
		if err != nil {
			a.fail(w, r, v, err)
			return
		}
		w.Header().Set(nowHeader, strconv.FormatInt(int64(v.now), 10))
		w.Header().Set(personHeader, v.tag())
		who := r.Header.Get(personHeader)
		switch {
		// Where nothing is, no scope is too narrow: nothingHere and otherWay say so.
		case v.scope != "" && rt.pattern != "" && !reaches(v.scope, rt):
			a.fail(w, r, v, errScope)
		case who != "" && v.signedIn() && who != v.tag():
			a.fail(w, r, v, errOther)
		case v.may(rt.least):
			if err := rt.handle(a, w, r, v); err != nil {
				a.fail(w, r, v, err)
			}
		case !v.signedIn():
			a.askSignin(w, r, v)
		default:
			a.fail(w, r, v, errForbidden)
		}
	})
}

func (a *app) visitOf(r *http.Request) (visit, error) {
	v := visit{now: a.store.Now()}
	shop, err := a.store.Shop(r.Context())
	if err != nil {
		return v, err
	}
	v.shop, v.style = shop, shop.Style()
	if text, ok := bearer(r); ok {
		v.person, v.scope, err = a.program(r.Context(), text)
		return v, err
	}
	v.person, v.signin, err = a.whoIs(r)
	return v, err
}

// askSignin sends a browser to the sign-in page, to come back afterwards to
// what it wanted to see; a program is told.
func (a *app) askSignin(w http.ResponseWriter, r *http.Request, v visit) {
	if wantsJSON(r) {
		a.fail(w, r, v, errSignedOut)
		return
	}
	where := "/signin"
	if r.Method == http.MethodGet && r.URL.Path != "/" {
		where += "?next=" + url.QueryEscape(r.URL.RequestURI())
	}
	http.Redirect(w, r, where, http.StatusSeeOther)
}

// localPath keeps a place to go on to inside the shop.
func localPath(next string) string {
	if !strings.HasPrefix(next, "/") || strings.HasPrefix(next, "//") || strings.ContainsAny(next, "\\\r\n\t") {
		return "/"
	}
	return next
}

// frame is what goes round every page.
func (a *app) frame(r *http.Request, v visit, title, nav string) views.Frame {
	f := views.Frame{
		Title: title, Shop: v.shop.Name, Nav: nav, Style: v.style, Now: v.now,
		Who: v.person.Name, Role: v.person.Role, Tag: v.tag(), Theme: v.person.Theme, Left: v.person.Hand == "left", Pad: v.person.Pad,
		Posted: r.Method == http.MethodPost,
	}
	if v.signin != 0 && r.Header.Get(personHeader) == "" { // a script that looks leaves the sentence to the person
		f.Flash = a.sessions.PopString(r.Context(), "flash")
	}
	return f
}

// flash keeps one sentence for the next page.
func (a *app) flash(r *http.Request, sentence string) {
	a.sessions.Put(r.Context(), "flash", sentence)
}
