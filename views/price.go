package views

import (
	"fmt"

	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

// goodsFacts are the newest prices that stand of what has one for the whole
// shop.
func goodsFacts(quotes []scrap.Quote, s quantity.Style) []Fact {
	var all []Fact
	for _, g := range scrap.ShopGoods {
		if q := scrap.Latest(quotes, g.Goods, 0); q != nil {
			all = append(all, quoteFact(g.Says, q, s))
		}
	}
	return all
}

// quoteFact is a price with its day.
func quoteFact(term string, q *scrap.Quote, s quantity.Style) Fact {
	f := Fact{Term: term, Value: s.MassPrice(q.Price), Note: "on " + s.Date(q.At)}
	if q.Note != "" {
		f.Note += ": " + q.Note
	}
	return f
}

// PriceForm is the form in which a price is written down, above those written
// before: of a source unmelted, or of what the whole shop buys and sells when
// there is no source.
type PriceForm struct {
	Filled
	Source  *scrap.Source
	Quotes  []scrap.Quote // the newest first, struck ones too
	People  map[int64]string
	Key     string
	NewKeys func() string
}

func (p PriceForm) title() string {
	if p.Source == nil {
		return "Prices of metal and dross"
	}
	return "What a yard pays for " + p.Source.Name
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
	hint := "For it as it is, unmelted, less the trip."
	var all []Input
	if p.Source == nil {
		hint = "With ingots bought and sold, melting is held against buying and selling."
		all = append(all, p.goods())
	}
	return append(all, p.number("price", "Price", pricedIn(s), hint).must(), day, p.words("note", "Notes", "Where, and for what grade."))
}

// goods is the choice of what the price is of.
func (p PriceForm) goods() Input {
	options := make([]Option, len(scrap.ShopGoods))
	for i, g := range scrap.ShopGoods {
		options[i] = Option{Value: string(g.Goods), Label: g.Says}
	}
	return p.radio("of", "What it is the price of", "", options).must()
}

// ledger is the prices written before.
func (p PriceForm) ledger(s quantity.Style) Ledger {
	var led Ledger
	var years yearly
	for _, q := range p.Quotes {
		r := Row{Verb: s.MassPrice(q.Price), Note: q.Note}
		if p.Source == nil {
			r.Text = q.Of.Says()
		}
		r.Day, r.Time = years.at(q.At, s)
		if k := q.Strike; k != nil {
			r.Struck = &Struck{Reason: k.Reason, Who: p.People[k.By], When: s.Date(k.At)}
		}
		r.Tap = []Action{strikeOrLift(fmt.Sprintf("/scrap/prices/%d", q.ID), q.Strike != nil, p.NewKeys)}
		led.Rows = append(led.Rows, r)
	}
	return led
}
