package views

import (
	"drosswise/foundry/findings"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

// SourceCost is what a kilogram of clean metal from a source costs, and whether
// to melt it or to sell it.
type SourceCost struct {
	Source  scrap.Source
	Cost    findings.Cost
	Choice  findings.Choice
	Fetched *scrap.Quote // the yard price that free scrap is reckoned at; nil when it is the one under Scrap
}

// parts are what the middle of the cost is made of.
func (c SourceCost) parts(s quantity.Style) []Fact {
	if !c.Cost.Cash.Known() {
		return nil
	}
	symbol, kg := s.PriceMass()
	p := c.Cost.Parts
	var all []Fact
	add := func(term string, x float64, note string) {
		if x != 0 {
			all = append(all, Fact{Term: term, Value: amountOf(x*kg, s), Note: note})
		}
	}
	lost := ""
	if p.Lost > 0 {
		lost = amountOf(p.Lost*kg, s) + " of it went on what did not come out as metal"
	}
	add("Scrap", p.Scrap, lost)
	add("Electricity", p.Energy, "")
	add("Flux", p.Flux, "")
	add("The crucible's share", p.Crucible, "")
	add("The element's share", p.Element, "")
	add("Dross sold", -p.Dross, "")
	all = append(all, Fact{Term: "In cash, a " + symbol + " of metal", Value: amountOf(c.Cost.Cash.Range.Middle*kg, s)})
	if c.Cost.Opportunity.Known() && p.Forgone != 0 {
		note := "at what is written under Scrap"
		if c.Fetched != nil {
			note = "at the yard's price of " + s.Date(c.Fetched.At)
		}
		if lost != "" {
			note += "; " + lost
		}
		add("What the free scrap would have fetched", p.Forgone, note)
		all = append(all, Fact{Term: "With it, a " + symbol + " of metal", Value: amountOf(c.Cost.Opportunity.Range.Middle*kg, s)})
	}
	return all
}

// costTable sets the sources beside one another, the least cost first as they
// are given.
func costTable(list []SourceCost, s quantity.Style) Table {
	symbol, kg := s.PriceMass()
	t := Table{Caption: s.Currency + " for a " + symbol + " of clean metal from each scrap, with 90 % ranges", Columns: []Column{
		{Title: s.Currency + " a " + symbol + " of metal"}, {Title: "Cash", Number: true}, {Title: "Opportunity", Number: true},
	}, Empty: "No scrap has been charged in a closed melt yet."}
	cell := func(f findings.Figure) Cell {
		if !f.Known() {
			return Cell{Text: "not known"}
		}
		return Cell{Text: coins(f.Range.Middle*kg, s), Sub: coins(f.Range.Low*kg, s) + " to " + coins(f.Range.High*kg, s)}
	}
	for _, c := range list {
		t.Rows = append(t.Rows, []Cell{{Text: c.Source.Name, Sub: c.verdict(), Href: sourceHref(c.Source.ID)}, cell(c.Cost.Cash), cell(c.Cost.Opportunity)})
	}
	return t
}

// coins is an amount without its currency, where a column says it.
func coins(units float64, s quantity.Style) string { return s.Number(units, s.Exponent()) }

// verdict is whether to melt it, in a few words; "" when nothing can be said.
func (c SourceCost) verdict() string {
	words := func(v *findings.Versus, pays, not string) string {
		switch {
		case v == nil:
			return ""
		case v.Code == findings.Helps:
			return pays
		case v.Code == findings.Costs:
			return not
		}
		return "too close to call"
	}
	if text := words(c.Choice.Use, "cheaper than buying ingots", "buying ingots is cheaper"); text != "" {
		return text
	}
	return words(c.Choice.Sell, "melting it to sell would have paid", "not worth melting to sell")
}
