package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"drosswise/store"
)

// Why a page has no counterpart for programs.
const (
	signsIn    = "belongs to signing in, which a token takes the place of"
	oneBrowser = "is about one person's browser"
	emptyForm  = "is a form to fill in: a program sends what would be in it"
	forPaper   = "is for paper"
)

// counterparts says of every address that no token reaches with which operations
// a program does the same, or why it need not. What these are is held to the
// document by TestProgramDoesAllThatAPersonDoes.
var counterparts = map[string]string{
	"GET /setup/{token}":             signsIn,
	"POST /setup/{token}":            signsIn,
	"GET /join/{token}":              signsIn,
	"POST /join/{token}":             signsIn,
	"GET /signin":                    signsIn,
	"POST /signin":                   signsIn,
	"POST /signout":                  signsIn,
	"GET /trust":                     signsIn,
	"GET /trust/drosswise-ca.crt":    "is there without a token",
	"GET /offline":                   oneBrowser,
	"GET /account":                   "GET /api/v1/me",
	"POST /account/theme":            oneBrowser,
	"POST /account/thumb":            oneBrowser,
	"POST /account/password":         signsIn,
	"POST /account/signins/{id}/end": signsIn,
	"POST /account/calendar":         signsIn,
	"POST /account/calendar/end":     signsIn,
	"GET /account/tokens":            signsIn,
	"POST /account/tokens":           signsIn,
	"POST /account/tokens/{id}/end":  signsIn,
	"GET /due/{token}.ics":           "is there without a token; GET /api/v1/due tells the same",

	"GET /":                                   "GET /api/v1/melts, GET /api/v1/due, GET /api/v1/kit, GET /api/v1/copies",
	"GET /melts":                              "GET /api/v1/melts",
	"GET /melts/start":                        emptyForm,
	"POST /melts":                             "POST /api/v1/melts",
	"GET /melts/paper":                        emptyForm,
	"POST /melts/paper":                       "POST /api/v1/melts, POST /api/v1/melts/{code}/lines",
	"GET /melts/old":                          "GET /api/v1/imports",
	"POST /melts/old":                         "POST /api/v1/imports",
	"GET /melts/old/{key}":                    "POST /api/v1/imports",
	"POST /melts/old/{key}":                   "POST /api/v1/imports",
	"GET /melts/old/imports/{id}":             "GET /api/v1/imports/{id}",
	"POST /melts/old/imports/{id}/strike":     "POST /api/v1/imports/{id}/strike",
	"GET /melts/{code}":                       "GET /api/v1/melts/{code}, GET /api/v1/melts/{code}/expected, GET /api/v1/melts/{code}/curve, GET /api/v1/melts/{code}/readings, GET /api/v1/melts/{code}/photos",
	"GET /melts/{code}/live":                  "GET /api/v1/melts/{code}",
	"GET /melts/{code}/forms":                 emptyForm,
	"GET /melts/{code}/add/{kind}":            emptyForm,
	"POST /melts/{code}/lines":                "POST /api/v1/melts/{code}/lines",
	"GET /melts/{code}/lines/{line}":          "GET /api/v1/melts/{code}",
	"POST /melts/{code}/lines/{line}/replace": "POST /api/v1/melts/{code}/lines/{line}/replace",
	"POST /melts/{code}/lines/{line}/strike":  "POST /api/v1/melts/{code}/lines/{line}/strike",
	"POST /melts/{code}/lines/{line}/lift":    "POST /api/v1/melts/{code}/lines/{line}/lift",
	"GET /melts/{code}/lines/{line}/photos":   "GET /api/v1/melts/{code}/photos",
	"POST /melts/{code}/lines/{line}/photos":  "POST /api/v1/melts/{code}/lines/{line}/photos",
	"GET /melts/{code}/readings":              "GET /api/v1/melts/{code}/readings",
	"POST /melts/{code}/readings":             "POST /api/v1/melts/{code}/log-files",
	"GET /melts/{code}/readings/{key}":        "POST /api/v1/melts/{code}/log-files",
	"POST /melts/{code}/readings/{key}":       "POST /api/v1/melts/{code}/log-files",
	"POST /melts/{code}/series/{id}/strike":   "POST /api/v1/melts/{code}/series/{id}/strike",
	"POST /melts/{code}/series/{id}/lift":     "POST /api/v1/melts/{code}/series/{id}/lift",
	"POST /photos/{id}/strike":                "POST /api/v1/photos/{id}/strike",
	"POST /photos/{id}/lift":                  "POST /api/v1/photos/{id}/lift",
	"GET /years/{year}":                       "GET /api/v1/years/{year}",
	"GET /findings":                           "GET /api/v1/findings",

	"GET /scrap":                         "GET /api/v1/sources",
	"GET /scrap/new":                     emptyForm,
	"POST /scrap":                        "POST /api/v1/sources",
	"GET /scrap/compare":                 "GET /api/v1/compare",
	"GET /scrap/prices":                  "GET /api/v1/prices",
	"POST /scrap/prices":                 "POST /api/v1/prices",
	"POST /scrap/prices/{price}/strike":  "POST /api/v1/prices/{id}/strike",
	"POST /scrap/prices/{price}/lift":    "POST /api/v1/prices/{id}/lift",
	"GET /scrap/{id}":                    "GET /api/v1/sources/{id}, GET /api/v1/sources/{id}/lots, GET /api/v1/prices",
	"GET /scrap/{id}/edit":               "GET /api/v1/sources/{id}",
	"POST /scrap/{id}":                   "PUT /api/v1/sources/{id}",
	"GET /scrap/{id}/belief":             "GET /api/v1/sources/{id}",
	"POST /scrap/{id}/belief":            "PUT /api/v1/sources/{id}/belief",
	"GET /scrap/{id}/prices":             "GET /api/v1/prices",
	"POST /scrap/{id}/prices":            "POST /api/v1/sources/{id}/prices",
	"GET /scrap/{id}/lots/new":           emptyForm,
	"POST /scrap/{id}/lots":              "POST /api/v1/sources/{id}/lots",
	"POST /scrap/{id}/lots/{lot}/strike": "POST /api/v1/sources/{id}/lots/{lot}/strike",
	"POST /scrap/{id}/lots/{lot}/lift":   "POST /api/v1/sources/{id}/lots/{lot}/lift",
	"GET /scrap/{id}/lots/{lot}/photos":  "GET /api/v1/sources/{id}/photos",
	"POST /scrap/{id}/lots/{lot}/photos": "POST /api/v1/sources/{id}/lots/{lot}/photos",
	"GET /kit":                           "GET /api/v1/kit, GET /api/v1/due",
	"GET /kit/bench":                     "reckons with typed figures and keeps none",
	"GET /kit/new/{kind}":                emptyForm,
	"POST /kit":                          "POST /api/v1/kit",
	"GET /kit/{id}":                      "GET /api/v1/kit/{id}, GET /api/v1/kit/{id}/photos, GET /api/v1/kit/{id}/life",
	"GET /kit/{id}/edit":                 "GET /api/v1/kit/{id}",
	"POST /kit/{id}":                     "PUT /api/v1/kit/{id}",
	"GET /kit/{id}/add/{kind}":           emptyForm,
	"POST /kit/{id}/lines":               "POST /api/v1/kit/{id}/lines",
	"POST /kit/{id}/lines/{line}/strike": "POST /api/v1/kit/{id}/lines/{line}/strike",
	"POST /kit/{id}/lines/{line}/lift":   "POST /api/v1/kit/{id}/lines/{line}/lift",
	"GET /kit/{id}/lines/{line}/photos":  "GET /api/v1/kit/{id}/photos",
	"POST /kit/{id}/lines/{line}/photos": "POST /api/v1/kit/{id}/lines/{line}/photos",
	"POST /kit/{id}/alarms/{code}/{how}": "POST /api/v1/kit/{id}/alarms/{code}",
	"GET /labels":                        forPaper,
	"GET /shop":                          "GET /api/v1/shop, GET /api/v1/tariffs, GET /api/v1/people, GET /api/v1/kit, GET /api/v1/due",
	"GET /shop/edit":                     "GET /api/v1/shop",
	"POST /shop":                         "PUT /api/v1/shop",
	"GET /shop/tariffs/new":              emptyForm,
	"POST /shop/tariffs":                 "POST /api/v1/tariffs",
	"POST /shop/tariffs/{id}/strike":     "POST /api/v1/tariffs/{id}/strike",
	"GET /shop/copies":                   "GET /api/v1/copies",
	"POST /shop/copies":                  "POST /api/v1/copies",
	"GET /shop/copies/{name}":            "GET /api/v1/copies/{name}",
	"GET /shop/export.zip":               "GET /api/v1/export",
	"GET /shop/due":                      "GET /api/v1/due",
	"POST /shop/due":                     "PUT /api/v1/due/rules",
	"POST /shop/people":                  "POST /api/v1/people/links",
	"POST /shop/links/end":               "POST /api/v1/people/links/end",
	"GET /shop/people/{id}":              "GET /api/v1/people",
	"POST /shop/people/{id}/role":        "PUT /api/v1/people/{id}/role",
	"POST /shop/people/{id}/end":         "POST /api/v1/people/{id}/end",
	"POST /shop/people/{id}/reset":       "POST /api/v1/people/{id}/link",
}

