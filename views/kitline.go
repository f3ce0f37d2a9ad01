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
	}
	note := p.words("note", "In words", "")
	if p.Spec.Kind == kit.Repaired || p.Spec.Kind == kit.Retired || p.Spec.Kind == kit.Note {
		note = note.must()
	}
	if p.Spec.Kind == kit.Retired {
		note.Hint = "Why: worn, broken, cracked, sold."
	}
	return append(all, note)
}

func (p KitLineForm) readings(s quantity.Style) []Input {
	cold := "Only isolated and cold, with the plug out."
	if p.Item.Kind == kit.Element {
		cold = "Over the whole set, only isolated and cold, with the plug out."
	}
	all := []Input{
		p.number("ohms", "Ohms", "Ω", cold),
		p.number("volts", "Volts", "V", "Under load, by a meter made for it. Never touch the coil."),
		p.number("amps", "Amps", "A", "By a clamp or the meter at the plug."),
		p.number("watts", "Watts", "W", ""),
	}
	if p.Item.Kind == kit.Element {
		all = append(all, p.number("temp", "Its temperature", s.TemperatureSymbol(), "Of the element when its ohms were read. Empty: cold."))
	}
	return all
}

func (p KitLineForm) inspection(s quantity.Style) []Input {
	if p.Item.Kind != kit.Crucible {
		return nil
	}
	return []Input{
		p.tick("cracked", "A crack, or a dull sound when tapped", "Any crack retires a crucible."),
		p.number("mass", "Mass", s.MassSymbol(), "Empty, clean and dry. It gets lighter with wear."),
		p.number("wall", "Wall at its thinnest", "mm", ""),
	}
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
