package scrap

import "drosswise/foundry/quantity"

// Goods is what a price is of.
type Goods string

// What prices are written down of.
const (
	Unmelted     Goods = "scrap"  // a source as it is, to a yard
	IngotsSold   Goods = "ingots" // ingots like one's own, to a yard
	IngotsBought Goods = "bought" // an equal ingot, from whoever sells it
	DrossSold    Goods = "dross"  // cold dross, to a yard
)

// ShopGoods are the goods that have one price for the whole shop, with how
// people call their price.
var ShopGoods = []struct {
	Goods Goods
	Says  string
}{
	{IngotsSold, "A yard pays for ingots like yours"},
	{IngotsBought, "An equal ingot costs to buy"},
	{DrossSold, "A yard pays for cold dross"},
}

// Says is how people call the price of the goods.
func (g Goods) Says() string {
	for _, one := range ShopGoods {
		if one.Goods == g {
			return one.Says
		}
	}
	return "A yard pays for it unmelted"
}

// Quote is a price per kg that was heard, paid or got on a day.
type Quote struct {
	ID     int64
	Key    string
	Of     Goods
	Source int64 // of Unmelted, 0 for others
	At     quantity.Moment
	Price  quantity.Price
	By     int64
	Note   string
	Strike *Strike
}

// Latest is the newest quote of goods that stands, nil when there is none.
// source is 0 but for Unmelted; quotes are the newest first.
func Latest(quotes []Quote, of Goods, source int64) *Quote {
	for i, q := range quotes {
		if q.Of == of && q.Source == source && q.Strike == nil {
			return &quotes[i]
		}
	}
	return nil
}
