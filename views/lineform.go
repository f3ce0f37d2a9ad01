package views

import (
	"fmt"
	"strconv"

	"drosswise/foundry/caution"
	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// LineForm is the form in which a line is written, corrected, or given its
// details. What was typed comes back as it was, with what is wrong beside it.
type LineForm struct {
	Code    melt.Code
	Spec    melt.Spec
	Of      int64 // the line that this one takes the place of, 0 for a new one
	Key     string
	Typed   map[string][]string
	Faults  map[string]string
	Doubts  map[string]string
	Names   Names
	Sources []Option // what can be charged
	Hazards caution.Hazards
	Points  []caution.Caution // of the check: of this charge, its kit, and the shop's own
	Today   string            // the date field's usual value, for a melt that is not of today
	InPast  bool              // the melt began long ago, so the time must be typed
	Open    []melt.Open       // what the melt still lacks, where the line ends it
	Apart   bool              // it is kept by the script, which may have to ask whether a doubt is meant
	Shut    string            // why nothing can be written in the melt as it stands
}

func (p LineForm) action() string {
	if p.Of != 0 {
		return fmt.Sprintf("/melts/%s/lines/%d/replace", p.Code, p.Of)
	}
	return fmt.Sprintf("/melts/%s/lines", p.Code)
}

func (p LineForm) back() Link {
	return Link{Text: "Back to " + string(p.Code), Href: "/melts/" + string(p.Code)}
}

// value is what was typed into a field.
func (p LineForm) value(name string) string {
	if v := p.Typed[name]; len(v) > 0 {
		return v[0]
	}
	return ""
}

func (p LineForm) field(name, label string) Field {
	f := Field{Name: name, Label: label, Value: p.value(name), Error: p.Faults[name], Checked: p.value(name) != ""}
	if f.Error == "" {
		f.Error = p.Doubts[name]
	}
	return f
}

func (p LineForm) with(name, label, hint string) Field {
	f := p.field(name, label)
	f.Hint = hint
	return f
}

func (p LineForm) measured(name, label, unit, hint string) Field {
	f := p.with(name, label, hint)
	f.Unit = unit
	return f
}

// first is the number that the form is about: the cursor waits in it, unless
// something has to be put right elsewhere.
func (p LineForm) first(name, label, unit string) Field {
	f := p.measured(name, label, unit, "")
	f.Autofocus = len(p.Faults) == 0 && len(p.Doubts) == 0 && p.Of == 0
	return f
}

// shows is what the scale shows. On a pour the count is asked first.
func (p LineForm) shows(unit string) Field {
	f := p.first("mass", "Scale shows", unit)
	f.Autofocus = f.Autofocus && p.Spec.Kind != melt.Pour
	return f
}

// folded names what is folded away, "" where nothing is.
func (p LineForm) folded() string {
	switch {
	case p.Spec.Uses(melt.PartHandling):
		return "As found, preheated, into hot metal, note"
	case p.Spec.Uses(melt.PartMass):
		return "Known worse than the scale, note"
	case p.Spec.Uses(melt.PartNote) && !p.Spec.Requires(melt.PartNote):
		return "Note"
	}
	return ""
}

// unfold says whether something in the fold was typed or is wrong.
func (p LineForm) unfold() bool {
	for _, name := range []string{"spread", "note", "preheated"} {
		if p.value(name) != "" || p.Faults[name] != "" {
			return true
		}
	}
	return p.value("basis") == "found"
}

func (p LineForm) choose(name, label string, options []Option) Field {
	f := p.field(name, label)
	f.Options = make([]Option, len(options))
	for i, o := range options {
		o.Selected = o.Selected && p.value(name) == "" || o.Value == p.value(name) && (o.Value != "" || p.Typed[name] != nil)
		f.Options[i] = o
	}
	return f
}

// source is what goes in. Where there is more than one thing it could be, the
// first charge of a melt has to say which, and so has one that was refused:
// nothing else may slip into its place.
func (p LineForm) source() Field {
	f := p.choose("source", "What goes in", p.Sources)
	f.Required = f.Error != "" || f.Value == "" && len(p.Sources) > 1
	return f
}

// faults lists what is wrong for the summary above the form.
func (p LineForm) faults() []Fault {
	labels := map[string]string{
		"source": "What goes in", "mass": "Scale shows", "mould": "Mould", "probe": "Thermocouple", "tare": "Container", "spread": "Known to about ±", "scale": "Scale", "which": p.whichLabel(), "count": p.countLabel(), "cost": "What it cost",
		"meter": "Meter shows", "energy": "Energy used", "temp": "Temperature", "volts": "Volts", "amps": "Amps", "watts": "Watts", "ohms": "Ohms",
		"crucible": "Crucible", "element": "Element set", "note": "Note", "at": "Time",
	}
	order := []string{"source", "which", "mass", "tare", "spread", "scale", "temp", "probe", "count", "mould", "meter", "energy", "volts", "amps", "watts", "ohms", "cost", "crucible", "element", "at", "note"}
	var all []Fault
	for _, name := range order {
		for _, told := range []string{p.Faults[name], p.Doubts[name]} {
			if told != "" {
				id := "f-" + name
				if name == "at" {
					id = "f-at_clock"
				}
				all = append(all, Fault{ID: id, Label: labels[name], Sentence: told})
			}
		}
	}
	return all
}

// open are the points that are open before the melt ends, each with the way to
// settle it; a refused form says them in its summary.
func (p LineForm) open(s quantity.Style) []Advice {
	if p.doubtful() {
		return nil
	}
	var all []Advice
	for _, o := range p.Open {
		a := Advice{Lead: "Still open:", Text: o.Say(s)}
		if spec, ok := melt.SpecOf(o.Settle); ok {
			a.Link = &Link{Text: spec.Verb, Href: fmt.Sprintf("/melts/%s/add/%s", p.Code, o.Settle)}
		}
		all = append(all, a)
	}
	return all
}

// shut says why there is no form, and leads to what opens the melt again.
func (p LineForm) shut() Advice {
	spec, _ := melt.SpecOf(melt.Reopen)
	a := Advice{Text: p.Shut, Link: &Link{Text: spec.Verb, Href: fmt.Sprintf("/melts/%s/add/%s", p.Code, spec.Kind)}}
	if p.Spec.Kind == melt.Reopen {
		back := p.back()
		a.Link = &back
	}
	return a
}

// noScrap reports whether nothing can be charged as no scrap is set up yet.
func (p LineForm) noScrap() bool { return p.Spec.Kind == melt.Charge && len(p.Sources) == 0 }

// act is what the button does.
func (p LineForm) act() string {
	if p.Of != 0 {
		return "Write it anew"
	}
	if act, ok := acts[p.Spec.Kind]; ok {
		return act
	}
	return p.Spec.Verb
}

// acts are what the button does where the kind's own word is none for it.
var acts = map[melt.Kind]string{
	melt.HeelIn: "Write the heel", melt.HeelOut: "Write the heel", melt.PowerOn: "Mark power on", melt.Isolated: "Mark isolated",
	melt.Meter: "Write the meter", melt.Energy: "Write the energy", melt.Electric: "Write the readings", melt.Temperature: "Write the temperature",
	melt.FirstLiquid: "Mark first liquid", melt.AllMolten: "Mark all molten", melt.Addition: "Write the addition", melt.Spill: "Write the spill",
	melt.Reject: "Write the rejects", melt.Steel: "Write the steel", melt.Note: "Write the note", melt.Void: "Make it void",
}

// asks reports whether the form has the tick that something is meant.
func (p LineForm) asks() bool { return p.doubtful() || len(p.Open) > 0 && len(p.Faults) == 0 }

func (p LineForm) doubtful() bool { return len(p.Doubts) > 0 && len(p.Faults) == 0 }

func (p LineForm) choices() []Option {
	var all []Option
	for _, c := range p.Spec.Choices {
		all = append(all, Option{Value: c.Value, Label: c.Label})
	}
	return all
}

// scales are what a mass may have been read on; by eye is one of them.
func (p LineForm) scales() []Option {
	return append(p.items(kit.Scale), Option{Value: "0", Label: "By eye, no scale"})
}

// items are kit of a kind that is in use, or that the line names already.
func (p LineForm) items(k kit.Kind) []Option {
	var all []Option
	for _, it := range p.Names.SortedKit() {
		id := strconv.FormatInt(it.ID, 10)
		if it.Kind == k && (!it.Retired || p.value(string(k)) == id) {
			all = append(all, Option{Value: id, Label: it.Name})
		}
	}
	return all
}

func (p LineForm) orNone(k kit.Kind, none string) []Option {
	return append([]Option{{Value: "", Label: none}}, p.items(k)...)
}

// cautions are those of the step that the line belongs to.
func (p LineForm) cautions() Cautions {
	stage := map[melt.Kind]caution.Stage{
		melt.Checked: caution.BeforeStart, melt.Charge: caution.Charging, melt.HeelIn: caution.BeforeStart, melt.Addition: caution.FluxSkim, melt.Skim: caution.FluxSkim,
		melt.Pour: caution.Pouring, melt.Spill: caution.Pouring, melt.Steel: caution.FluxSkim, melt.Close: caution.After, melt.HeelOut: caution.After, melt.Electric: caution.MeasuringOhms,
	}
	s, ok := stage[p.Spec.Kind]
	if !ok {
		return Cautions{}
	}
	list := CautionList(caution.For(s, p.Hazards))
	if p.Spec.Kind == melt.Checked {
		list = append(CautionList(append(caution.ForCharge(p.Hazards), p.Points...)), list...)
		for i := range list {
			list[i].Name, list[i].Value = "tick", strconv.Itoa(i)
			for _, v := range p.Typed["tick"] {
				list[i].Ticked = list[i].Ticked || v == strconv.Itoa(i)
			}
		}
	}
	return Cautions{Title: s.String(), List: list}
}

// earlier says whether the fields of the time are open from the start.
func (p LineForm) earlier() bool {
	return p.InPast || p.Of != 0 || p.value("at_clock") != "" || p.Faults["at"] != ""
}

func (p LineForm) whichLabel() string {
	switch p.Spec.Kind {
	case melt.Temperature:
		return "Where it was read"
	case melt.Skim:
		return "How the dross looked"
	}
	return "What it was"
}

func (p LineForm) countLabel() string {
	if p.Spec.Kind == melt.Pour {
		return "Ingots poured"
	}
	return "How many"
}

func (p LineForm) meterHint() string {
	if p.Spec.Requires(melt.PartMeter) {
		return ""
	}
	return "Leave empty if there is no meter."
}

// date and clock are the true time of the line; both empty is now.
func (p LineForm) date() Field {
	f := p.with("at_date", "Date", "")
	if f.Value == "" && p.InPast {
		f.Value = p.Today
	}
	return f
}

func (p LineForm) clock() Field {
	f := p.with("at_clock", "Time", "")
	if !p.InPast && p.Of == 0 {
		f.Hint = "Empty: now."
	}
	if f.Error == "" {
		f.Error = p.Faults["at"]
	}
	return f
}
