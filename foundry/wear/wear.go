// Package wear follows heating elements through their lives: it brings cold,
// hot and drawn readings to one basis, looks for a trend against hours hot, and
// says how many hours and melts are left to the shop's limit, as a range or with
// the reason why there is none. Before an element is fitted it checks the coil
// on the bench.
//
// It is told hours and readings; it knows nothing of lines or clocks. What it
// draws at random is seeded by the readings: the same readings give the same
// answer, in whatever order they come. It says when it is time to check; that an
// element is fit to use it never says.
//
// Resistances are in Ω, hours are hours hot on the element set, shares are
// fractions of 1.
package wear

import (
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
)

// Set is an element set as its life is looked at.
type Set struct {
	Wire  string                // alloy, as element.Find knows it
	New   *quantity.Resistance  // new and cold; nil when nobody wrote it down
	Built *quantity.Resistance  // new and cold as wire and length make it, to tell a slip by
	Hot   *quantity.Temperature // of the wire at full power; nil: HotUsual is taken
	Limit float64               // rise over new at which the shop checks; DefaultLimit when 0
	Hours float64               // hot so far; never less than at the last reading
	// HeatHours are the hours hot of the melts on this furnace, oldest first. The
	// last LastHeats turn hours into melts.
	HeatHours []float64
	Repairs   []Repair
	Before    *Rate // what earlier sets taught
}

// SetOf is an element set as kit knows it, with nothing said yet of its hours.
func SetOf(it kit.Item) Set {
	s := Set{Wire: it.Wire, New: it.Ohms}
	if built, _, ok := it.ExpectedOhms(); ok {
		s.Built = &built
	}
	if it.OhmsLimit != nil {
		s.Limit = float64(*it.OhmsLimit) / 1e6
	}
	return s
}

// Repair is work on the coils or their joints. What was read after it does not
// go on from what was read before.
type Repair struct {
	ID    int64
	Hours float64
}

// LastHeats is of how many melts the mean hours per melt are taken.
const LastHeats = 20

// Range is a figure between two ends. What the ends hold is said where it
// stands.
type Range struct {
	Low    float64 `json:"low"`
	Middle float64 `json:"middle"`
	High   float64 `json:"high"`
}

// within makes the range of a figure known to ± half.
func within(middle, half float64) Range { return Range{middle - half, middle, middle + half} }

// z95 is the 95 % quantile of the normal curve: ± so many standard deviations
// hold nine in ten.
const z95 = 1.6448536269514722
