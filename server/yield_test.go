package main

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// truth is what a made-up scrap gives, metal and dross per kg charged.
type truth struct {
	name, form, coating string
	metal, dross        float64
}

var (
	trueRims   = truth{"Rims", "profile", "anodised", 0.92, 0.07}
	trueCranks = truth{"Crank arms", "casting", "bare", 0.955, 0.05}
	trueCans   = truth{"Drink cans", "can", "lacquered", 0.77, 0.21}
)

// trial is a shop whose scrap is known to the test and not to the shop.
type trial struct {
	*guest
	truths []truth // of sources 1, 2, …
	melts  int
}

func newTrial(t *testing.T, truths ...truth) *trial {
	t.Helper()
	d := newDoor(t, settings{})
	s := &trial{guest: d.owned(), truths: truths}
	s.saved("/kit", "kind", "furnace", "name", "Yard furnace", "letter", "A")
	s.saved("/kit", "kind", "scale", "name", "Bench scale", "resolution", "1 g")
	for _, p := range truths {
		s.saved("/scrap", "name", p.name, "form", p.form, "coating", p.coating)
	}
	return s
}

// melt melts so many kilograms of each source and closes. From melt to melt
// the yield differs by a point or so, as it does.
func (s *trial) melt(kg ...float64) (path string) {
	s.d.t.Helper()
	path = s.charged(kg...)
	var metal, dross, all float64
	for i, x := range kg {
		metal, dross, all = metal+x*s.truths[i].metal, dross+x*s.truths[i].dross, all+x
	}
	wobble := all * 0.01 * math.Sin(float64(7*s.melts))
	s.closes(path, metal+wobble, dross-wobble/2)
	return path
}

// charged starts a melt and charges it.
func (s *trial) charged(kg ...float64) (path string) {
	s.d.t.Helper()
	s.melts++
	s.d.pass(24 * time.Hour)
	path, _, _ = strings.Cut(s.saved("/melts", "furnace", "1", "target", "ingots"), "?")
	for i, x := range kg {
		if x > 0 {
			s.saved(path+"/lines", "kind", "charge", "source", fmt.Sprintf("source-%d", i+1), "mass", fmt.Sprintf("%.3f", x), "scale", "2", "basis", "ready", "dry", "1")
		}
	}
	return path
}

func (s *trial) closes(path string, metal, dross float64) {
	s.d.t.Helper()
	s.saved(path+"/lines", "kind", "skim", "mass", fmt.Sprintf("%.3f", dross), "scale", "2")
	s.saved(path+"/lines", "kind", "pour", "mass", fmt.Sprintf("%.3f", metal), "scale", "2", "count", "4")
	s.saved(path+"/lines", "kind", "close")
}

// settled waits until the estimate is of all that is written.
func (s *trial) settled() {
	s.d.t.Helper()
	require.Eventually(s.d.t, func() bool {
		_, old := s.d.yields.latest(s.d.t.Context())
		return !old
	}, 10*time.Second, 2*time.Millisecond)
}

// toldSource is a source as a program reads it.
type toldSource struct {
	ID        int64
	Name      string
	Metal     struct{ Low, Middle, High float64 }
	Dross     struct{ Low, Middle, High float64 }
	Separable bool
}

// told asks for all sources as a program does.
func (s *trial) told() map[string]toldSource {
	s.d.t.Helper()
	s.settled()
	var body struct{ Sources []toldSource }
	require.NoError(s.d.t, json.Unmarshal([]byte(s.seen("/api/v1/sources")), &body))
	all := map[string]toldSource{}
	for _, p := range body.Sources {
		all[p.Name] = p
	}
	return all
}

// mixed melts n charges of three sources, mostly mixed.
func (s *trial) mixed(n int) {
	s.d.t.Helper()
	for i := range n {
		s.melt([][]float64{{2, 0, 0}, {1, 1, 0}, {0.8, 0, 0.8}, {0, 1.5, 0.4}}[i%4]...)
	}
}

var rowNames = regexp.MustCompile(`<li><p class="ends">\s*<a href="/scrap/\d+"><b>([^<]+)</b>`)

// order is the names of the list of scrap as they stand.
func order(page string) (names []string) {
	for _, m := range rowNames.FindAllStringSubmatch(page, -1) {
		names = append(names, m[1])
	}
	return names
}

