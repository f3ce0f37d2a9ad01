package kit

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/quantity"
)

func onDay(t *testing.T, zone *time.Location, text string) quantity.Moment {
	t.Helper()
	at, err := time.ParseInLocation("2006-01-02 15:04", text, zone)
	require.NoError(t, err)
	return quantity.At(at)
}

func TestDue(t *testing.T) {
	var s quantity.Style
	at := func(text string) quantity.Moment { return onDay(t, time.UTC, text) }
	now := at("2026-03-11 09:00")
	for name, c := range map[string]struct {
		rule   Rule
		last   Look
		due    bool
		used   float64
		on     string // expected day; 2 heats in 20 days, so 10 days a heat
		say    string
		isNext string
	}{
		"by heats, not yet": {Rule{Heats: new(5)}, Look{At: at("2026-03-01 18:00"), By: Inspected, Heats: 4}, false, 0.8, "21 Mar 2026",
			"4 heats since it was inspected on 1 Mar 2026; the shop looks every 5 heats.", "Time to check after 1 more heat. "},
		"by heats, to the heat": {Rule{Heats: new(5)}, Look{At: at("2026-03-01 18:00"), By: Read, Heats: 5}, true, 1, "11 Mar 2026",
			"5 heats since it was read on 1 Mar 2026; the shop looks every 5 heats.", ""},
		"long past": {Rule{Heats: new(1)}, Look{At: at("2026-03-01 18:00"), By: Fitted, Heats: 101, More: true}, true, 101, "11 Mar 2026",
			"More than 101 heats since it was fitted on 1 Mar 2026; the shop looks every 1 heat.", ""},
		"by days, the day before": {Rule{Days: new(10)}, Look{At: at("2026-03-02 23:59")}, false, 0.9, "12 Mar 2026",
			"9 days since it came into the book on 2 Mar 2026; the shop looks every 10 days.", "Time to check on 12 Mar 2026. "},
		"by days, on the day": {Rule{Days: new(10)}, Look{At: at("2026-03-01 23:59")}, true, 1, "11 Mar 2026",
			"10 days since it came into the book on 1 Mar 2026; the shop looks every 10 days.", ""},
		"heats come first": {Rule{Heats: new(3), Days: new(100)}, Look{At: at("2026-03-01 00:00"), Heats: 2}, false, 2.0 / 3, "21 Mar 2026",
			"2 heats and 10 days since it came into the book on 1 Mar 2026; the shop looks every 3 heats or 100 days, whichever comes first.",
			"Time to check after 1 more heat or on 9 Jun 2026, whichever comes first. "},
		"days come first": {Rule{Heats: new(30), Days: new(11)}, Look{At: at("2026-03-01 00:00"), Heats: 2}, false, 10.0 / 11, "12 Mar 2026",
			"2 heats and 10 days since it came into the book on 1 Mar 2026; the shop looks every 30 heats or 11 days, whichever comes first.",
			"Time to check after 28 more heats or on 12 Mar 2026, whichever comes first. "},
		"overdue by days alone": {Rule{Heats: new(30), Days: new(1)}, Look{At: at("2026-03-01 00:00")}, true, 10, "11 Mar 2026",
			"0 heats and 10 days since it came into the book on 1 Mar 2026; the shop looks every 30 heats or 1 day, whichever comes first.", ""},
	} {
		d := c.rule.Due(c.last, now, s)
		assert.Equal(t, c.due, d.Now(), name)
		assert.InDelta(t, c.used, d.Used(), 1e-9, name)
		assert.Equal(t, c.say, d.Say(s), name)
		if c.isNext != "" {
			assert.Equal(t, c.isNext+c.say, d.SayNext(s), name)
		}
		day, ok := d.On(PaceOf(2, now-quantity.Moment(20*24*quantity.Hour), now), now, s)
		require.True(t, ok, name)
		assert.Equal(t, c.on, s.Date(day), name)
		assert.NotRegexp(t, `(?i)\b(safe|fail)`, d.Say(s)+d.SayNext(s), name)
	}
}

