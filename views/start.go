package views

import (
	"slices"
	"strconv"

	"drosswise/foundry/caution"
	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// Start is the form that starts a melt, with last time's kit already chosen.
type Start struct {
	Key    string
	Typed  map[string][]string
	Faults map[string]string
	Kit    map[int64]kit.Item
	Last   melt.Heading // the melt before, zero when there is none
	Warm   bool         // the furnace is likely still hot
	Due    map[int64]kit.Due
}

func (p Start) form() LineForm {
	return LineForm{Typed: p.Typed, Faults: p.Faults, Names: Names{Kit: p.Kit}}
}

// pick offers kit of a kind that is in use; what was used last is chosen, or
// the only one there is.
func (p Start) pick(k kit.Kind, last int64, none string) []Option {
	options := p.form().items(k)
	for i := range options {
		options[i].Selected = options[i].Value == strconv.FormatInt(last, 10)
	}
	if none == "" {
		return options
	}
	if last == 0 && len(options) == 1 {
		options[0].Selected = true
	}
	return append([]Option{{Value: "", Label: none}}, options...)
}

// cracked is the field for the reason to melt on a crucible with a crack; ok is
// false where none that could be chosen has one.
func (p Start) cracked() (f Field, ok bool) {
	var names []string
	for _, it := range (Names{Kit: p.Kit}).SortedKit() {
		if it.Kind == kit.Crucible && it.Cracked && !it.Retired {
			names = append(names, it.Name)
		}
	}
	f = p.form().with("why_cracked", "Why melt on a cracked crucible", "A crack is written down of "+listed(names)+". Any crack retires a crucible: retire it under Kit and take another. Only what is written here lets a melt start on it.")
	return f, len(names) > 0
}

// due says what is due of the kit that is chosen first.
func (p Start) due(s quantity.Style) []Advice {
	var all []Advice
	for _, id := range []int64{
		p.Furnace(),
		p.chosen(kit.Crucible, p.pick(kit.Crucible, p.Last.Crucible, "Not said")),
		p.chosen(kit.Element, p.pick(kit.Element, p.Last.Element, "Not said")),
		p.chosen(kit.Probe, p.pick(kit.Probe, p.Last.Probe, "None")),
	} {
		if d, ok := p.Due[id]; ok && d.Now() {
			all = append(all, DueKit{p.Kit[id], d}.ToDo(s, true).advice())
		}
	}
	return all
}

// Furnace is the furnace that the form comes with, 0 for none.
func (p Start) Furnace() int64 {
	return p.chosen(kit.Furnace, p.pick(kit.Furnace, p.Last.Furnace, ""))
}

// chosenAlready says what the form comes with, where there was a last time.
func (p Start) chosenAlready() string {
	if p.Last.Furnace == 0 {
		return ""
	}
	return "Last time's kit is chosen already."
}

// chosen is the piece that the form comes with, 0 for none.
func (p Start) chosen(k kit.Kind, options []Option) int64 {
	options = p.form().choose(string(k), "", options).Options
	if len(options) == 0 {
		return 0
	}
	i := max(0, slices.IndexFunc(options, func(o Option) bool { return o.Selected }))
	id, _ := strconv.ParseInt(options[i].Value, 10, 64) // "" is none
	return id
}

func (p Start) ready() bool { return len(p.form().items(kit.Furnace)) > 0 }

func (p Start) warmth() []Option {
	return []Option{{Value: "cold", Label: "Cold", Selected: !p.Warm}, {Value: "warm", Label: "Still hot from the melt before", Selected: p.Warm}}
}

var targetNames = map[melt.Target]string{melt.Ingots: "Ingots", melt.Casting: "A casting", melt.Trial: "A trial"}

func (p Start) targets() []Option {
	var all []Option
	for _, t := range melt.Targets {
		all = append(all, Option{Value: string(t), Label: targetNames[t], Selected: t == p.Last.Target || p.Last.Target == "" && t == melt.Ingots})
	}
	return all
}

func (p Start) faults() []Fault {
	var all []Fault
	for _, x := range []struct{ name, id, label string }{
		{"furnace", "f-furnace", "Furnace"}, {"crucible", "f-crucible", "Crucible"}, {"why_cracked", "f-why_cracked", "The crack"}, {"element", "f-element", "Element set"}, {"probe", "f-probe", "Thermocouple"},
		{"ambient", "f-ambient", "Temperature of the shed"}, {"at", "f-at_clock", "Time"}, {"warm", "f-warm", "Furnace"}, {"target", "f-target", "For"},
	} {
		if s := p.Faults[x.name]; s != "" {
			all = append(all, Fault{x.id, x.label, s})
		}
	}
	return all
}

func startCautions() Cautions {
	return Cautions{Title: caution.BeforeStart.String(), List: CautionList(caution.For(caution.BeforeStart, caution.Hazards{}))}
}
