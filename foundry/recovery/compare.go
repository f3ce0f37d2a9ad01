package recovery

import (
	"cmp"
	"math"
	"slices"
)

// Verdict is what can be said of two sources.
type Verdict string

// What can be said of two sources.
const (
	GivesMore    Verdict = "more"          // A gives more metal, nine chances in ten or better
	GivesLess    Verdict = "less"          // B does
	NoDifference Verdict = "no_difference" // none seen, and it is below Alike nine chances in ten
	TooClose     Verdict = "too_close"     // not known well enough to say
)

// Alike is the difference in recovery below which two sources are called
// alike: two points, what clean sources differ by anyway. Judgement.
const Alike = 0.02

// sure is the chance from which one source is said to give more.
const sure = 0.9

// Comparison sets two sources side by side.
type Comparison struct {
	A          int64   `json:"a"`
	B          int64   `json:"b"`
	MoreMetal  float64 `json:"more_metal"` // chance that A gives more metal
	LessDross  float64 `json:"less_dross"` // chance that A gives less dross
	Difference Range   `json:"difference"` // A less B, recovery
	Dross      Range   `json:"dross"`      // A less B, dross rate
	Verdict    Verdict `json:"verdict"`
}

// Compare sets two sources side by side. ok is false for one that is not known.
func (e *Estimates) Compare(a, b int64) (c Comparison, ok bool) {
	i, known := e.index[a]
	j, also := e.index[b]
	if !known || !also || i == j {
		return Comparison{}, false
	}
	less := []share{{i, 1}, {j, -1}}
	metal, dross := linear(e.metal, less, nil), linear(e.dross, less, nil)
	c = Comparison{
		A: a, B: b, MoreMetal: 1 - metal.below(0), LessDross: dross.below(0),
		Difference: metal.within(-1, 1), Dross: dross.within(-1, 1), Verdict: TooClose,
	}
	switch {
	case !e.Ranked:
	case c.MoreMetal > sure:
		c.Verdict = GivesMore
	case c.MoreMetal < 1-sure:
		c.Verdict = GivesLess
	case -Alike < c.Difference.Low && c.Difference.High < Alike:
		c.Verdict = NoDifference
	}
	return c, true
}

// Cheaper is the chance that a kilogram of metal from A costs less scrap money
// than one from B, at prices per kilogram charged: that
// price_B r_A − price_A r_B is above zero. ok is false for an unknown source.
func (e *Estimates) Cheaper(a, b int64, priceA, priceB float64) (chance float64, ok bool) {
	i, known := e.index[a]
	j, also := e.index[b]
	if !known || !also || i == j {
		return 0, false
	}
	return 1 - linear(e.metal, []share{{i, priceB}, {j, -priceA}}, nil).below(0), true
}

// PerKilogram is the range of what the scrap in a kilogram of metal from a
// source costs, at a price per kilogram charged. The price is in any currency.
func (e *Estimates) PerKilogram(source int64, price float64) (r Range, ok bool) {
	j, known := e.index[source]
	if !known || e.Sources[j].Metal.Low <= 0 {
		return Range{}, false
	}
	m := e.Sources[j].Metal
	return Range{price / m.High, price / m.Middle, price / m.Low}, true
}

// TenPoints is what ten points of recovery are worth per kilogram charged: a
// tenth of a kilogram of metal at the price of metal, and the electricity that
// this buys. kWh is not a number when electricity is free.
func TenPoints(metalPrice, kWhPrice float64) (money, kWh float64) {
	money = 0.1 * metalPrice
	if kWhPrice <= 0 {
		return money, math.NaN()
	}
	return money, money / kWhPrice
}

// sortBy sorts by a number, keeping the order of equals.
func sortBy[T any](list []T, by func(T) float64) {
	slices.SortStableFunc(list, func(a, b T) int { return cmp.Compare(by(a), by(b)) })
}
