// Package caution holds the cautions that belong to each step of melting
// scrap, with why and with where they come from. They are reminders: none of
// them says that something may be done without danger, none replaces a
// licensed electrician or the code of the place, and reading one proves
// nothing.
package caution

// Stage is a step of the work at which people can still act on a caution.
type Stage int

// The stages, in the order of the work.
const (
	BeforeFirstUse Stage = iota
	Sorting
	BeforeStart
	Charging
	FluxSkim
	Pouring
	After
	Maintenance
	MeasuringOhms
)

// String names the stage as a heading does.
func (s Stage) String() string {
	switch s {
	case BeforeFirstUse:
		return "Before first use"
	case Sorting:
		return "Sorting scrap"
	case BeforeStart:
		return "Before starting"
	case Charging:
		return "Charging"
	case FluxSkim:
		return "Flux and skim"
	case Pouring:
		return "Pouring"
	case After:
		return "After the pour"
	case Maintenance:
		return "Maintenance"
	case MeasuringOhms:
		return "Measuring ohms"
	default:
		return "Unknown stage"
	}
}

// Hazards are what is known of the scrap at hand, and of the pot it goes into.
// A false one says that nobody noted it, not that it is absent.
type Hazards struct {
	Hollow    bool // hollow, closed or sealed pieces
	Wet       bool // wet, or of a kind that keeps water
	Magnesium bool // magnesium suspected
	ZincLead  bool // zinc or lead on it or in it
	Batteries bool // batteries may be in it
	Swarf     bool // swarf or turnings
	Coated    bool // painted, lacquered, anodised or with plastic
	Cans      bool // drink cans
	HotMetal  bool // liquid metal is in the pot
}

// Or joins the hazards of two lots that go into one pot.
func (h Hazards) Or(other Hazards) Hazards {
	return Hazards{
		Hollow:    h.Hollow || other.Hollow,
		Wet:       h.Wet || other.Wet,
		Magnesium: h.Magnesium || other.Magnesium,
		ZincLead:  h.ZincLead || other.ZincLead,
		Batteries: h.Batteries || other.Batteries,
		Swarf:     h.Swarf || other.Swarf,
		Coated:    h.Coated || other.Coated,
		Cans:      h.Cans || other.Cans,
		HotMetal:  h.HotMetal || other.HotMetal,
	}
}

// Caution is one reminder: what to do, why, and whose word it is.
type Caution struct {
	Code   string // never changes: records of who read what refer to it
	Text   string
	Why    string
	Source string
}

// For gives the cautions of a stage, those that the hazards call for first.
// No stage is without any.
func For(stage Stage, hazards Hazards) []Caution {
	var list []Caution
	if stage == Charging {
		list = append(list, ForCharge(hazards)...)
	}
	return append(list, usual[stage]...)
}

// ForCharge picks what is to be said of the pieces that are charged.
func ForCharge(h Hazards) []Caution {
	var list []Caution
	for _, c := range byCharge {
		if c.when(h) {
			list = append(list, c.Caution)
		}
	}
	return list
}
