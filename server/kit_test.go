package main

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
)

func TestKitFromNothing(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	page := g.seen("/kit")
	for _, told := range []string{"Add the furnace first, then the crucible, then the scale", "Add an element set", "Every melt names its furnace"} {
		assert.Contains(t, page, told)
	}
	for _, k := range kit.Kinds {
		form := g.seen("/kit/new/" + string(k))
		assert.Contains(t, form, "New "+strings.ToLower(k.Name()))
	}
	assert.Contains(t, g.seen("/kit/new/furnace"), "Have a licensed electrician check supply, earth and wiring")
	assert.Contains(t, g.seen("/kit/new/crucible"), "Give a new crucible its first heat the way its own maker says.")
	assert.NotContains(t, g.seen("/kit/new/scale"), "electrician")
	assert.Equal(t, http.StatusNotFound, g.get("/kit/new/anvil").StatusCode)

	where := g.saved("/kit", "kind", "furnace", "name", "Yard furnace", "letter", "a", "heating", "wire", "volts", "230", "circuit", "10", "power", "2 kW", "note", "In the yard")
	page = g.seen(where)
	for _, told := range []string{
		"Yard furnace is in the book.", "begins the code of its melts", "230 V", "2.00 kW", "8.70 A", "87 % of its circuit, reckoned as one phase", "common practice, no source",
		"2.00 kW at 230 V draws 8.70 A, 87 % of its 10.0 A circuit.", "Local wiring rules and a licensed electrician come first.", "In the yard", "Nothing is written about it yet.",
	} {
		assert.Contains(t, page, told)
	}
	assert.NotContains(t, page, "safe\"")

	scale := g.saved("/kit", "kind", "scale", "name", "Bench scale", "resolution", "1 g", "capacity", "10", "gain", "0,1")
	page = g.seen(scale)
	for _, told := range []string{"0.001 kg", "10.000 kg", "0.10 %"} {
		assert.Contains(t, page, told)
	}
	probe := g.saved("/kit", "kind", "probe", "name", "P1", "couple", "K")
	assert.Contains(t, g.seen(probe), "Type K")
	list := g.seen("/kit")
	for _, told := range []string{"letter A", "shows steps of 0.001 kg", "Type K"} {
		assert.Contains(t, list, told)
	}
}