func TestRankingOfAKnownShop(t *testing.T) {
	s := newTrial(t, trueRims, trueCranks, trueCans)
	s.saved("/scrap", "name", "Foil", "form", "foil")
	s.mixed(16)
	all := s.told()
	for _, p := range s.truths {
		got := all[p.name]
		assert.True(t, got.Metal.Low <= p.metal && p.metal <= got.Metal.High, "%s: %.3f is not in %.3f to %.3f", p.name, p.metal, got.Metal.Low, got.Metal.High)
		assert.True(t, got.Dross.Low <= p.dross && p.dross <= got.Dross.High, "%s: dross %.3f is not in %.3f to %.3f", p.name, p.dross, got.Dross.Low, got.Dross.High)
		assert.True(t, got.Separable, p.name)
	}
	page := s.seen("/scrap")
	assert.Equal(t, []string{"Crank arms", "Rims", "Drink cans", "Foil"}, order(page))
	for _, told := range []string{"Scrap, cleanest first", "metal recovered per kg charged · 90 % range · 16 melts", "never charged yet", "in 8 melts", "<h2>Not charged yet</h2>", "<h2>The same as a table</h2>", "Worked out 18 Mar 2026"} {
		assert.Contains(t, page, told)
	}
	assert.NotRegexp(t, `\d\.\d\d+ %`, page, "no share has two decimals")
	assert.Equal(t, []string{"Crank arms", "Drink cans", "Rims", "Foil"}, order(s.seen("/scrap?by=name")))
	assert.Equal(t, []string{"Drink cans"}, order(s.seen("/scrap?form=can")))
	assert.Contains(t, s.seen("/scrap?form=wire"), "There is no scrap of this form.")
	assert.Len(t, order(s.seen("/scrap?form=%3Cscript%3E&by=2")), 4, "nonsense does not filter")

	source := s.seen("/scrap/3")
	for _, told := range []string{"metal recovered per kg charged, 90 % range", "charged in 8 closed melts", "nearly all there is to say", "Expected", "Off by"} {
		assert.Contains(t, source, told)
	}
	assert.Contains(t, s.seen("/scrap/4"), "hardly anything yet")
}

// A newer estimate is made beside the page, which says so and does not wait.
func TestAnOldEstimateIsShownMeanwhile(t *testing.T) {
	s := newTrial(t, trueRims, trueCranks, trueCans)
	s.mixed(4)
	s.settled()
	assert.NotContains(t, s.seen("/scrap"), "A newer one is being made")
	s.melt(1, 1)
	page := s.seen("/scrap")
	assert.Contains(t, page, "A newer one is being made")
	assert.Contains(t, page, "90 % range · 4 melts")
	s.settled()
	assert.Contains(t, s.seen("/scrap"), "90 % range · 5 melts")
}

func TestTooFewMeltsToRank(t *testing.T) {
	s := newTrial(t, trueRims, trueCranks)
	s.settled()
	assert.Contains(t, s.seen("/scrap"), "No melt with its metal weighed is closed yet.")
	s.melt(1, 1)
	s.settled()
	page := s.seen("/scrap")
	assert.Contains(t, page, "One melt is too few to tell what each scrap gives.")
	assert.Contains(t, page, "<h2>Each melt's own recovery</h2>")
	assert.Contains(t, page, "A26-001")
	assert.NotContains(t, page, `class="whisker"`, "nothing is ranked")
	s.melt(2, 0)
	s.settled()
	assert.Contains(t, s.seen("/scrap"), "Two melts are too few")
	assert.Contains(t, s.seen("/scrap/compare?a=1&b=2"), "There are fewer than three melts")
	assert.NotContains(t, s.seen("/melts/A26-002"), "expected of this charge")
	s.melt(0, 2)
	s.settled()
	assert.Contains(t, s.seen("/scrap"), "90 % range · 3 melts")
}

func TestOneSourceOnly(t *testing.T) {
	s := newTrial(t, trueRims)
	for range 4 {
		s.melt(2)
	}
	got := s.told()["Rims"]
	assert.True(t, got.Separable)
	page := s.seen("/scrap")
	assert.Equal(t, []string{"Rims"}, order(page))
	assert.NotContains(t, page, "too close to call")
	assert.Contains(t, s.seen("/scrap/compare"), "It takes two kinds of scrap")
}

