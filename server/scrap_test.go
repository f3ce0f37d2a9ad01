package main

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/quantity"
)

// saved posts a form that must be taken, and gives where it leads.
func (g *guest) saved(path string, fields ...string) string {
	g.d.t.Helper()
	res := g.post(path, append(fields, "key", newKey())...)
	require.Equal(g.d.t, http.StatusSeeOther, res.StatusCode, res.text)
	return res.to()
}

// seen gets a page that must be there.
func (g *guest) seen(path string) string {
	g.d.t.Helper()
	res := g.get(path)
	require.Equal(g.d.t, http.StatusOK, res.StatusCode, res.text)
	return res.text
}

// refused posts a form that must come back, and gives it.
func (g *guest) refused(path string, fields ...string) string {
	g.d.t.Helper()
	res := g.post(path, append(fields, "key", newKey())...)
	require.Equal(g.d.t, http.StatusUnprocessableEntity, res.StatusCode, res.text)
	assert.Contains(g.d.t, res.text, "Not saved yet.")
	return res.text
}

func TestScrapFromNothing(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	assert.Contains(t, g.seen("/scrap"), "Each kind of scrap that you keep apart has its own name")

	where := g.saved("/scrap", "name", "Crank arms", "form", "casting", "coating", "anodised", "alloy", "A356.0", "sure", "likely",
		"paid", "0,80", "fetches", "0.7", "hollow", "1", "magnesium", "1", "note", "Drop test rings dull")
	page := g.seen(where)
	for _, told := range []string{
		"Crank arms is in the book.", "Casting, anodised", "A356.0", "likely", "0.80 GBP a kg", "0.70 GBP a kg",
		"Hollow or sealed pieces, magnesium suspected.", "Hollow or sealed pieces were noted: open, cut or crush every one",
		"Magnesium is suspected: test each piece", "Melt it alone once, and its own yield is known.", "No delivery is written yet.", "Sorting scrap",
		"Drop test rings dull", "with it so far",
	} {
		assert.Contains(t, page, told)
	}
	assert.NotContains(t, page, "drink cans", "no caution that the source does not call for")
	list := g.seen("/scrap")
	for _, told := range []string{"Crank arms", "never charged yet", "Look out: hollow or sealed pieces, magnesium suspected.", "not known", "0.80 GBP a kg, would fetch 0.70 GBP a kg"} {
		assert.Contains(t, list, told)
	}

	form := g.seen(where + "/edit")
	for _, still := range []string{`value="Crank arms"`, `value="casting" selected`, `value="0.80"`, `name="hollow"`} {
		assert.Contains(t, form, still)
	}
	g.saved(where, "name", "Crank arms, clean", "form", "casting", "paid", "0", "ended", "1")
	page = g.seen(where)
	for _, told := range []string{"Crank arms, clean", "No longer used", "nothing", "Nothing was noted. That says that nobody noted it"} {
		assert.Contains(t, page, told)
	}
	assert.Contains(t, g.seen("/scrap"), "<h2>No longer used</h2>")
	p, err := d.store.Source(t.Context(), 1)
	require.NoError(t, err)
	ended := *p.Ended
	d.pass(time.Hour)
	g.saved(where, "name", "Crank arms, clean", "form", "casting", "ended", "1", "note", "Still here")
	p, err = d.store.Source(t.Context(), 1)
	require.NoError(t, err)
	assert.Equal(t, ended, *p.Ended, "the day it went out of use stays")
	g.saved(where, "name", "Crank arms, clean", "form", "casting")
	assert.NotContains(t, g.seen("/scrap"), "<h2>No longer used</h2>")
}

// A shop that weighs in pounds speaks of prices by the pound too.
func TestPricesByThePound(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	shop, err := d.store.Shop(t.Context())
	require.NoError(t, err)
	shop.MassUnit = "lb"
	require.NoError(t, d.store.SetShop(t.Context(), 1, shop))
	assert.Contains(t, g.seen("/scrap/new"), "GBP a lb")
	where := g.saved("/scrap", "name", "Rims", "form", "profile", "paid", "0.35", "fetches", "0.30")
	assert.Contains(t, g.seen(where+"/edit"), `value="0.35"`)
	g.saved(where+"/lots", "as_found", "20", "paid", "0.25")
	g.saved(where+"/prices", "price", "0.45")
	g.saved("/scrap/prices", "of", "ingots", "price", "0.80")
	for _, page := range []string{where, "/scrap", where + "/edit", where + "/lots/new", where + "/prices", "/scrap/prices"} {
		assert.NotContains(t, g.seen(page), "a kg", page)
	}
	for _, told := range []string{"0.35 GBP a lb", "0.30 GBP a lb", "0.25 GBP a lb as found", "0.45 GBP a lb"} {
		assert.Contains(t, g.seen(where), told)
	}
	assert.Contains(t, g.seen("/scrap"), "0.80 GBP a lb")
	p, err := d.store.Source(t.Context(), 1)
	require.NoError(t, err)
	assert.Equal(t, quantity.Price(771_618), *p.Paid, "kept for a kilogram")
	assert.Contains(t, g.refused(where+"/prices", "price", "5000"), "A price per lb is not below zero and not above 4536.")
}