func TestSafeFillOfACrucible(t *testing.T) {
	g := newDoor(t, settings{}).owned()
	bare := g.saved("/kit", "kind", "crucible", "name", "Unknown pot")
	assert.Contains(t, g.seen(bare), "Add the volume to the brim, the water it holds, or the maker's rating and its metal.")
	assert.Contains(t, g.seen("/kit"), "safe fill not known")

	// 1.5 L × 80 % × 2.349 kg/L (Assael et al. 2006, 750 °C) = 2.819 kg.
	pot := g.saved("/kit", "kind", "crucible", "name", "C3", "material", "clay-graphite", "brim", "1,5", "mass", "2.1", "wall", "12", "cost", "60", "expected_heats", "100")
	page := g.seen(pot)
	for _, told := range []string{
		"<b>2.81</b>", "From 1.50 L to the brim × 80 % × 2.35 kg/L, liquid aluminium at 750 °C; 80 % is common practice, no source.",
		"Clay graphite", "2.100 kg", "12 mm", "60.00 GBP", "100 melts", "the shop's own guess",
	} {
		assert.Contains(t, page, told)
	}
	assert.Contains(t, g.seen("/kit"), "safe fill 2.81 kg")

	// Water at 20 °C weighs 0.9982 kg/L (Kell 1975): 1.4973 kg fill 1.5 L.
	wet := g.saved("/kit", "kind", "crucible", "name", "C4", "water", "1.4973")
	assert.Contains(t, g.seen(wet), "From 1.50 L to the brim")
	assert.Regexp(t, `name="brim"[^>]*>|value="1\.50?0?`, g.seen(wet+"/edit"))

	rated := g.saved("/kit", "kind", "crucible", "name", "C5", "rated", "10", "rated_in", "brass")
	page = g.seen(rated)
	assert.Contains(t, page, "From the maker's 10.000 kg of brass × 80 % × 2.35 / 8.35")
	assert.Contains(t, page, "<b>2.25</b>") // 10 · 0.8 · 2349.3 / 8350

	for name, c := range map[string]struct {
		fields []string
		told   string
	}{
		"both":           {[]string{"brim", "1.5", "water", "1.5"}, "Type the volume or the water, not both."},
		"no water":       {[]string{"water", "0"}, "The water weighs something"},
		"negative water": {[]string{"water", "-2"}, "The water weighs something"},
		"a drop":         {[]string{"water", "1 g"}, "A crucible's volume here lies between 10 ml and 200.00 L."},
		"a lake":         {[]string{"water", "99 t"}, "A crucible's volume here lies between"},
		"no metal":       {[]string{"rated", "10"}, "Choose the metal the rating is given in"},
		"no rating":      {[]string{"rated_in", "brass"}, "Type the rating too"},
		"overfull":       {[]string{"brim", "1.5", "fill", "120"}, "between 10 and 100 %"},
		"negative mass":  {[]string{"mass", "-2"}, "A crucible's mass here lies between"},
		"too dear":       {[]string{"cost", "999999999999"}, "What it cost here lies between"},
		"part of a melt": {[]string{"expected_heats", "1.5"}, "is not a whole number"},
		"many melts":     {[]string{"expected_heats", "99999999999"}, "Type how many melts you expect of it"},
		"made up":        {[]string{"material", "gold"}, "Choose one of these."},
	} {
		page := g.refused("/kit", append([]string{"kind", "crucible", "name", "C9"}, c.fields...)...)
		assert.Contains(t, page, c.told, name)
		assert.Contains(t, page, `value="C9"`, "%s: what was typed is still there", name)
	}
}

