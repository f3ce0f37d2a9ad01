package main

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	ical "github.com/emersion/go-ical"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var feedAddress = regexp.MustCompile(`http://shed\.example(/due/[A-Z2-7]{26}\.ics)`)

// subscribes makes an address of a calendar and gives its path.
func (g *guest) subscribes() string {
	g.d.t.Helper()
	res := g.post("/account/calendar")
	require.Equal(g.d.t, http.StatusOK, res.StatusCode, res.text)
	found := feedAddress.FindStringSubmatch(res.text)
	require.NotNil(g.d.t, found, res.text)
	return found[1]
}

// feed asks a calendar as a phone does, signed in nowhere, and reads it with
// another library than it was written with.
func (d *door) feed(path string) (events []ical.Event, raw string) {
	d.t.Helper()
	res := d.guest().get(path)
	require.Equal(d.t, http.StatusOK, res.StatusCode, res.text)
	assert.Equal(d.t, "text/calendar; charset=utf-8", res.Header.Get("Content-Type"))
	assert.Empty(d.t, res.Cookies())
	assert.Equal(d.t, strings.Count(res.text, "\n"), strings.Count(res.text, "\r\n"), "RFC 5545, 3.1: lines end in CRLF")
	for line := range strings.SplitSeq(res.text, "\r\n") {
		assert.LessOrEqual(d.t, len(line), 75, "RFC 5545, 3.1: lines are folded at 75 octets")
		assert.True(d.t, utf8.ValidString(line), "and not within a letter: %q", line)
	}
	cal, err := ical.NewDecoder(strings.NewReader(res.text)).Decode()
	require.NoError(d.t, err, res.text)
	assert.NotEmpty(d.t, cal.Children, "RFC 5545, 3.6: at least one component")
	version, err := cal.Props.Text(ical.PropVersion)
	require.NoError(d.t, err)
	assert.Equal(d.t, "2.0", version)
	return cal.Events(), res.text
}

// property gives a property as it was before it was escaped and folded.
func property(t *testing.T, e ical.Event, name string) string {
	t.Helper()
	s, err := e.Props.Text(name)
	require.NoError(t, err)
	return s
}

// dayOf gives the day of an event, which must be a whole one.
func dayOf(t *testing.T, e ical.Event) string {
	t.Helper()
	start, end := e.Props.Get(ical.PropDateTimeStart), e.Props.Get(ical.PropDateTimeEnd)
	require.NotNil(t, start)
	require.NotNil(t, end)
	assert.Equal(t, ical.ValueDate, start.ValueType())
	from, err := start.DateTime(time.UTC)
	require.NoError(t, err)
	to, err := end.DateTime(time.UTC)
	require.NoError(t, err)
	assert.Equal(t, 24*time.Hour, to.Sub(from))
	return from.Format(time.DateOnly)
}

func TestCalendarOfWhatIsDue(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.furnished()
	long := `Kübel; "groß", \n mit Ähren ` + strings.Repeat("ü", 50)
	g.saved("/kit", "kind", "crucible", "name", long)
	path := g.subscribes()
	for range 4 {
		d.pass(24 * time.Hour)
		g.melts("crucible", "2", "element", "3")
	}
	events, raw := d.feed(path)
	assert.NotContains(t, raw, "Shed keeper", "no names of people")
	assert.Contains(t, raw, "\r\nREFRESH-INTERVAL;VALUE=DURATION:PT6H\r\n", "each parameter once (RFC 5545, 3.2)")
	assert.NotContains(t, raw, strings.TrimSuffix(strings.TrimPrefix(path, "/due/"), ".ics"))
	days, numbers := map[string]string{}, map[string]string{}
	for _, e := range events {
		name := property(t, e, ical.PropSummary)
		days[name], numbers[name] = dayOf(t, e), property(t, e, ical.PropUID)
		stamp, err := e.Props.DateTime(ical.PropDateTimeStamp, time.UTC)
		require.NoError(t, err)
		assert.Equal(t, time.Date(2026, 3, 6, 9, 0, 0, 0, time.UTC), stamp)
	}
	assert.Equal(t, map[string]string{ // 6 March; 4 heats within 14 days are one in 3.5
		"Time to check C3":           "2026-03-10",
		"Time to check E5":           "2026-03-27",
		"Time to check Yard furnace": "2026-03-27",
		"Time to check Bench scale":  "2026-08-29", // 180 days from 2 March
	}, days, "nothing was melted in the other crucible, so its day cannot be told")
	pot := events[0]
	assert.Equal(t, "Time to check C3", property(t, pot, ical.PropSummary))
	assert.Equal(t, "Time to check after 1 more heat. 4 heats since it came into the book on 2 Mar 2026; the shop looks every 5 heats.\nCold and empty: look for cracks, tap it, weigh it dry.",
		property(t, pot, ical.PropDescription))
	assert.Equal(t, "http://shed.example/kit/2", pot.Props.Get(ical.PropURL).Value)

	g.saved("/shop/due", "crucible_days", "3")
	events, _ = d.feed(path)
	require.Len(t, events, 2, "both crucibles by days, and the rest not at all")
	now := map[string]string{}
	for _, e := range events {
		now[property(t, e, ical.PropSummary)] = property(t, e, ical.PropUID)
		assert.Equal(t, "2026-03-06", dayOf(t, e), "what is past due is due today")
	}
	assert.Contains(t, now, "Time to check "+long, "escaped and folded, and whole again")
	assert.Equal(t, numbers["Time to check C3"], now["Time to check C3"], "its number stays")
	assert.Len(t, now, 2)

	d.pass(24 * time.Hour)
	events, _ = d.feed(path)
	assert.Equal(t, "2026-03-07", dayOf(t, events[0]), "today has moved on")
	g.saved("/kit/2/lines", "kind", "inspected")
	g.saved("/kit/5/lines", "kind", "inspected")
	events, _ = d.feed(path)
	assert.Equal(t, "2026-03-10", dayOf(t, events[0]))

	g.saved("/shop/due")
	events, raw = d.feed(path)
	assert.Empty(t, events)
	assert.Contains(t, raw, "BEGIN:VTIMEZONE")
}

func TestAddressesOfCalendarsEnd(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	reader := d.joined(g, "reader", "Committee")
	gone := func(path string) {
		t.Helper()
		res := d.guest().get(path)
		assert.Equal(t, http.StatusNotFound, res.StatusCode)
		assert.NotContains(t, res.text, "BEGIN:VCALENDAR")
	}
	assert.Contains(t, reader.seen("/account"), "Make an address")
	first := reader.subscribes()
	d.feed(first)
	page := reader.seen("/account")
	assert.Contains(t, page, "Yours was made on 2 Mar 2026. A new one ends it.")
	assert.NotContains(t, page, first, "it is shown once")

	second := reader.subscribes()
	gone(first)
	d.feed(second)
	own := g.subscribes()
	reader.saved("/account/calendar/end")
	gone(second)
	d.feed(own)
	page = reader.seen("/account")
	assert.Contains(t, page, "The address of your calendar no longer works.")
	assert.Contains(t, page, "Make an address")

	third := reader.subscribes()
	g.saved("/shop/people/2/end")
	gone(third)
	for _, never := range []string{"/due/NEVERMADE.ics", "/due/.ics", "/due/" + strings.Repeat("A", 26) + ".ics", "/due/a%2Fb.ics", strings.TrimSuffix(own, ".ics")} {
		gone(never)
	}
}