func TestScrapThatCannotBe(t *testing.T) {
	g := newDoor(t, settings{}).owned()
	g.saved("/scrap", "name", "Rims", "form", "profile")
	for name, c := range map[string]struct {
		fields []string
		told   string
	}{
		"nothing":       {nil, "Give it a name of 1 to 80 letters"},
		"taken":         {[]string{"name", "RIMS", "form", "profile"}, "Rims is in the book already."},
		"no form":       {[]string{"name", "Stems"}, "Choose the form it comes in."},
		"made-up form":  {[]string{"name", "Stems", "form", "<script>"}, "Choose the form it comes in."},
		"nonsense":      {[]string{"name", "Stems", "form", "profile", "paid", "cheap"}, "“cheap” is not a number."},
		"negative":      {[]string{"name", "Stems", "form", "profile", "paid", "-1"}, "A price per kg is not below zero"},
		"huge":          {[]string{"name", "Stems", "form", "profile", "fetches", "99999999"}, "not above 10\u202f000"},
		"sure of what":  {[]string{"name", "Stems", "form", "profile", "sure", "sure"}, "Write which alloy it is"},
		"long":          {[]string{"name", strings.Repeat("Stem ", 30), "form", "profile"}, "1 to 80 letters"},
		"control signs": {[]string{"name", "\x00\x07", "form", "profile"}, "Give it a name"},
	} {
		page := g.refused("/scrap", c.fields...)
		assert.Contains(t, page, c.told, name)
		if len(c.fields) > 0 && c.fields[1] == "Stems" {
			assert.Contains(t, page, `value="Stems"`, "%s: what was typed is still there", name)
		}
	}
	g.saved("/scrap", "name", "Stems", "form", "profile")
	assert.Contains(t, g.refused("/scrap/2", "name", "rims", "form", "profile"), "Rims is in the book already.", "nor may it be renamed to that")
	for _, path := range []string{"/scrap/99", "/scrap/x", "/scrap/-1", "/scrap/99/edit", "/scrap/99/lots/new"} {
		assert.Equal(t, http.StatusNotFound, g.get(path).StatusCode, path)
	}
	assert.Equal(t, http.StatusNotFound, g.post("/scrap/99", "name", "X", "form", "can").StatusCode)
	assert.Equal(t, http.StatusNotFound, g.post("/scrap/99/lots", "as_found", "1", "key", newKey()).StatusCode)
	assert.Equal(t, http.StatusBadRequest, g.post("/scrap", "name", "X", "form", "can", "key", "short").StatusCode)
	assert.Equal(t, http.StatusBadRequest, g.post("/scrap/1/lots", "as_found", "1").StatusCode)
}

func TestTwoTapsMakeOneSource(t *testing.T) {
	d := newDoor(t, settings{})
	g, key := d.owned(), newKey()
	first := g.post("/scrap", "name", "Rims", "form", "profile", "key", key)
	second := g.post("/scrap", "name", "Rims", "form", "profile", "key", key)
	assert.Equal(t, http.StatusSeeOther, second.StatusCode, second.text)
	assert.Equal(t, first.to(), second.to())
	all, err := d.store.Sources(t.Context())
	require.NoError(t, err)
	assert.Len(t, all, 1)
}

