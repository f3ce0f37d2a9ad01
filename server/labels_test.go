package main

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// labelled is a shop with one closed melt, a running one and a void one, and
// something of every kind that labels can be for.
func (d *door) labelled() (g *guest, closed, running, void string) {
	g = d.owned()
	furnace := strings.TrimPrefix(g.saved("/kit", "kind", "furnace", "name", "Yard furnace", "letter", "A"), "/kit/")
	g.saved("/kit", "kind", "crucible", "name", "Pot 3", "material", "clay-graphite", "mass", "1.84")
	g.saved("/kit", "kind", "element", "name", "E2", "wire", "FeCrAl 22Cr-5.8Al", "ohms", "26.5")
	scale := strings.TrimPrefix(g.saved("/kit", "kind", "scale", "name", "Kitchen scale", "resolution", "0.001"), "/kit/")
	g.saved("/scrap", "name", "Crank arms", "form", "casting", "alloy", "A356.0", "sure", "likely", "hollow", "1")
	g.saved("/scrap", "name", "Rims", "form", "profile")
	g.saved("/scrap/1/lots", "as_found", "12", "as_charged", "10.5")
	start := func() string {
		return g.saved("/melts", "furnace", furnace, "crucible", "2", "warm", "cold", "target", "ingots")
	}
	log := func(path string, fields ...string) {
		g.saved(path+"/lines", append(fields, "scale", scale)...)
	}
	closed = start()
	log(closed, "kind", "charge", "source", "source-1", "mass", "2", "dry", "1")
	d.pass(time.Minute)
	log(closed, "kind", "charge", "source", "source-2", "mass", "1")
	d.pass(time.Hour)
	log(closed, "kind", "pour", "mass", "2.62", "count", "7")
	g.saved(closed+"/lines", "kind", "close")
	running = start()
	void = start()
	g.saved(void+"/lines", "kind", "void", "note", "wrong furnace")
	return g, strings.TrimPrefix(closed, "/melts/"), strings.TrimPrefix(running, "/melts/"), strings.TrimPrefix(void, "/melts/")
}

// A label tells what it is stuck on without a phone.
func TestLabelsTellWithoutAPhone(t *testing.T) {
	d := newDoor(t, settings{})
	g, closed, _, _ := d.labelled()
	for _, c := range []struct {
		of    string
		from  string // the page that leads to it
		tells []string
	}{
		{"melt-" + closed, "/melts/" + closed, []string{closed, "7 ingots, 2.620 kg", "From A356.0 and scrap not known, as logged, in part a guess", "2 Mar 2026 · Yard furnace", "shed.example/melts/" + closed}},
		{"kit-2", "/kit/2", []string{"Pot 3", "New: 1.840 kg", "In the book since 2 Mar 2026", "shed.example/kit/2"}},
		{"kit-3", "/kit/3", []string{"E2", "FeCrAl 22Cr-5.8Al", "New: 26.5 Ω", "shed.example/kit/3"}},
		{"scrap-1", "/scrap/1", []string{"Crank arms", "Look out: hollow or sealed pieces", "Casting", "Alloy A356.0, likely", "shed.example/scrap/1"}},
		{"scrap-2", "/scrap/2", []string{"Rims", "Alloy not known"}},
		{"lot-1", "/scrap/1", []string{"Crank arms", "Came 2 Mar 2026, 10.500 kg sorted and dry", "Look out: hollow or sealed pieces", "shed.example/scrap/1#lot-1"}},
	} {
		address := "/labels?stock=one&of=" + c.of
		assert.Contains(t, g.seen(c.from), address, "%s leads to its label", c.from)
		page := g.seen(address)
		for _, told := range c.tells {
			assert.Contains(t, page, told, c.of)
		}
		assert.Contains(t, page, `class="labels one"`)
		assert.Contains(t, page, "1 label to print")
		assert.Regexp(t, `<path d="M4 4h7v1h-7z[Mhvz0-9 -]+"></path>`, page)
	}
	assert.Contains(t, g.seen("/scrap/1"), `id="lot-1"`, "where the code of a delivery leads")
}

