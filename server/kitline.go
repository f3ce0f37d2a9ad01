package main

import (
	"errors"
	"net/http"
	"net/url"
	"strconv"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/store"
	"drosswise/views"
)

func addKitLinePage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	it, err := a.itemOf(r)
	if err != nil {
		return err
	}
	spec, ok := kit.SpecOf(kit.LineKind(chi.URLParam(r, "kind")))
	if !ok || !spec.Applies(it.Kind) {
		return store.ErrNotFound
	}
	return a.showKitLineForm(w, r, v, http.StatusOK, it, spec, newForm(url.Values{}, v.style))
}

func (a *app) showKitLineForm(w http.ResponseWriter, r *http.Request, v visit, status int, it kit.Item, spec kit.LineSpec, f *form) error {
	page := views.KitLineForm{Filled: filled(f), Item: it, Spec: spec, Key: newKey()}
	if spec.Kind == kit.Fitted {
		items, err := a.store.Kit(r.Context())
		if err != nil {
			return err
		}
		page.Furnaces = furnaces(items)
		if len(page.Furnaces) == 1 && !f.values.Has("furnace") {
			page.Values = url.Values{"furnace": {page.Furnaces[0].Value}}
		}
	}
	return a.show(w, r, status, page.Page(a.frame(r, v, spec.Verb+" · "+it.Name, "kit")))
}

// furnaces are those in service, to choose from.
func furnaces(items []kit.Item) []views.Option {
	var all []views.Option
	for _, it := range items {
		if it.Kind == kit.Furnace && !it.Retired {
			all = append(all, views.Option{Value: strconv.FormatInt(it.ID, 10), Label: it.Name})
		}
	}
	return all
}

func addKitLine(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	it, err := a.itemOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	spec, ok := kit.SpecOf(kit.LineKind(f.values.Get("kind")))
	if !ok || !spec.Applies(it.Kind) {
		return errBadForm
	}
	l := f.kitLine(it, spec, v.now)
	if l.Key, err = f.key(); err != nil {
		return err
	}
	if f.ok() {
		err = a.store.AddKitLine(r.Context(), v.person.ID, l)
		var refused melt.Refusals
		switch {
		case errors.As(err, &refused):
			f.refuse(refused)
			err = nil
		case errors.Is(err, store.ErrNotFound) && l.Furnace != 0:
			f.fault("furnace", "That furnace is not there any more. Choose again.")
			err = nil
		}
	}
	if err != nil {
		return err
	}
	if !f.ok() {
		return a.showKitLineForm(w, r, v, http.StatusUnprocessableEntity, it, spec, f)
	}
	a.settle(r.Context())
	a.flash(r, writtenSentence(it, l, v.style))
	return seeOther(w, r, kitPath(it.ID))
}

// writtenSentence says that a line is written, and what in it wants a look.
func writtenSentence(it kit.Item, l kit.Line, s quantity.Style) string {
	if told := l.Remarks(it, s); len(told) > 0 {
		return "Written. " + told[0]
	}
	return "Written."
}

func (f *form) kitLine(it kit.Item, spec kit.LineSpec, now quantity.Moment) kit.Line {
	l := kit.Line{Item: it.ID, Kind: spec.Kind, At: f.dayOrMoment(now), Note: f.note("note")}
	switch spec.Kind {
	case kit.Fitted:
		l.Furnace = f.id("furnace")
	case kit.Read:
		l.Ohms = optional(f, "ohms", f.style.ReadResistance)
		l.Volts = optional(f, "volts", f.style.ReadVoltage)
		l.Amps = optional(f, "amps", f.style.ReadCurrent)
		l.Watts = optional(f, "watts", f.style.ReadPower)
		if it.Kind == kit.Element {
			l.Temp = optional(f, "temp", f.style.ReadTemperature)
			l.Lead = optional(f, "lead", f.style.ReadResistance)
			l.Step = optional(f, "step", f.style.ReadResistance)
		}
	case kit.Inspected:
		f.inspection(it, &l)
	case kit.Retired:
		if l.Cause = f.values.Get("cause"); l.Cause == "" && (it.Kind == kit.Crucible || it.Kind == kit.Element) {
			f.fault("cause", "Say why it is out of use: only what wore out tells how long the next will last.")
		}
	}
	return l
}

// inspection reads what was seen of a piece: how a crucible is, and what an
// instrument showed beside something known.
func (f *form) inspection(it kit.Item, l *kit.Line) {
	switch it.Kind {
	case kit.Crucible:
		l.Cracked = f.on("cracked")
		l.Ring, l.Glaze = f.values.Get("ring"), f.values.Get("glaze")
		l.Mass = optional(f, "mass", f.style.ReadMass)
		l.Wall = optional(f, "wall", f.style.ReadLength)
	case kit.Scale:
		l.KnownMass = optional(f, "known_mass", f.style.ReadMass)
		l.Mass = optional(f, "mass", f.style.ReadMass)
	case kit.Probe:
		l.KnownTemp = optional(f, "known_temp", f.style.ReadTemperature)
		l.Temp = optional(f, "temp", f.style.ReadTemperature)
	case kit.Furnace:
		l.KnownEnergy = optional(f, "known_energy", f.style.ReadEnergy)
		l.Energy = optional(f, "energy", f.style.ReadEnergy)
	}
}

func strikeKitLine(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.markKitLine(w, r, v, true)
}

func liftKitLine(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.markKitLine(w, r, v, false)
}

func (a *app) markKitLine(w http.ResponseWriter, r *http.Request, v visit, strike bool) error {
	m, err := readMark(r, v, strike)
	if err != nil {
		return err
	}
	item := pathID(chi.URLParam(r, "id"))
	if err := a.store.StrikeKitLine(r.Context(), v.person.ID, item, pathID(chi.URLParam(r, "line")), m); err != nil {
		return err
	}
	a.settle(r.Context())
	a.flash(r, markedSentence(strike))
	return seeOther(w, r, kitPath(item))
}
