package api

import (
	"time"

	"drosswise/foundry/year"
)

// OfYear names a year.
type OfYear struct {
	Year int `path:"year" minimum:"2000" maximum:"2099" doc:"A year of the shop's calendar."`
}

// Year is what the melts of a year came to. What is running counts by what is
// written so far, what was made void does not.
type Year struct {
	Year     int           `json:"year"`
	Currency string        `json:"currency"`
	Total    YearSums      `json:"total"`
	Months   []YearMonth   `json:"months" nullable:"false" doc:"Those that had melts."`
	Sources  []YearSource  `json:"sources" nullable:"false"`
	Kit      []YearKit     `json:"kit" nullable:"false" doc:"Crucibles and element sets that had heats."`
	Retired  []YearRetired `json:"retired" nullable:"false" doc:"Crucibles and element sets that were retired, whether or not they came back."`
	Says     []string      `json:"says" nullable:"false" doc:"What can be said of it in words, beside the year before."`
}

// YearSums are sums over melts. A ratio is a sum over a sum, of those melts in
// which both are known.
type YearSums struct {
	Melts           int      `json:"melts"`
	Charged         float64  `json:"charged_kg"`
	RecoveryCharged float64  `json:"recovery_charged_kg" doc:"Charge of the melts whose recovery is known, less steel found."`
	Recovered       float64  `json:"recovered_kg" doc:"Metal of the same."`
	Yield           *float64 `json:"yield" doc:"Metal over charge, as a fraction; null when no melt says it."`
	EnergyCharged   float64  `json:"energy_charged_kg" doc:"Charge of the melts whose electricity is known."`
	Energy          float64  `json:"energy_kwh"`
	PerKg           *float64 `json:"kwh_per_kg_charged"`
	Priced          int      `json:"priced_melts" doc:"Melts whose cost and metal are known."`
	Cash            float64  `json:"cash" doc:"What those cost, in units of the currency."`
	CashRecovered   float64  `json:"cash_recovered_kg"`
	CashPerKg       *float64 `json:"cash_per_kg" doc:"For each kg of metal."`
}

// YearMonth is a month of a year.
type YearMonth struct {
	Month string `json:"month" doc:"Such as 2026-11."`
	YearSums
}

// YearSource is what was charged of a kind of scrap.
type YearSource struct {
	Source  int64   `json:"source"`
	Name    string  `json:"name"`
	Melts   int     `json:"melts"`
	Charged float64 `json:"charged_kg"`
}

// YearKit is how many heats a piece of kit went through.
type YearKit struct {
	Kit   int64  `json:"kit"`
	Name  string `json:"name"`
	Heats int    `json:"heats"`
}

// YearRetired is the end of a piece of kit.
type YearRetired struct {
	Kit   int64     `json:"kit"`
	Name  string    `json:"name"`
	At    time.Time `json:"at"`
	Cause string    `json:"cause"`
}

// YearSumsOf tells of sums in a currency with so many decimals.
func YearSumsOf(s year.Sums, exponent int) YearSums {
	told := YearSums{
		Melts: s.Melts, Charged: s.Charged.Kilograms(), RecoveryCharged: s.YieldCharged.Kilograms(), Recovered: s.Recovered.Kilograms(),
		EnergyCharged: s.EnergyCharged.Kilograms(), Energy: s.Energy.KilowattHours(), Priced: s.Priced, Cash: money(exponent)(s.Cash), CashRecovered: s.CashRecovered.Kilograms(),
	}
	if x, ok := s.Yield(); ok {
		told.Yield = &x
	}
	if x, ok := s.PerKg(); ok {
		told.PerKg = &x
	}
	if x, ok := s.CashPerKg(); ok {
		told.CashPerKg = new(x * money(exponent)(1))
	}
	return told
}
