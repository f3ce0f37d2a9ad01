package views

import (
	"fmt"
	"math"
	"strings"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/sheet"
)

// because says why a figure is not known.
func because(f sheet.Figure) string {
	var all []string
	for _, l := range f.Lacks {
		all = append(all, l.Sentence())
	}
	return strings.Join(all, " ")
}

// share shows a fraction with its uncertainty as per cent.
func share(f sheet.Figure, s quantity.Style) (value, spread string) {
	value, spread = s.Round(100*f.X, 100*f.U, 1)
	if f.U == 0 {
		return value, ""
	}
	return value, "± " + spread
}

// mass shows a mass figure with no more digits than its uncertainty allows.
func mass(f sheet.Figure, s quantity.Style) string {
	if f.U == 0 {
		return s.Mass(kilograms(f.X))
	}
	return s.MassTo(kilograms(f.X), spread(f, s))
}

// massPair shows a mass figure with its uncertainty.
func massPair(f sheet.Figure, s quantity.Style) string {
	if f.U == 0 {
		return s.Mass(kilograms(f.X))
	}
	if s.MassUnit == quantity.Kilo && f.U < 0.0095 {
		return s.Number(f.X, 3) + " ± " + s.Number(max(f.U, 0.001), 3) + " kg"
	}
	value, u, unit := s.MassPair(kilograms(f.X), kilograms(f.U))
	return value + " ± " + u + " " + unit
}

// spread is the uncertainty as it is shown. Tenths of a gram are kept from
// shops that count in kilograms: nobody there reads them.
func spread(f sheet.Figure, s quantity.Style) quantity.Mass {
	if s.MassUnit == quantity.Kilo {
		return max(kilograms(f.U), quantity.Gram)
	}
	return kilograms(f.U)
}

func kwh(x float64) quantity.Energy {
	return quantity.Energy(math.Round(x * float64(quantity.KilowattHour)))
}

// perMass shows an amount per kg in the shop's unit of mass: per kg, or per lb.
func perMass(f sheet.Figure, s quantity.Style) (value, unit string) {
	if s.MassUnit == quantity.Pounds {
		return s.Number(f.X*poundKg, 2), "lb"
	}
	return s.Number(f.X, 2), "kg"
}

// massWord is the mass of perMass in words.
func massWord(s quantity.Style) string {
	if s.MassUnit == quantity.Pounds {
		return "pound"
	}
	return "kilogram"
}

const poundKg = 0.45359237 // by definition

// headlines are the two figures everybody asks for first.
func (m Melt) headlines(s quantity.Style) []Figure {
	y := Figure{Unit: "%", Sentence: "of the charge became metal", Missing: because(m.Sheet.Yield)}
	if m.Sheet.Yield.Known() {
		y.Value, y.Range = share(m.Sheet.Yield, s)
	}
	e := Figure{Sentence: "of electricity per " + massWord(s) + " of metal", Missing: because(m.Sheet.PerUsable)}
	if m.Sheet.PerUsable.Known() {
		value, unit := perMass(m.Sheet.PerUsable, s)
		e.Value, e.Unit = value, "kWh/"+unit
		e.Sentence = fmt.Sprintf("%s for %s of metal, %s", s.Energy(kwh(m.Sheet.Energy.X)), mass(m.Sheet.Recovered, s), basisWords[m.Sheet.EnergyBasis])
	}
	return []Figure{y, e}
}

var basisWords = map[sheet.EnergyBasis]string{
	sheet.ByMeter:    "by the meter",
	sheet.ByTyping:   "as typed",
	sheet.ByElectric: "from volts and amps over the time with power on",
}

