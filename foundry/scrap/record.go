package scrap

import "drosswise/foundry/quantity"

// Record is what came of a source in all melts that are not void.
type Record struct {
	Charged quantity.Mass // in all melts
	Melts   int
	Alone   Alone
}

// Alone is what came of the melts in which nothing but the source was charged.
// One mixed melt gives one yield for the mixture, so only these tell what the
// source itself gives.
type Alone struct {
	Melts     int
	Charged   quantity.Mass // less the steel found in it
	Recovered quantity.Mass
	// Spread is the sum of the standard uncertainties of the metal recovered
	// per melt: an upper bound of that of the sum, as if all weighings were
	// wrong together, which weighings on one scale may be (GUM, JCGM 100:2008,
	// 5.2.2 note 1).
	Spread quantity.Mass
}

// Yield is the pooled yield, the sum of the metal recovered over the sum of the
// metal charged, with its standard uncertainty from the weighings. ok is false
// while there is no such melt.
func (a Alone) Yield() (y, u float64, ok bool) {
	if a.Melts == 0 || a.Charged <= 0 {
		return 0, 0, false
	}
	return float64(a.Recovered) / float64(a.Charged), float64(a.Spread) / float64(a.Charged), true
}
