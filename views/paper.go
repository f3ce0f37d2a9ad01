package views

import (
	"fmt"

	"drosswise/foundry/melt"
)

// Paper is the form in which a whole melt is copied in from paper notes.
type Paper struct {
	Start
	Sources []Option
	Names   Names
	Doubts  map[string]string
}

// PaperCharges is how many charges the form has room for; more are added to
// the melt afterwards.
const PaperCharges = 6

func (p Paper) form() LineForm {
	return LineForm{Typed: p.Typed, Faults: p.Faults, Doubts: p.Doubts, Names: p.Names, InPast: true}
}

func chargeField(i int, name string) string { return fmt.Sprintf("%s%d", name, i+1) }

func (p Paper) scales() []Option {
	spec, _ := melt.SpecOf(melt.Charge)
	form := p.form()
	form.Spec = spec
	options := form.scales()
	if len(options) > 1 {
		options[0].Selected = true
	}
	return options
}

func (p Paper) faults() []Fault {
	all := p.Start.faults()
	labels := []struct{ name, label string }{
		{"at_date", "Date"}, {"at_clock", "Began at"}, {"heel_in", "Heel before"}, {"heel_out", "Heel after"}, {"meter_from", "Meter before"}, {"meter_to", "Meter after"}, {"energy", "Energy"},
		{"on_clock", "Power on"}, {"molten_clock", "All molten"}, {"off_clock", "Isolated"}, {"temp", "Pouring temperature"}, {"count", "Ingots"}, {"ingots", "Ingots weigh"},
		{"pour_clock", "Poured at"}, {"spill", "Spills"}, {"dross", "Dross"}, {"steel", "Steel found"}, {"cost", "Flux cost"}, {"note", "Note"},
	}
	for i := range PaperCharges {
		labels = append(labels, struct{ name, label string }{chargeField(i, "source"), "Charge"}, struct{ name, label string }{chargeField(i, "mass"), "Mass"})
	}
	for _, l := range labels {
		for _, told := range []string{p.Faults[l.name], p.Doubts[l.name]} {
			if told != "" {
				all = append(all, Fault{"f-" + l.name, l.label, told})
			}
		}
	}
	return all
}