// metalBar is where the charge went.
func (m Melt) metalBar(s quantity.Style) Bar {
	sh := m.Sheet
	b := Bar{Title: "Where the charge went", Measure: "Mass"}
	if !sh.Charged.Known() || !sh.Recovered.Known() {
		b.Missing = because(sheet.Figure{Lacks: append(append([]sheet.Lack(nil), sh.Charged.Lacks...), sh.Recovered.Lacks...)})
		return b
	}
	if !sh.Yield.Known() {
		b.Missing = because(sh.Yield)
		return b
	}
	net := sh.Charged.X - sh.Attachments.X
	b.Title = "Where the " + s.Mass(kilograms(net)) + " went"
	b.Whole = int64(kilograms(net))
	b.Beyond = "The parts come to more than the charge; the rule marks the charge."
	add := func(kind Kind, label string, f sheet.Figure) {
		if f.X == 0 {
			return
		}
		b.Parts = append(b.Parts, Part{Kind: kind, Label: label, Amount: int64(kilograms(f.X)), Value: mass(f, s), Share: s.Percent(f.X/net, 1)})
	}
	ingots := "Ingots"
	if sh.PouredCount > 0 {
		ingots += fmt.Sprintf(", %d poured", sh.PouredCount)
	}
	add(Metal, ingots, sh.Ingots)
	add(MetalLined, "Rejects", sh.Rejects)
	add(MetalLined, "Spills picked up", sh.Spills)
	heel := sheet.Figure{X: sh.HeelOut.X - sh.HeelIn.X, U: math.Hypot(sh.HeelIn.U, sh.HeelOut.U)}
	if heel.X > 0 {
		add(MetalLined, "Heel grown", heel)
	} else {
		add(Gone, "Heel used up", heel)
	}
	if !sh.Dross.Known() {
		loss := sheet.Figure{X: net - sh.Recovered.X, U: math.Hypot(sh.Charged.U, sh.Recovered.U)}
		add(Gone, "Dross and not accounted for", loss)
		return b
	}
	add(Dross, "Dross skimmed", sh.Dross)
	add(Gone, "Not accounted for", sh.Unaccounted)
	return b
}

// heatBar is where the electricity went.
func (m Melt) heatBar(s quantity.Style) Bar {
	sh := m.Sheet
	b := Bar{Title: "Where the heat went", Measure: "Energy", Missing: because(sh.Rest)}
	if !sh.Rest.Known() {
		return b
	}
	b.Whole = int64(kwh(sh.Energy.X))
	b.Beyond = "The parts come to more than the electricity; the rule marks what was used."
	pot := "Into the crucible"
	if m.Heading.Warm {
		pot = "Into the crucible (started hot)"
	}
	for _, p := range []struct {
		kind  Kind
		label string
		f     sheet.Figure
	}{{Heat, "Into the metal (least possible)", sh.IntoMetal}, {Pot, pot, sh.IntoPot}, {Walls, "Walls, lid, holding", sh.Rest}} {
		b.Parts = append(b.Parts, Part{Kind: p.kind, Label: p.label, Amount: int64(kwh(p.f.X)), Value: s.Energy(kwh(p.f.X)), Share: s.Percent(p.f.X/sh.Energy.X, 0)})
	}
	return b
}

// metalFacts are the balance in numbers.
func (m Melt) metalFacts(s quantity.Style) []Fact {
	sh := m.Sheet
	pct := func(term, note string, f sheet.Figure) Fact {
		if !f.Known() {
			return Fact{term, "not known", because(f)}
		}
		value, spread := share(f, s)
		return Fact{term, strings.Join(nonEmpty(value, spread, "%"), " "), note}
	}
	kg := func(term, note string, f sheet.Figure) Fact {
		if !f.Known() {
			return Fact{term, "not known", because(f)}
		}
		return Fact{term, massPair(f, s), note}
	}
	facts := []Fact{kg("Charged", "", sh.Charged)}
	if sh.Attachments.X > 0 {
		facts = append(facts, kg("Steel found, taken off the charge", "", sh.Attachments))
	}
	if sh.HeelInSaid {
		facts = append(facts, kg("Heel before", "", sh.HeelIn))
	}
	if sh.HeelOutSaid {
		facts = append(facts, kg("Heel after", "", sh.HeelOut))
	}
	return once(append(facts,
		kg("Metal recovered", noHeel(sh), sh.Recovered),
		pct("Recovery", "metal out for charge in", sh.Yield),
		pct("Good yield", "without rejects and spills", sh.GoodYield),
		pct("Melt loss", "", sh.Loss),
		pct("Dross rate", "dross holds metal and oxygen", sh.DrossRate),
		kg("Not accounted for", "", sh.Unaccounted),
	))
}

// noHeel says what is taken for the heels that nobody wrote.
func noHeel(sh sheet.Sheet) string {
	switch {
	case sh.HeelInSaid && sh.HeelOutSaid:
		return ""
	case sh.HeelInSaid:
		return "No heel after was written: the crucible is taken as empty after."
	case sh.HeelOutSaid:
		return "No heel before was written: the crucible is taken as empty before."
	}
	return "No heel was written: the crucible is taken as empty before and after."
}

