package main

import (
	"net/http"

	"drosswise/foundry/quantity"
	"drosswise/foundry/wear"
	"drosswise/views"
)

// benchPage works a coil out before it is fitted. What is typed stands in the
// address: nothing is stored.
func benchPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f := newForm(r.URL.Query(), v.style)
	page := views.Bench{Wires: wires()[:len(wires())-1]}
	if f.values.Has("wire") {
		page.Result = f.bench()
	} else if volts := a.usualVolts(r); volts != nil {
		f.values.Set("volts", v.style.VoltageInput(*volts))
	}
	page.Filled = filled(f)
	return a.show(w, r, http.StatusOK, page.Page(a.frame(r, v, "Coil on the bench", "kit")))
}

// usualVolts is the supply of the first furnace that says it.
func (a *app) usualVolts(r *http.Request) *quantity.Voltage {
	items, err := a.store.Kit(r.Context())
	if err != nil {
		return nil
	}
	for _, it := range items {
		if it.Volts != nil && !it.Retired {
			return it.Volts
		}
	}
	return nil
}

// bench reads a coil from the form and works it out: for a wanted power where
// one is typed. nil when something in it cannot be.
func (f *form) bench() *wear.Bench {
	c := wear.Coil{
		Wire: f.values.Get("wire"), Diameter: optional(f, "diameter", f.style.ReadLength), Length: optional(f, "length", f.readMetres),
		Former: optional(f, "former", f.style.ReadLength), Stretched: optional(f, "stretched", f.style.ReadLength), Volts: optional(f, "volts", f.style.ReadVoltage),
		Circuit: optional(f, "circuit", f.style.ReadCurrent), Plug: optional(f, "plug", f.style.ReadCurrent), Hot: optional(f, "hot", f.style.ReadTemperature),
	}
	if n := optional(f, "gauge", f.style.ReadCount); n != nil {
		c.Gauge = new(int(*n))
	}
	if n := optional(f, "turns", f.style.ReadCount); n != nil {
		c.Turns = new(float64(*n))
	}
	power := optional(f, "power", f.style.ReadPower)
	if !f.ok() {
		return nil
	}
	var b wear.Bench
	var faults []wear.Refusal
	if power != nil {
		b, faults = c.For(*power)
	} else {
		b, faults = c.Check()
	}
	for _, no := range faults {
		f.fault(no.Field, no.Say(f.style))
	}
	if len(faults) > 0 {
		return nil
	}
	return &b
}
