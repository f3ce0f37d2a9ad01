package main

import (
	"context"
	"fmt"
	"slices"
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
		pour.Gross, pour.Scale, pour.Mould, pour.Count = []quantity.Mass{charged * 93 / 100 / quantity.Gram * quantity.Gram}, kitID["Bench scale"], "Muffin tin", new(6)
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
