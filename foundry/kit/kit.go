// Package kit knows the things a melt is made with: furnaces, crucibles,
// element sets, scales and thermocouples, each with what is known of it new
// and the lines written about it since. A nil pointer is "not said".
package kit

import (
	"drosswise/foundry/crucible"
	"drosswise/foundry/heat"
	"drosswise/foundry/quantity"
)

// Kind is a kind of kit.
type Kind string

// The kinds of kit.
const (
	Furnace  Kind = "furnace"
	Crucible Kind = "crucible"
	Element  Kind = "element"
	Scale    Kind = "scale"
	Probe    Kind = "probe"
)

// Kinds are all kinds, in the order a shop is set up.
var Kinds = []Kind{Furnace, Crucible, Element, Scale, Probe}

var kindNames = map[Kind][2]string{
	Furnace:  {"Furnace", "Furnaces"},
	Crucible: {"Crucible", "Crucibles"},
	Element:  {"Element set", "Element sets"},
	Scale:    {"Scale", "Scales"},
	Probe:    {"Thermocouple", "Thermocouples"},
}

// Name is how people call one of the kind.
func (k Kind) Name() string { return kindNames[k][0] }

// Plural is how people call several of the kind.
func (k Kind) Plural() string { return kindNames[k][1] }

// Valid reports whether the kind is one.
func (k Kind) Valid() bool { _, ok := kindNames[k]; return ok }

// Item is one piece of kit. Which fields a kind has is said at the field.
type Item struct {
	ID      int64
	Key     string
	Kind    Kind
	Name    string
	Note    string
	Created quantity.Moment
	By      int64

	Letter           string            // furnace: first letter of its melt codes
	Heating          string            // furnace: how it heats
	Volts            *quantity.Voltage // furnace: supply
	Circuit          *quantity.Current // furnace: what the circuit is rated for
	Power            *quantity.Power   // furnace: at full power
	Switching        string            // furnace: see Switchings
	Brick            string            // furnace: see Bricks
	Wide, Deep, High *quantity.Length  // furnace: inside

	Material heat.Crucible    // crucible
	Brim     *quantity.Volume // crucible: volume to the brim
	Rated    *quantity.Mass   // crucible: the maker's rating
	RatedIn  crucible.Metal   // crucible: the metal the rating is given in
	Fill     *int64           // crucible: share of the brim that may be filled, parts per million
	Mass     *quantity.Mass   // crucible: new and dry
	Wall     *quantity.Length // crucible: new; furnace: of its brick

	Cost          *quantity.Money // crucible, element
	ExpectedHeats *int            // crucible, element: the shop's own guess

	Wire      string               // element: alloy of the wire
	Diameter  *quantity.Length     // element
	Length    *quantity.Length     // element
	Ohms      *quantity.Resistance // element: new and cold
	OhmsLimit *int64               // element: how much more than new makes it due, parts per million; nil is the shop's usual

	Resolution quantity.Mass // scale
	Capacity   quantity.Mass // scale, 0 when not said
	Gain       int64         // scale: the maker's ± share in parts per million, 0 when not said

	Couple string // thermocouple: its type, such as K

	Retired bool  // from its lines
	On      int64 // furnace it is fitted to, from its lines; 0 when none
	Cracked bool  // crucible: a crack was found, from its lines
}

// Wear is what a piece of kit has been through, counted from melts.
type Wear struct {
	Heats   int
	Charged quantity.Mass
	Hot     quantity.Span
	Energy  quantity.Energy
}

// DefaultFill is the share of the brim that is filled unless the shop says
// otherwise: 80 %, common practice, no source.
const DefaultFill = 0.8

// FillAt is the temperature at which the safe fill is reckoned, where liquid
// aluminium is lightest in ordinary use.
const FillAt = 750 * quantity.Celsius

// SafeFill is the most aluminium that a crucible should hold: from its brim
// volume and the density of the liquid, or from the maker's rating in another
// metal by the ratio of densities. basis says which; ok is false when neither
// is known. With both, the smaller holds. It is rounded down to ten grams.
func (it Item) SafeFill() (fill quantity.Mass, basis FillBasis, ok bool) {
	share := DefaultFill
	if it.Fill != nil {
		share = float64(*it.Fill) / 1e6
	}
	if it.Brim != nil {
		if m, err := crucible.SafeFill(*it.Brim, share, FillAt); err == nil {
			fill, basis, ok = m, FromBrim, true
		}
	}
	if it.Rated != nil && it.RatedIn != "" {
		m, err := crucible.FromRating(*it.Rated, it.RatedIn, share, FillAt)
		if err == nil && (!ok || m < fill) {
			fill, basis, ok = m, FromRating, true
		}
	}
	return fill - fill%(10*quantity.Gram), basis, ok
}

// FillBasis says what a safe fill was computed from.
type FillBasis string

// What a safe fill may be computed from.
const (
	FromBrim   FillBasis = "brim"
	FromRating FillBasis = "rating"
)
