package views

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/foundry/year"
)

// Year is the page of a year, to look back on and to print.
type Year struct {
	year.Year
	Before year.Year
	Years  []int // that have melts, the newest first
	Names  Names
	Told   Yields // what each scrap gives, from the melts of all years
}

func yearHref(of int) string { return "/years/" + strconv.Itoa(of) }

// under says how much of the year is over.
func (p Year) under(f Frame) string {
	now := f.Now.Time().In(f.Style.Zone)
	if now.Year() == p.Of {
		return "So far, until " + f.Style.Date(f.Now)
	}
	return "The whole year"
}

func (p Year) figures(s quantity.Style) []Figure {
	t := p.Total()
	symbol, kg := s.PriceMass()
	charged, unit := splitUnit(roundMass(t.Charged, s))
	melts, word := splitUnit(plural(t.Melts, "melt", "melts"))
	all := []Figure{
		{Value: melts, Unit: word, Sentence: "in which something was charged"},
		{Value: charged, Unit: unit, Sentence: "went in"},
	}
	out := Figure{Sentence: "came out as metal", Missing: "Weigh the ingots of a melt, and it is known."}
	recovery := Figure{Sentence: "of the charge became metal", Missing: "It takes a melt whose charge and ingots are weighed."}
	if x, ok := t.Yield(); ok {
		out = Figure{Sentence: "came out as metal, of the " + roundMass(t.YieldCharged, s) + " whose ingots are weighed"}
		out.Value, out.Unit = splitUnit(roundMass(t.Recovered, s))
		recovery = Figure{Value: s.Number(100*x, 1), Unit: "%", Sentence: recovery.Sentence}
	}
	power := Figure{Sentence: "for what was charged", Missing: "It takes meter readings before and after a melt."}
	if x, ok := t.PerKg(); ok {
		power = Figure{Value: s.Number(x*kg, 2), Unit: "kWh/" + symbol, Sentence: power.Sentence + ", " + s.Energy(t.Energy) + " in all"}
	}
	cost := Figure{Sentence: "in cash for a " + symbol + " of metal", Missing: "It takes what the scrap and the electricity cost."}
	if x, ok := t.CashPerKg(); ok {
		cost = Figure{Sentence: cost.Sentence + ", " + s.Money(t.Cash) + " for " + plural(t.Priced, "melt", "melts")}
		cost.Value, cost.Unit = splitUnit(coinsPerMass(x, kg, s))
	}
	return append(all, out, recovery, power, cost)
}

// coinsPerMass shows a price in minor units a kg for the shop's unit of mass.
func coinsPerMass(minor, kg float64, s quantity.Style) string {
	return s.Money(quantity.Money(math.Round(minor * kg)))
}

// months is the year month by month; those without melts are left out.
func (p Year) months(s quantity.Style) Table {
	symbol, kg := s.PriceMass()
	t := Table{Caption: "Month by month", Columns: []Column{
		{Title: "Month"}, {Title: "Charged", Number: true}, {Title: "Metal", Number: true}, {Title: "Recovery", Number: true}, {Title: "kWh a " + symbol, Number: true}, {Title: s.Currency + " a " + symbol, Number: true},
	}}
	for i, m := range p.Months {
		if m.Melts == 0 {
			continue
		}
		month := fmt.Sprintf("%d-%02d", p.Of, i+1)
		row := []Cell{{Text: time.Month(i + 1).String(), Sub: plural(m.Melts, "melt", "melts"), Href: "/melts?from=" + month + "&to=" + month}, {Text: roundMass(m.Charged, s)}, {Text: "–"}, {Text: "–"}, {Text: "–"}, {Text: "–"}}
		if x, ok := m.Yield(); ok {
			row[2].Text, row[3].Text = roundMass(m.Recovered, s), s.Percent(x, 1)
		}
		if x, ok := m.PerKg(); ok {
			row[4].Text = s.Number(x*kg, 2)
		}
		if x, ok := m.CashPerKg(); ok {
			row[5].Text, _ = splitUnit(coinsPerMass(x, kg, s))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// sources is what was charged, the most first.
func (p Year) sources(s quantity.Style) Table {
	t := Table{Caption: "By source", Columns: []Column{{Title: "Scrap"}, {Title: "Charged", Number: true}, {Title: "Of the charge", Number: true}}, Empty: "Nothing but own ingots was charged."}
	ids := slices.SortedFunc(maps.Keys(p.Sources), func(a, b int64) int {
		return cmp.Or(cmp.Compare(p.Sources[b].Charged, p.Sources[a].Charged), strings.Compare(p.Names.source(a), p.Names.source(b)))
	})
	all := p.Total().Charged
	rest := all
	row := func(c Cell, m quantity.Mass) {
		share := "–"
		if all > 0 {
			share = s.Percent(float64(m)/float64(all), 0)
		}
		t.Rows = append(t.Rows, []Cell{c, {Text: roundMass(m, s)}, {Text: share}})
	}
	for _, id := range ids {
		src := p.Sources[id]
		rest -= src.Charged
		row(Cell{Text: p.Names.source(id), Sub: plural(src.Melts, "melt", "melts") + p.gives(id, s), Href: sourceHref(id)}, src.Charged)
	}
	if rest > 0 && len(ids) > 0 {
		row(Cell{Text: "Own ingots", Sub: "charged again"}, rest)
	}
	return t
}

// gives is the range in which the metal of a source lies, "" where too little is
// known of it. A year alone would say too little.
func (p Year) gives(id int64, s quantity.Style) string {
	e := p.Told.of(id)
	if e == nil || !p.Told.ranked() || e.Melts == 0 || !e.Separable || vague(e.Metal) {
		return ""
	}
	return "; over all years gives " + between(e.Metal.Range, s) + " metal"
}

func (p Year) kit(s quantity.Style) Table {
	t := Table{Caption: "Crucibles and element sets", Columns: []Column{{Title: "Kit"}, {Title: "Heats", Number: true}, {Title: "At the end"}}, Empty: "No melt of this year says which crucible or element set it was made with, and none was retired."}
	fates := map[int64]string{}
	ids := slices.Collect(maps.Keys(p.Heats))
	for _, r := range p.Retired {
		if !p.Names.Kit[r.Kit].Retired {
			continue // it came back
		}
		if _, had := p.Heats[r.Kit]; !had && fates[r.Kit] == "" {
			ids = append(ids, r.Kit)
		}
		fates[r.Kit] = "retired " + s.Date(r.At)
		if cause := kit.NameOf(kit.Causes, r.Cause); cause != "" && r.Cause != "" {
			fates[r.Kit] += ": " + strings.ToLower(cause[:1]) + cause[1:]
		}
	}
	slices.Sort(ids)
	for _, id := range ids {
		it := p.Names.Kit[id]
		fate := cmp.Or(fates[id], "in use")
		if fates[id] == "" && it.Retired {
			fate = "retired later"
		}
		t.Rows = append(t.Rows, []Cell{{Text: it.Name, Sub: it.Kind.Name(), Href: kitHref(id)}, {Text: strconv.Itoa(p.Heats[id])}, {Text: fate}})
	}
	return t
}

// others lead to the other years.
func (p Year) others() []Link {
	var all []Link
	for _, y := range p.Years {
		if y != p.Of {
			all = append(all, Link{Text: strconv.Itoa(y), Href: yearHref(y)})
		}
	}
	return all
}

func (p Year) csv() string { return fmt.Sprintf("/years/%d.csv", p.Of) }
