package recovery

import (
	"fmt"
	"math"
	"strings"

	"drosswise/foundry/quantity"
)

// Namer gives the name of a source.
type Namer func(source int64) string

// mass is kilograms as a mass.
func mass(kg float64) quantity.Mass {
	return quantity.Mass(math.Round(kg * float64(quantity.Kilogram)))
}

// Say words a melt that does not fit; "" for one that does.
func (m MeltFit) Say(s quantity.Style) string {
	if !m.Suspect {
		return ""
	}
	if len(m.Slips) == 0 {
		return fmt.Sprintf("Melt %s does not fit: look at its masses again.", m.Code)
	}
	worst := m.Slips[0]
	return fmt.Sprintf("Melt %s does not fit, and %s is furthest off. Look at %s, where the scale showed %s: %s would fit.", m.Code, m.off(), lineOf[worst.Part], s.Mass(mass(worst.Kilograms)), s.Mass(mass(worst.Fits)))
}

// lineOf names the line that a reading stands in.
var lineOf = map[Part]string{
	PartCharge: "a charge", PartMetal: "the metal weighed", PartHeelIn: "the heel before", PartHeelOut: "the heel after",
	PartDross: "the dross skimmed", PartSteel: "the steel found", PartTare: "a container",
}

// off names the figure that is furthest from what was to be expected.
func (m MeltFit) off() string {
	far, name := 0.0, "it"
	for _, x := range []struct {
		held *Held
		name string
	}{{m.Metal, "its metal"}, {m.Dross, "its dross"}, {m.Rest, "what is not accounted for"}} {
		if x.held != nil && math.Abs(x.held.Z) > far {
			far, name = math.Abs(x.held.Z), x.name
		}
	}
	return name
}

// Say words a reason.
func (r Reason) Say(name Namer) string {
	switch r.Code {
	case NeverCharged:
		return "Never charged yet: this is only what is believed of its form."
	case FewMelts:
		return fmt.Sprintf("There are fewer than %d melts: look at each melt's own yield.", MinMelts)
	case Together:
		return "Nearly always charged together with " + names(r.With, name) + ": only their blend is known."
	case ShopAverage:
		return "Not enough melts with it yet: this is mostly what is believed of its form, and what the shop is like."
	case Rough:
		return "Rough: its own melts say something, not much."
	case NeverApart:
		return "Never charged without " + names(r.With, name) + ": only the changing ratio tells them apart."
	}
	return string(r.Code)
}

func names(sources []int64, name Namer) string {
	list := make([]string, len(sources))
	for i, s := range sources {
		list[i] = name(s)
	}
	if n := len(list); n > 1 {
		return strings.Join(list[:n-1], ", ") + " and " + list[n-1]
	}
	return strings.Join(list, "")
}

// Say words an experiment.
func (x Experiment) Say(s quantity.Style, name Namer) string {
	text := fmt.Sprintf("Melt %s alone once, about %s", name(x.Source), s.MassTo(mass(x.Kilograms), mass(0.1)))
	points := func(sd float64) string { return s.Number(100*twice90*sd, 1) }
	if x.Source != x.Widest {
		text += " (it tells most of " + name(x.Widest) + ")"
	}
	return text + fmt.Sprintf(": its range should shrink from %s to %s points.", points(x.SDBefore), points(x.SDAfter))
}

// twice90 is how many standard deviations a range of nine chances in ten is
// wide: twice the 95 % quantile of the normal curve.
const twice90 = 2 * 1.6448536269514722