func TestAlwaysChargedTogether(t *testing.T) {
	s := newTrial(t, trueRims, trueCranks)
	for range 6 {
		s.melt(1.2, 0.6)
	}
	all := s.told()
	assert.False(t, all["Rims"].Separable)
	assert.False(t, all["Crank arms"].Separable)
	page := s.seen("/scrap")
	assert.Contains(t, page, "Rims and Crank arms</b> were never charged apart; only their blend is known: 93")
	assert.Regexp(t, `Melt (Rims|Crank arms) alone once, about 1\.0 kg`, page)
	assert.Contains(t, page, "<h2>Known too roughly to be ranked</h2>")
	assert.Contains(t, page, `class="reach rough"`)
	assert.NotContains(t, page, "<circle", "no point is drawn where only a range is known")
	assert.Contains(t, s.seen("/scrap/1"), "Nearly always charged together with Crank arms")
	assert.Contains(t, s.seen("/scrap/compare?a=1&b=2"), "Too close to call.")
	s.melt(1.8, 0)
	s.melt(1.8, 0)
	assert.True(t, s.told()["Rims"].Separable, "the experiment separates them")
	assert.NotContains(t, s.seen("/scrap"), "only their blend is known")
}

func TestABeliefMovesTheEstimate(t *testing.T) {
	s := newTrial(t, trueRims, trueCranks, trueCans)
	s.saved("/scrap", "name", "Foil", "form", "foil")
	s.mixed(4)
	before := s.told()["Foil"].Metal.Middle
	assert.Contains(t, s.seen("/scrap/4/belief"), "foil, loose 40-80 % (common practice, no source)")
	for name, c := range map[string]struct {
		fields []string
		told   string
	}{
		"no spread":  {[]string{"metal", "90"}, "Say how sure you are"},
		"no share":   {[]string{"metal_sd", "3"}, "Type the share too, or empty both."},
		"too much":   {[]string{"metal", "140", "metal_sd", "3"}, "between 0 and 100 %"},
		"below zero": {[]string{"dross", "-1", "dross_sd", "3"}, "between 0 and 100 %"},
		"too sure":   {[]string{"metal", "90", "metal_sd", "0"}, "between 0.1 and 50 %"},
		"nonsense":   {[]string{"metal", "clean", "metal_sd", "3"}, "“clean” is not a number"},
	} {
		page := s.refused("/scrap/4/belief", c.fields...)
		assert.Contains(t, page, c.told, name)
		assert.Contains(t, page, `value="`+c.fields[1]+`"`, "%s: what was typed is still there", name)
	}
	assert.Equal(t, before, s.told()["Foil"].Metal.Middle, "what is refused changes nothing")

	s.saved("/scrap/4/belief", "metal", "30", "metal_sd", "2,5", "dross", "60", "dross_sd", "5")
	after := s.told()["Foil"]
	assert.InDelta(t, 0.30, after.Metal.Middle, 0.01)
	assert.InDelta(t, 0.60, after.Dross.Middle, 0.01)
	page := s.seen("/scrap/4")
	assert.Contains(t, page, "30 ± 2.5 %")
	assert.Contains(t, page, "set by the shop; form and coating suggest 60")
	assert.Contains(t, s.seen("/scrap/4/belief"), `value="2.5"`)

	s.saved("/scrap/4/belief", "metal", "", "metal_sd", "")
	assert.InDelta(t, before, s.told()["Foil"].Metal.Middle, 1e-9, "form and coating hold again")
	assert.Contains(t, s.seen("/scrap/4"), "from its form and coating")
	assert.Equal(t, http.StatusNotFound, s.post("/scrap/99/belief", "metal", "1", "metal_sd", "1", "key", newKey()).StatusCode)
	assert.Equal(t, http.StatusBadRequest, s.post("/scrap/4/belief", "metal", "1", "metal_sd", "1").StatusCode)
}

