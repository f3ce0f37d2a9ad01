// Package findings answers a shop's questions from its own records: what a kilo
// of clean metal costs from each source and whether to melt it or sell it
// (Cost, MeltOrSell), whether drying, preheating, flux, a heel or pouring hotter
// pays (Effects), what a first heat takes that the next ones do not (Energy),
// and what a kilo cost month by month (Months, FirstAndNext).
//
// Every answer says how sure it is and from how many melts, or why there is
// none. What was not written down is nil and is never taken for zero. Nothing
// is drawn at random and no clock is read: the same records give the same
// answers.
//
// It knows nothing of lines, pages or where prices are kept. Masses are in
// kilograms, energies in kWh, times in hours, temperatures in °C, money in
// units of the shop's currency, shares are fractions of 1.
package findings

import (
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
)

// Melt is a closed melt as the questions need it. A nil pointer is something
// that nobody wrote down.
type Melt struct {
	ID      int64
	Code    string
	Started quantity.Moment
	Charges []recovery.Charge

	Charged   *float64 // kg, the whole charge
	Recovered *float64 // kg of metal
	Energy    *float64 // kWh
	Hours     *float64 // with power on
	// Cold is 1 when the furnace started cold (a first heat), 0 when it was as
	// hot as the melt before left it, between for a level that a person named.
	Cold        *float64
	Cash        *float64 // what the melt cost
	Opportunity *float64 // the same with what free scrap would have fetched

	Dried     *float64 // share of the charge, 0 … 1
	Preheated *float64 // share of the charge
	IntoHot   *float64 // share of the charge that went into hot metal
	Flux      []Flux   // what was used; empty when none was
	FluxOpen  bool     // nobody knows whether flux was used
	HeelIn    *float64 // kg of liquid at the start
	Pour      *float64 // °C at the pour
}

// Flux is flux of one kind that was used in a melt.
type Flux struct {
	Kind      string   // as the addition is called, such as "cover flux"
	Kilograms *float64 // nil when not weighed
}

// Code is what can be said of a question.
type Code string

// What can be said of a question.
const (
	TooFew       Code = "too_few"       // not enough melts on one side
	CannotTell   Code = "cannot_tell"   // the melts hardly say more than was believed before
	NoDifference Code = "no_difference" // none seen: the 90 % range holds zero
	Helps        Code = "helps"         // the 90 % range lies on the good side
	Costs        Code = "costs"         // the 90 % range lies on the bad side
)

// LeastMelts is how many melts there must be on each side of a comparison.
const LeastMelts = 3

// first reports whether the melt was a first heat, if that is known.
func (m Melt) first() (first, known bool) {
	if m.Cold == nil {
		return false, false
	}
	return *m.Cold >= 0.5, true
}
