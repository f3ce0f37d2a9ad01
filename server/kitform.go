package main

import (
	"net/url"
	"strconv"
	"strings"

	"drosswise/foundry/crucible"
	"drosswise/foundry/heat"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
)

// kit reads the form over what is known of a piece of kit. Of each kind only
// its own fields are read.
func (f *form) kit(it kit.Item) kit.Item {
	it.Name, it.Note = f.text("name"), f.note("note")
	switch it.Kind {
	case kit.Furnace:
		f.furnace(&it)
	case kit.Crucible:
		f.crucible(&it)
	case kit.Element:
		it.Wire = f.values.Get("wire")
		it.Diameter = optional(f, "diameter", f.style.ReadLength)
		it.Length = optional(f, "length", f.readMetres)
		it.Ohms = optional(f, "ohms", f.style.ReadResistance)
		it.OhmsLimit = optional(f, "ohms_limit", f.style.ReadPercent)
		f.life(&it)
	case kit.Scale:
		it.Resolution = needed(f, "resolution", "Type the smallest step that the scale shows.", f.style.ReadMass)
		it.Capacity = or(optional(f, "capacity", f.style.ReadMass), 0)
		it.Gain = or(optional(f, "gain", f.style.ReadPercent), 0)
		if f.faults["capacity"] == "" && f.text("capacity") != "" && it.Capacity <= 0 {
			it.Capacity = -1 // a typed nothing is not "not said"
		}
	case kit.Probe:
		it.Couple = f.values.Get("couple")
	}
	f.refuse(kit.Check(it))
	return it
}

func (f *form) furnace(it *kit.Item) {
	if f.values.Has("letter") || it.ID == 0 {
		it.Letter = strings.ToUpper(f.text("letter"))
	}
	it.Heating = f.values.Get("heating")
	it.Volts = optional(f, "volts", f.style.ReadVoltage)
	it.Circuit = optional(f, "circuit", f.style.ReadCurrent)
	it.Power = optional(f, "power", f.style.ReadPower)
	it.Switching, it.Brick = f.values.Get("switching"), f.values.Get("brick")
	it.Wall = optional(f, "wall", f.style.ReadLength)
	it.Wide, it.Deep, it.High = optional(f, "wide", f.style.ReadLength), optional(f, "deep", f.style.ReadLength), optional(f, "high", f.style.ReadLength)
}

func (f *form) crucible(it *kit.Item) {
	it.Material = heat.Crucible(f.values.Get("material"))
	it.Brim = optional(f, "brim", f.style.ReadVolume)
	f.water(it)
	it.Rated = optional(f, "rated", f.style.ReadMass)
	it.RatedIn = crucible.Metal(f.values.Get("rated_in"))
	it.Fill = optional(f, "fill", f.style.ReadPercent)
	it.Mass = optional(f, "mass", f.style.ReadMass)
	it.Wall = optional(f, "wall", f.style.ReadLength)
	f.life(it)
}

// water reads the volume to the brim from the water that fills it, in the
// place of a typed volume.
func (f *form) water(it *kit.Item) {
	held := optional(f, "water", f.style.ReadMass)
	if held == nil {
		return
	}
	if it.Brim != nil {
		f.fault("water", "Type the volume or the water, not both.")
		return
	}
	brim, err := crucible.BrimVolume(*held, 20*quantity.Celsius)
	if err != nil {
		f.fault("water", "The water weighs something: its mass full, less its mass empty. Check both.")
		return
	}
	it.Brim = &brim
	var told []string
	for _, r := range kit.Check(kit.Item{Kind: kit.Crucible, Name: "crucible", Brim: &brim}) {
		told = append(told, r.Say(f.style))
	}
	if len(told) > 0 {
		f.fault("water", strings.Join(told, " "))
	}
}

func (f *form) life(it *kit.Item) {
	it.Cost = optional(f, "cost", f.style.ReadMoney)
	it.ExpectedHeats = f.whole("expected_heats")
}

// readMetres reads a length in metres unless another unit is written behind it.
func (f *form) readMetres(text string) (quantity.Length, error) {
	if last := text[len(text)-1]; last >= '0' && last <= '9' {
		text += " m"
	}
	return f.style.ReadLength(text)
}

// or gives what a pointer points to, or else a fallback.
func or[T any](x *T, fallback T) T {
	if x == nil {
		return fallback
	}
	return *x
}

// typedKit is a piece of kit as it would have been typed into the form.
func typedKit(it kit.Item, s quantity.Style) url.Values {
	v := url.Values{
		"name": {it.Name}, "note": {it.Note}, "letter": {it.Letter}, "heating": {it.Heating}, "material": {string(it.Material)},
		"rated_in": {string(it.RatedIn)}, "wire": {it.Wire}, "couple": {it.Couple}, "switching": {it.Switching}, "brick": {it.Brick},
	}
	put(v, "volts", it.Volts, s.VoltageInput)
	put(v, "circuit", it.Circuit, s.CurrentInput)
	put(v, "power", it.Power, s.PowerInput)
	put(v, "brim", it.Brim, s.VolumeInput)
	put(v, "rated", it.Rated, s.MassInput)
	put(v, "fill", it.Fill, s.PercentInput)
	put(v, "mass", it.Mass, s.MassInput)
	put(v, "wall", it.Wall, s.LengthInput)
	put(v, "cost", it.Cost, s.MoneyInput)
	put(v, "expected_heats", it.ExpectedHeats, strconv.Itoa)
	put(v, "diameter", it.Diameter, s.LengthInput)
	put(v, "length", it.Length, func(l quantity.Length) string { return s.NumberInput(int64(l), 6) })
	put(v, "ohms", it.Ohms, s.ResistanceInput)
	put(v, "ohms_limit", it.OhmsLimit, s.PercentInput)
	put(v, "wide", it.Wide, s.LengthInput)
	put(v, "deep", it.Deep, s.LengthInput)
	put(v, "high", it.High, s.LengthInput)
	if it.Resolution > 0 {
		v.Set("resolution", s.MassInput(it.Resolution))
	}
	if it.Capacity > 0 {
		v.Set("capacity", s.MassInput(it.Capacity))
	}
	if it.Gain > 0 {
		v.Set("gain", s.PercentInput(it.Gain))
	}
	return v
}
