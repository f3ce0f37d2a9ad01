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

// sheetOfPaper is a melt's paper as it is being made into lines. What has no
// time of its own gets the time of the step it belongs to.
type sheetOfPaper struct {
	*form
	key                                   string // of the melt, which those of the lines begin with
	began, on, molten, off, poured, ended quantity.Moment
	notes                                 []noted
}

// paperLines makes lines of what was typed. A time of day long before the
// melt began is one after midnight.
func (f *form) paperLines(h melt.Heading) []noted {
	p := sheetOfPaper{form: f, key: h.Key, began: h.At}
	p.on, p.molten, p.off, p.poured = f.clock("on_clock", h.At), f.clock("molten_clock", h.At), f.clock("off_clock", h.At), f.clock("pour_clock", h.At)
	p.ended = max(p.began, p.on, p.molten, p.off, p.poured)
	if p.poured == 0 {
		p.poured = p.ended
	}
	p.weighed("heel_in", melt.HeelIn, p.began)
	p.charges()
	p.heat()
	if cost := optional(f, "cost", f.style.ReadMoney); cost != nil {
		p.put("cost", melt.Line{Kind: melt.Addition, At: p.poured, Which: "other", Cost: cost})
	}
	p.weighed("steel", melt.Steel, p.poured)
	p.weighed("dross", melt.Skim, p.poured)
	p.pour()
	p.weighed("spill", melt.Spill, p.poured)
	p.weighed("heel_out", melt.HeelOut, p.ended)
	p.isolated()
	if text := f.note("note"); text != "" {
		p.put("note", melt.Line{Kind: melt.Note, At: p.ended, Note: text})
	}
	p.put("kind", melt.Line{Kind: melt.Close, At: p.ended, Note: "copied in from paper"})
	return p.notes
}

// put adds a line made from a field.
func (p *sheetOfPaper) put(field string, l melt.Line) {
	l.Key = fmt.Sprintf("%.50s-%d", p.key, len(p.notes))
	p.notes = append(p.notes, noted{field, l})
}

// weighed adds a line of one mass, if one was typed.
func (p *sheetOfPaper) weighed(field string, k melt.Kind, at quantity.Moment) {
	l := melt.Line{Kind: k, At: at}
	if p.weigh(field, &l) {
		p.put(field, l)
	}
}

func (p *sheetOfPaper) charges() {
	for i := range views.PaperCharges {
		source, mass := fmt.Sprintf("source%d", i+1), fmt.Sprintf("mass%d", i+1)
		l := melt.Line{Kind: melt.Charge, At: p.began}
		readCharge(&l, p.values.Get(source))
		switch {
		case p.weigh(mass, &l) && l.Source == 0 && l.Pour == 0:
			p.fault(source, "Choose what weighed that much.")
		case l.Weighed():
			p.put(mass, l)
		case l.Source != 0 || l.Pour != 0:
			p.fault(mass, "Type its mass, or choose nothing.")
		}
	}
}

// heat is what was written until all was molten.
func (p *sheetOfPaper) heat() {
	from := optional(p.form, "meter_from", p.style.ReadEnergy)
	if p.on != 0 {
		p.put("on_clock", melt.Line{Kind: melt.PowerOn, At: p.on, Meter: from})
	} else if from != nil {
		p.put("meter_from", melt.Line{Kind: melt.Meter, At: p.began, Meter: from})
	}
	if p.molten != 0 {
		p.put("molten_clock", melt.Line{Kind: melt.AllMolten, At: p.molten})
	}
}

func (p *sheetOfPaper) pour() {
	l := melt.Line{Kind: melt.Pour, At: p.poured, Temp: optional(p.form, "temp", p.style.ReadTemperature)}
	if n := optional(p.form, "count", p.style.ReadCount); n != nil {
		l.Count = new(int(*n))
	}
	if p.weigh("ingots", &l) || l.Temp != nil || l.Count != nil {
		p.put("ingots", l)
	}
}

// isolated is what was written when the power was off for good.
func (p *sheetOfPaper) isolated() {
	to := optional(p.form, "meter_to", p.style.ReadEnergy)
	if p.off != 0 && p.on != 0 {
		p.put("off_clock", melt.Line{Kind: melt.Isolated, At: p.off, Meter: to})
	} else if to != nil {
		p.put("meter_to", melt.Line{Kind: melt.Meter, At: p.ended, Meter: to})
	}
	if p.off != 0 && p.on == 0 {
		p.fault("on_clock", "Type when the power went on, or leave out when it was isolated.")
	}
	if e := optional(p.form, "energy", p.style.ReadEnergy); e != nil {
		p.put("energy", melt.Line{Kind: melt.Energy, At: p.ended, Energy: e})
	}
}

// sameDay is how long before a melt began a time of day may lie and still be of
// that day: its beginning is often a guess. What lies further back came after
// midnight.
const sameDay = 12 * quantity.Hour

// clock reads a time of day near a moment or after it; 0 when the field is
// empty.
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
		if after.Since(m) <= sameDay {
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
		l.Spread = new(melt.ByEye(*m))
	}
	return true
}