func TestYardPrices(t *testing.T) {
	s := newTrial(t, trueRims, trueCranks, trueCans)
	s.mixed(8)
	s.settled()
	compare := "/scrap/compare?a=2&b=3"
	assert.Contains(t, s.seen(compare), "Write what a yard pays for ingots")
	assert.Contains(t, s.refused("/scrap/prices", "price", "1"), "Choose one of these.")
	for name, c := range map[string]struct{ price, day, told string }{
		"nothing": {"", "", "Type what a kg costs or brings."}, "negative": {"-1", "", "not below zero"}, "huge": {"20000", "", "not above 10\u202f000"},
		"nonsense": {"dear", "", "is not a number"}, "to come": {"1", "2030-01-01", "still to come"},
	} {
		assert.Contains(t, s.refused("/scrap/prices", "of", "ingots", "price", c.price, "day", c.day), c.told, name)
	}
	key := newKey()
	for range 2 { // two taps
		assert.Equal(t, http.StatusSeeOther, s.post("/scrap/prices", "of", "ingots", "price", "1,70", "day", "2026-02-20", "note", "Yard by the canal", "key", key).StatusCode)
	}
	s.saved("/scrap/3/prices", "price", "0.60")
	page := s.seen("/scrap")
	assert.Equal(t, 1, strings.Count(page, "1.70 GBP a kg"))
	assert.Contains(t, page, "20 Feb 2026")
	assert.NotContains(t, page, "0.60 GBP", "the price of a source is not that of ingots")
	assert.Contains(t, s.seen("/scrap/3"), "0.60 GBP a kg")
	s.saved("/shop/tariffs", "from", "2026-01-01", "price", "0.25")
	page = s.seen(compare)
	// A tenth of a kilo at 1.70 is 0.17, which buys 0.68 kWh at 0.25.
	for _, told := range []string{"More metal comes from Crank arms than from Drink cans:", "over 99 % sure", "0.17 GBP", "0.68 kWh", "what a yard paid for ingots on 20 Feb 2026"} {
		assert.Contains(t, page, told)
	}
	assert.Contains(t, s.seen("/scrap/compare?a=3&b=2"), "More metal comes from Crank arms than from Drink cans:", "either way round")
	for _, odd := range []string{"", "?a=1&b=1", "?a=x&b=2", "?a=99&b=98", "?a=-1&b=2"} {
		assert.NotContains(t, s.seen("/scrap/compare"+odd), "sure", odd)
	}
	assert.Contains(t, s.seen("/scrap/compare?a=1&b=1"), "Choose two that are not the same.")
}

// A charge that was typed wrong is named, with the line to look at.
func TestAMistypedMassIsNamed(t *testing.T) {
	s := newTrial(t, trueRims, trueCranks, trueCans)
	s.mixed(15)
	path := s.charged(4.12) // of which 1.42 kg was there
	s.closes(path, 1.42*trueRims.metal, 1.42*trueRims.dross)
	s.settled()
	_, lines, err := s.d.store.Melt(t.Context(), "A26-016")
	require.NoError(t, err)
	where := fmt.Sprintf(`href="/melts/A26-016#line-%d"`, lines[0].ID)
	for _, page := range []string{s.seen("/scrap/1"), s.seen(path)} {
		assert.Contains(t, page, "Look at a charge, where the scale showed 4.120 kg")
		assert.Contains(t, page, where)
	}
	assert.Contains(t, s.seen(path), fmt.Sprintf(`id="line-%d"`, lines[0].ID))
	assert.Contains(t, s.seen(path), "Far less metal than its charge lets expect")
}

func TestWhatAChargeLetsExpect(t *testing.T) {
	s := newTrial(t, trueRims, trueCranks, trueCans)
	s.mixed(16)
	s.settled()
	path := s.charged(1, 1, 0)
	page := s.seen(path)
	toExpect := regexp.MustCompile(`(?s)<dt>Expect.{1,120}>metal, (\d\.\d\d) kg to (\d\.\d\d) kg.*Expect (\d+) to (\d+) % of this charge as metal, and`)
	found := toExpect.FindStringSubmatch(page)
	require.NotNil(t, found, page)
	var low, high float64
	_, err := fmt.Sscan(found[1], &low)
	require.NoError(t, err)
	_, err = fmt.Sscan(found[2], &high)
	require.NoError(t, err)
	expected := trueRims.metal + trueCranks.metal
	assert.True(t, low < expected && expected < high, "%.3f to %.3f", low, high)
	assert.Less(t, high-low, 0.15)
	var told expectedOf
	asked := func() expectedOf {
		told = expectedOf{}
		require.NoError(t, json.Unmarshal([]byte(s.seen("/api/v1"+path+"/expected")), &told))
		return told
	}
	require.NotNil(t, asked().Expected)
	assert.InDelta(t, low, told.Expected.Metal.Low*told.Expected.Kilograms, 0.005, "as on the page")
	assert.InDelta(t, high, told.Expected.Metal.High*told.Expected.Kilograms, 0.005)
	assert.Nil(t, told.Held)
	s.closes(path, 1.88, 0.12)
	assert.Nil(t, asked().Expected)
	assert.InDelta(t, 0.94, told.Held.Seen, 0.001)
	page = s.seen(path)
	assert.Contains(t, page, "Recovery expected of this charge", "held against the last estimate before a new one is made")
	assert.NotContains(t, page, "than its charge lets expect")
	s.settled()
	assert.Contains(t, s.seen(path), "Recovery expected of this charge")
	require.NotNil(t, asked().Fit)
	assert.Equal(t, told.Fit.Metal, told.Held)
	empty := s.charged()
	assert.NotContains(t, s.seen(empty), "Expect ")

	// Of a delivery of which 80 % were left after sorting, 2 kg as found are 1.6.
	s.saved("/scrap/1/lots", "as_found", "10", "as_charged", "8")
	s.saved(empty+"/lines", "kind", "charge", "source", "lot-1-1", "mass", "2", "scale", "2", "basis", "found")
	page = s.seen(empty)
	found = toExpect.FindStringSubmatch(page)
	require.NotNil(t, found)
	_, err = fmt.Sscan(found[2], &high)
	require.NoError(t, err)
	assert.Less(t, high, 1.7)
}

