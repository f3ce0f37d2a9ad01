package views

import (
	"math"
	"slices"
	"strings"
	"time"

	"drosswise/foundry/findings"
	"drosswise/foundry/quantity"
)

// Findings are the answers that a shop's own records give.
type Findings struct {
	Told    Yields
	Costs   []SourceCost // of what was charged, the least opportunity cost first
	Effects []findings.Effect
	Pays    []*findings.Payback // of Effects, nil where a price or a cost is not known
	Energy  []FurnaceEnergy
	First   findings.Period // heats from cold
	Next    findings.Period // heats in a furnace still hot
	Months  []findings.Period
	May     bool
}

// FurnaceEnergy is what melting takes in one furnace.
type FurnaceEnergy struct {
	Furnace string
	findings.Energy
}

func (p Findings) under() string {
	if p.empty() {
		return ""
	}
	return "from " + plural(p.Told.Metal.Melts, "closed melt", "closed melts") + " of this shop"
}

// empty reports whether there is nothing to find anything from.
func (p Findings) empty() bool { return p.Told.Estimates == nil || p.Told.Metal.Melts == 0 }

func (p Findings) start() Link {
	if !p.May {
		return Link{}
	}
	return Link{Text: "Start a melt", Href: "/melts/start"}
}

// named heads what is said of a furnace with its name where there are several.
func (p Findings) named(e FurnaceEnergy) string {
	if len(p.Energy) < 2 {
		return ""
	}
	return e.Furnace + ": "
}

func (p Findings) caveat() string { return findings.Caveat(p.Effects) }

// best says which scrap is worth melting.
func (p Findings) best(s quantity.Style) []Advice {
	var pays, not, close []string
	for _, c := range p.Costs {
		v := c.Choice.Use
		if v == nil {
			v = c.Choice.Sell
		}
		switch {
		case v == nil:
		case v.Code == findings.Helps:
			pays = append(pays, c.Source.Name)
		case v.Code == findings.Costs:
			not = append(not, c.Source.Name)
		default:
			close = append(close, c.Source.Name)
		}
	}
	var all []Advice
	add := func(names []string, lead string) {
		if len(names) > 0 {
			all = append(all, Advice{Lead: lead, Text: listed(names) + "."})
		}
	}
	add(pays, "Worth melting, at what is written now:")
	add(close, "Too close to call:")
	add(not, "Better sold as it is, clean and sorted:")
	if len(all) == 0 && len(p.Costs) > 0 {
		all = append(all, Advice{Text: p.Costs[0].Choice.Say(s)})
	}
	return all
}

// habit is a practice with what it does to metal and to dross.
type habit struct {
	metal findings.Effect
	pays  *findings.Payback
	dross findings.Effect
}

// habits pairs the effects, those that can be told first.
func (p Findings) habits() (told, untold []habit) {
	for i, f := range p.Effects {
		if f.Outcome != findings.Metal {
			continue
		}
		h := habit{metal: f, pays: p.Pays[i]}
		for _, d := range p.Effects {
			if d.Outcome == findings.Dross && d.Practice == f.Practice && d.Kind == f.Kind {
				h.dross = d
			}
		}
		if f.Range == nil && h.dross.Range == nil {
			untold = append(untold, h)
		} else {
			told = append(told, h)
		}
	}
	return told, untold
}

// widest is how far the rule of all whiskers goes to either side: a round
// number of points that holds every range.
func widest(list []habit) float64 {
	most := 0.05
	for _, h := range list {
		for _, f := range []findings.Effect{h.metal, h.dross} {
			if f.Range != nil {
				most = max(most, math.Abs(f.Range.Low), math.Abs(f.Range.High))
			}
		}
	}
	return math.Ceil(most*20) / 20
}

// verdict is what can be said of an effect in a few words.
func verdict(f findings.Effect, s quantity.Style) string {
	switch f.Code {
	case findings.Helps, findings.Costs:
		if f.Range.Middle < 0 {
			return s.Number(-100*f.Range.Middle, 1) + " points less"
		}
		return s.Number(100*f.Range.Middle, 1) + " points more"
	case findings.NoDifference:
		return "no difference seen"
	case findings.CannotTell:
		return "cannot be told yet"
	}
	return "too few melts"
}

// estimates are the rows of a habit: metal, then dross.
func (h habit) estimates(wide float64, s quantity.Style) []Estimate {
	row := func(name string, f findings.Effect) Estimate {
		e := Estimate{Name: name, Value: verdict(f, s)}
		if f.Range != nil {
			e.Whisker = &Whisker{From: -wide, To: wide, Low: f.Range.Low, Mid: f.Range.Middle, High: f.Range.High, Rough: f.Code == findings.CannotTell, Zero: true}
			e.Whisker.Says = "between " + signed(f.Range.Low, s) + " and " + signed(f.Range.High, s) + " points"
		}
		return e
	}
	return []Estimate{row("Metal", h.metal), row("Dross", h.dross)}
}

// signed is a difference in points with its sign.
func signed(share float64, s quantity.Style) string {
	if text := s.Number(100*share, 1); share <= 0 {
		return text
	} else {
		return "+" + text
	}
}

