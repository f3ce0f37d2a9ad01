package views

import (
	"strings"

	"drosswise/foundry/caution"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
)

// KitLineForm is the form in which something that happened to kit is written.
type KitLineForm struct {
	Filled
	Item     kit.Item
	Spec     kit.LineSpec
	Key      string
	Furnaces []Option
}

func (p KitLineForm) back() Link { return Link{Text: "Back", Href: kitHref(p.Item.ID)} }

var lineSays = map[kit.LineKind]string{
	kit.Fitted:    "From this time on it is in that furnace.",
	kit.Read:      "Write only what was read, and leave the rest empty.",
	kit.Inspected: "What was seen, also when all looked well.",
	kit.Repaired:  "What was done to it.",
	kit.Retired:   "It is out of use from this time on, and is not offered any more. What it has been through stays.",
	kit.Returned:  "It is offered again from this time on.",
	kit.Note:      "Anything worth remembering about it.",
}

// inputs are the fields of the kind of line.
func (p KitLineForm) inputs(s quantity.Style) []Input {
	var all []Input
	switch p.Spec.Kind {
	case kit.Fitted:
		all = append(all, p.pick("furnace", "In which furnace", "", p.Furnaces).must())
	case kit.Read:
		all = append(all, p.readings(s)...)
	case kit.Inspected:
		all = append(all, p.inspection(s)...)
	case kit.Retired:
		cause := p.radio("cause", "Why", "Only what wore out tells how long the next will last.", choices(kit.Causes[1:]))
		if p.Item.Kind == kit.Crucible || p.Item.Kind == kit.Element {
			cause = cause.must()
		}
		all = append(all, cause)
	}
	note := p.words("note", "In words", "")
	if p.Spec.Kind == kit.Repaired || p.Spec.Kind == kit.Retired || p.Spec.Kind == kit.Note {
		note = note.must()
	}
	if p.Spec.Kind == kit.Retired {
		note.Hint = "How it ended: cracked, burnt through at a terminal, dropped."
	}
	return append(all, note)
}

func (p KitLineForm) readings(s quantity.Style) []Input {
	cold := "Only isolated and cold, with the plug out."
	if p.Item.Kind == kit.Element {
		cold = "Over the whole set, only isolated and cold, with the plug out."
	}
	all := []Input{p.number("ohms", "Ohms", "Ω", cold)}
	if p.Item.Kind == kit.Element {
		all = append(all,
			p.number("lead", "of which the leads alone", "Ω", "Read with the tips held together. Empty: next to nothing."),
			p.number("step", "Smallest step of the meter", "Ω", "Such as 0.1. It says how far the ohms can be trusted."),
			p.number("temp", "Its temperature", s.TemperatureSymbol(), "Of the element when its ohms were read. Empty: as cold as the shed."),
		)
	}
	return append(all,
		p.number("volts", "Volts", "V", "Under load, by a meter made for it. Never touch the coil."),
		p.number("amps", "Amps", "A", "By a clamp or the meter at the plug."),
		p.number("watts", "Watts", "W", "By a meter at the plug, at full power."),
	)
}

func (p KitLineForm) inspection(s quantity.Style) []Input {
	switch p.Item.Kind {
	case kit.Crucible:
		return []Input{
			p.tick("cracked", "A crack", "Any crack retires a crucible."),
			p.radio("ring", "Tapped, cold and empty, it sounds", "A dull sound may be a crack that is not seen.", choices(kit.Rings)),
			p.radio("glaze", "Its skin", "", choices(kit.Glazes)),
			p.number("mass", "Mass", s.MassSymbol(), "Empty, clean and dry. It gets lighter with wear."),
			p.number("wall", "Wall at its thinnest", "mm", ""),
		}
	case kit.Scale:
		return []Input{
			p.number("known_mass", "What lay on it", s.MassSymbol(), "A check weight, or water by its volume: a litre at 20 °C weighs 0.998 kg. Leave both empty for a look alone."),
			p.number("mass", "What it showed", s.MassSymbol(), ""),
		}
	case kit.Probe:
		return []Input{
			p.number("known_temp", "What it should show", s.TemperatureSymbol(), "By a second thermocouple beside it in the same metal, or by metal that freezes: pure aluminium at "+s.Temperature(66_032)+", zinc at "+s.Temperature(41_953)+" (ITS-90). Leave both empty for a look alone."),
			p.number("temp", "What it showed", s.TemperatureSymbol(), ""),
		}
	case kit.Furnace:
		return []Input{
			p.number("known_energy", "A second meter counted", "kWh", "Over the same time, at the same plug. Leave both empty for a look alone."),
			p.number("energy", "Its own meter counted", "kWh", ""),
		}
	}
	return nil
}

// cautions are those of the step; measuring ohms and work on the furnace have
// their own.
func (p KitLineForm) cautions() Cautions {
	stage := caution.Maintenance
	switch {
	case p.Spec.Kind == kit.Read:
		stage = caution.MeasuringOhms
	case p.Spec.Kind == kit.Note || p.Spec.Kind == kit.Returned || p.Spec.Kind == kit.Retired && p.Item.Kind != kit.Element:
		return Cautions{}
	case p.Item.Kind == kit.Scale || p.Item.Kind == kit.Crucible:
		return Cautions{}
	}
	return Cautions{Title: stage.String(), List: CautionList(caution.For(stage, caution.Hazards{}))}
}

func (p KitLineForm) over() string {
	return p.Item.Name + " · " + strings.ToLower(p.Item.Kind.Name())
}