func TestElementsByOhmsLaw(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	g.saved("/kit", "kind", "furnace", "name", "Yard furnace", "letter", "A", "volts", "230")
	coil := g.saved("/kit", "kind", "element", "name", "E5", "wire", "FeCrAl 22Cr-5.8Al", "diameter", "1,628", "length", "14.35", "ohms", "10", "cost", "45")
	page := g.seen(coil)
	for _, told := range []string{"14.35 m", "1.628 mm", "Ohms by its wire", "10.0 Ω", "It is not fitted in a furnace yet.", "Nothing to compare yet."} {
		assert.Contains(t, page, told)
	}
	assert.Contains(t, g.seen(coil+"/edit"), `value="14.35"`, "metres come back as metres")
	assert.Contains(t, g.seen(coil+"/add/read"), "prove the coils dead with a tester")
	assert.Contains(t, g.seen(coil+"/add/fitted"), "let the furnace go cold, before you open it.")

	d.pass(time.Hour)
	g.saved(coil+"/lines", "kind", "fitted", "furnace", "1")
	page = g.seen(coil)
	for _, told := range []string{"in Yard furnace", "fitted 2 Mar 2026", "Power at 230 V", "5.29 kW", "about 4 % less with the wire at 1000 °C", "7.2 W/cm²"} {
		assert.Contains(t, page, told)
	}
	assert.Contains(t, g.seen("/kit/1"), "E5", "the furnace says what is fitted in it")

	for name, c := range map[string]struct {
		fields []string
		told   string
	}{
		"nothing":      {nil, "Type at least one of ohms, volts, amps and watts."},
		"nonsense":     {[]string{"ohms", "ten"}, "“ten” is not a number."},
		"negative":     {[]string{"ohms", "-10"}, "is below zero"},
		"zero":         {[]string{"ohms", "0"}, "The ohms are given as 0 Ω, which no working element reads."},
		"minus amps":   {[]string{"volts", "230", "amps", "-8"}, "which no working element reads"},
		"milliamps":    {[]string{"volts", "230", "amps", "23000", "watts", "5290"}, "Look whether they were read in mA."},
		"kilo-ohms":    {[]string{"ohms", "0.0101"}, "Look whether they were read in kΩ."},
		"huge":         {[]string{"volts", "999999"}, "A voltage here lies between"},
		"far off":      {[]string{"ohms", "9999999"}, "Look whether they were read in mΩ."},
		"hot as hell":  {[]string{"ohms", "10", "temp", "9000"}, "A temperature here lies between"},
		"to come":      {[]string{"ohms", "10", "at_date", "2027-01-01"}, "is still to come"},
		"half a time":  {[]string{"ohms", "10", "at_clock", "9"}, "is not a time of day"},
		"endless note": {[]string{"ohms", "10", "note", strings.Repeat("x", 2001)}, "Keep it under 2000 letters"},
	} {
		page := g.refused(coil+"/lines", append([]string{"kind", "read"}, c.fields...)...)
		assert.Contains(t, page, c.told, name)
	}

	key := newKey()
	for range 2 {
		res := g.post(coil+"/lines", "kind", "read", "ohms", "10,5", "temp", "21", "key", key)
		assert.Equal(t, http.StatusSeeOther, res.StatusCode)
	}
	_, lines, _, err := d.store.KitItem(t.Context(), 2)
	require.NoError(t, err)
	require.Len(t, lines, 2, "two taps, one line")
	assert.Equal(t, 10_500*quantity.Resistance(1), *lines[1].Ohms)
	page = g.seen(coil)
	assert.Contains(t, page, "<b>95</b>") // 10 / 10.5 by Ohm's law
	assert.Contains(t, page, "10.5 Ω on 2 Mar 2026, 10.0 Ω new")

	// Readings that disagree are written, and pointed out.
	g.saved(coil+"/lines", "kind", "read", "ohms", "10", "volts", "230", "amps", "15")
	page = g.seen(coil)
	assert.Contains(t, page, "Written. By Ohm's law 10 Ω and 230 V make 23 A, but 15 A was given, 35 % less.")
	assert.Contains(t, page, "230 V · 15.0 A · By Ohm's law")
	g.saved(coil+"/lines", "kind", "read", "volts", "231", "amps", "22")
	assert.Contains(t, g.seen(coil), "under power; ohms by V/A")

	g.saved("/kit/2", "name", "E5", "wire", "FeCrAl 22Cr-5.8Al", "diameter", "1.628", "length", "14.35", "ohms", "40")
	assert.Contains(t, g.seen(coil), "it should have 10.0 Ω, but 40.0 Ω was given")
	second := g.saved("/kit", "kind", "element", "name", "E6")
	g.saved(second+"/lines", "kind", "fitted", "furnace", "1")
	assert.Contains(t, g.seen(second), "E5 is down as fitted in the same furnace.")
	assert.Contains(t, g.seen(second), "Its ohms when new are not noted")
	assert.Contains(t, g.refused(second+"/lines", "kind", "fitted", "furnace", "77"), "Choose again")
	assert.Contains(t, g.refused(second+"/lines", "kind", "fitted", "furnace", ""), "Choose the furnace it was fitted to.")
	assert.Contains(t, g.refused(second+"/lines", "kind", "fitted", "furnace", "2"), "That furnace is not there any more.", "an element is no furnace")
}

