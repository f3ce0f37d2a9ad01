package main

import (
	"net/http"
	"strings"
	"time"

	"github.com/go-chi/chi/v5/middleware"
	"github.com/go-chi/httprate"
)

// How many wrong passwords may be tried within a window: more from one address
// than for one name from there, because a club shares an address; and for one
// name from everywhere so many that nobody locks its owner out from a few.
const (
	triesPerAddress = 30
	triesPerBoth    = 10
	triesWindow     = 10 * time.Minute
	triesPerName    = 100
	nameWindow      = time.Hour
)

// attempts counts the wrong passwords that are tried, by where they come from
// and by whose they should be.
type attempts struct{ byAddress, byBoth, byName limit }

func newAttempts() attempts {
	return attempts{newLimit(triesPerAddress, triesWindow), newLimit(triesPerBoth, triesWindow), newLimit(triesPerName, nameWindow)}
}

// triedBy gives the address a try comes from and the name it is for. Names that
// differ only in the case of their letters are one name.
func triedBy(r *http.Request, name string) (address, folded string) {
	return httprate.CanonicalizeIP(middleware.GetClientIP(r.Context())), strings.ToLower(strings.ToUpper(name))
}

// tooMany counts one more try, before it is known whether it is right so that
// many at once are counted too, and gives what to say when it is one too many.
func (t attempts) tooMany(w http.ResponseWriter, r *http.Request, name string) (sentence string) {
	address, name := triedBy(r, name)
	switch {
	case t.byAddress.OnLimit(w, r, address), t.byBoth.OnLimit(w, r, address+" "+name):
		return triesSentence
	case t.byName.OnLimit(w, r, name):
		return nameSentence
	}
	return ""
}

// What is said to who tries too often: from one place, and for one name.
const (
	triesSentence = "Too many passwords were tried. Wait ten minutes, then try again. If you forgot it, an owner can make you a link for a new one."
	nameSentence  = "Too many passwords were tried for this name. Wait an hour, then try again, or have an owner make you a link for a new one."
)

// right takes the last try back: it was no wrong one.
func (t attempts) right(r *http.Request, name string) {
	address, name := triedBy(r, name)
	t.byAddress.takeBack(address)
	t.byBoth.takeBack(address + " " + name)
	t.byName.takeBack(name)
}

// limit is a limit on tries that can be taken back.
type limit struct {
	*httprate.RateLimiter
	window time.Duration
}

// newLimit makes a limit with a counter given to it: its windows then begin at
// whole multiples of their length, which takeBack must know.
func newLimit(tries int, window time.Duration) limit {
	silent := httprate.WithResponseHeaders(httprate.ResponseHeaders{RetryAfter: "Retry-After"})
	return limit{httprate.NewRateLimiter(tries, window, silent, httprate.WithLimitCounter(httprate.NewLocalLimitCounter(window))), window}
}

func (l limit) takeBack(key string) {
	_ = l.Counter().IncrementBy(key, time.Now().UTC().Truncate(l.window), -1) // one in memory never fails
}