func TestDeliveriesAreCompared(t *testing.T) {
	s := newTrial(t, trueRims, trueCranks)
	for range 2 {
		s.saved("/scrap/1/lots", "as_charged", "30")
	}
	for i := range 12 {
		s.melts++
		s.d.pass(24 * time.Hour)
		path, _, _ := strings.Cut(s.saved("/melts", "furnace", "1", "target", "ingots"), "?")
		lot, metal := 1+i%2, 2*trueRims.metal
		if lot == 2 { // twelve points worse
			metal -= 0.24
		}
		s.saved(path+"/lines", "kind", "charge", "source", fmt.Sprintf("lot-1-%d", lot), "mass", "2", "scale", "2", "basis", "ready", "dry", "1")
		s.closes(path, metal+0.01*math.Sin(float64(i)), 0.14)
	}
	s.settled()
	page := s.seen("/scrap/1")
	assert.Contains(t, page, "Deliveries against all other melts")
	assert.Contains(t, page, "worse than the rest, by")
	assert.Contains(t, page, "better than the rest, by")
	assert.Contains(t, page, "12.000 kg charged, 6 melts")
}

func TestSourcesForPrograms(t *testing.T) {
	s := newTrial(t, trueRims, trueCranks, trueCans)
	s.mixed(8)
	s.settled()
	looker := s.d.joined(s.guest, "reader", "Looker")
	for _, path := range []string{"/api/v1/sources", "/api/v1/sources/1", "/api/v1/compare?a=1&b=3"} {
		res := looker.get(path)
		assert.Equal(t, http.StatusOK, res.StatusCode, path)
		assert.Equal(t, "application/json", res.Header.Get("Content-Type"), path)
		assert.True(t, json.Valid([]byte(res.text)), path)
		res = s.d.guest().get(path)
		assert.Equal(t, http.StatusUnauthorized, res.StatusCode, path)
		assert.Equal(t, "application/problem+json", res.Header.Get("Content-Type"), path)
	}
	for path, status := range map[string]int{
		"/api/v1/sources/99": http.StatusNotFound, "/api/v1/sources/x": http.StatusUnprocessableEntity, "/api/v1/compare": http.StatusUnprocessableEntity,
		"/api/v1/compare?a=1&b=1": http.StatusBadRequest, "/api/v1/compare?a=1&b=99": http.StatusBadRequest, "/api/v1/nothing": http.StatusNotFound,
	} {
		res := looker.get(path)
		assert.Equal(t, status, res.StatusCode, path)
		assert.Equal(t, "application/problem+json", res.Header.Get("Content-Type"), path)
	}
	var c struct {
		Verdict    string
		More       float64 `json:"more_metal"`
		Difference struct{ Low, High float64 }
	}
	require.NoError(t, json.Unmarshal([]byte(looker.seen("/api/v1/compare?a=1&b=3")), &c))
	assert.Equal(t, "more", c.Verdict)
	assert.Greater(t, c.More, 0.9)
	difference := trueRims.metal - trueCans.metal
	assert.True(t, c.Difference.Low < difference && difference < c.Difference.High)
	for _, path := range []string{"/scrap/1/belief", "/scrap/1/prices", "/scrap/prices"} {
		assert.Equal(t, http.StatusForbidden, looker.post(path, "price", "1", "key", newKey()).StatusCode, path)
		assert.NotContains(t, looker.seen("/scrap")+looker.seen("/scrap/1"), `href="`+path+`"`)
	}
}

// Two sources that hardly differ are not said to.
func TestNeighboursTooCloseToCall(t *testing.T) {
	twin := trueRims
	twin.name, twin.metal = "Hubs", 0.922
	s := newTrial(t, trueRims, twin, trueCans)
	s.mixed(8)
	s.settled()
	page := s.seen("/scrap")
	assert.Regexp(t, `too close to call with (Rims|Hubs)<`, page)
	assert.NotContains(t, page, "too close to call with Drink cans")
	assert.NotContains(t, s.seen("/scrap?by=name"), "too close to call", "by name there is no order to doubt")
	assert.Regexp(t, `Too close to call\.|No difference seen\.`, s.seen("/scrap/compare?a=1&b=2"))
}
