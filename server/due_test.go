package main

import (
	"encoding/json"
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// melts starts a melt in the first furnace and charges it, so that it is a heat.
func (g *guest) melts(kit ...string) {
	g.d.t.Helper()
	where := g.saved("/melts", append([]string{"furnace", "1", "target", "ingots"}, kit...)...)
	g.saved(where+"/lines", "kind", "charge", "source", "source-1", "mass", "1.2", "scale", "0")
}

// returns comes back after so long that it has to sign in again.
func (g *guest) returns(after time.Duration) {
	g.d.t.Helper()
	g.d.pass(after)
	require.Equal(g.d.t, http.StatusSeeOther, g.signsIn("Shed keeper", goodPassword).StatusCode)
}

// furnished is a shop with a furnace (1), a crucible (2), an element set (3), a
// scale (4) and some scrap, on 2 March 2026.
func (d *door) furnished() *guest {
	d.t.Helper()
	g := d.owned()
	g.saved("/kit", "kind", "furnace", "name", "Yard furnace", "letter", "A")
	g.saved("/kit", "kind", "crucible", "name", "C3", "brim", "1.4 L")
	g.saved("/kit", "kind", "element", "name", "E5", "ohms", "26.5")
	g.saved("/kit", "kind", "scale", "name", "Bench scale", "resolution", "1 g")
	g.saved("/scrap", "name", "Rims", "form", "profile", "coating", "bare")
	return g
}

func TestTodayShowsWhatIsDueUntilItWasLookedAt(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.furnished()
	reader := d.joined(g, "reader", "Committee")
	for range 4 {
		d.pass(24 * time.Hour)
		g.melts("crucible", "2", "element", "3")
	}
	assert.NotContains(t, g.seen("/"), "Time to check")
	assert.Contains(t, g.seen("/kit/2"), "Time to check after 1 more heat. 4 heats since it came into the book on 2 Mar 2026; the shop looks every 5 heats.")
	assert.NotContains(t, g.seen("/kit"), "time to check")

	d.pass(24 * time.Hour)
	g.melts("crucible", "2", "element", "3")
	const told = "5 heats since it came into the book on 2 Mar 2026; the shop looks every 5 heats. Cold and empty: look for cracks"
	for _, path := range []string{"/", "/kit/2", "/melts/start"} {
		page := g.seen(path)
		assert.Contains(t, page, "Time to check C3.", path)
		assert.Contains(t, page, told, path)
		assert.Contains(t, page, `href="/kit/2/add/inspected">Write the inspection</a>`, path)
		assert.NotContains(t, page, "Time to check E5", path)
	}
	assert.Contains(t, g.seen("/kit"), "time to check · safe fill")
	page := reader.seen("/")
	assert.Contains(t, page, told)
	assert.Contains(t, page, `href="/kit/2">See C3</a>`)
	assert.NotContains(t, page, "/kit/2/add")
	assert.NotContains(t, g.refused("/melts", "furnace", "", "crucible", "", "target", "ingots"), "Time to check C3.", "another crucible is chosen now")

	d.pass(time.Hour)
	g.saved("/kit/2/lines", "kind", "inspected", "note", "all well")
	for _, path := range []string{"/", "/melts/start", "/kit"} {
		assert.NotContains(t, g.seen(path), "ime to check C3", path)
	}
	assert.NotContains(t, g.seen("/kit"), "time to check")
	assert.Contains(t, g.seen("/kit/2"), "Time to check after 5 more heats. 0 heats since it was inspected on 7 Mar 2026")

	g.saved("/kit/2/lines/1/strike", "reason", "it was C2")
	assert.Contains(t, g.seen("/"), "Time to check C3.", "the inspection was none")
	g.saved("/kit/2/lines", "kind", "retired", "note", "cracked", "cause", "worn")
	assert.NotContains(t, g.seen("/"), "Time to check")
	assert.NotContains(t, g.seen("/kit/2"), "Next look")
	g.saved("/kit/2/lines", "kind", "returned")
	assert.Contains(t, g.seen("/"), "Time to check C3.")
}

func TestTheElementIsDueForAReading(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.furnished()
	for range 10 {
		d.pass(24 * time.Hour)
		g.melts("element", "3")
	}
	page := g.seen("/")
	assert.Contains(t, page, `href="/kit/3/add/read">Write the reading</a>`)
	assert.Contains(t, page, "Time to check Yard furnace.")
	assert.Contains(t, page, "Look at contactor, plug and terminals for heat marks, isolated and with the plug pulled.")
	g.saved("/kit/3/lines", "kind", "read", "ohms", "27")
	assert.NotContains(t, g.seen("/"), "Time to check E5.")
	assert.Contains(t, g.seen("/"), "Time to check Yard furnace.")

	g.returns(171 * 24 * time.Hour)
	page = g.seen("/")
	assert.Contains(t, page, "Time to check Bench scale.")
	assert.Contains(t, page, "181 days since it came into the book on 2 Mar 2026; the shop looks every 180 days.")
}

func TestOwnersSetWhenKitIsDue(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.furnished()
	melter := d.joined(g, "melter", "Crew")
	page := g.seen("/shop")
	for _, told := range []string{"every 10 heats", "every 180 days", "Kiln makers' help pages", "judgement, no source", "common practice, no source", `href="/shop/due"`} {
		assert.Contains(t, page, told)
	}
	page = melter.seen("/shop")
	assert.Contains(t, page, "every 10 heats")
	assert.NotContains(t, page, "/shop/due")
	assert.Equal(t, http.StatusForbidden, melter.post("/shop/due", "crucible_heats", "1").StatusCode)

	page = g.seen("/shop/due")
	assert.Regexp(t, `value="5"[^>]*name="crucible_heats"|name="crucible_heats"[^>]*value="5"`, page)
	assert.NotContains(t, page, `name="scale_heats"`, "a scale's heats are not counted")
	usual := []string{"furnace_heats", "10", "element_heats", "10", "scale_days", "180", "probe_days", "180"}
	for name, c := range map[string]struct {
		fields []string
		told   string
	}{
		"zero":      {[]string{"crucible_heats", "0"}, "Crucible, heats: Type a number of heats from 1 to 1000"},
		"words":     {[]string{"crucible_days", "often"}, "Crucible, days: “often” is not a whole number."},
		"a half":    {[]string{"crucible_heats", "2.5"}, "is not a whole number"},
		"negative":  {[]string{"crucible_days", "-5"}, "Crucible, days:"},
		"for ever":  {[]string{"crucible_days", "99999"}, "Type a number of days from 1 to 3650"},
		"beyond it": {[]string{"crucible_heats", "99999999999999999999"}, "Crucible, heats:"},
	} {
		page := g.refused("/shop/due", append(c.fields, usual...)...)
		assert.Contains(t, page, c.told, name)
		assert.Contains(t, page, `value="`+c.fields[1]+`"`, "%s: what was typed is still there", name)
	}
	assert.Contains(t, g.seen("/kit/2"), "the shop looks every 5 heats", "nothing was changed")

	g.saved("/shop/due", append([]string{"crucible_heats", "3", "crucible_days", "30"}, usual...)...)
	page = g.seen("/shop")
	assert.Contains(t, page, "What is due follows these from now on.")
	assert.Contains(t, page, "every 3 heats or 30 days, whichever comes first")
	assert.Contains(t, page, "the shop's own")
	g.returns(30 * 24 * time.Hour)
	assert.Contains(t, g.seen("/"), "0 heats and 30 days since it came into the book")

	g.saved("/shop/due", usual...) // the crucible's fields left empty
	assert.Contains(t, g.seen("/shop"), "not on the list")
	assert.NotContains(t, g.seen("/"), "Time to check")
	assert.Contains(t, g.seen("/kit/2"), "None is asked for of this kind.")
}

func TestManyPiecesThatAreDueAreCounted(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.furnished()
	for _, name := range []string{"a", "b", "c", "d", "e", "f", "g"} {
		g.saved("/kit", "kind", "probe", "name", "T-"+name)
	}
	g.returns(180 * 24 * time.Hour)
	page := g.seen("/")
	assert.Contains(t, page, "Time to check 2 more.")
	assert.Contains(t, page, "Time to check T-a.")
	assert.NotContains(t, page, "Time to check T-g.")
}

func TestDueForPrograms(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.furnished()
	for range 5 {
		d.pass(24 * time.Hour)
		g.melts("crucible", "2")
	}
	var told struct {
		Rules []toldRule
		Kit   []toldDue
	}
	res := d.joined(g, "reader", "Committee").get("/api/v1/due")
	require.Equal(t, http.StatusOK, res.StatusCode)
	require.NoError(t, json.Unmarshal([]byte(res.text), &told))
	assert.Len(t, told.Rules, 5)
	require.Len(t, told.Kit, 4)
	came := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	assert.Equal(t, toldDue{ID: 2, Name: "C3", Kind: "crucible", Due: true, Looked: came, Heats: 5, Days: 5, HeatsLeft: new(0), On: "2026-03-07",
		Says: "5 heats since it came into the book on 2 Mar 2026; the shop looks every 5 heats."}, told.Kit[0], "the longest waiting first")
	assert.Equal(t, "furnace", string(told.Kit[1].Kind))
	assert.Equal(t, "2026-03-21", told.Kit[1].On, "5 heats left at 5 in 14 days")
	assert.Equal(t, "scale", string(told.Kit[2].Kind))
	assert.Equal(t, 175, *told.Kit[2].DaysLeft)
	assert.Empty(t, told.Kit[3].On, "no heats with the element, so no day")
	assert.Contains(t, res.text, `"days_left":null`)
}
