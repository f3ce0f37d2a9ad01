package main

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
)

// TestTourOfTheShop looks at every page of a shop that has been in use for two
// years, small and large, in every colour.
func TestTourOfTheShop(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	s.withHistory(t, p)
	stops := s.stops(t, p)
	for _, rt := range s.routes() {
		if rt.method == http.MethodGet && !strings.HasSuffix(rt.pattern, ".csv") && !strings.HasSuffix(rt.pattern, ".ics") && !strings.HasPrefix(rt.pattern, "/api/") {
			_, planned := stops[rt.pattern]
			assert.True(t, planned, "%s is not on the tour", rt.pattern)
		}
	}
	var paths []string
	for _, some := range stops {
		paths = append(paths, some...)
	}
	slices.Sort(paths)
	tour(t, s.server.URL, paths, func(b *tab) { b.signIn() })
}

// TestTourOfTheGallery looks at every scene of the gallery in the same way.
func TestTourOfTheGallery(t *testing.T) {
	server := httptest.NewServer(galleryHandler())
	defer server.Close()
	paths := []string{"/"}
	for _, sc := range allScenes() {
		paths = append(paths, "/"+sc.path)
	}
	tour(t, server.URL, paths, func(*tab) {})
}

// TestTourOfANewShop looks at what a person sees before the shop is set up,
// then at each part of it while nothing is in it.
func TestTourOfANewShop(t *testing.T) {
	s := newShed(t)
	token, _, err := s.store.FirstLink(context.Background())
	require.NoError(t, err)
	tour(t, s.server.URL, []string{"/signin", "/setup/" + token, "/setup/used-up"}, func(*tab) {})
	p := s.phone(t)
	link := "/setup/" + token
	p.save(p.fill(link, link, "shop", "Bicycle workshop", "name", "Workshop", "password", "rims and cranks", "again", "rims and cranks", "zone", "UTC", "currency", "EUR"))
	tour(t, s.server.URL, []string{"/signin?next=/kit"}, func(*tab) {})
	tour(t, s.server.URL, []string{"/", "/melts", "/melts/start", "/melts/paper", "/scrap", "/kit", "/findings", "/shop"}, func(b *tab) { b.signIn() })
}

