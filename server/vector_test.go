package main

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
)

// The melt that these tests log is the worked example that the shop's key
// figures were agreed on, with six weighings each good to ± 10 g. Its results
// follow by hand from: recovery = metal out / metal in (American Foundry
// Society, from memory), 0.316 kWh/kg to bring aluminium from 20 to 720 °C
// (NIST-JANAF, Shomate form), and the rule for the sum of independent
// uncertainties (JCGM 100:2008, 5.1.2).

// habit is how a shop writes what the test types and reads.
type habit struct {
	set   map[string]string // of the set-up form
	typed map[string]string // what is typed in the place of the first text
	read  map[string]string // what the sheet says, by term
	big   string            // the headline
}

var habits = map[string]habit{
	"kg and point": {
		set: map[string]string{"currency": "GBP", "mass_unit": "kg", "temperature": "C", "mark": "point"},
		read: map[string]string{
			"Charged":                 "8.000 ± 0.014 kg",
			"Heel before":             "0.400 ± 0.010 kg",
			"Heel after":              "0.300 ± 0.010 kg",
			"Metal recovered":         "7.47 ± 0.02 kg",
			"Recovery":                "93.4 ± 0.3 %",
			"Melt loss":               "6.6 ± 0.3 %",
			"Dross rate":              "6.9 ± 0.1 %",
			"Not accounted for":       "−0.02 ± 0.03 kg",
			"Per kg charged":          "1.45 kWh/kg",
			"Per usable kg":           "1.55 kWh/kg",
			"Efficiency":              "21.8 %",
			"Melt rate":               "2.53 kg/h",
			"To all molten":           "3 h 10 min",
			"Cash cost":               "8.71 GBP",
			"Cash cost per usable kg": "1.17 GBP",
			"Cost with what free scrap would have fetched":               "10.11 GBP",
			"Cost with what free scrap would have fetched per usable kg": "1.35 GBP",
		},
		big: "93.4 ± 0.3 %",
	},
	"kg and comma": {
		set:   map[string]string{"currency": "EUR", "mass_unit": "kg", "temperature": "C", "mark": "comma"},
		typed: map[string]string{"6.00": "6,00", "2.00": "2,00", "0.40": "0,40", "0.30": "0,30", "7.52": "7,52", "0.05": "0,05", "0.55": "0,55", "11.6": "11,6", "0.2573": "0,2573", "0.80": "0,80", "0.70": "0,70", "0.10": "0,10", "10 g": "0,010", "60.00": "60,00"},
		read: map[string]string{
			"Metal recovered":         "7,47 ± 0,02 kg",
			"Recovery":                "93,4 ± 0,3 %",
			"Melt loss":               "6,6 ± 0,3 %",
			"Dross rate":              "6,9 ± 0,1 %",
			"Not accounted for":       "−0,02 ± 0,03 kg",
			"Per kg charged":          "1,45 kWh/kg",
			"Per usable kg":           "1,55 kWh/kg",
			"Efficiency":              "21,8 %",
			"Melt rate":               "2,53 kg/h",
			"Cash cost per usable kg": "1,17 EUR",
			"Cost with what free scrap would have fetched per usable kg": "1,35 EUR",
		},
		big: "93,4 ± 0,3 %",
	},
	// In pounds of 0.45359237 kg and degrees Fahrenheit.
	"lb and °F": {
		set: map[string]string{"currency": "GBP", "mass_unit": "lb", "temperature": "F", "mark": "point"},
		typed: map[string]string{"6.00": "13.2277", "2.00": "4.4092", "0.40": "0.8818", "0.30": "0.6614", "7.52": "16.5788", "0.05": "0.1102", "0.55": "1.2125", "10 g": "0.02205", "720": "1328", "20": "68",
			"0.80": "0.362874", "0.70": "0.317515"}, // a lb
		read: map[string]string{
			"Metal recovered":         "16.47 ± 0.04 lb", // 7.470 / 0.45359237 = 16.469
			"Recovery":                "93.4 ± 0.3 %",
			"Melt loss":               "6.6 ± 0.3 %",
			"Dross rate":              "6.9 ± 0.1 %",
			"Not accounted for":       "−0.04 ± 0.06 lb",
			"Per lb charged":          "0.66 kWh/lb", // 1.45 × 0.4536
			"Per usable lb":           "0.70 kWh/lb",
			"Efficiency":              "21.8 %",
			"Melt rate":               "5.57 lb/h", // 2.526 / 0.4536
			"Cash cost per usable lb": "0.53 GBP",  // 1.166 × 0.4536
			"Cost with what free scrap would have fetched per usable lb": "0.61 GBP", // 1.353 × 0.4536
		},
		big: "93.4 ± 0.3 %",
	},
}

func (h habit) as(text string) string {
	if own, ok := h.typed[text]; ok {
		return own
	}
	return text
}

func TestTheWorkedMelt(t *testing.T) {
	for name, h := range habits {
		t.Run(name, func(t *testing.T) {
			s := newShed(t)
			p := s.settled(t, h)
			code := p.workedMelt(h)
			page := p.open("/melts/" + string(code))
			facts := page.facts()
			for term, want := range h.read {
				assert.Equal(t, want, facts[term], term)
			}
			assert.Contains(t, page.text(), h.big)
			s.assertWorkedSheet(t, code)
		})
	}
}

