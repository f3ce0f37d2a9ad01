package main

import (
	"fmt"
	"net/url"
	"strconv"
	"strings"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// line reads the parts that the kind of line has.
func (f *form) line(spec melt.Spec) melt.Line {
	l := melt.Line{Kind: spec.Kind, At: f.moment("at")}
	for _, p := range spec.Parts {
		f.part(p, &l)
	}
	if spec.Kind == melt.Checked {
		l.Count = new(len(f.values["tick"]))
	}
	return l
}

func (f *form) part(p melt.Part, l *melt.Line) {
	switch p {
	case melt.PartSource:
		readCharge(l, f.values.Get("source"))
	case melt.PartMass:
		f.mass(l)
	case melt.PartBasis:
		l.AsFound = f.values.Get("basis") == "found"
	case melt.PartHandling:
		l.Dry, l.Preheated, l.IntoHot = f.on("dry"), f.on("preheated"), f.on("into_hot")
	case melt.PartWhich:
		l.Which = f.values.Get("which")
	case melt.PartMould:
		l.Mould = f.text("mould")
	case melt.PartCount:
		if n := optional(f, "count", f.style.ReadCount); n != nil {
			l.Count = new(int(*n))
		}
	case melt.PartCost:
		l.Cost = optional(f, "cost", f.style.ReadMoney)
	case melt.PartMeter:
		l.Meter = optional(f, "meter", f.style.ReadEnergy)
	case melt.PartEnergy:
		l.Energy = optional(f, "energy", f.style.ReadEnergy)
	case melt.PartTemp:
		l.Temp = optional(f, "temp", f.style.ReadTemperature)
	case melt.PartProbe:
		l.Probe = f.id("probe")
	case melt.PartElectric:
		l.Volts = optional(f, "volts", f.style.ReadVoltage)
		l.Amps = optional(f, "amps", f.style.ReadCurrent)
		l.Watts = optional(f, "watts", f.style.ReadPower)
		l.Ohms = optional(f, "ohms", f.style.ReadResistance)
	case melt.PartKit:
		l.Crucible, l.Element = f.id("crucible"), f.id("element")
	case melt.PartNote:
		l.Note = f.note("note")
	}
}

// maxWeighings is how many weighings one line may have.
const maxWeighings = 50

// mass reads the weighings of one mass. One without a scale and without a
// spread of the person's own is by eye.
func (f *form) mass(l *melt.Line) {
	for _, text := range f.values["mass"] {
		if strings.TrimSpace(text) == "" {
			continue
		}
		m, err := f.style.ReadMass(text)
		if err != nil {
			f.fault("mass", sentenceOf(err))
			continue
		}
		l.Gross = append(l.Gross, m)
	}
	if len(l.Gross) > maxWeighings {
		f.fault("mass", fmt.Sprintf("That is more than %d weighings. Write them as several charges.", maxWeighings))
		l.Gross = nil
	}
	if t := optional(f, "tare", f.style.ReadMass); t != nil {
		l.Tare = *t
	}
	l.Spread = optional(f, "spread", f.style.ReadMass)
	if len(l.Gross) == 0 {
		l.Tare, l.Spread = 0, nil
		return
	}
	l.Scale = f.id("scale")
	if l.Scale == 0 && l.Spread == nil {
		l.Spread = new(melt.ByEye(l.Mass()))
	}
}

// typed is a line as it would have been typed into the form.
func typed(l melt.Line, s quantity.Style) url.Values {
	v := url.Values{"at_date": {s.DateInput(l.At)}, "at_clock": {clockOf(l, s)}, "note": {l.Note}, "which": {l.Which}, "mould": {l.Mould}}
	if c := chargeValue(l); c != "" {
		v.Set("source", c)
	}
	for _, g := range l.Gross {
		v.Add("mass", s.MassInput(g))
	}
	if l.Tare != 0 {
		v.Set("tare", s.MassInput(l.Tare))
	}
	if l.Weighed() {
		v.Set("scale", strconv.FormatInt(l.Scale, 10))
	}
	for name, id := range map[string]int64{"probe": l.Probe, "crucible": l.Crucible, "element": l.Element} {
		if id != 0 {
			v.Set(name, strconv.FormatInt(id, 10))
		}
	}
	for name, on := range map[string]bool{"dry": l.Dry, "preheated": l.Preheated, "into_hot": l.IntoHot} {
		if on {
			v.Set(name, "1")
		}
	}
	if l.AsFound {
		v.Set("basis", "found")
	}
	put(v, "spread", l.Spread, s.MassInput)
	put(v, "count", l.Count, strconv.Itoa)
	put(v, "cost", l.Cost, s.MoneyInput)
	put(v, "meter", l.Meter, s.EnergyInput)
	put(v, "energy", l.Energy, s.EnergyInput)
	put(v, "temp", l.Temp, s.TemperatureInput)
	put(v, "volts", l.Volts, s.VoltageInput)
	put(v, "amps", l.Amps, s.CurrentInput)
	put(v, "watts", l.Watts, s.PowerInput)
	put(v, "ohms", l.Ohms, s.ResistanceInput)
	return v
}

// clockOf is a line's time of day as the form shows it, without the seconds.
func clockOf(l melt.Line, s quantity.Style) string { return s.ClockInput(l.At)[:len("15:04")] }

func put[T any](v url.Values, name string, x *T, show func(T) string) {
	if x != nil {
		v.Set(name, show(*x))
	}
}
