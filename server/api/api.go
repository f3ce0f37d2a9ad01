// Package api says in JSON what a shop knows and what a program may tell it:
// the shapes of bodies, in units that stand in the names of their fields. It
// knows foundry; it asks nothing, stores nothing and refuses nothing but what
// is no JSON of its shape. Whether something may be is said by the same rules
// as on the pages, since a body is turned into the form of the page (Values).
package api

import (
	"time"

	"drosswise/foundry/quantity"
)

// Keyed is the header by which a request is done once, however often it comes.
type Keyed struct {
	Key string `header:"Idempotency-Key" required:"true" minLength:"8" maxLength:"66" doc:"Made by the program, anew for each thing it does: 8 to 64 letters of a to z, A to Z, 0 to 9 and -. Sent again with the same content it does nothing more and answers as before; with other content it is refused (409), and so is the key of scrap or kit that has been changed since."`
}

// Struck says that a row does not count any more.
type Struck struct {
	At     time.Time `json:"at"`
	By     int64     `json:"by" doc:"Number of the person."`
	Reason string    `json:"reason"`
}

// Marking is the body of a strike, or of the lifting of one.
type Marking struct {
	Reason string `json:"reason,omitempty" form:"reason" maxLength:"2000" doc:"Why. It stays readable."`
}

// Done is the answer where nothing is left to tell.
type Done struct {
	Done bool `json:"done"`
}

// moment is a moment in JSON.
func moment(m quantity.Moment) time.Time { return m.Time().UTC() }

// maybe turns what a pointer points to into a plain number; nil stays nil.
func maybe[T any, N int | int64 | float64](x *T, plain func(T) N) *N {
	if x == nil {
		return nil
	}
	return new(plain(*x))
}

func kilograms(m quantity.Mass) float64     { return m.Kilograms() }
func millimetres(l quantity.Length) float64 { return float64(l) / float64(quantity.Millimetre) }
func percent(ppm int64) float64             { return float64(ppm) / 1e4 }

// money gives amounts in units of the currency.
func money(exponent int) func(quantity.Money) float64 {
	unit := 1.0
	for range exponent {
		unit *= 10
	}
	return func(m quantity.Money) float64 { return float64(m) / unit }
}
