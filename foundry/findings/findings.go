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
	ID      int64             `json:"-"`
	Code    string            `json:"-"`
	Started quantity.Moment   `json:"-"`
	Furnace int64             `json:"-"`
	Charges []recovery.Charge `json:"-"`

	Charged   *float64 `json:"charged,omitempty"`   // kg, the whole charge
	Recovered *float64 `json:"recovered,omitempty"` // kg of metal
	Energy    *float64 `json:"energy,omitempty"`    // kWh
	Hours     *float64 `json:"hours,omitempty"`     // with power on
	// Cold is 1 when the furnace started cold (a first heat), 0 when it was as
	// hot as the melt before left it, between for a level that a person named.
	Cold        *float64 `json:"cold,omitempty"`
	Cash        *float64 `json:"cash,omitempty"`        // what the melt cost
	Opportunity *float64 `json:"opportunity,omitempty"` // the same with what free scrap would have fetched
	Power       *float64 `json:"power,omitempty"`       // what its electricity cost
	Crucible    *float64 `json:"crucible,omitempty"`    // its share of the crucible's price
	Element     *float64 `json:"element,omitempty"`     // its share of the element set's price

	Dried     *float64 `json:"dried,omitempty"`     // share of the charge, 0 … 1
	Preheated *float64 `json:"preheated,omitempty"` // share of the charge
	IntoHot   *float64 `json:"into_hot,omitempty"`  // share of the charge that went into hot metal
	Flux      []Flux   `json:"flux,omitempty"`      // what was used; empty when none was
	FluxOpen  bool     `json:"flux_open,omitempty"` // nobody knows whether flux was used
	HeelIn    *float64 `json:"heel_in,omitempty"`   // kg of liquid at the start
	Pour      *float64 `json:"pour,omitempty"`      // °C at the pour
}

// Flux is flux of one kind that was used in a melt.
type Flux struct {
	Kind      string   `json:"kind"`                // as the addition is called, such as "cover flux"
	Kilograms *float64 `json:"kilograms,omitempty"` // nil when not weighed
	Cost      *float64 `json:"cost,omitempty"`      // money, nil when not said
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
