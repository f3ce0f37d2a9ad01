package kit

import (
	"fmt"

	"drosswise/foundry/crucible"
	"drosswise/foundry/element"
	"drosswise/foundry/quantity"
)

// Remarks says what about a piece of kit does not go together, or wants a look:
// sentences for people, none when there is nothing to say.
func (it Item) Remarks(s quantity.Style) []string {
	var all []string
	if l, ok := it.Load(); ok && l.Over() {
		all = append(all, it.sayLoad(l, s))
	}
	if told := it.doubtOhms(s); told != "" {
		all = append(all, told)
	}
	return all
}

func (it Item) sayLoad(l Load, s quantity.Style) string {
	draws := fmt.Sprintf("%s at %s draws %s", s.Power(*it.Power), s.Voltage(*it.Volts), s.Current(l.Amps))
	const first = "Local code and a licensed electrician come first."
	if l.Share > 1 {
		return fmt.Sprintf("%s, more than the %s its circuit is rated for. Do not run it on this circuit. %s", draws, s.Current(*it.Circuit), first)
	}
	return fmt.Sprintf("%s, %s of its %s circuit. A load that runs for hours is kept to %s (common practice, no source). %s",
		draws, s.Percent(l.Share, 0), s.Current(*it.Circuit), s.Percent(ContinuousShare, 0), first)
}

// Remarks says which readings of a line cannot stand together by Ohm's law, and
// when ohms are lower than new.
func (l Line) Remarks(it Item, s quantity.Style) []string {
	var all []string
	for _, f := range element.Contradictions(readings(l), 0) {
		all = append(all, f.Sentence())
	}
	if it.Kind == Element && it.Ohms != nil && l.Ohms != nil && float64(*l.Ohms) < float64(*it.Ohms)/(1+element.DefaultTolerance) {
		all = append(all, fmt.Sprintf("%s is less than the %s it had new, and wire does not lose ohms with age. Look for turns that touch, and whether something else hung on the leads.",
			s.Resistance(*l.Ohms), s.Resistance(*it.Ohms)))
	}
	if l.Cracked && l.Kind != Retired {
		all = append(all, "A crack was found. Retire this crucible now: it can let go when it is full.")
	}
	return all
}

// FillSays is how a crucible's safe fill was worked out, "" when it is not known.
func (it Item) FillSays(s quantity.Style) string {
	fill, basis, ok := it.SafeFill()
	if !ok {
		return ""
	}
	density, err := crucible.LiquidDensity(FillAt)
	if err != nil {
		return ""
	}
	share, practice := DefaultFill, "; "+s.Percent(DefaultFill, 0)+" is common practice, no source"
	if it.Fill != nil {
		share, practice = float64(*it.Fill)/1e6, ""
	}
	liquid := s.Number(density/1000, 2)
	at := s.Temperature(FillAt)
	var told string
	switch {
	case basis == FromBrim:
		told = fmt.Sprintf("From %s to the brim × %s × %s kg/L, liquid aluminium at %s%s.", s.Volume(*it.Brim), s.Percent(share, 0), liquid, at, practice)
	case it.RatedIn == crucible.Aluminium:
		told = fmt.Sprintf("From the maker's %s of aluminium × %s, since a rating may mean the brim%s.", s.Mass(*it.Rated), s.Percent(share, 0), practice)
	default:
		told = fmt.Sprintf("From the maker's %s of %s × %s × %s / %s, the densities of liquid aluminium at %s and of %s in kg/L; the share is taken because a rating may mean the brim%s.",
			s.Mass(*it.Rated), it.RatedIn, s.Percent(share, 0), liquid, s.Number(ratingDensity(it.RatedIn)/1000, 2), at, it.RatedIn, practice)
	}
	return told + it.otherFill(fill, basis, s)
}

// otherFill says what the other way of reckoning would have given.
func (it Item) otherFill(fill quantity.Mass, basis FillBasis, s quantity.Style) string {
	other := it
	from := "rating"
	if basis == FromBrim {
		other.Brim = nil
	} else {
		other.Rated, from = nil, "volume"
	}
	if m, _, ok := other.SafeFill(); ok && m > fill {
		return fmt.Sprintf(" By the %s it would be %s; the smaller holds.", from, s.Mass(m))
	}
	return ""
}

// ratingDensity is the density in kg/m³ that a rating in a metal is read with.
func ratingDensity(m crucible.Metal) float64 {
	for _, r := range crucible.Ratings() {
		if r.Metal == m {
			return r.Density
		}
	}
	return 0
}
