package main

import (
	"net/http"
	"net/url"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
	"drosswise/store"
	"drosswise/views"
)

func newLotPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	p, err := a.sourceOf(r)
	if err != nil {
		return err
	}
	return a.showLotForm(w, r, v, http.StatusOK, p, newForm(url.Values{}, v.style))
}

func (a *app) showLotForm(w http.ResponseWriter, r *http.Request, v visit, status int, p scrap.Source, f *form) error {
	page := views.LotForm{Filled: filled(f), Source: p, Key: newKey(), Hazards: views.HazardsOf(p)}
	return a.show(w, r, status, page.Page(a.frame(r, v, "A delivery of "+p.Name, "scrap")))
}

func newLot(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	p, err := a.sourceOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	l := f.lot(p, v.now)
	if l.Key, err = f.key(); err != nil {
		return err
	}
	if !f.ok() {
		return a.showLotForm(w, r, v, http.StatusUnprocessableEntity, p, f)
	}
	if err := a.store.AddLot(r.Context(), v.person.ID, l); err != nil {
		return err
	}
	a.flash(r, "The delivery is written down.")
	return seeOther(w, r, sourcePath(p.ID))
}

func (f *form) lot(p scrap.Source, now quantity.Moment) scrap.Lot {
	l := scrap.Lot{Source: p.ID, At: f.dayOrMoment(now), Note: f.note("note")}
	l.AsFound = optional(f, "as_found", f.style.ReadMass)
	l.AsCharged = optional(f, "as_charged", f.style.ReadMass)
	l.Steel = optional(f, "steel", f.style.ReadMass)
	l.Plastic = optional(f, "plastic", f.style.ReadMass)
	l.Paid = optional(f, "paid", f.style.ReadMassPrice)
	if f.faults["as_found"] == "" && f.faults["as_charged"] == "" {
		f.refuse(scrap.CheckLot(l, now))
	}
	return l
}

// dayOrMoment reads a date and a time of which either may be left out: no date
// is today, a date without a time is the day as such, and nothing at all is now.
func (f *form) dayOrMoment(now quantity.Moment) quantity.Moment {
	if m, ok := f.exact["at"]; ok {
		return m
	}
	date, clock := f.text("at_date"), f.text("at_clock")
	read := func() (quantity.Moment, error) { return f.style.ReadMoment(date, clock) }
	switch {
	case date == "" && clock == "":
		return now
	case date == "":
		date = f.style.DateInput(now)
	case clock == "":
		read = func() (quantity.Moment, error) { return f.style.ReadDate(date) }
	}
	m, err := read()
	if err != nil {
		f.fault("at", sentenceOf(err))
		return now
	}
	return m
}

func strikeLot(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.markLot(w, r, v, true)
}

func liftLot(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.markLot(w, r, v, false)
}

func (a *app) markLot(w http.ResponseWriter, r *http.Request, v visit, strike bool) error {
	m, err := readMark(r, v, strike)
	if err != nil {
		return err
	}
	source := pathID(chi.URLParam(r, "id"))
	if err := a.store.StrikeLot(r.Context(), v.person.ID, source, pathID(chi.URLParam(r, "lot")), m); err != nil {
		return err
	}
	a.flash(r, markedSentence(strike))
	return seeOther(w, r, sourcePath(source))
}

// readMark reads the form of a button that strikes a row or puts it back.
func readMark(r *http.Request, v visit, strike bool) (store.Mark, error) {
	f, err := readForm(r, v)
	if err != nil {
		return store.Mark{}, err
	}
	m := store.Mark{Struck: strike, Reason: f.text("reason")}
	if len([]rune(m.Reason)) > melt.MaxText {
		return m, errBadForm
	}
	m.Key, err = f.key()
	return m, err
}

func markedSentence(strike bool) string {
	if strike {
		return "Struck. It stays readable and counts no more."
	}
	return "Put back. It counts again."
}
