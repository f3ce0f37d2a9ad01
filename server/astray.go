package main

import (
	"net/http"
	"net/url"
	"strings"

	"github.com/go-chi/chi/v5"

	"drosswise/store"
)

// nothingHere answers an address that nothing is at. One with a slash too many
// at its end is sent on.
func nothingHere(_ *app, w http.ResponseWriter, r *http.Request, _ visit) error {
	if sentOn(w, r) {
		return nil
	}
	return store.ErrNotFound
}

// otherWay answers a method that an address does not know.
func otherWay(_ *app, w http.ResponseWriter, r *http.Request, _ visit) error {
	if sentOn(w, r) {
		return nil
	}
	for _, method := range []string{http.MethodGet, http.MethodHead, http.MethodPost} {
		as := method
		if method == http.MethodHead {
			as = http.MethodGet
		}
		if leads(r, as, r.URL.Path) {
			w.Header().Add("Allow", method)
		}
	}
	return errOtherWay
}

// sentOn sends who only looks from an address with slashes at its end to the
// one without, if something is there.
func sentOn(w http.ResponseWriter, r *http.Request) bool {
	path := strings.TrimRight(r.URL.Path, "/")
	looks := r.Method == http.MethodGet || r.Method == http.MethodHead
	if !looks || path == r.URL.Path || path == "" || !leads(r, http.MethodGet, path) {
		return false
	}
	to := url.URL{Path: path, RawQuery: r.URL.RawQuery}
	http.Redirect(w, r, to.String(), http.StatusMovedPermanently)
	return true
}

// leads reports whether a method and an address lead somewhere.
func leads(r *http.Request, method, path string) bool {
	return chi.RouteContext(r.Context()).Routes.Match(chi.NewRouteContext(), method, path)
}