func habitScale(wide float64, s quantity.Style) Scale {
	return Scale{From: signed(-wide, s), To: signed(wide, s), Says: "points of the charge"}
}

// says are the sentences under a habit.
func (p Findings) says(h habit, s quantity.Style) string {
	text := h.metal.Say(s, p.Told.Name)
	if h.pays != nil && (h.metal.Code == findings.Helps || h.metal.Code == findings.Costs) {
		text += " " + h.pays.Say(s)
	}
	if h.dross.Range != nil || h.metal.Range != nil {
		text += " " + h.dross.Say(s, p.Told.Name)
	}
	return text
}

// monthTable is what a kilogram took in each month, the newest first.
func monthTable(months []findings.Period, s quantity.Style) Table {
	symbol, kg := s.PriceMass()
	t := Table{Caption: "Month by month", Columns: []Column{
		{Title: "Month"}, {Title: s.Currency + " a " + symbol + " of metal", Number: true}, {Title: "kWh a " + symbol + " charged", Number: true},
	}}
	for _, m := range slices.Backward(months) {
		t.Rows = append(t.Rows, []Cell{{Text: monthName(m.Month), Sub: plural(m.Melts, "melt", "melts")},
			pooledCell(m.Cash, func(x float64) string { return coins(x*kg, s) }),
			pooledCell(m.Charged, func(x float64) string { return s.Number(x*kg, 2) }),
		})
	}
	return t
}

// yearOfMonths is how many months stand in sight.
const yearOfMonths = 12

func (p Findings) recent() []findings.Period {
	return p.Months[max(0, len(p.Months)-yearOfMonths):]
}

func (p Findings) older() []findings.Period { return p.Months[:len(p.Months)-len(p.recent())] }

// pooledCell is a sum over a sum, with how far single melts lay apart.
func pooledCell(p findings.Pooled, show func(float64) string) Cell {
	if p.Value == nil {
		return Cell{Text: "–"}
	}
	c := Cell{Text: show(*p.Value)}
	if low, high := show(p.Low), show(p.High); low != high {
		c.Sub = low + " to " + high
	}
	return c
}

// monthName is a month as people write it: "Nov 2026".
func monthName(month string) string {
	t, err := time.Parse("2006-01", month)
	if err != nil {
		return month
	}
	return t.Format("Jan 2006")
}

// mostMonths is how many months a plot has room for.
const mostMonths = 24

// plot is the cash cost of a kilogram of metal over the months; nil while
// fewer than two have one.
func (p Findings) plot(s quantity.Style) *Plot {
	symbol, kg := s.PriceMass()
	months := p.Months[max(0, len(p.Months)-mostMonths):]
	plot := Plot{Joined: true}
	var all []float64
	for _, m := range months {
		at, err := time.Parse("2006-01", m.Month)
		if err != nil || m.Cash.Value == nil {
			continue
		}
		x := float64(at.Year()*12 + int(at.Month()))
		y := *m.Cash.Value * kg
		plot.Dots = append(plot.Dots, Dot{X: x, Y: y, Low: m.Cash.Low * kg, High: m.Cash.High * kg, Rough: m.Cash.Melts < 3, Says: monthName(m.Month) + ": " + amountOf(y, s)})
		all = append(all, y, m.Cash.Low*kg, m.Cash.High*kg)
		plot.X.To = x
		if len(plot.Dots) == 1 {
			plot.X.From = x
			plot.X.Rungs = []Rung{{x, monthName(m.Month)}}
		}
	}
	if len(plot.Dots) < 2 {
		return nil
	}
	last := int(plot.X.To) - 1
	plot.X.Rungs = append(plot.X.Rungs, Rung{plot.X.To, time.Date(last/12, time.Month(last%12+1), 1, 0, 0, 0, 0, time.UTC).Format("Jan 2006")})
	plot.Y = rungs(func(x float64) string { return coins(x, s) }, all...)
	plot.Says = s.Currency + " in cash for a " + symbol + " of metal by month; the lines reach from the cheapest melt of a month to the dearest. The numbers are in the table below."
	return &plot
}

// plotted says what the plot shows, above it.
func (p Findings) plotted(s quantity.Style) string {
	symbol, _ := s.PriceMass()
	return s.Currency + " in cash for a " + symbol + " of metal; the line is from the cheapest melt of the month to the dearest, an open dot rests on fewer than three"
}

// heats sets first heats beside the ones after them.
func (p Findings) heats(s quantity.Style) Table {
	symbol, kg := s.PriceMass()
	t := Table{Caption: "First heats, from cold, against those after them", Columns: []Column{{Title: "Heats"}, {Title: "kWh a " + symbol + " charged", Number: true}, {Title: s.Currency + " a " + symbol + " of metal", Number: true}}}
	for _, h := range []struct {
		name string
		findings.Period
	}{{"First, from cold", p.First}, {"After them", p.Next}} {
		t.Rows = append(t.Rows, []Cell{{Text: h.name, Sub: plural(h.Melts, "melt", "melts")},
			pooledCell(h.Charged, func(x float64) string { return s.Number(x*kg, 2) }),
			pooledCell(h.Cash, func(x float64) string { return coins(x*kg, s) }),
		})
	}
	return t
}

// listed joins words: "rims, cranks and cans".
func listed(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}