// stops are the pages of the shop by route: what a person meets there.
func (s *shed) stops(t *testing.T, p *phone) map[string][]string {
	t.Helper()
	ctx := context.Background()
	closed := p.workedMelt(habits["kg and point"])
	running := p.start("15:00")
	p.log(running, melt.Charge, append(onDay("15:05", "mass", "4.12", "note", "three pieces, one of them bent"), wheels...)...)
	p.log(running, melt.PowerOn, onDay("15:10", "meter", "1204.5")...)
	p.log(running, melt.Temperature, onDay("16:00", "temp", "695", "which", "metal")...)
	p.log(running, melt.Stamp, onDay("16:20")...)
	p.log(running, melt.Pour, onDay("17:00", "count", "6", "mould", "Muffin tin")...)
	curved(t, s, running, 7200)
	line := s.lines(t, running)[0]
	path := fmt.Sprintf("/melts/%s/lines/%d", running, line.ID)
	p.save(p.fill(path, path+"/strike", "reason", "read in grams"))
	p.save(p.fill("/scrap/1/lots/new", "/scrap/1/lots", "as_found", "40", "as_charged", "36.5", "steel", "2.1", "note", "spokes still in"))
	p.save(p.fill("/kit/2/add/inspected", "/kit/2/lines", "note", "hairline at the rim"))
	for n, taken := range []string{path, path, "/kit/2/lines/1", "/scrap/1/lots/1"} {
		g := p.shows(taken+"/photos", dross(t, 1200, 900+400*(n%2)), nil, "key", fmt.Sprintf("tour-photo-%d", n), "note", "from above")
		require.Equal(t, http.StatusSeeOther, g.status, g.text())
	}
	p.save(p.open(path+"/photos").form(t, "/photos/2/strike"))
	waiting := p.waits("old notes.csv", oldBook)
	led := p.leads("/melts/"+string(closed), "logger of the shed.csv", logged(0, 1))
	f := p.open(waiting).form(t, waiting)
	imported := p.save(f.typed("do", "take", "sure", "1"))
	for _, role := range []string{"melter", "reader"} {
		token, _, err := s.store.Invite(ctx, 1, role)
		require.NoError(t, err)
		one := s.phone(t)
		one.save(one.fill("/join/"+token, "/join/"+token, "name", "The "+role, "password", "just looking", "again", "just looking"))
	}
	token, _, err := s.store.Invite(ctx, 1, "reader")
	require.NoError(t, err)

	at := func(code melt.Code, more ...string) (all []string) {
		for _, m := range more {
			all = append(all, "/melts/"+string(code)+m)
		}
		return all
	}
	forms := []string{"/add/charge", "/add/pour", "/add/temperature", "/add/check", "/add/addition"} // the gallery has all of them
	lines := s.lines(t, running)
	return map[string][]string{
		"/setup/{token}":                    {"/setup/used-up"},
		"/join/{token}":                     {"/join/" + token, "/join/used-up"},
		"/signin":                           nil, // signed in it leads on; see TestTourOfANewShop
		"/offline":                          {"/offline"},
		"/trust":                            {"/trust"}, // the gallery has it with HTTPS on
		"/trust/drosswise-ca.crt":           nil,        // no page
		"/":                                 {"/"},
		"/account":                          {"/account"},
		"/account/tokens":                   {"/account/tokens"},
		"/melts":                            {"/melts", "/melts?q=zeppelin", "/melts?from=yesterday&q=nothing"},
		"/melts/start":                      {"/melts/start"},
		"/melts/paper":                      {"/melts/paper"},
		"/melts/old":                        {"/melts/old"},
		"/melts/old/{key}":                  {waiting},
		"/melts/old/imports/{id}":           {imported.path},
		"/melts/{code}":                     append(at(closed, ""), at(running, "", "?done="+lines[0].Key, "?done="+lines[4].Key)...),
		"/melts/{code}/readings":            at(closed, "/readings"),
		"/melts/{code}/readings/{key}":      {led},
		"/melts/{code}/live":                nil, // no page
		"/melts/{code}/forms":               nil, // shown on the melt's page
		"/melts/{code}/add/{kind}":          append(at(running, forms...), at(running, fmt.Sprintf("/add/charge?of=%d", line.ID))...),
		"/melts/{code}/lines/{line}":        at(running, fmt.Sprintf("/lines/%d", line.ID), fmt.Sprintf("/lines/%d", lines[3].ID), fmt.Sprintf("/lines/%d", lines[4].ID)),
		"/scrap":                            {"/scrap", "/scrap?by=name", "/scrap?form=can"},
		"/scrap/new":                        {"/scrap/new"},
		"/scrap/compare":                    {"/scrap/compare", "/scrap/compare?a=1&b=2"},
		"/scrap/prices":                     {"/scrap/prices"},
		"/scrap/{id}":                       {"/scrap/1", "/scrap/2"},
		"/scrap/{id}/belief":                {"/scrap/1/belief"},
		"/scrap/{id}/prices":                {"/scrap/2/prices"},
		"/scrap/{id}/edit":                  {"/scrap/1/edit"},
		"/scrap/{id}/lots/new":              {"/scrap/1/lots/new"},
		"/findings":                         {"/findings"},
		"/kit":                              {"/kit"},
		"/years/{year}":                     {"/years/2026", "/years/2019"},
		"/labels":                           {"/labels", "/labels?of=melt-" + string(closed) + "&of=kit-2&of=scrap-1&of=lot-1&start=3&copies=2", "/labels?stock=one&of=kit-3", "/labels?stock=a5&start=x&copies=0&at=%20"},
		"/kit/bench":                        {"/kit/bench", "/kit/bench?wire=nonsense&volts=x", "/kit/bench?wire=FeCrAl+22Cr-5.8Al&diameter=1.63&length=14.4&volts=230&circuit=16&plug=13&turns=&former="},
		"/kit/new/{kind}":                   {"/kit/new/furnace", "/kit/new/crucible", "/kit/new/element", "/kit/new/scale", "/kit/new/probe"},
		"/kit/{id}":                         {"/kit/1", "/kit/2", "/kit/3", "/kit/4"},
		"/kit/{id}/edit":                    {"/kit/1/edit", "/kit/2/edit"},
		"/kit/{id}/add/{kind}":              {"/kit/2/add/inspected", "/kit/3/add/read"},
		"/shop":                             {"/shop"},
		"/shop/edit":                        {"/shop/edit"},
		"/shop/tariffs/new":                 {"/shop/tariffs/new"},
		"/metrics":                          nil, // no page
		"/shop/copies":                      {"/shop/copies"},
		"/shop/copies/{name}":               nil, // no page
		"/shop/export.zip":                  nil, // no page
		"/shop/due":                         {"/shop/due"},
		"/shop/people/{id}":                 {"/shop/people/1", "/shop/people/2", "/shop/people/99"},
		"/melts/{code}/lines/{line}/photos": {path + "/photos", fmt.Sprintf("/melts/%s/lines/%d/photos", running, lines[1].ID)},
		"/kit/{id}/lines/{line}/photos":     {"/kit/2/lines/1/photos"},
		"/scrap/{id}/lots/{lot}/photos":     {"/scrap/1/lots/1/photos"},
		"/photos/{id}.jpg":                  nil, // no page
		"/photos/{id}/thumb.jpg":            nil,
	}
}

