package main

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
)

// TestPaper copies the worked melt in from paper: refused as long as something
// is wrong with it, with everything still in its place, then taken whole and
// once.
func TestPaper(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	good := p.fill("/melts/paper", "/melts/paper",
		"at_date", "2026-03-13", "at_clock", "14:00", "source1", "source-1", "mass1", "6.00", "source2", "source-2", "mass2", "2.00", "heel_in", "0.40", "heel_out", "0.30",
		"on_clock", "14:05", "molten_clock", "17:15", "off_clock", "17:35", "pour_clock", "17:40", "temp", "720", "count", "9", "ingots", "7.52", "spill", "0.05", "dross", "0.55",
		"energy", "11.6", "cost", "0.10", "note", "from the blue notebook")
	for name, c := range map[string]struct {
		typed []string
		says  string
		doubt bool
	}{
		"a mass that is none":       {[]string{"mass1", "six"}, "“six” is not", false},
		"scrap without a mass":      {[]string{"mass2", ""}, "Type its mass, or choose nothing.", false},
		"a mass without scrap":      {[]string{"source2", ""}, "Choose what weighed that much.", false},
		"beyond the scale":          {[]string{"mass1", "12"}, "Bench scale shows at most", false},
		"above the safe fill":       {[]string{"mass1", "9.5"}, "above its safe fill", true},
		"more out than in":          {[]string{"ingots", "9.9"}, "went in.", true},
		"molten before the start":   {[]string{"molten_clock", "25:00"}, "25:00", false},
		"isolated without power on": {[]string{"on_clock", ""}, "Type when the power went on", false},
		"no day":                    {[]string{"at_date", ""}, "Type the day and the time when the melt began", false},
		"a day to come":             {[]string{"at_date", "2026-03-15"}, "still to come", false},
		"an endless note":           {[]string{"note", strings.Repeat("dross ", 400)}, "too long", false},
		"a meter that runs back":    {[]string{"energy", "", "meter_from", "1200", "meter_to", "1100"}, "The meter showed", false},
		"the pot's heat as energy":  {[]string{"energy", "116000"}, "That cannot be the energy of one melt.", false},
	} {
		t.Run(name, func(t *testing.T) {
			p := p.in(t)
			f := good.typed(append([]string{"key", newKey()}, c.typed...)...)
			g := p.send(f)
			require.Equal(t, http.StatusUnprocessableEntity, g.status, g.text())
			assert.Contains(t, g.faults(), c.says)
			again := g.form(t, f.action)
			for field, typed := range f.values {
				assert.Equal(t, strings.TrimSpace(typed[0]), strings.TrimSpace(again.values.Get(field)), field)
			}
			assert.Equal(t, c.doubt, strings.Contains(g.text(), "It is right: write it all the same"))
			assert.Empty(t, p.open("/melts").codes(), "nothing of it is written")
		})
	}
	first := p.send(good)
	require.Equal(t, http.StatusSeeOther, first.status, first.faults())
	s.pass(time.Minute)
	second := p.send(good)
	assert.Equal(t, first.header.Get("Location"), second.header.Get("Location"), "tapped twice, written once")
	page := p.open(second.header.Get("Location"))
	facts := page.facts()
	for term, want := range map[string]string{"Metal recovered": "7.470 ± 0.001 kg", "Per usable kg": "1.55 kWh/kg", "Melt rate": "2.53 kg/h", "Cash cost": "8.71 GBP"} {
		assert.Equal(t, want, facts[term], term) // ± of a scale in steps of 1 g: each of six readings ± 1/√12 g, twice as much for the worst of them
	}
	assert.Equal(t, []string{"A26-001"}, p.open("/melts").codes())
}

// A power that was on a little before the guessed beginning is of the same day;
// what is far before it came after midnight.
func TestPaperRoundMidnight(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	p.save(p.fill("/melts/paper", "/melts/paper", "at_date", "2026-03-13", "at_clock", "20:00", "source1", "source-1", "mass1", "6", "on_clock", "19:55", "off_clock", "00:10", "pour_clock", "00:15", "ingots", "5.7"))
	at := map[melt.Kind]string{}
	for _, l := range s.lines(t, "A26-001") {
		at[l.Kind] = l.At.Time().UTC().Format("02 15:04")
	}
	assert.Equal(t, map[melt.Kind]string{melt.Charge: "13 20:00", melt.PowerOn: "13 19:55", melt.Isolated: "14 00:10", melt.Pour: "14 00:15", melt.Close: "14 00:15"}, at)
}
