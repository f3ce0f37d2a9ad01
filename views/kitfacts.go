package views

import (
	"strconv"

	"drosswise/foundry/element"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
)

// facts are what is known of the piece, as far as it was said.
func (p KitItem) facts(s quantity.Style) []Fact {
	var facts []Fact
	switch p.Item.Kind {
	case kit.Furnace:
		facts = p.furnaceFacts(s)
	case kit.Crucible:
		facts = p.crucibleFacts(s)
	case kit.Element:
		facts = p.elementFacts(s)
	case kit.Scale:
		facts = p.scaleFacts(s)
	case kit.Probe:
		facts = said(nil, "Type", kit.NameOf(kit.Couples, p.Item.Couple), "")
	}
	return facts
}

// said adds a fact unless nothing was said.
func said(facts []Fact, term, value, note string) []Fact {
	if value == "" {
		return facts
	}
	return append(facts, Fact{Term: term, Value: value, Note: note})
}

// shown shows a value, "" when there is none.
func shown[T any](x *T, show func(T) string) string {
	if x == nil {
		return ""
	}
	return show(*x)
}

func (p KitItem) furnaceFacts(s quantity.Style) []Fact {
	it := p.Item
	facts := said(nil, "Letter", it.Letter, "begins the code of its melts")
	facts = said(facts, "Heats by", kit.NameOf(kit.Heatings, it.Heating), "")
	facts = said(facts, "Supply", shown(it.Volts, s.Voltage), "")
	facts = said(facts, "Power", shown(it.Power, s.Power), "")
	facts = said(facts, "Circuit", shown(it.Circuit, s.Current), "")
	if l, ok := it.Load(); ok {
		facts = said(facts, "Draws", s.Current(l.Amps), s.Percent(l.Share, 0)+" of its circuit, reckoned as one phase; "+s.Percent(kit.ContinuousShare, 0)+" for hours on end is common practice, no source")
	}
	for _, other := range p.Names.SortedKit() {
		if other.On == it.ID && !other.Retired {
			facts = append(facts, Fact{Term: other.Kind.Name(), Value: other.Name, Note: "fitted"})
		}
	}
	return facts
}

func (p KitItem) crucibleFacts(s quantity.Style) []Fact {
	it := p.Item
	facts := said(nil, "Made of", kit.NameOf(kit.Materials, string(it.Material)), "")
	facts = said(facts, "Volume to the brim", shown(it.Brim, s.Volume), "")
	facts = said(facts, "Maker's rating", shown(it.Rated, s.Mass), ratedIn(it))
	facts = said(facts, "Mass, new", shown(it.Mass, s.Mass), "")
	facts = said(facts, "Wall, new", shown(it.Wall, s.Length), "")
	return p.life(facts, s)
}

func ratedIn(it kit.Item) string {
	if it.RatedIn == "" {
		return ""
	}
	return "of " + string(it.RatedIn)
}

func (p KitItem) elementFacts(s quantity.Style) []Fact {
	it := p.Item
	wire := it.Wire
	if wire == kit.OtherWire {
		wire = "not in the table"
	}
	facts := said(nil, "Wire", wire, "")
	facts = said(facts, "Thickness", shown(it.Diameter, s.Length), "")
	facts = said(facts, "Length", shown(it.Length, s.Length), "")
	facts = said(facts, "Ohms, new and cold", shown(it.Ohms, s.Resistance), "")
	if r, w, ok := it.ExpectedOhms(); ok {
		facts = said(facts, "Ohms by its wire", s.Resistance(r), "± "+s.Number(w.Tolerance, 0)+" % of the alloy alone, cold")
	}
	facts = append(facts, p.gives(s)...)
	return p.life(facts, s)
}

// gives is the power at the volts of the furnace it is fitted to.
func (p KitItem) gives(s quantity.Style) []Fact {
	volts := p.Names.Kit[p.Item.On].Volts
	if volts == nil {
		return nil
	}
	power, ok := p.Item.PowerAt(*volts)
	if !ok {
		return nil
	}
	facts := []Fact{{Term: "Power at " + s.Voltage(*volts), Value: s.Power(power), Note: hotNote(p.Item)}}
	if load, ok := p.Item.SurfaceLoad(power); ok {
		facts = append(facts, Fact{Term: "Surface load", Value: s.Number(load, 1) + " W/cm²", Note: "small coils in brick grooves: 1 to 2 W/cm², common practice, no source"})
	}
	return facts
}

// hotWire is a temperature of the wire itself in a furnace that melts aluminium.
const hotWire = 1000 * quantity.Celsius

func hotNote(it kit.Item) string {
	told := "V²/R, new and cold"
	wire, _ := element.Find(it.Wire)
	if ct, ok := wire.Ct(hotWire); ok && ct > 1 {
		told += "; about " + strconv.Itoa(int((1-1/ct)*100+0.5)) + " % less with the wire at 1000 °C"
	}
	return told
}

func (p KitItem) scaleFacts(s quantity.Style) []Fact {
	it := p.Item
	facts := said(nil, "Smallest step", s.Mass(it.Resolution), "")
	if it.Capacity > 0 {
		facts = said(facts, "The most it weighs", s.Mass(it.Capacity), "")
	}
	if it.Gain > 0 {
		facts = said(facts, "Maker's ±", s.Percent(float64(it.Gain)/1e6, 2), "of what is shown")
	}
	return facts
}

// life is what a piece cost and how long it is expected to last.
func (p KitItem) life(facts []Fact, s quantity.Style) []Fact {
	facts = said(facts, "Cost", shown(p.Item.Cost, s.Money), "")
	return said(facts, "Expected to last", shown(p.Item.ExpectedHeats, func(n int) string { return plural(n, "melt", "melts") }), "the shop's own guess")
}
