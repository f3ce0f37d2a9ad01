package main

import (
	"errors"
	"fmt"
	"net/http"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/store"
	"drosswise/views"
)

func paperPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.showPaper(w, r, v, http.StatusOK, nil)
}

func (a *app) showPaper(w http.ResponseWriter, r *http.Request, v visit, status int, f *form) error {
	ctx := r.Context()
	n, err := a.names(ctx, nil)
	if err != nil {
		return err
	}
	last, err := a.store.LastHeading(ctx)
	if err != nil && !errors.Is(err, store.ErrNotFound) {
		return err
	}
	page := views.Paper{Start: views.Start{Key: newKey(), Kit: n.Kit, Last: last}, Names: n}
	if page.Sources, err = a.charges(ctx, v.style, n, nil); err != nil {
		return err
	}
	if f != nil {
		page.Typed, page.Faults, page.Doubts, page.Key = f.values, f.faults, f.doubts, f.values.Get("key")
	}
	return a.show(w, r, status, page.Page(a.frame(r, v, "Copy a melt in from paper", "melts")))
}

// paper writes a whole melt and closes it, all of it or nothing.
func paper(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	if f.text("at_date") == "" || f.text("at_clock") == "" {
		f.fault("at_date", "Type the day and the time when the melt began; a guess of the time will do.")
	}
	h, err := f.heading(v.now)
	if err != nil {
		return err
	}
	notes := f.paperLines(h)
	if f.ok() {
		lines := make([]melt.Line, len(notes))
		for i, n := range notes {
			lines[i] = n.line
		}
		h, err = a.store.Enter(r.Context(), v.person.ID, h, lines, f.on("sure"))
		var refused *store.RefusedLine
		var why melt.Refusals
		switch {
		case errors.As(err, &refused) && errors.As(err, &why):
			for _, r := range why {
				f.refuseAs(notes[refused.Index].field, r)
			}
		case errors.Is(err, store.ErrNotFound):
			f.fault("furnace", "Something chosen is not there any more. Choose again.")
		case err != nil:
			return err
		}
	}
	if !f.ok() {
		return a.showPaper(w, r, v, http.StatusUnprocessableEntity, f)
	}
	a.flash(r, "Written and closed. A line can still be added or struck once the melt is reopened.")
	return seeOther(w, r, "/melts/"+string(h.Code))
}

// noted is a line made from a field of the paper form.
type noted struct {
	field string
	line  melt.Line
}

// paperLines makes lines of what was typed. A time of day before the melt
// began is one after midnight. What has no time of its own gets the time of
// the step it belongs to.
func (f *form) paperLines(h melt.Heading) []noted {
	var notes []noted
	note := func(field string, l melt.Line) {
		l.Key = fmt.Sprintf("%.50s-%d", h.Key, len(notes))
		notes = append(notes, noted{field, l})
	}
	began := h.At
	on, molten, off, poured := f.clock("on_clock", began), f.clock("molten_clock", began), f.clock("off_clock", began), f.clock("pour_clock", began)
	end := max(began, on, molten, off, poured)
	if poured == 0 {
		poured = end
	}
	weighed := func(field string, k melt.Kind, at quantity.Moment) {
		l := melt.Line{Kind: k, At: at}
		if f.weigh(field, &l) {
			note(field, l)
		}
	}
	weighed("heel_in", melt.HeelIn, began)
	for i := range views.PaperCharges {
		source, mass := fmt.Sprintf("source%d", i+1), fmt.Sprintf("mass%d", i+1)
		l := melt.Line{Kind: melt.Charge, At: began}
		readCharge(&l, f.values.Get(source))
		switch {
		case f.weigh(mass, &l) && l.Source == 0 && l.Pour == 0:
			f.fault(source, "Choose what weighed that much.")
		case l.Weighed():
			note(mass, l)
		case l.Source != 0 || l.Pour != 0:
			f.fault(mass, "Type its mass, or choose nothing.")
		}
	}
	from, to := optional(f, "meter_from", f.style.ReadEnergy), optional(f, "meter_to", f.style.ReadEnergy)
	if on != 0 {
		note("on_clock", melt.Line{Kind: melt.PowerOn, At: on, Meter: from})
	} else if from != nil {
		note("meter_from", melt.Line{Kind: melt.Meter, At: began, Meter: from})
	}
	if molten != 0 {
		note("molten_clock", melt.Line{Kind: melt.AllMolten, At: molten})
	}
	if cost := optional(f, "cost", f.style.ReadMoney); cost != nil {
		note("cost", melt.Line{Kind: melt.Addition, At: poured, Which: "other", Cost: cost})
	}
	weighed("steel", melt.Steel, poured)
	weighed("dross", melt.Skim, poured)
	f.paperPour(poured, note)
	weighed("spill", melt.Spill, poured)
	weighed("heel_out", melt.HeelOut, end)
	if off != 0 && on != 0 {
		note("off_clock", melt.Line{Kind: melt.Isolated, At: off, Meter: to})
	} else if to != nil {
		note("meter_to", melt.Line{Kind: melt.Meter, At: end, Meter: to})
	}
	if off != 0 && on == 0 {
		f.fault("on_clock", "Type when the power went on, or leave out when it was isolated.")
	}
	if e := optional(f, "energy", f.style.ReadEnergy); e != nil {
		note("energy", melt.Line{Kind: melt.Energy, At: end, Energy: e})
	}
	if text := f.note("note"); text != "" {
		note("note", melt.Line{Kind: melt.Note, At: end, Note: text})
	}
	note("kind", melt.Line{Kind: melt.Close, At: end, Note: "copied in from paper"})
	return notes
}

func (f *form) paperPour(at quantity.Moment, note func(string, melt.Line)) {
	l := melt.Line{Kind: melt.Pour, At: at, Temp: optional(f, "temp", f.style.ReadTemperature)}
	if n := optional(f, "count", f.style.ReadCount); n != nil {
		l.Count = new(int(*n))
	}
	if f.weigh("ingots", &l) || l.Temp != nil || l.Count != nil {
		note("ingots", l)
	}
}

// clock reads a time of day after a moment; 0 when the field is empty.
func (f *form) clock(field string, after quantity.Moment) quantity.Moment {
	text := f.text(field)
	if text == "" {
		return 0
	}
	for _, day := range []quantity.Moment{after, after + quantity.Moment(24*quantity.Hour)} {
		m, err := f.style.ReadMoment(f.style.DateInput(day), text)
		if err != nil {
			f.fault(field, sentenceOf(err))
			return 0
		}
		if m >= after {
			return m
		}
	}
	return 0
}

// weigh reads one mass on the scale that the form names; it says whether one
// was typed.
func (f *form) weigh(field string, l *melt.Line) bool {
	m := optional(f, field, f.style.ReadMass)
	if m == nil {
		return false
	}
	l.Gross, l.Scale = []quantity.Mass{*m}, f.id("scale")
	if l.Scale == 0 {
		l.Spread = new(max(*m/10, 50*quantity.Gram))
	}
	return true
}