// assertWorkedSheet holds the figures behind the page against the worked
// example, to the digits it gives.
func (s *shed) assertWorkedSheet(t *testing.T, code melt.Code) {
	ctx := context.Background()
	h, _, err := s.store.Melt(ctx, code)
	require.NoError(t, err)
	sh, err := s.store.Sheet(ctx, h.ID)
	require.NoError(t, err)
	for _, f := range []struct {
		name      string
		got, want float64
		within    float64
	}{
		{"R, kg", sh.Recovered.X, 7.47, 0.0005},
		{"Y", sh.Yield.X, 0.934, 0.0005},
		{"loss", sh.Loss.X, 0.066, 0.0005},
		{"dross rate", sh.DrossRate.X, 0.069, 0.0005},
		{"U, kg", sh.Unaccounted.X, -0.02, 0.0005},
		{"σ of Y", sh.Yield.U, 0.0030, 0.00005},
		{"kWh per kg charged", sh.PerCharged.X, 1.45, 0.005},
		{"kWh per usable kg", sh.PerUsable.X, 1.55, 0.005},
		{"efficiency", sh.Efficiency.X, 0.218, 0.0005},
		{"kg/h", sh.Rate.X, 2.53, 0.005},
		{"cash", sh.Cash.X, 8.71, 0.005},
		{"cash per kg", sh.CashPerKg.X, 1.17, 0.005},
		{"opportunity", sh.Opportunity.X, 10.11, 0.005},
		{"opportunity per kg", sh.OpportunityPerKg.X, 1.35, 0.005},
	} {
		assert.InDelta(t, f.want, f.got, f.within, f.name)
	}
	assert.Empty(t, sh.Flags, "a balance within its uncertainty raises no flag")
}

// settled sets the shop up as its owner does, from the link on the console to
// the price of electricity, and leaves the owner signed in.
func (s *shed) settled(t testing.TB, h habit) *phone {
	t.Helper()
	p := s.phone(t)
	token, _, err := s.store.FirstLink(context.Background())
	require.NoError(t, err)
	f := p.fill("/setup/"+token, "/setup/"+token, "shop", "Bicycle workshop", "name", "Workshop", "password", "rims and cranks", "again", "rims and cranks", "zone", "UTC")
	for name, value := range h.set {
		f = f.typed(name, value)
	}
	today := p.save(f).text()
	require.Contains(t, today, "Add the furnace.")
	for _, kit := range []struct {
		kind  string
		typed []string
	}{
		{"furnace", []string{"name", "Yard furnace", "letter", "A", "volts", "230", "power", "2000"}},
		{"crucible", []string{"name", "Pot", "material", "clay-graphite", "brim", "5", "mass", "3 kg", "cost", h.as("60.00"), "expected_heats", "100"}},
		{"element", []string{"name", "Coil", "cost", "45", "expected_heats", "200"}},
		{"scale", []string{"name", "Bench scale", "resolution", "1 g", "capacity", "10 kg"}},
	} {
		p.save(p.fill("/kit/new/"+kit.kind, "/kit", kit.typed...))
	}
	p.save(p.fill("/scrap/new", "/scrap", "name", "Wheels", "form", "casting", "paid", h.as("0.80")))
	p.save(p.fill("/scrap/new", "/scrap", "name", "Profile", "form", "profile", "paid", "0", "fetches", h.as("0.70")))
	p.save(p.fill("/shop/tariffs/new", "/shop/tariffs", "from", "2026-01-01", "price", h.as("0.2573")))
	require.NotContains(t, p.open("/").text(), "First, the shop")
	return p
}

// workedMelt logs the worked melt in the evening, each step at its true time,
// in no better order than they come to mind, and closes it.
func (p *phone) workedMelt(h habit) melt.Code {
	p.t.Helper()
	code := p.start("14:00")
	at := func(clock string, typed ...string) []string {
		return append([]string{"at_date", "2026-03-14", "at_clock", clock}, typed...)
	}
	weighed := func(clock, mass string, typed ...string) []string {
		return at(clock, append([]string{"mass", h.as(mass), "spread", h.as("10 g")}, typed...)...)
	}
	form := p.open("/melts/" + string(code) + "/add/charge")
	p.log(code, melt.Charge, weighed("14:01", "6.00", "source", form.option(p.t, "source", "Wheels"))...)
	p.log(code, melt.Charge, weighed("14:02", "2.00", "source", form.option(p.t, "source", "Profile"))...)
	p.log(code, melt.HeelIn, weighed("14:00", "0.40")...)
	p.log(code, melt.PowerOn, at("14:05")...)
	p.log(code, melt.Pour, weighed("17:40", "7.52", "count", "9", "temp", h.as("720"))...)
	p.log(code, melt.AllMolten, at("17:15")...)
	p.log(code, melt.Skim, weighed("17:30", "0.55")...)
	p.log(code, melt.Addition, at("17:25", "which", "cover flux", "cost", h.as("0.10"))...)
	p.log(code, melt.Spill, weighed("17:42", "0.05")...)
	p.log(code, melt.HeelOut, weighed("17:43", "0.30")...)
	p.log(code, melt.Isolated, at("17:35")...)
	p.log(code, melt.Energy, at("17:50", "energy", h.as("11.6"))...)
	closed := p.log(code, melt.Close, at("18:00")...)
	require.Contains(p.t, closed.text(), "Closed 14 Mar 2026 18:00")
	return code
}
