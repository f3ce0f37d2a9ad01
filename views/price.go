package views

import (
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

// YardPrice is what a yard paid for a kg on a day.
type YardPrice struct {
	At    quantity.Moment
	Price quantity.Price
	Note  string
}

// priceFacts lists yard prices, the newest first.
func priceFacts(list []YardPrice, s quantity.Style) []Fact {
	all := make([]Fact, len(list))
	for i, p := range list {
		all[i] = Fact{Term: s.Date(p.At), Value: s.Price(p.Price) + " a kg", Note: p.Note}
	}
	return all
}

// PriceForm is the form in which a yard's price is written down: for a source
// unmelted, or for ingots when there is no source.
type PriceForm struct {
	Filled
	Source *scrap.Source
	Prices []YardPrice
	Key    string
}

func (p PriceForm) what() string {
	if p.Source == nil {
		return "ingots"
	}
	return p.Source.Name
}

func (p PriceForm) back() Link {
	if p.Source == nil {
		return Link{Text: "Scrap", Href: "/scrap"}
	}
	return Link{Text: "Back", Href: sourceHref(p.Source.ID)}
}

func (p PriceForm) action() string {
	if p.Source == nil {
		return "/scrap/prices"
	}
	return sourceHref(p.Source.ID) + "/prices"
}

func (p PriceForm) inputs(s quantity.Style) []Input {
	day := Input{TextField, p.field("day", "On", "Empty: today.")}
	day.Type = "date"
	hint := "What the yard pays for it as it is, unmelted."
	if p.Source == nil {
		hint = "What the yard pays for your ingots."
	}
	return []Input{
		p.number("price", "The yard pays", perKg(s), hint).must(),
		day,
		p.words("note", "Notes", "Which yard, for what grade."),
	}
}