func TestWhatCannotBeExpected(t *testing.T) {
	var s quantity.Style
	now := onDay(t, time.UTC, "2026-03-11 09:00")
	by := Rule{Heats: new(10)}.Due(Look{At: now}, now, s)
	_, ok := by.On(Pace{}, now, s)
	assert.False(t, ok, "nothing was melted of late")
	_, ok = by.On(Pace{1, 60 * 365 * 24 * quantity.Hour}, now, s)
	assert.False(t, ok, "too far off to say")
	day, ok := Rule{Heats: new(10), Days: new(7)}.Due(Look{At: now}, now, s).On(Pace{}, now, s)
	assert.True(t, ok)
	assert.Equal(t, "18 Mar 2026", s.Date(day))
	assert.True(t, Rule{}.None())
	assert.False(t, Rule{}.Due(Look{At: 0, Heats: 99}, now, s).Now(), "off the list is never due")

	// Three heats on the first day are no pace of three a day.
	assert.Equal(t, Pace{3, leastPace}, PaceOf(3, now, now))
}

// The day is the shop's, and clocks that are put forward cost none: in London
// 29 March 2026 has 23 hours.
func TestDaysAreOfTheCalendar(t *testing.T) {
	london, err := time.LoadLocation("Europe/London")
	require.NoError(t, err)
	s := quantity.Style{Zone: london}
	last := Look{At: onDay(t, london, "2026-03-28 23:30")}
	d := Rule{Days: new(2)}.Due(last, onDay(t, london, "2026-03-29 23:30"), s)
	assert.Equal(t, 1, *d.DaysLeft)
	assert.Equal(t, "30 Mar 2026", s.Date(d.Day))
	assert.Equal(t, "12:00", s.Clock(d.Day))
	assert.True(t, Rule{Days: new(2)}.Due(last, onDay(t, london, "2026-03-30 00:01"), s).Now())
	tokyo, err := time.LoadLocation("Asia/Tokyo")
	require.NoError(t, err)
	s.Zone = tokyo // 29 March there already, and the 31st has begun
	assert.True(t, Rule{Days: new(2)}.Due(last, onDay(t, london, "2026-03-30 16:01"), s).Now())
}

func TestUsualRules(t *testing.T) {
	want := map[Kind]string{Furnace: "every 10 heats", Crucible: "every 5 heats", Element: "every 10 heats", Scale: "every 180 days", Probe: "every 180 days"}
	require.Len(t, UsualRules, len(Kinds))
	for i, u := range UsualRules {
		assert.Equal(t, Kinds[i], u.Kind)
		assert.Equal(t, want[u.Kind], u.Say())
		assert.Empty(t, u.Check())
		assert.NotEmpty(t, u.Look)
		if u.Kind == Furnace { // kiln makers' help pages: every ten firings or so
			assert.Contains(t, u.Rests, "Kiln makers")
		} else {
			assert.Contains(t, u.Rests, "no source")
		}
		assert.Equal(t, u, UsualOf(u.Kind))
	}
	assert.Equal(t, "not on the list", Rule{Kind: Scale}.Say())
	assert.True(t, UsualOf("anvil").None())
}

func TestRulesThatAreRefused(t *testing.T) {
	for name, c := range map[string]struct {
		rule  Rule
		field string
	}{
		"no heats":       {Rule{Kind: Furnace, Heats: new(0)}, "furnace_heats"},
		"too many heats": {Rule{Kind: Furnace, Heats: new(1001)}, "furnace_heats"},
		"no days":        {Rule{Kind: Scale, Days: new(-1)}, "scale_days"},
		"too many days":  {Rule{Kind: Crucible, Days: new(3651)}, "crucible_days"},
		"not counted":    {Rule{Kind: Probe, Heats: new(5)}, "probe_heats"},
	} {
		rs := c.rule.Check()
		require.Len(t, rs, 1, name)
		assert.Equal(t, c.field, rs[0].Field, name)
	}
	assert.Empty(t, Rule{Kind: Element}.Check())
}

func TestWhatCountsAsALook(t *testing.T) {
	for _, k := range Kinds {
		spec, ok := SpecOf(WrittenAs(k))
		require.True(t, ok)
		assert.True(t, spec.Applies(k))
		assert.Contains(t, Looks(k), WrittenAs(k), "what is written takes the piece off the list")
		for _, l := range Looks(k) {
			spec, _ := SpecOf(l)
			assert.True(t, spec.Applies(k), "%s of a %s", l, k)
		}
		assert.Equal(t, k == Element, WrittenAs(k) == Read)
	}
	assert.NotContains(t, Looks(Furnace), Read, "volts at the plug say nothing of the contactor")
}