func TestRetiringAndStriking(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	pot := g.saved("/kit", "kind", "crucible", "name", "C3", "brim", "1.5")
	d.pass(24 * time.Hour)
	g.saved(pot+"/lines", "kind", "inspected", "cracked", "1", "mass", "1.9", "wall", "9,5", "note", "by the lip")
	page := g.seen(pot)
	for _, told := range []string{"Written. A crack was found. Retire this crucible now", "cracked, wall 9.5 mm", "1.900 kg", "by the lip", "Do not use it again: it can let go when it is full.", pot + "/add/retired"} {
		assert.Contains(t, page, told)
	}
	assert.Contains(t, g.refused(pot+"/lines", "kind", "retired", "cause", "worn"), "Write why, in a few words")
	assert.Contains(t, g.refused(pot+"/lines", "kind", "retired", "note", "cracked"), "Say why it is out of use")
	g.saved(pot+"/lines", "kind", "retired", "note", "cracked", "cause", "worn")
	page = g.seen(pot)
	assert.Contains(t, page, "retired 3 Mar 2026")
	assert.Contains(t, page, pot+"/add/returned")
	assert.NotContains(t, page, pot+"/add/inspected")
	assert.NotContains(t, page, "Do not use it again")
	_, gone, found := strings.Cut(g.seen("/kit"), "<h2>Retired</h2>")
	require.True(t, found)
	assert.Contains(t, gone, "C3")
	assert.Contains(t, g.refused(pot+"/lines", "kind", "retired", "note", "again", "cause", "worn"), "C3 was out of use on 3 Mar 2026 already.")

	g.saved(pot + "/lines/2/strike")
	page = g.seen(pot)
	for _, told := range []string{"Struck. It stays readable", "<del><b>Retired</b>", "Struck, by Shed keeper, 3 Mar 2026", pot + "/lines/2/lift"} {
		assert.Contains(t, page, told)
	}
	assert.NotContains(t, g.seen("/kit"), "<h2>Retired</h2>")
	g.saved(pot + "/lines/2/lift")
	assert.Contains(t, g.seen("/kit"), "<h2>Retired</h2>")
	g.saved(pot+"/lines", "kind", "returned")
	assert.NotContains(t, g.seen("/kit"), "<h2>Retired</h2>")

	for _, path := range []string{"/kit/9", "/kit/x", "/kit/9/edit", "/kit/9/add/note", pot + "/add/fitted", pot + "/add/melted"} {
		assert.Equal(t, http.StatusNotFound, g.get(path).StatusCode, path)
	}
	assert.Equal(t, http.StatusNotFound, g.post(pot+"/lines/99/strike", "key", newKey()).StatusCode)
	assert.Equal(t, http.StatusBadRequest, g.post(pot+"/lines", "kind", "fitted", "furnace", "1", "key", newKey()).StatusCode)
	assert.Equal(t, http.StatusBadRequest, g.post("/kit", "kind", "anvil", "name", "A", "key", newKey()).StatusCode)
	assert.Equal(t, http.StatusBadRequest, g.post(pot+"/lines", "kind", "note", "note", "x").StatusCode, "no key")
}

func TestNamesAndLettersAreTakenOnce(t *testing.T) {
	d := newDoor(t, settings{})
	g, key := d.owned(), newKey()
	for range 2 {
		res := g.post("/kit", "kind", "furnace", "name", "Yard furnace", "letter", "A", "key", key)
		assert.Equal(t, "/kit/1", res.to(), "two taps, one furnace")
	}
	for name, c := range map[string]struct{ name, letter, told string }{
		"name":       {"yard FURNACE", "B", "Yard furnace is in the book already."},
		"letter":     {"Shed furnace", "a", "Yard furnace has this letter."},
		"no letter":  {"Shed furnace", "", "Give one letter from A to Z."},
		"a digit":    {"Shed furnace", "7", "Give one letter from A to Z."},
		"two":        {"Shed furnace", "AB", "Give one letter from A to Z."},
		"not Latin":  {"Shed furnace", "Ω", "Give one letter from A to Z."},
		"from afar":  {"Shed furnace", "Å", "Give one letter from A to Z."},
		"no name":    {"", "B", "Give it a name of 1 to 80 letters"},
		"blank name": {" \t ", "B", "Give it a name of 1 to 80 letters"},
	} {
		assert.Contains(t, g.refused("/kit", "kind", "furnace", "name", c.name, "letter", c.letter), c.told, name)
	}
	g.saved("/kit", "kind", "crucible", "name", "Yard furnace")
	g.saved("/kit", "kind", "furnace", "name", "Shed furnace", "letter", "B")
	assert.Contains(t, g.refused("/kit/3", "name", "Yard furnace", "letter", "B"), "Yard furnace is in the book already.")
	assert.Contains(t, g.refused("/kit/3", "name", "Shed furnace", "letter", "A"), "Yard furnace has this letter.")
	g.saved("/kit/3", "name", "Shed furnace", "letter", "C")

	g.saved("/melts", "furnace", "3", "target", "ingots")
	form := g.seen("/kit/3/edit")
	assert.Contains(t, form, "Its letter C stays: melts carry it in their codes.")
	assert.NotContains(t, form, `name="letter"`)
	assert.Contains(t, g.refused("/kit/3", "name", "Shed furnace", "letter", "D"), "Melts carry the letter C in their codes, so it stays.")
	g.saved("/kit/3", "name", "Shed furnace, moved")
	assert.Contains(t, g.seen("/kit/3"), "C26-001")
	it, _, _, err := d.store.KitItem(t.Context(), 3)
	require.NoError(t, err)
	assert.Equal(t, "C", it.Letter)
}