// TestEveryPageHasACounterpart also holds that the counterpart is there, asks for
// no other role, and is no mere look where the page writes.
func TestEveryPageHasACounterpart(t *testing.T) {
	s := newShed(t)
	all := map[string]route{}
	for _, rt := range s.routes() {
		all[rt.method+" "+rt.pattern] = rt
	}
	asked := map[string]bool{}
	for name, page := range all {
		if reaches(store.ScopeAll, page) {
			continue
		}
		same, ok := counterparts[name]
		if asked[name] = true; !assert.True(t, ok, "%s: say how a program does it, or why it need not", name) {
			continue
		}
		if !strings.HasPrefix(same, "GET /") && !strings.HasPrefix(same, "POST /") && !strings.HasPrefix(same, "PUT /") {
			continue // a reason
		}
		writes, least := false, anyone
		for one := range strings.SplitSeq(same, ", ") {
			op, ok := all[one]
			if assert.True(t, ok, "%s for %s is not there", one, name) {
				assert.True(t, reaches(store.ScopeAll, op), "%s for %s: no token reaches it", one, name)
				writes, least = writes || op.method != get, max(least, op.least)
			}
		}
		assert.True(t, page.method == get || writes, "%s writes and %s does not", name, same)
		if page.method != get { // a page may be for owners what is told to all
			assert.Equal(t, page.least, least, "%s and %s ask for other roles", name, same)
		}
	}
	for name := range counterparts {
		assert.True(t, asked[name], "%s is no page that needs a counterpart", name)
	}
}