// tour looks at pages in two tabs at once.
func tour(t *testing.T, home string, paths []string, begin func(*tab)) {
	next := make(chan string, len(paths))
	for _, p := range paths {
		next <- p
	}
	close(next)
	began := time.Now()
	t.Run("tabs", func(t *testing.T) {
		for range 2 {
			t.Run("tab", func(t *testing.T) {
				t.Parallel()
				b := browse(t, home)
				begin(b)
				for path := range next {
					b.look(path)
				}
			})
		}
	})
	t.Logf("%d pages in %s", len(paths), time.Since(began).Round(time.Second))
}

// look opens a page on the phone and looks at it in light, dark and glaring
// colours, then large in light and dark with everything unfolded.
func (b *tab) look(path string) {
	b.size(390, 844)
	b.scheme("light")
	b.complained()
	b.open(path)
	same := func(what string, found []string) {
		assert.Empty(b.t, found, "%s: %s", path, what)
	}
	same("390 wide, light", b.violations())
	same("390 wide", b.sideways())
	same("too small to press", b.small())
	b.scheme("dark")
	same("390 wide, dark", b.violations(contrast...))
	b.glare(true)
	same("390 wide, glare", b.violations(contrast...))
	b.glare(false)
	ask[bool](b, `(document.querySelectorAll("details").forEach((d) => { d.open = true; }), true)`)
	same("390 wide, unfolded", b.sideways())
	same("too small to press, unfolded", b.small())
	for _, width := range []int64{900, 1000, 1100} { // the list and the sheet beside each other, with little room
		b.size(width, 800)
		same(fmt.Sprintf("%d wide", width), b.sideways())
	}
	b.size(1280, 800)
	same("1280 wide, dark", b.violations())
	same("1280 wide", b.sideways())
	b.scheme("light")
	same("1280 wide, light", b.violations(contrast...))
	complaints := slices.DeleteFunc(b.complained(), func(c string) bool { return strings.Contains(c, "status of 404") && strings.Contains(c, b.home+path) })
	same("the console", complaints)
}

// glare switches the page to the colours for bright sun, as the server does
// for who has chosen them.
func (b *tab) glare(on bool) {
	ask[bool](b, fmt.Sprintf(`(document.documentElement.toggleAttribute("data-theme", %t), document.documentElement.hasAttribute("data-theme") && (document.documentElement.dataset.theme = "glare"), true)`, on))
}
