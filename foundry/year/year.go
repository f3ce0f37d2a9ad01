// Package year sets out what a year of melting came to: what went in and came
// out, what it took and cost, month by month and by source, and what of it can
// be said in words. It adds up nothing itself: the sums are kept with the melts.
package year

import "drosswise/foundry/quantity"

// Sums are what some melts came to together. A ratio is a sum over a sum, of
// those melts in which both are known.
type Sums struct {
	Melts         int
	Charged       quantity.Mass
	YieldCharged  quantity.Mass // of melts whose recovery is known, less steel found
	Recovered     quantity.Mass // of the same
	EnergyCharged quantity.Mass // of melts whose electricity is known
	Energy        quantity.Energy
	Priced        int            // melts whose cost and metal are known
	Cash          quantity.Money // of those
	CashRecovered quantity.Mass  // of those
}

// Plus adds what other melts came to.
func (s Sums) Plus(o Sums) Sums {
	return Sums{
		s.Melts + o.Melts, s.Charged + o.Charged, s.YieldCharged + o.YieldCharged, s.Recovered + o.Recovered, s.EnergyCharged + o.EnergyCharged, s.Energy + o.Energy,
		s.Priced + o.Priced, s.Cash + o.Cash, s.CashRecovered + o.CashRecovered,
	}
}

// Yield is the metal recovered as a fraction of the charge; ok is false where no
// melt says it.
func (s Sums) Yield() (fraction float64, ok bool) {
	return over(float64(s.Recovered), float64(s.YieldCharged))
}

// PerKg is the electricity in kWh for each kg charged.
func (s Sums) PerKg() (kwh float64, ok bool) {
	return over(s.Energy.KilowattHours(), s.EnergyCharged.Kilograms())
}

// CashPerKg is the cash cost in minor units for each kg of metal recovered.
func (s Sums) CashPerKg() (minor float64, ok bool) {
	return over(float64(s.Cash), s.CashRecovered.Kilograms())
}

func over(top, bottom float64) (float64, bool) {
	if bottom <= 0 {
		return 0, false
	}
	return top / bottom, true
}

// Source is what of a source was charged.
type Source struct {
	Melts   int
	Charged quantity.Mass
}

// Retired is a crucible or element set that was retired.
type Retired struct {
	Kit   int64
	At    quantity.Moment
	Cause string // see kit.Causes, "" when not said
}

// Year is what the melts of a year came to. It counts what is running too, by
// what is written so far, and leaves out what was made void.
type Year struct {
	Of      int
	Months  [12]Sums
	Sources map[int64]Source
	Heats   map[int64]int // of crucibles and element sets
	Retired []Retired     // the first to go first
}

// Total is what all months came to.
func (y Year) Total() (t Sums) {
	for _, m := range y.Months {
		t = t.Plus(m)
	}
	return t
}
