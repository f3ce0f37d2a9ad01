package main

import (
	"net/http"
	"strings"
	"time"

	"github.com/go-chi/chi/v5/middleware"
	"github.com/go-chi/httprate"
)

// How many passwords may be tried within the window: more from one address,
// because a club shares one.
const (
	triesPerAddress = 30
	triesPerName    = 10
	triesWindow     = 10 * time.Minute
)

// attempts counts the passwords that are tried, by where they come from and by
// whose they should be.
type attempts struct{ byAddress, byName *httprate.RateLimiter }

func newAttempts() attempts {
	silent := httprate.WithResponseHeaders(httprate.ResponseHeaders{RetryAfter: "Retry-After"})
	return attempts{
		byAddress: httprate.NewRateLimiter(triesPerAddress, triesWindow, silent),
		byName:    httprate.NewRateLimiter(triesPerName, triesWindow, silent),
	}
}

// tooMany counts one more try and reports whether it is one too many. Names
// that differ only in the case of their letters are one name.
func (t attempts) tooMany(w http.ResponseWriter, r *http.Request, name string) bool {
	address := httprate.CanonicalizeIP(middleware.GetClientIP(r.Context()))
	return t.byAddress.OnLimit(w, r, address) || t.byName.OnLimit(w, r, strings.ToLower(strings.ToUpper(name)))
}

// triesSentence is said to who tries too often.
const triesSentence = "Too many passwords were tried. Wait ten minutes, then try again. If you forgot it, an owner can make you a link for a new one."