// heatFacts are energy and time in numbers.
func (m Melt) heatFacts(s quantity.Style) []Fact {
	sh := m.Sheet
	per := func(term, prefix, note string, f sheet.Figure) Fact {
		if !f.Known() {
			return Fact{term, "not known", because(f)}
		}
		value, unit := perMass(f, s)
		return Fact{term, value + " " + prefix + "/" + unit, note}
	}
	hours := func(term, note string, f sheet.Figure) Fact {
		if !f.Known() {
			return Fact{term, "not known", because(f)}
		}
		return Fact{term, s.Span(quantity.Span(math.Round(f.X * float64(quantity.Hour)))), note}
	}
	facts := []Fact{per("Per kg charged", "kWh", "", sh.PerCharged), per("Per usable kg", "kWh", "all metal recovered", sh.PerUsable)}
	if s.MassUnit == quantity.Pounds {
		facts[0].Term, facts[1].Term = "Per lb charged", "Per usable lb"
	}
	eff := Fact{"Efficiency", "not known", because(sh.Efficiency)}
	if sh.Efficiency.Known() {
		eff = Fact{"Efficiency", s.Percent(sh.Efficiency.X, 1), "heat in the metal for electricity used; latent heat of " + strings.Join(sh.LatentOf, ", ")}
	}
	rate := Fact{"Melt rate", "not known", because(sh.Rate)}
	if sh.Rate.Known() {
		rate = Fact{"Melt rate", s.Number(sh.Rate.X, 2) + " kg/h", "charge over time to all molten"}
		if s.MassUnit == quantity.Pounds {
			rate.Value = s.Number(sh.Rate.X/poundKg, 2) + " lb/h"
		}
	}
	return once(append(facts, eff, hours("To all molten", "", sh.TimeMolten), rate, hours("Time with power on", "", sh.Hot)))
}

// costFacts are what the melt cost, twice.
func (m Melt) costFacts(s quantity.Style) []Fact {
	sh := m.Sheet
	amount := func(x float64) string { return s.Number(x, s.Exponent()) + " " + s.Currency }
	var facts []Fact
	part := func(term string, x float64) {
		if x != 0 {
			facts = append(facts, Fact{Term: term, Value: amount(x)})
		}
	}
	if sh.Cash.Known() {
		part("Scrap", sh.Costs.Scrap)
		part("Electricity", sh.Costs.Energy)
		part("Flux and additions", sh.Costs.Added)
		part("Share of the crucible", sh.Costs.Crucible)
		part("Share of the element", sh.Costs.Element)
	}
	total := func(term, note string, sum, per sheet.Figure) {
		if !sum.Known() {
			facts = append(facts, Fact{term, "not known", because(sum)})
			return
		}
		left := because(sheet.Figure{Lacks: sum.Without})
		if left != "" {
			left = "Not counted: " + left
		}
		facts = append(facts, Fact{term, amount(sum.X), strings.Join(nonEmpty(note, left), ". ")})
		if per.Known() {
			value, unit := perMass(per, s)
			facts = append(facts, Fact{Term: term + " per usable " + unit, Value: value + " " + s.Currency})
		}
	}
	total("Cash cost", "free scrap counts as nothing", sh.Cash, sh.CashPerKg)
	total("Cost with what free scrap would have fetched", "", sh.Opportunity, sh.OpportunityPerKg)
	return once(facts)
}

// once gives the reason why a figure is not known the first time only.
func once(facts []Fact) []Fact {
	said := map[string]bool{}
	for i, f := range facts {
		if f.Value == "not known" && said[f.Note] {
			facts[i].Note = ""
		}
		said[f.Note] = true
	}
	return facts
}

// soFar are the facts worth showing while the melt runs.
func (m Melt) soFar(s quantity.Style) []Fact {
	var facts []Fact
	if l, ok := melt.Last(m.standing(), melt.Temperature); ok && l.Temp != nil {
		spec, _ := melt.SpecOf(melt.Temperature)
		facts = append(facts, Fact{"Last temperature", s.Temperature(*l.Temp), strings.ToLower(spec.Label(l.Which)) + ", " + s.Clock(l.At)})
	}
	return append(facts, m.metalFacts(s)...)
}
