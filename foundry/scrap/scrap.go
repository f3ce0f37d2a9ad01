// Package scrap knows the sources a charge comes from: what form they have,
// what is on them, what they are thought to be made of, what they cost and
// what about them hurts people; and the deliveries (lots) they came in.
package scrap

import (
	"slices"

	"drosswise/foundry/quantity"
)

// Source is one kind of scrap that a shop melts.
type Source struct {
	ID      int64
	Key     string
	Name    string
	Form    Form
	Coating Coating
	Alloy   string // "" when nobody has guessed
	Sure    Sure
	Paid    *quantity.Price // per kg; 0 is free, nil is not said
	Fetches *quantity.Price // per kg unmelted, nil is not said
	Hazards Hazards
	Note    string
	Created quantity.Moment
	By      int64
	Ended   *quantity.Moment // no longer offered when charging
}

// Hazards are what to look out for in a source.
type Hazards struct {
	Hollow    bool // hollow or sealed pieces: burst when heated
	Wet       bool // holds water or oil
	Magnesium bool // magnesium suspected: burns
	ZincLead  bool // zinc or lead: fumes
	Batteries bool // may hold batteries: burst and burn
}

// Any reports whether there is something to look out for.
func (h Hazards) Any() bool { return h != Hazards{} }

// Form is the shape scrap comes in.
type Form string

// The forms.
const (
	Profile Form = "profile"
	Casting Form = "casting"
	Sheet   Form = "sheet"
	Can     Form = "can"
	Wire    Form = "wire"
	Foil    Form = "foil"
	Swarf   Form = "swarf"
	Returns Form = "returns"
	Ingot   Form = "ingot"
	Other   Form = "other"
)

// Forms are all forms with their plain names.
var Forms = []struct {
	Form Form
	Name string
}{
	{Profile, "Profile (extrusion)"}, {Casting, "Casting"}, {Sheet, "Sheet"}, {Can, "Can"}, {Wire, "Wire"},
	{Foil, "Foil"}, {Swarf, "Swarf (turnings)"}, {Returns, "Returns (own sprues, rejects)"}, {Ingot, "Ingot, bought"}, {Other, "Other"},
}

// Name is how people call the form.
func (f Form) Name() string {
	for _, x := range Forms {
		if x.Form == f {
			return x.Name
		}
	}
	return ""
}

// Coating is what covers the metal.
type Coating string

// Coatings are all coatings with their plain names; "" is not said.
var Coatings = []struct {
	Coating Coating
	Name    string
}{
	{"", "Not said"}, {"bare", "Bare"}, {"anodised", "Anodised"}, {"painted", "Painted"},
	{"lacquered", "Lacquered, printed"}, {"oily", "Oily, greasy"}, {"mixed", "Mixed"},
}

// Name is how people call the coating.
func (c Coating) Name() string {
	for _, x := range Coatings {
		if x.Coating == c {
			return x.Name
		}
	}
	return ""
}

// Burns reports whether something on the metal burns off and fumes.
func (c Coating) Burns() bool {
	return slices.Contains([]Coating{"painted", "lacquered", "oily", "mixed"}, c)
}

// Sure is how sure the shop is of an alloy.
type Sure string

// How sure one can be; "" is not said.
var Sures = []struct {
	Sure Sure
	Name string
}{{"", "Not said"}, {"sure", "Sure (marked or tested)"}, {"likely", "Likely"}, {"unknown", "Unknown"}}

// Lot is one delivery of a source.
type Lot struct {
	ID        int64
	Key       string
	Source    int64
	At        quantity.Moment
	Noted     quantity.Moment
	By        int64
	Strike    *Strike
	AsFound   *quantity.Mass // as it came
	AsCharged *quantity.Mass // sorted, stripped and dried
	Steel     *quantity.Mass
	Plastic   *quantity.Mass
	Paid      *quantity.Price // per kg as found; nil: the source's price
	Note      string
	Charged   quantity.Mass // taken out by charge lines
}

// Strike is how a delivery was taken out of account.
type Strike struct {
	At     quantity.Moment
	By     int64
	Reason string
}

// Left is what should still be there: ready metal less what was charged. ok is
// false when the delivery was never weighed. It goes below zero when more was
// charged than came.
func (l Lot) Left() (left quantity.Mass, ok bool) {
	switch {
	case l.AsCharged != nil:
		return *l.AsCharged - l.Charged, true
	case l.AsFound != nil:
		left = *l.AsFound - l.Charged
		if l.Steel != nil {
			left -= *l.Steel
		}
		if l.Plastic != nil {
			left -= *l.Plastic
		}
		return left, true
	}
	return 0, false
}