func TestASheetOfLabels(t *testing.T) {
	d := newDoor(t, settings{})
	g, closed, running, void := d.labelled()
	page := g.seen("/labels")
	assert.NotContains(t, page, `class="tag"`)
	for _, offered := range []string{`value="melt-` + closed + `"`, `value="kit-2"`, `value="kit-3"`, `value="scrap-1"`, `value="scrap-2"`, `value="lot-1"`, "http://shed.example"} {
		assert.Contains(t, page, offered)
	}
	for _, not := range []string{running, void, `value="kit-1"`} {
		assert.NotContains(t, page, not, "has no label")
	}

	page = g.seen("/labels?of=kit-2&of=kit-2&of=scrap-1&codes=" + strings.ToLower(closed) + "&stock=a4-2x7&start=13&copies=3&at=192.168.1.20:8372/kit")
	assert.Contains(t, page, "9 labels to print")
	assert.Equal(t, 9, strings.Count(page, `class="tag"`))
	assert.Equal(t, 12, strings.Count(page, `class="tag used"`))
	assert.Equal(t, 2, strings.Count(page, `class="labels a4-2x7"`), "sheets")
	assert.Contains(t, page, "2 sheets.")
	assert.Contains(t, page, "The first 12 places stay empty.")
	assert.Contains(t, page, ">192.168.1.20:8372/kit/2<")
	assert.Contains(t, page, `value="kit-2" checked`, "what was ticked stays so")
	assert.NotContains(t, page, "No other machine")
	assert.Contains(t, g.seen("/labels?of=kit-2&at=localhost:8372"), "No other machine can open this address.")
	assert.Contains(t, g.seen("/labels?of=kit-2&stock=roll&start=9"), "1 label to print", "a roll has no place that is used up")

	for query, told := range map[string]string{
		"of=kit-2&stock=a5":                      "Choose one of these papers.",
		"of=kit-2&stock=letter-3x10&start=31":    "This paper has 30 labels. Type which is the first free one.",
		"of=kit-2&start=first":                   "This paper has 24 labels.",
		"of=kit-2&copies=0":                      "Type a number from 1 to 100.",
		"of=kit-2&at=ftp://shed":                 "That is no address.",
		"of=kit-2&at=a+b":                        "That is no address.",
		"stock=a4-3x8":                           "Tick what the labels are for",
		"codes=" + running:                       running + " is still running.",
		"codes=" + void:                          void + " was made void.",
		"codes=" + closed + ",+Z99-001":          "There is no melt Z99-001.",
		"copies=100&" + strings.Join(ofs(7), ""): "That makes 700 labels. Print at most 600 at a time.",
	} {
		page := g.seen("/labels?" + query)
		assert.Contains(t, page, told, query)
		assert.Contains(t, page, `class="error"`, query)
		assert.NotContains(t, page, `class="tag"`, query)
	}
	for _, gone := range []string{"kit-99", "scrap-99", "lot-99", "melt-Z99-999", "melt-" + void, "nonsense"} {
		page := g.seen("/labels?of=" + gone + "&of=kit-2")
		assert.Equal(t, 1, strings.Count(page, `class="tag"`), gone)
		assert.Equal(t, 1, strings.Count(page, `class="advice"`), gone)
	}
	g.saved("/scrap/1/lots/1/strike")
	assert.Contains(t, g.seen("/labels?of=lot-1"), "is struck. It has no label.")
}

// ofs asks for labels of the first kit and scrap, n of them.
func ofs(n int) (all []string) {
	for _, kind := range []string{"kit", "scrap"} {
		for id := 1; id <= 4 && len(all) < n; id++ {
			if kind == "scrap" && id > 2 {
				continue
			}
			all = append(all, fmt.Sprintf("of=%s-%d&", kind, id))
		}
	}
	return append(all, "of=lot-1&")[:n]
}

// Behind a proxy the labels have the address that the owner set.
func TestLabelsHaveTheAddressThatIsSet(t *testing.T) {
	d := newDoor(t, settings{origin: "https://melts.example.org"})
	g, _, _, _ := d.labelled()
	assert.Contains(t, g.seen("/labels?of=kit-2"), ">https://melts.example.org/kit/2<")
}

func TestAShopWithNothingToLabel(t *testing.T) {
	d := newDoor(t, settings{})
	require.Contains(t, d.owned().seen("/labels"), "Nothing to label yet")
}
