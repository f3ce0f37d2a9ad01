package main

import (
	"net/http"
	"slices"

	"drosswise/foundry/melt"
	"drosswise/store"
	"drosswise/views"
)

func linePage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.showLine(w, r, v, http.StatusOK, nil)
}

func (a *app) showLine(w http.ResponseWriter, r *http.Request, v visit, status int, f *form) error {
	h, lines, err := a.store.Melt(r.Context(), codeOf(r))
	if err != nil {
		return err
	}
	line, err := a.lineOf(r)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(lines, func(l melt.Line) bool { return l.ID == line })
	if i < 0 {
		return store.ErrNotFound
	}
	page := views.LinePage{Heading: h, State: melt.StateOf(melt.Standing(lines)), Line: lines[i], Key: newKey()}
	if f != nil {
		page.Reason, page.Fault = f.values.Get("reason"), f.faults["reason"]
	}
	if page.Names, err = a.names(r.Context(), lines); err != nil {
		return err
	}
	photos, err := a.photosOfMelt(r.Context(), h, lines[i:i+1], page.Names, v.style)
	if err != nil {
		return err
	}
	page.Photos = photos[line]
	return a.show(w, r, status, page.Page(a.frame(r, v, "A line of melt "+string(h.Code), "melts")))
}

func strike(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.mark(w, r, v, true)
}

func lift(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.mark(w, r, v, false)
}

// mark strikes a line of a melt or lifts its strike.
func (a *app) mark(w http.ResponseWriter, r *http.Request, v visit, struck bool) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	m, err := f.mark(struck)
	if err != nil {
		return err
	}
	if !f.ok() && wantsJSON(r) {
		return a.refused(w, f)
	}
	if !f.ok() {
		return a.showLine(w, r, v, http.StatusUnprocessableEntity, f)
	}
	line, err := a.lineOf(r)
	if err != nil {
		return err
	}
	if err := a.store.Strike(r.Context(), v.person.ID, codeOf(r), line, m); err != nil {
		return err
	}
	_, lines, err := a.store.Melt(r.Context(), codeOf(r))
	if err != nil {
		return err
	}
	i := slices.IndexFunc(lines, func(l melt.Line) bool { return l.ID == line })
	return a.written(w, r, lines[i].Key)
}

// mark reads a stroke through a line, or the lifting of one.
func (f *form) mark(struck bool) (store.Mark, error) {
	key, err := f.key()
	return store.Mark{Key: key, Struck: struck, Reason: f.note("reason")}, err
}
