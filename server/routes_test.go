package main

import (
	"net/http"
	"strings"
	"testing"

	"github.com/go-chi/chi/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rules says of every address who may ask. It is written out once more here,
// so that a route cannot be opened by a slip in one place.
var rules = map[string]role{
	"GET /healthz":                anyone,
	"* /static/*":                 anyone,
	"GET /setup/{token}":          anyone,
	"POST /setup/{token}":         anyone,
	"GET /join/{token}":           anyone,
	"POST /join/{token}":          anyone,
	"GET /signin":                 anyone,
	"POST /signin":                anyone,
	"GET /due/{token}.ics":        anyone,
	"POST /signout":               anyone,
	"GET /sw.js":                  anyone,
	"GET /manifest.webmanifest":   anyone,
	"GET /offline":                anyone,
	"GET /trust":                  anyone,
	"GET /trust/drosswise-ca.crt": anyone,

	"GET /":                          reader,
	"GET /account":                   reader,
	"POST /account/theme":            reader,
	"POST /account/thumb":            reader,
	"POST /account/password":         reader,
	"POST /account/calendar":         reader,
	"POST /account/calendar/end":     reader,
	"GET /account/tokens":            reader,
	"POST /account/tokens":           reader,
	"POST /account/tokens/{id}/end":  reader,
	"POST /account/signins/{id}/end": reader,
	"GET /melts":                     reader,
	"GET /melts.csv":                 reader,
	"GET /lines.csv":                 reader,
	"GET /melts/{code}":              reader,
	"GET /melts/{code}/live":         reader,
	"GET /scrap":                     reader,
	"GET /scrap/compare":             reader,
	"GET /scrap/{id}":                reader,
	"GET /findings":                  reader,
	"GET /labels":                    reader,
	"GET /years/{year}":              reader,
	"GET /years/{year}.csv":          reader,
	"GET /kit":                       reader,
	"GET /kit/{id}":                  reader,
	"GET /shop":                      reader,
	"GET /kit/bench":                 reader,

	"GET /api/v1/openapi.json":                       anyone,
	"POST /api/v1/kit":                               melter,
	"PUT /api/v1/kit/{id}":                           melter,
	"POST /api/v1/kit/{id}/alarms/{code}":            melter,
	"POST /api/v1/kit/{id}/lines":                    melter,
	"POST /api/v1/kit/{id}/lines/{line}/lift":        melter,
	"POST /api/v1/kit/{id}/lines/{line}/photos":      melter,
	"POST /api/v1/kit/{id}/lines/{line}/strike":      melter,
	"POST /api/v1/melts":                             melter,
	"POST /api/v1/melts/{code}/lines":                melter,
	"POST /api/v1/melts/{code}/lines/{line}/lift":    melter,
	"POST /api/v1/melts/{code}/lines/{line}/photos":  melter,
	"POST /api/v1/melts/{code}/lines/{line}/replace": melter,
	"POST /api/v1/melts/{code}/lines/{line}/strike":  melter,
	"POST /api/v1/melts/{code}/log-files":            melter,
	"POST /api/v1/melts/{code}/readings":             melter,
	"POST /api/v1/melts/{code}/series/{id}/lift":     melter,
	"POST /api/v1/melts/{code}/series/{id}/strike":   melter,
	"POST /api/v1/photos/{id}/lift":                  melter,
	"POST /api/v1/photos/{id}/strike":                melter,
	"POST /api/v1/prices":                            melter,
	"POST /api/v1/prices/{id}/lift":                  melter,
	"POST /api/v1/prices/{id}/strike":                melter,
	"POST /api/v1/sources":                           melter,
	"PUT /api/v1/sources/{id}":                       melter,
	"PUT /api/v1/sources/{id}/belief":                melter,
	"POST /api/v1/sources/{id}/lots":                 melter,
	"POST /api/v1/sources/{id}/lots/{lot}/lift":      melter,
	"POST /api/v1/sources/{id}/lots/{lot}/photos":    melter,
	"POST /api/v1/sources/{id}/lots/{lot}/strike":    melter,
	"POST /api/v1/sources/{id}/prices":               melter,
	"PUT /api/v1/due/rules":                          owner,
	"POST /api/v1/people/links":                      owner,
	"POST /api/v1/people/links/end":                  owner,
	"POST /api/v1/people/{id}/end":                   owner,
	"POST /api/v1/people/{id}/link":                  owner,
	"PUT /api/v1/people/{id}/role":                   owner,
	"GET /api/v1/copies":                             owner,
	"POST /api/v1/copies":                            owner,
	"GET /api/v1/copies/{name}":                      owner,
	"GET /api/v1/export":                             owner,
	"PUT /api/v1/shop":                               owner,
	"POST /api/v1/tariffs":                           owner,
	"POST /api/v1/tariffs/{id}/strike":               owner,
	"GET /api/v1/compare":                            reader,
	"GET /api/v1/due":                                reader,
	"GET /api/v1/findings":                           reader,
	"GET /api/v1/imports":                            reader,
	"GET /api/v1/imports/{id}":                       reader,
	"POST /api/v1/imports":                           melter,
	"POST /api/v1/imports/{id}/strike":               melter,
	"GET /api/v1/kit":                                reader,
	"GET /api/v1/kit/{id}":                           reader,
	"GET /api/v1/kit/{id}/life":                      reader,
	"GET /api/v1/kit/{id}/photos":                    reader,
	"GET /api/v1/me":                                 reader,
	"GET /api/v1/melts":                              reader,
	"GET /api/v1/melts/{code}":                       reader,
	"GET /api/v1/melts/{code}/curve":                 reader,
	"GET /api/v1/melts/{code}/expected":              reader,
	"GET /api/v1/melts/{code}/photos":                reader,
	"GET /api/v1/melts/{code}/readings":              reader,
	"GET /api/v1/people":                             reader,
	"GET /api/v1/prices":                             reader,
	"GET /api/v1/shop":                               reader,
	"GET /api/v1/sources":                            reader,
	"GET /api/v1/sources/{id}":                       reader,
	"GET /api/v1/sources/{id}/lots":                  reader,
	"GET /api/v1/sources/{id}/photos":                reader,
	"GET /api/v1/tariffs":                            reader,
	"GET /api/v1/years/{year}":                       reader,

	"GET /melts/{code}/lines/{line}/photos":  reader,
	"GET /kit/{id}/lines/{line}/photos":      reader,
	"GET /scrap/{id}/lots/{lot}/photos":      reader,
	"GET /photos/{id}.jpg":                   reader,
	"GET /photos/{id}/thumb.jpg":             reader,
	"POST /melts/{code}/series/{id}/lift":    melter,
	"GET /melts/{code}/readings":             melter,
	"POST /melts/{code}/readings":            melter,
	"GET /melts/{code}/readings/{key}":       melter,
	"POST /melts/{code}/readings/{key}":      melter,
	"POST /melts/{code}/series/{id}/strike":  melter,
	"POST /melts/{code}/lines/{line}/photos": melter,
	"POST /kit/{id}/lines/{line}/photos":     melter,
	"POST /scrap/{id}/lots/{lot}/photos":     melter,
	"POST /photos/{id}/strike":               melter,
	"POST /photos/{id}/lift":                 melter,

	"GET /melts/start":                        melter,
	"POST /melts":                             melter,
	"GET /melts/paper":                        melter,
	"POST /melts/paper":                       melter,
	"GET /melts/old":                          melter,
	"POST /melts/old":                         melter,
	"GET /melts/old/{key}":                    melter,
	"POST /melts/old/{key}":                   melter,
	"GET /melts/old/imports/{id}":             melter,
	"POST /melts/old/imports/{id}/strike":     melter,
	"GET /melts/{code}/forms":                 melter,
	"GET /melts/{code}/add/{kind}":            melter,
	"POST /melts/{code}/lines":                melter,
	"GET /melts/{code}/lines/{line}":          melter,
	"POST /melts/{code}/lines/{line}/replace": melter,
	"POST /melts/{code}/lines/{line}/strike":  melter,
	"POST /melts/{code}/lines/{line}/lift":    melter,
	"GET /scrap/new":                          melter,
	"POST /scrap":                             melter,
	"GET /scrap/{id}/edit":                    melter,
	"POST /scrap/{id}":                        melter,
	"GET /scrap/prices":                       melter,
	"POST /scrap/prices":                      melter,
	"POST /scrap/prices/{price}/strike":       melter,
	"POST /scrap/prices/{price}/lift":         melter,
	"GET /scrap/{id}/belief":                  melter,
	"POST /scrap/{id}/belief":                 melter,
	"GET /scrap/{id}/prices":                  melter,
	"POST /scrap/{id}/prices":                 melter,
	"GET /scrap/{id}/lots/new":                melter,
	"POST /scrap/{id}/lots":                   melter,
	"POST /scrap/{id}/lots/{lot}/strike":      melter,
	"POST /scrap/{id}/lots/{lot}/lift":        melter,
	"GET /kit/new/{kind}":                     melter,
	"POST /kit":                               melter,
	"GET /kit/{id}/edit":                      melter,
	"POST /kit/{id}":                          melter,
	"GET /kit/{id}/add/{kind}":                melter,
	"POST /kit/{id}/lines":                    melter,
	"POST /kit/{id}/lines/{line}/strike":      melter,
	"POST /kit/{id}/lines/{line}/lift":        melter,
	"POST /kit/{id}/alarms/{code}/{how}":      melter,

	"GET /shop/edit":                 owner,
	"POST /shop":                     owner,
	"GET /shop/tariffs/new":          owner,
	"POST /shop/tariffs":             owner,
	"POST /shop/tariffs/{id}/strike": owner,
	"GET /metrics":                   reader,
	"GET /shop/copies":               owner,
	"POST /shop/copies":              owner,
	"GET /shop/copies/{name}":        owner,
	"GET /shop/export.zip":           owner,
	"GET /shop/due":                  owner,
	"POST /shop/due":                 owner,
	"POST /shop/people":              owner,
	"POST /shop/links/end":           owner,
	"GET /shop/people/{id}":          owner,
	"POST /shop/people/{id}/role":    owner,
	"POST /shop/people/{id}/end":     owner,
	"POST /shop/people/{id}/reset":   owner,
}

// Every address is asked by every role, with and without a person signed in.
func TestEveryRouteAsksForItsRole(t *testing.T) {
	d := newDoor(t, settings{})
	host := d.owned()
	names := map[role]string{owner: "Shed keeper", melter: "Crew", reader: "Committee"}
	visitors := map[role]*guest{
		anyone: d.guest(), owner: host,
		melter: d.joined(host, "melter", names[melter]), reader: d.joined(host, "reader", names[reader]),
	}
	asked := map[string]bool{}
	err := chi.Walk(d.Handler.(chi.Routes), func(method, pattern string, _ http.Handler, _ ...func(http.Handler) http.Handler) error {
		name := method + " " + pattern
		if strings.HasPrefix(pattern, "/static/") { // registered for all methods
			name = "* /static/*"
		}
		least, ruled := rules[name]
		if !assert.True(t, ruled, "%s has no rule: say in this test who may ask it", name) {
			return nil
		}
		asked[name] = true
		for who, g := range visitors {
			if name == "POST /signout" && who != anyone { // a sign-in of its own, that the others stay in
				g = d.guest()
				require.Equal(t, http.StatusSeeOther, g.signsIn(names[who], goodPassword).StatusCode)
			}
			mayAsk(t, g.ask(method, address(pattern), filledIn(), nil), name, who, least)
		}
		return nil
	})
	require.NoError(t, err)
	for name := range rules {
		assert.True(t, asked[name], "%s has a rule and no route", name)
	}
	assert.Len(t, d.routes(), len(rules)-4, "beside the health check, the static files, the worker and the manifest")
}

func mayAsk(t *testing.T, res *answered, name string, who, least role) {
	t.Helper()
	names := []string{"somebody signed out", "a reader", "a melter", "an owner"}
	switch {
	case who >= least:
		refused := res.StatusCode == http.StatusForbidden || res.StatusCode == http.StatusUnauthorized ||
			strings.HasPrefix(res.to(), "/signin") && name != "POST /signout"
		assert.False(t, refused, "%s by %s was refused: %d %s", name, names[who], res.StatusCode, res.to())
		assert.Less(t, res.StatusCode, 500, "%s by %s: %s", name, names[who], res.text)
	case who == anyone && strings.Contains(name, " /api/"):
		assert.Equal(t, http.StatusUnauthorized, res.StatusCode, "%s by %s", name, names[who])
	case who == anyone:
		assert.Equal(t, http.StatusSeeOther, res.StatusCode, "%s by %s", name, names[who])
		assert.True(t, strings.HasPrefix(res.to(), "/signin"), "%s by %s", name, names[who])
	default:
		assert.Equal(t, http.StatusForbidden, res.StatusCode, "%s by %s", name, names[who])
		assert.Contains(t, res.text, "Your role in this shop", "%s by %s", name, names[who])
	}
}

// address fills what a pattern leaves open with what is nowhere: refusals come
// before anything is looked for.
func address(pattern string) string {
	return strings.NewReplacer("{token}", "NONE", "{code}", "Z99-999", "{id}", "999", "{line}", "999", "{lot}", "999", "{price}", "999", "{how}", "one_off", "{name}", "none.db",
		"{kind}", "furnace", "{year}", "2019", "/static/*", "/static/none/app.css").Replace(pattern)
}

// A program is told by status and problem details instead of a page.
func TestProgramsAreTold(t *testing.T) {
	d := newDoor(t, settings{})
	host := d.owned()
	crew := d.joined(host, "reader", "Committee")
	asJSON := http.Header{"Accept": {"application/json"}}
	for _, c := range []struct {
		g      *guest
		path   string
		status int
	}{{host, "/api/v1/nothing", http.StatusNotFound}, {d.guest(), "/melts", http.StatusUnauthorized}, {crew, "/shop/edit", http.StatusForbidden}, {host, "/shop/people/999", http.StatusNotFound}, {host, "/nothing", http.StatusNotFound}} {
		res := c.g.ask(http.MethodGet, c.path, nil, asJSON)
		assert.Equal(t, c.status, res.StatusCode, c.path)
		assert.Equal(t, "application/problem+json", res.Header.Get("Content-Type"), c.path)
	}
}

// What was typed by hand, or asked in another way, is understood or answered
// in words.
func TestAddressesAstray(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	res := g.ask(http.MethodHead, "/", nil, nil)
	assert.Equal(t, http.StatusOK, res.StatusCode, "HEAD is GET without the page")
	for from, to := range map[string]string{"/melts/": "/melts", "/kit//": "/kit", "/melts/?q=rims": "/melts?q=rims", "/findings/": "/findings"} {
		res := g.get(from)
		assert.Equal(t, http.StatusMovedPermanently, res.StatusCode, from)
		assert.Equal(t, to, res.to(), from)
	}
	for _, nowhere := range []string{"/nothing/", "//shed.test/", "//", "/api/v2/"} {
		assert.Equal(t, http.StatusNotFound, g.get(nowhere).StatusCode, nowhere)
	}
	res = g.post("/findings")
	assert.Equal(t, http.StatusMethodNotAllowed, res.StatusCode)
	assert.Contains(t, res.text, "That cannot be done here")
	assert.Equal(t, []string{"GET", "HEAD"}, res.Header["Allow"])
	res = g.ask(http.MethodDelete, "/api/v1/kit", nil, nil)
	assert.Equal(t, http.StatusMethodNotAllowed, res.StatusCode)
	assert.Equal(t, "application/problem+json", res.Header.Get("Content-Type"))
	assert.Contains(t, res.text, `"status":405`)
	assert.Empty(t, g.ask(http.MethodDelete, "/melts/", nil, nil).to(), "only who looks is sent on")

	furnace := strings.TrimPrefix(g.saved("/kit", "kind", "furnace", "name", "Yard furnace", "letter", "A"), "/kit/")
	path := g.saved("/melts", "furnace", furnace, "warm", "cold", "target", "ingots")
	assert.Equal(t, path, g.get(strings.ToLower(path)).to())
	assert.Equal(t, http.StatusNotFound, g.get("/melts/Z99-999").StatusCode)
}