func TestDeliveries(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	where := g.saved("/scrap", "name", "Café cans", "form", "can", "coating", "lacquered")
	assert.Contains(t, g.seen(where+"/lots/new"), "Put nothing damp on the pile that is ready to charge.")

	for name, c := range map[string]struct {
		fields []string
		told   string
	}{
		"nothing":      {nil, "Type what it weighed, as it came or ready to charge."},
		"nonsense":     {[]string{"as_found", "a lot"}, "“a lot” is not a number"},
		"negative":     {[]string{"as_found", "-3"}, "A mass here is not below zero"},
		"zero":         {[]string{"as_found", "0"}, "A delivery of nothing is no delivery."},
		"huge":         {[]string{"as_found", "9999999999999"}, "more than 12 digits"},
		"grown":        {[]string{"as_found", "10", "as_charged", "12"}, "come to 12.000 kg, but only 10.000 kg came"},
		"wrong unit":   {[]string{"as_found", "10 m"}, "ends in a unit that is not read here"},
		"to come":      {[]string{"as_found", "10", "at_date", "2026-03-03"}, "is still to come"},
		"no such time": {[]string{"as_found", "10", "at_date", "2026-03-01", "at_clock", "25:00"}, "is not a time of day"},
		"price":        {[]string{"as_found", "10", "paid", "-0.1"}, "A price per kg is not below zero"},
	} {
		assert.Contains(t, g.refused(where+"/lots", c.fields...), c.told, name)
	}

	key := newKey()
	fields := []string{"as_found", "12,5", "as_charged", "11.2 kg", "steel", "250 g", "plastic", "0.1", "paid", "0", "at_date", "2026-02-27", "note", "two sacks", "key", key}
	for range 2 {
		assert.Equal(t, http.StatusSeeOther, g.post(where+"/lots", fields...).StatusCode)
	}
	lots, err := d.store.Lots(t.Context(), 1)
	require.NoError(t, err)
	require.Len(t, lots, 1, "two taps, one delivery")
	assert.Equal(t, 12_500*quantity.Gram, *lots[0].AsFound)
	page := g.seen(where)
	for _, told := range []string{"27 Feb", "12.500 kg as found, 11.200 kg ready to charge", "steel 0.250 kg", "plastic 0.100 kg", "two sacks", "11.200 kg left"} {
		assert.Contains(t, page, told)
	}

	g.saved(where+"/lots/1/strike", "reason", "weighed twice")
	page = g.seen(where)
	for _, told := range []string{"Struck. It stays readable and counts no more.", "Struck: weighed twice, by Shed keeper, 2 Mar 2026", "<del><b>Delivered</b>", "/lots/1/lift"} {
		assert.Contains(t, page, told)
	}
	g.saved(where + "/lots/1/lift")
	assert.NotContains(t, g.seen(where), "<del>")
	assert.Equal(t, http.StatusNotFound, g.post(where+"/lots/7/strike", "key", newKey()).StatusCode)
	other := g.saved("/scrap", "name", "Rims", "form", "profile")
	assert.Equal(t, http.StatusNotFound, g.post(other+"/lots/1/strike", "key", newKey()).StatusCode, "not a delivery of that source")

	for i := range lotsShown {
		d.pass(time.Minute)
		g.saved(where+"/lots", "as_found", fmt.Sprint(i+1))
	}
	page = g.seen(where)
	assert.NotContains(t, page, "two sacks")
	next := page[strings.Index(page, where+"?before="):]
	assert.Contains(t, g.seen(next[:strings.IndexByte(next, '"')]), "two sacks")
}

// A melt of one source alone tells what it gives; the trade notes' test vector
// without its second source: 6 kg in, 5.6 kg out are 93.3 %.
func TestASourceMeltedAlone(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	g.saved("/kit", "kind", "furnace", "name", "Yard furnace", "letter", "A")
	scale := g.saved("/kit", "kind", "scale", "name", "Bench scale", "resolution", "1 g")
	where := g.saved("/scrap", "name", "Wheels", "form", "casting")
	g.saved(where+"/lots", "as_charged", "20")
	melt := g.saved("/melts", "furnace", "1", "target", "ingots")
	melt, _, _ = strings.Cut(melt, "?")
	id := strings.TrimPrefix(scale, "/kit/")
	g.saved(melt+"/lines", "kind", "charge", "source", "lot-1-1", "mass", "6", "scale", id, "basis", "ready")
	assert.Contains(t, g.seen("/scrap"), "6.000 kg charged in 1 melt")
	g.saved(melt+"/lines", "kind", "pour", "mass", "5.6", "scale", id, "count", "7")

	page := g.seen(where)
	for _, told := range []string{
		"metal recovered of what was charged, alone in 1 melt: 5.600 kg of 6.000 kg; ± is the weighing alone", "6.000 kg charged of it", "14.000 kg left", "A26-001",
	} {
		assert.Contains(t, page, told)
	}
	assert.Regexp(t, `<b>93\.3</b>\s+<span>± 0\.1 %</span>`, page)
	assert.Contains(t, g.seen("/scrap"), "93.3 ± 0.1 %")
	assert.NotContains(t, g.seen("/scrap"), "Melt it alone once")
}

func TestReadersOnlyLook(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	where := g.saved("/scrap", "name", "Rims", "form", "profile")
	g.saved(where+"/lots", "as_found", "3")
	item := g.saved("/kit", "kind", "crucible", "name", "C3")
	g.saved(item+"/lines", "kind", "inspected", "cracked", "1")
	looker := d.joined(g, "reader", "Looker")
	for _, path := range []string{"/scrap", where, "/kit", item} {
		page := looker.seen(path)
		_, content, _ := strings.Cut(page, "<main")
		for _, never := range []string{"<form", "/edit", "/new", "/add/", "Strike"} {
			assert.NotContains(t, content, never, path)
		}
	}
	for _, path := range []string{"/scrap", where, where + "/lots", where + "/lots/1/strike", "/kit", item, item + "/lines", item + "/lines/1/strike"} {
		res := looker.ask(http.MethodPost, path, url.Values{"key": {newKey()}}, nil)
		assert.Equal(t, http.StatusForbidden, res.StatusCode, path)
	}
}
