package life

// Cost is what a piece costs for every heat, kilogram or hour hot, in the money
// of its price.
type Cost struct {
	Unit Unit `json:"unit"`
	// SoFar is its price over what it has done: it falls with every heat, and is
	// what it cost in the end once the piece is out of service. nil at age 0.
	SoFar *float64 `json:"so_far"`
	// Whole is its price over what it will have done by the time it is worn out;
	// nil when that cannot be said.
	Whole *Range `json:"whole"`
}

// mostMoney is the highest price that is believed.
const mostMoney = 1e12

// CostOf shares the price of a piece, 0 or more, over what it has done, and over
// that and what it may still do by its outlook. For one out of service give an
// outlook with Unit and Age only. The error is a *Refusal.
func CostOf(price float64, o Outlook) (Cost, error) {
	if !(price >= 0 && price <= mostMoney) {
		return Cost{}, &Refusal{Code: BadPrice, Value: price}
	}
	if !isAge(o.Age) {
		return Cost{}, &Refusal{Code: BadAge, Value: o.Age}
	}
	c := Cost{Unit: o.Unit}
	if o.Age > 0 {
		x := price / o.Age
		c.SoFar = &x
	}
	if r := o.Left; r != nil {
		c.Whole = &Range{Low: price / (o.Age + r.High), Middle: price / (o.Age + r.Middle), High: price / (o.Age + r.Low)}
	}
	return c, nil
}
