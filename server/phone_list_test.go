package main

import (
	"context"
	"encoding/csv"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html/atom"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// twoYears is how many melts the shop of the list tests has behind it.
const twoYears = 150

// withHistory fills a settled shop with the melts of two years, every five
// days one: every third of Profile, the others of Wheels, and every tenth in a
// second furnace.
func (s *shed) withHistory(t testing.TB, p *phone) {
	t.Helper()
	p.save(p.fill("/kit/new/furnace", "/kit", "name", "Loan furnace", "letter", "B"))
	items, err := s.store.Kit(context.Background())
	require.NoError(t, err)
	kitID := map[string]int64{}
	for _, it := range items {
		kitID[it.Name] = it.ID
	}
	for n := range twoYears {
		began := quantity.At(evening.AddDate(0, 0, -5*(twoYears-n)))
		h := melt.Heading{Key: fmt.Sprintf("history-%03d", n), At: began, Furnace: kitID["Yard furnace"], Crucible: kitID["Pot"], Element: kitID["Coil"], Target: melt.Ingots}
		if n%10 == 9 {
			h.Furnace = kitID["Loan furnace"]
		}
		charged := quantity.Mass(2000+n*7%500) * quantity.Gram
		line := func(kind melt.Kind, after int64) melt.Line {
			return melt.Line{Key: fmt.Sprintf("history-%03d-%d", n, after), Kind: kind, At: began + quantity.Moment(after)*quantity.Moment(quantity.Minute)}
		}
		charge, energy, pour := line(melt.Charge, 1), line(melt.Energy, 90), line(melt.Pour, 100)
		charge.Source, charge.Gross, charge.Scale = 1+int64(n%3)/2, []quantity.Mass{charged}, kitID["Bench scale"]
		energy.Energy = new(quantity.Energy(charged.Kilograms() * 1.4 * float64(quantity.KilowattHour)))
		pour.Gross, pour.Scale, pour.Mould, pour.Count = []quantity.Mass{charged * 93 / 100}, kitID["Bench scale"], "Muffin tin", new(6)
		on := line(melt.PowerOn, 2)
		if n == 77 {
			pour.Note = "a bubble like a zeppelin"
		}
		_, err := s.store.Enter(context.Background(), 1, h, []melt.Line{charge, on, line(melt.AllMolten, 80), energy, pour, line(melt.Isolated, 101), line(melt.Close, 110)}, false)
		require.NoError(t, err)
	}
}

// codes are the melts of a list, in its order.
func (g got) codes() []string {
	var all []string
	for n := range g.elements("table") {
		for a := range n.Descendants() {
			if code, ok := strings.CutPrefix(attr(a, "href"), "/melts/"); ok && a.DataAtom == atom.A {
				all = append(all, code)
			}
		}
	}
	return all
}

// link is where the link with these words leads, "" when there is none.
func (g got) link(words string) string {
	for n := range g.nodes(atom.A) {
		if strings.EqualFold(textOf(n), words) {
			return attr(n, "href")
		}
	}
	return ""
}

// turn turns the pages of a list by one link until there is none.
func (p *phone) turn(path, words string) (pages []got) {
	p.t.Helper()
	for path != "" && len(pages) < 20 {
		page := p.open(path)
		pages = append(pages, page)
		path = page.link(words)
	}
	return pages
}

func allCodes(pages []got) []string {
	var all []string
	for _, page := range pages {
		all = append(all, page.codes()...)
	}
	return all
}

func TestTheListOfMelts(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	s.withHistory(t, p)

	t.Run("older and newer", func(t *testing.T) {
		p := p.in(t)
		older := p.turn("/melts", "Older")
		require.Len(t, older, 3)
		codes := allCodes(older)
		require.Len(t, codes, twoYears)
		assert.Len(t, unique(codes), twoYears, "each melt once")
		assert.Equal(t, []string{"B26-002", "A26-012"}, codes[:2], "the newest first")
		assert.Equal(t, "A24-001", codes[len(codes)-1])

		newer := p.turn(older[2].path, "Newer")
		slices.Reverse(newer)
		assert.Equal(t, codes, allCodes(newer), "the same way back")
		assert.Empty(t, older[0].link("Newer"))
	})
	t.Run("filters", func(t *testing.T) {
		p := p.in(t)
		find := p.open("/melts").form(t, "/melts")
		for name, c := range map[string]struct {
			typed []string
			want  int
		}{
			"one kind of scrap": {[]string{"source", "2"}, 50},
			"another":           {[]string{"source", "1"}, 100},
			"a furnace":         {[]string{"furnace", "5"}, 15},
			"both":              {[]string{"source", "2", "furnace", "5"}, 5},
			"a month":           {[]string{"from", "2025-03", "to", "2025-03"}, monthCount(2025, time.March)},
			"from a month on":   {[]string{"from", "2026-01"}, monthCount(2026, time.January) + monthCount(2026, time.February) + monthCount(2026, time.March)},
			"a code":            {[]string{"q", "A25-001"}, 1},
			"a code in small":   {[]string{"q", "a25-001"}, 1},
			"a furnace's code":  {[]string{"q", "B25-003"}, 1},
			"a word of a note":  {[]string{"q", "zeppelin"}, 1},
			"part of a word":    {[]string{"q", "zepp"}, 1},
			"the mould":         {[]string{"q", "muffin"}, twoYears},
			"scrap by name":     {[]string{"q", "profile"}, 50},
			"a word, a furnace": {[]string{"q", "muffin", "furnace", "5"}, 15},
			"nothing":           {[]string{"q", "unobtainium"}, 0},
			"a month to come":   {[]string{"from", "2030-01"}, 0},
		} {
			t.Run(name, func(t *testing.T) {
				p := p.in(t)
				q := find.typed(c.typed...).values
				pages := p.turn("/melts?"+q.Encode(), "Older")
				codes := allCodes(pages)
				assert.Len(t, codes, c.want)
				assert.Len(t, unique(codes), c.want)
				assert.Equal(t, q, pick(pages[0].form(t, "/melts").values, "q", "source", "furnace", "from", "to"), "what was looked for stands in the form")
				if c.want == 0 {
					assert.Contains(t, pages[0].text(), "No melt fits.")
				}
				assert.Len(t, p.table("/melts.csv?"+q.Encode()), c.want, "the spreadsheet has the same melts")
			})
		}
	})
	t.Run("a melt started while pages are turned", func(t *testing.T) {
		p := p.in(t)
		first := p.open("/melts")
		next := first.link("Older")
		code := p.start("19:00")
		assert.Equal(t, allCodes(p.turn("/melts", "Older"))[1:51], first.codes(), "it stands on top")
		assert.NotContains(t, p.open(next).codes(), first.codes()[49], "and pushes nothing onto the next page")
		p.log(code, melt.Void, "note", "not lit after all")
	})
	t.Run("totals", func(t *testing.T) {
		p := p.in(t)
		facts := p.open("/melts?source=2").facts()
		assert.Equal(t, "50", facts["Melts"], facts)
	})
	t.Run("a month that is none", func(t *testing.T) {
		g := p.in(t).open("/melts?from=yesterday")
		assert.Contains(t, g.faults(), "Type a month as year and month, such as 2026-01.")
		assert.Equal(t, "yesterday", g.form(t, "/melts").values.Get("from"))
	})
}

// monthCount is how many melts of the history began in a month.
func monthCount(year int, month time.Month) (n int) {
	for i := range twoYears {
		if d := evening.AddDate(0, 0, -5*(twoYears-i)); d.Year() == year && d.Month() == month {
			n++
		}
	}
	return n
}

func unique(all []string) map[string]bool {
	set := map[string]bool{}
	for _, x := range all {
		set[x] = true
	}
	return set
}

// table downloads a spreadsheet and reads its rows by the names of the
// columns.
func (p *phone) table(path string) []map[string]string {
	p.t.Helper()
	g := p.open(path)
	require.True(p.t, strings.HasPrefix(g.header.Get("Content-Type"), "text/csv"), g.header)
	require.Contains(p.t, g.header.Get("Content-Disposition"), "attachment")
	require.Equal(p.t, strings.Count(g.body, "\n"), strings.Count(g.body, "\r\n"), "lines end as RFC 4180 says")
	rows, err := csv.NewReader(strings.NewReader(g.body)).ReadAll()
	require.NoError(p.t, err)
	var all []map[string]string
	for _, row := range rows[1:] {
		one := map[string]string{}
		for i, name := range rows[0] {
			one[name] = row[i]
		}
		all = append(all, one)
	}
	return all
}

// TestSpreadsheets downloads what was logged and reads it again.
func TestSpreadsheets(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and comma"])
	code := p.workedMelt(habits["kg and comma"])
	melts := p.table("/melts.csv")
	require.Len(t, melts, 1)
	y, err := strconv.ParseFloat(melts[0]["recovery"], 64)
	require.NoError(t, err)
	assert.InDelta(t, 7.47/8, y, 1e-9)
	delete(melts[0], "recovery")
	delete(melts[0], "recovery_u")
	assert.Equal(t, map[string]string{
		"code": string(code), "state": "closed", "started": "2026-03-14T14:00:00.000Z", "furnace": "Yard furnace", "crucible": "Pot", "element": "Coil",
		"charged_kg": "8", "recovered_kg": "7.47", "energy_kwh": "11.6", "scrap": "Wheels; Profile",
	}, melts[0])

	lines := p.table("/lines.csv")
	require.Len(t, lines, 13)
	assert.Equal(t, "6", lines[0]["mass_kg"])
	assert.Equal(t, "0.01", lines[0]["spread_kg"])
	assert.Equal(t, "2026-03-14T14:01:00.000Z", lines[0]["happened"])
	assert.Equal(t, "Wheels", lines[0]["scrap"])
}

// TestSpreadsheetsRunNothing logs text that a spreadsheet program would run,
// wherever text can be logged.
func TestSpreadsheetsRunNothing(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	formulas := []string{`=1+1`, `+1`, `-1`, `@SUM(A1)`, `=HYPERLINK("http://elsewhere.example","x")`, "＝1+1", `"=1"`, "=1;2", "a,b\n\"c\"", "\t=1"}
	for i, text := range formulas {
		p.save(p.fill("/scrap/new", "/scrap", "name", text+" ", "form", "other"))
		code := p.start("14:00")
		p.log(code, melt.Charge, append(wheels, "mass", "2", "note", text)...)
		p.log(code, melt.Charge, "source", fmt.Sprintf("source-%d", 3+i), "mass", "1")
		p.log(code, melt.Pour, "mould", text, "mass", "1.9")
		path := fmt.Sprintf("/melts/%s/lines/%d", code, s.lines(t, code)[2].ID)
		p.save(p.fill(path, path+"/strike", "reason", text))
	}
	for _, path := range []string{"/melts.csv", "/lines.csv"} {
		rows := p.table(path)
		require.NotEmpty(t, rows)
		for _, row := range rows {
			for column, cell := range row {
				if cell == "" || strings.ContainsRune("0123456789", rune(cell[0])) {
					continue
				}
				assert.NotContains(t, "=+-@\t\r＝", cell[:1], "%s of %s: %q", column, path, cell)
				assert.False(t, strings.HasPrefix(cell, "＝"), "%s of %s: %q", column, path, cell)
			}
		}
	}
	notes := map[string]bool{}
	for _, row := range p.table("/lines.csv") {
		notes[strings.TrimPrefix(row["note"], "'")] = true
	}
	for _, text := range formulas {
		assert.True(t, notes[strings.TrimSpace(text)], "%q is all there", text)
	}
}

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
