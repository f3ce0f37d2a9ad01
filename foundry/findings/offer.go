package findings

import (
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
)

// Quote is a price that a person wrote down on a day.
type Quote struct {
	Price float64         `json:"price"` // money for a kilogram of ingot
	On    quantity.Moment `json:"on"`
}

// Choice sets melting one's own against the other ways, for a kilogram of clean
// metal at its opportunity cost. A nil comparison lacks a quote or a cost.
type Choice struct {
	Source int64   `json:"source"`
	Use    *Versus `json:"use"`  // melting for own use against buying an equal ingot
	Sell   *Versus `json:"sell"` // melting to sell the ingots against selling the scrap
	Lacks  []Lack  `json:"lacks,omitempty"`
}

// Versus is a cost held against a price.
type Versus struct {
	Quote
	Cost   recovery.Range `json:"cost"`   // opportunity, for a kilogram of metal
	Gain   recovery.Range `json:"gain"`   // price less cost
	Chance float64        `json:"chance"` // that the cost is below the price
	Code   Code           `json:"code"`   // Helps: melting pays; Costs: it does not; CannotTell: too close to call
}

// sure is the chance from which a choice is called: nine in ten.
const sure = 0.9

// MeltOrSell holds a source's opportunity cost against what an equal ingot
// costs to buy and what a yard pays for ingots like one's own. Either quote may
// be nil. Where free scrap would fetch something, the cost holds that already,
// so that a price above the cost beats selling the scrap.
func MeltOrSell(c Cost, bought, yard *Quote) Choice {
	choice := Choice{Source: c.Source, Lacks: c.Opportunity.Lacks}
	if c.Opportunity.Known() {
		choice.Use, choice.Sell = versus(*c.Opportunity.Range, bought), versus(*c.Opportunity.Range, yard)
	}
	return choice
}

func versus(cost recovery.Range, q *Quote) *Versus {
	if q == nil {
		return nil
	}
	v := Versus{Quote: *q, Cost: cost, Chance: chanceBelow(cost, q.Price), Code: CannotTell}
	v.Gain = recovery.Range{Low: q.Price - cost.High, Middle: q.Price - cost.Middle, High: q.Price - cost.Low}
	switch {
	case v.Chance > sure:
		v.Code = Helps
	case v.Chance < 1-sure:
		v.Code = Costs
	}
	return &v
}

// chanceBelow is the chance that a cost lies below a price. A cost is money
// over a recovery, so it is asked of the recovery, whose curve is nearer to a
// normal one: cost below price is recovery above money over price. In units
// where the middle recovery is one, the money is the middle cost.
func chanceBelow(cost recovery.Range, price float64) float64 {
	if cost.Low > 0 && price > 0 {
		r := recovery.Range{Low: cost.Middle / cost.High, Middle: 1, High: cost.Middle / cost.Low}
		return above(r, cost.Middle/price)
	}
	return 1 - above(cost, price)
}
