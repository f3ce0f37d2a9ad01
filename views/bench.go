package views

import (
	"drosswise/foundry/quantity"
	"drosswise/foundry/wear"
)

// Bench is the page on which a coil is worked out before it is fitted.
type Bench struct {
	Filled
	Wires  []Option
	Result *wear.Bench // nil while nothing was typed, or something cannot be
}

func (p Bench) inputs(s quantity.Style) []Input {
	return []Input{
		p.pick("wire", "Wire", "", p.Wires).must(),
		p.number("diameter", "Wire thickness", "mm", "Or its gauge below."),
		p.number("gauge", "American wire gauge", "AWG", ""),
		p.number("length", "Wire length", "m", "Or turns and former below, or the power that you want."),
		p.number("turns", "Turns", "", ""),
		p.number("former", "Wound on a former of", "mm", "Its diameter."),
		p.number("stretched", "Stretched to", "mm", "The length of the coil as it lies in the furnace."),
		p.number("volts", "Supply", "V", "").must(),
		p.number("circuit", "Circuit rated for", "A", "What the breaker or fuse says."),
		p.number("plug", "Plug rated for", "A", ""),
		p.number("hot", "Wire at full power", s.TemperatureSymbol(), "Empty: "+s.Temperature(wear.HotUsual)+", common practice, no source. It is hotter than the chamber."),
		p.number("power", "or the power that you want", "W", "Then the length of wire for it is worked out, and a length typed above is not looked at."),
	}
}

func benchCautions() []Caution {
	var all []Caution
	for _, text := range wear.Cautions() {
		all = append(all, Caution{Text: text})
	}
	return all
}