// Shops that write otherwise: comma, grams, degrees Fahrenheit.
func TestKitInOtherUnits(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	shop, err := d.store.Shop(t.Context())
	require.NoError(t, err)
	shop.Comma, shop.MassUnit, shop.Fahrenheit = true, "g", true
	require.NoError(t, d.store.SetShop(t.Context(), 1, shop))
	pot := g.saved("/kit", "kind", "crucible", "name", "C3", "brim", "1,5", "mass", "2100")
	page := g.seen(pot)
	assert.Contains(t, page, "From 1,50 L to the brim × 80 % × 2,35 kg/L, liquid aluminium at 1382 °F")
	assert.Contains(t, page, "2100 g")
	assert.Contains(t, g.seen(pot+"/edit"), `value="1,5"`)
	coil := g.saved("/kit", "kind", "element", "name", "E5", "length", "14,35")
	g.saved(coil+"/lines", "kind", "read", "ohms", "10", "temp", "70")
	assert.Contains(t, g.seen(coil), "at 70 °F")
}

func TestManyLinesOfKit(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	coil := g.saved("/kit", "kind", "element", "name", strings.Repeat("Coil", 20))
	for i := range 62 {
		d.pass(time.Hour)
		g.saved(coil+"/lines", "kind", "read", "ohms", fmt.Sprintf("10.%02d", i))
	}
	page := g.seen(coil)
	assert.Contains(t, page, "2 older lines")
	assert.Equal(t, 60, strings.Count(page, `class="row"`))
	assert.Equal(t, 62, strings.Count(g.seen(coil+"?all=1"), `class="row"`))
}

// A cracked crucible blocks the next melt until a reason is written, which then
// stands as the melt's first line.
func TestACrackBlocksTheNextMelt(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	g.saved("/kit", "kind", "furnace", "name", "Yard furnace", "letter", "A")
	pot := g.saved("/kit", "kind", "crucible", "name", "C3", "brim", "1.4 L")
	assert.NotContains(t, g.seen("/melts/start"), "why_cracked")
	g.saved(pot+"/lines", "kind", "inspected", "cracked", "1")
	assert.Contains(t, g.seen("/melts/start"), "A crack is written down of C3.")
	start := []string{"furnace", "1", "crucible", "2", "target", "ingots"}
	page := g.refused("/melts", start...)
	assert.Contains(t, page, "a cracked one can let go when it is full")
	assert.Contains(t, page, `href="#f-why_cracked"`)
	where := g.saved("/melts", append(start, "why_cracked", "empty, to dry the lid")...)
	where, _, _ = strings.Cut(where, "?")
	assert.Contains(t, g.seen(where), "Started on C3 although a crack is written down: empty, to dry the lid")
	g.saved("/melts", "furnace", "1", "crucible", "", "target", "ingots")
}
