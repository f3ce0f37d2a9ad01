package views

import (
	"strings"

	"drosswise/foundry/caution"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

// SourceForm is the form in which a kind of scrap is described.
type SourceForm struct {
	Filled
	ID   int64 // 0 for a new one
	Name string
	Key  string
}

func (p SourceForm) title() string {
	if p.ID == 0 {
		return "New scrap"
	}
	return "Change " + p.Name
}

func (p SourceForm) action() string {
	if p.ID == 0 {
		return "/scrap"
	}
	return sourceHref(p.ID)
}

func (p SourceForm) back() Link {
	if p.ID == 0 {
		return Link{Text: "Scrap", Href: "/scrap"}
	}
	return Link{Text: "Back", Href: sourceHref(p.ID)}
}

func (p SourceForm) inputs(s quantity.Style) []Input {
	forms, coatings, sures := []Option{}, []Option{}, []Option{}
	for _, x := range scrap.Forms {
		forms = append(forms, Option{Value: string(x.Form), Label: x.Name})
	}
	for _, x := range scrap.Coatings {
		coatings = append(coatings, Option{Value: string(x.Coating), Label: x.Name})
	}
	for _, x := range scrap.Sures {
		sures = append(sures, Option{Value: string(x.Sure), Label: x.Name})
	}
	all := []Input{
		p.text("name", "Name", "As you call it in the shop. Keep apart what you want to know apart.").must(),
		p.pick("form", "Form", "", forms).must(),
		p.pick("coating", "What is on it", "", coatings),
		p.text("alloy", "Alloy", "By its number, such as 6061 or A356.0: a guess helps the heat figures. Leave it empty when nobody knows."),
		p.radio("sure", "How sure of it", "", sures),
		p.number("paid", "What it costs", pricedIn(s), "Type 0 when it is free. Empty means not said."),
		p.number("fetches", "What a yard would pay for it unmelted", pricedIn(s), "Your own figure. It is what melting forgoes."),
		p.tick("hollow", "Hollow or sealed pieces", "Tubes, cylinders, shocks: they burst when heated shut."),
		p.tick("wet", "Holds water or oil", ""),
		p.tick("magnesium", "Magnesium suspected", ""),
		p.tick("zinc_lead", "Zinc or lead on it or in it", ""),
		p.tick("batteries", "May hold batteries", ""),
		p.words("note", "Notes", "Tests done, where it comes from."),
	}
	if p.ID != 0 {
		all = append(all, p.tick("ended", "No longer used", "It stays in the book and is not offered when charging."))
	}
	return all
}

// pricedIn is what a price of a mass is in: the currency for a kilogram or pound.
func pricedIn(s quantity.Style) string {
	symbol, _ := s.PriceMass()
	return strings.TrimSpace(s.Currency + " a " + symbol)
}

// LotForm is the form in which a delivery is written.
type LotForm struct {
	Filled
	Source  scrap.Source
	Key     string
	Hazards caution.Hazards
}

func (p LotForm) back() Link { return Link{Text: "Back", Href: sourceHref(p.Source.ID)} }

func (p LotForm) inputs(s quantity.Style) []Input {
	unit := s.MassSymbol()
	return []Input{
		p.number("as_found", "As found", unit, "As it came, with steel, plastic, oil and water on it."),
		p.number("as_charged", "Ready to charge", unit, "Sorted, stripped and dried. One of the two masses is enough; what is left is reckoned from this one."),
		p.number("steel", "Steel taken off", unit, ""),
		p.number("plastic", "Plastic taken off", unit, ""),
		p.number("paid", "Paid for this delivery", pricedIn(s), "For what came, as found. Empty: the price that stands for "+p.Source.Name+"."),
		p.words("note", "Notes", ""),
	}
}

func (p LotForm) cautions() Cautions {
	return Cautions{Title: caution.Sorting.String(), List: CautionList(caution.For(caution.Sorting, p.Hazards))}
}
