package views

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
	"drosswise/foundry/sheet"
)

// ranked is a source with what all melts tell of it.
type ranked struct {
	ScrapRow
	told *recovery.SourceEstimate // nil when it is newer than the estimate
}

// melted reports whether the melts say anything of it.
func (r ranked) melted() bool { return r.told != nil && r.told.Melts > 0 }

func (r ranked) ended() bool { return r.Source.Ended != nil && r.Source.ID != sheet.OwnIngots }

// known reports whether its place among others means something.
func (r ranked) known() bool { return r.melted() && r.told.Separable }

// ranking is the list in four parts: what is known, what is known too roughly
// to be ranked, what was never charged, and what is no longer used.
type ranking struct{ known, rough, never, ended []ranked }

func (p ScrapList) ranking() ranking {
	var all ranking
	rows := p.Rows
	if p.Form == "" || p.Form == scrap.Ingot {
		rows = append(slices.Clone(rows), ScrapRow{Source: scrap.Source{ID: sheet.OwnIngots, Name: ownIngots, Form: scrap.Ingot}})
	}
	for _, row := range rows {
		r := ranked{row, p.Told.of(row.Source.ID)}
		switch {
		case !p.shown(row) || row.Source.ID == sheet.OwnIngots && !r.melted():
		case r.ended():
			all.ended = append(all.ended, r)
		case !r.melted():
			all.never = append(all.never, r)
		case r.known() || p.ByName:
			all.known = append(all.known, r)
		default:
			all.rough = append(all.rough, r)
		}
	}
	if !p.ByName {
		for _, part := range [][]ranked{all.known, all.rough} {
			slices.SortStableFunc(part, func(a, b ranked) int { return cmp.Compare(b.told.Metal.Middle, a.told.Metal.Middle) })
		}
	}
	return all
}

// melted are all that melts say something of, in their order.
func (k ranking) melted() []ranked {
	return slices.DeleteFunc(slices.Concat(k.known, k.rough, k.ended), func(r ranked) bool { return !r.melted() })
}

// scale is the common rule of all whiskers: up to all metal, and down to the
// ten below the lowest range.
func (k ranking) scale(s quantity.Style) (Scale, float64) {
	least := 1.0
	for _, r := range k.melted() {
		least = min(least, r.told.Metal.Low)
	}
	from := min(math.Floor(10*least)/10, 0.9)
	return Scale{From: s.Percent(from, 0), To: s.Percent(1, 0), Says: "metal recovered"}, from
}

// clearly is the chance from which one source is said to give more metal than
// the next.
const clearly = 0.9

// rows are the rows of a part of the ranking. Where the order of two
// neighbours might as well be the other way round, the row says so.
func (p ScrapList) rows(part []ranked, from float64, s quantity.Style) []Estimate {
	all := make([]Estimate, len(part))
	for i, r := range part {
		all[i] = p.row(r, from, s)
		if p.ByName || !r.known() || i+1 >= len(part) || !part[i+1].known() {
			continue
		}
		// At the same price, the chance that metal from it costs less is the
		// chance that it gives more.
		if chance, ok := p.Told.Cheaper(r.Source.ID, part[i+1].Source.ID, 1, 1); ok && chance < clearly {
			all[i].Note += " · too close to call with " + part[i+1].Source.Name
		}
	}
	return all
}

func (p ScrapList) row(r ranked, from float64, s quantity.Style) Estimate {
	e := Estimate{Name: r.Source.Name, Href: sourceHref(r.Source.ID)}
	if r.Source.ID == sheet.OwnIngots {
		e.Href = ""
	}
	var advice []string
	if words := r.Source.Hazards.Words(); len(words) > 0 {
		advice = append(advice, "Look out: "+strings.Join(words, ", ")+".")
	}
	if !r.melted() {
		e.Value, e.Note = "never charged yet", strings.Join(nonEmpty(formOf(r.Source), pricesOf(r.Source, s)), " · ")
		if r.Record.Melts > 0 {
			e.Value = "not known yet"
			e.Note = r.ScrapRow.charged(s)
		}
		e.Advice = strings.Join(advice, " ")
		return e
	}
	metal := r.told.Metal.Range
	e.Whisker = &Whisker{From: from, To: 1, Low: metal.Low, Mid: metal.Middle, High: metal.High, Rough: !r.known()}
	amount := about(r.told.Kilograms, s) + " in " + plural(r.told.Melts, "melt", "melts")
	if r.known() {
		e.Value = middle(metal, s)
		e.Note = strings.Join(nonEmpty(between(metal, s), amount, drossOf(r.told, s), p.scrapCost(r, s)), " · ")
		e.Whisker.Says = e.Value + ", range " + between(metal, s)
	} else {
		e.Value = blurred(metal, s)
		e.Note = strings.Join(nonEmpty(amount, drossOf(r.told, s)), " · ")
		e.Whisker.Says = "known only roughly: " + between(metal, s)
	}
	if text := p.Told.reasons(r.told); text != "" {
		advice = append(advice, text)
		if r.Source.Ended == nil {
			advice = append(advice, p.Told.alone(r.Source.ID, s))
		}
	}
	e.Advice = strings.TrimSpace(strings.Join(advice, " "))
	return e
}

// about shows kilograms to two digits or so.
func about(kg float64, s quantity.Style) string {
	return s.MassTo(kilograms(kg), kilograms(kg/20))
}

// summed shows a sum of many weighings to a thousandth of it: each was on a scale
// of its own, and none of them knows the grams of the whole.
func summed(m quantity.Mass, s quantity.Style) string { return s.MassTo(m, m/1000) }

// scrapCost is what the scrap in a kilo or pound of metal costs, where it is bought.
func (p ScrapList) scrapCost(r ranked, s quantity.Style) string {
	if r.Source.Paid == nil || *r.Source.Paid <= 0 {
		return ""
	}
	cost, ok := p.Told.PerKilogram(r.Source.ID, r.Source.Paid.Units())
	if !ok {
		return ""
	}
	symbol, kg := s.PriceMass()
	return "scrap " + amountOf(cost.Middle*kg, s) + " a " + symbol + " of metal"
}

// amountOf shows an amount in the currency's own decimals.
func amountOf(units float64, s quantity.Style) string {
	return s.Money(quantity.Money(math.Round(units * math.Pow10(s.Exponent()))))
}

// table is the same numbers once more, to be read out or printed.
func (p ScrapList) table(list []ranked, s quantity.Style) Table {
	t := Table{Caption: "Metal and dross of each scrap, with 90 % ranges", Columns: []Column{{Title: "Scrap"}, {Title: "Metal", Number: true}, {Title: "Dross", Number: true}}}
	for _, r := range list {
		name := Cell{Text: r.Source.Name, Sub: plural(r.told.Melts, "melt", "melts")}
		metal := Cell{Text: middle(r.told.Metal.Range, s), Sub: between(r.told.Metal.Range, s)}
		dross := Cell{Text: middle(r.told.Dross.Range, s), Sub: between(r.told.Dross.Range, s)}
		if !r.known() {
			metal = Cell{Text: blurred(r.told.Metal.Range, s), Sub: "rough"}
		}
		if vague(r.told.Dross) {
			dross = Cell{Text: blurred(r.told.Dross.Range, s), Sub: "rough"}
		}
		t.Rows = append(t.Rows, []Cell{name, metal, dross})
	}
	return t
}
