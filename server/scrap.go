package main

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
	"drosswise/store"
	"drosswise/views"
)

func scrapPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	ctx, q := r.Context(), r.URL.Query()
	sources, err := a.store.Sources(ctx)
	if err != nil {
		return err
	}
	records, err := a.store.Records(ctx)
	if err != nil {
		return err
	}
	page := views.ScrapList{May: v.may(melter), ByName: q.Get("by") == "name", Form: knownForm(q.Get("form")), Told: a.told(ctx, sources)}
	for _, p := range sources {
		page.Rows = append(page.Rows, views.ScrapRow{Source: p, Record: records[p.ID]})
	}
	if page.Quotes, err = a.store.Quotes(ctx); err != nil {
		return err
	}
	if page.Told.Estimates == nil || !page.Told.Ranked {
		n, err := a.names(ctx, nil)
		if err != nil {
			return err
		}
		if page.Melts, err = a.lastMelts(ctx, store.Filter{}, n, lastMeltsShown); err != nil {
			return err
		}
	}
	return a.show(w, r, http.StatusOK, page.Page(a.frame(r, v, "Scrap", "scrap")))
}

// knownForm is a form of scrap from an address, "" for one that there is not.
func knownForm(text string) scrap.Form {
	for _, f := range scrap.Forms {
		if string(f.Form) == text {
			return f.Form
		}
	}
	return ""
}

// told is what all melts tell of sources, as it was last worked out.
func (a *app) told(ctx context.Context, sources []scrap.Source) views.Yields {
	t := views.Yields{Names: make(map[int64]string, len(sources))}
	for _, p := range sources {
		t.Names[p.ID] = p.Name
	}
	est, old := a.yields.latest(ctx)
	if t.Old = old; est != nil {
		t.Estimates, t.At = est.Estimates, est.At
	}
	return t
}

// Lengths of the lists on a page of scrap or of kit.
const (
	lotsShown      = 6
	lastMeltsShown = 8
	fitsShown      = 50 // melts of a source, expected against seen
	pricesShown    = 12
	pointsShown    = 24 // of how an estimate came about
)

func sourcePage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	ctx := r.Context()
	p, err := a.sourceOf(r)
	if err != nil {
		return err
	}
	page := views.Source{ScrapRow: views.ScrapRow{Source: p}, May: v.may(melter), NewKeys: newKey}
	if page.Record, err = a.store.Record(ctx, p.ID); err != nil {
		return err
	}
	from, _ := placeOf(r.URL.Query())
	lots, more, err := a.store.LotsBefore(ctx, p.ID, from, lotsShown)
	if err != nil {
		return err
	}
	page.Lots = lots
	if more {
		last := lots[len(lots)-1]
		page.Older = &views.Link{Text: "Older deliveries", Href: fmt.Sprintf("%s?before=%d-%d", sourcePath(p.ID), last.At, last.ID)}
	}
	n, err := a.names(ctx, nil)
	if err != nil {
		return err
	}
	page.People = n.People
	if page.Photos, err = a.photosOfLots(ctx, p, n.People, v.style); err != nil {
		return err
	}
	if page.Melts, err = a.lastMelts(ctx, store.Filter{Source: p.ID}, n, fitsShown); err != nil {
		return err
	}
	if err := a.tellOf(ctx, &page, n); err != nil {
		return err
	}
	return a.show(w, r, http.StatusOK, page.Page(a.frame(r, v, p.Name, "scrap")))
}

// tellOf fills in what all melts tell of a source, and what the shop believes
// of it and was offered for it.
func (a *app) tellOf(ctx context.Context, page *views.Source, n views.Names) (err error) {
	id := page.ScrapRow.Source.ID
	page.Told = a.told(ctx, n.SortedSources())
	beliefs, err := a.store.Beliefs(ctx)
	if err != nil {
		return err
	}
	page.Metal, page.Dross = beliefs[id].Metal, beliefs[id].Dross
	if page.Quotes, err = a.store.Quotes(ctx); err != nil {
		return err
	}
	est, _ := a.yields.latest(ctx)
	if est == nil {
		return nil
	}
	page.Fits, page.Batches = fitsOf(est.Estimates, page.Melts), est.batches
	page.Cost = costOf(est, page.ScrapRow.Source, page.Quotes)
	if est.Ranked {
		page.History = est.history(id, a.log)
	}
	page.Handled, err = a.handled(ctx, est, page.Melts)
	return err
}

// handled is how the melts of a list were worked.
func (a *app) handled(ctx context.Context, est *estimated, rows []views.MeltRow) (map[melt.Code]views.Handled, error) {
	codes := make([]melt.Code, len(rows))
	for i, r := range rows {
		codes[i] = r.Code
	}
	notes, err := a.store.Notes(ctx, codes)
	if err != nil {
		return nil, err
	}
	all := make(map[melt.Code]views.Handled, len(rows))
	for _, code := range codes {
		all[code] = views.Handled{Notes: notes[code]}
	}
	for i, left := len(est.melts)-1, len(codes); i >= 0 && left > 0; i-- {
		m := est.melts[i]
		if h, wanted := all[melt.Code(m.Code)]; wanted {
			h.Pour, left = m.Pour, left-1
			all[melt.Code(m.Code)] = h
		}
	}
	return all, nil
}

// fitsOf finds how closed melts of a list fit, by their code. The list is of
// new melts mostly, so that the search begins there and ends with the last one.
func fitsOf(est *recovery.Estimates, rows []views.MeltRow) map[melt.Code]recovery.MeltFit {
	wanted := make(map[string]bool, len(rows))
	for _, r := range rows {
		if r.State == melt.Closed && r.Yield != nil {
			wanted[string(r.Code)] = true
		}
	}
	fits := make(map[melt.Code]recovery.MeltFit, len(wanted))
	for i := len(est.Melts) - 1; i >= 0 && len(fits) < len(wanted); i-- {
		if m := &est.Melts[i]; wanted[m.Code] {
			fits[melt.Code(m.Code)] = *m
		}
	}
	return fits
}

// sourceOf reads the source that the address names.
func (a *app) sourceOf(r *http.Request) (scrap.Source, error) {
	return a.store.Source(r.Context(), pathID(chi.URLParam(r, "id")))
}

func sourcePath(id int64) string { return fmt.Sprintf("/scrap/%d", id) }

func newSourcePage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.showSourceForm(w, r, v, http.StatusOK, scrap.Source{}, newForm(url.Values{}, v.style))
}

func editSourcePage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	p, err := a.sourceOf(r)
	if err != nil {
		return err
	}
	return a.showSourceForm(w, r, v, http.StatusOK, p, newForm(typedSource(p, v.style), v.style))
}

func (a *app) showSourceForm(w http.ResponseWriter, r *http.Request, v visit, status int, p scrap.Source, f *form) error {
	page := views.SourceForm{Filled: filled(f), ID: p.ID, Name: p.Name}
	title := "New scrap"
	if p.ID == 0 {
		page.Key = newKey()
	} else {
		title = "Change " + p.Name
	}
	return a.show(w, r, status, page.Page(a.frame(r, v, title, "scrap")))
}

// filled hands a form over to a page.
func filled(f *form) views.Filled { return views.Filled{Typed: f.typed()} }

func newSource(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	p := f.source(scrap.Source{}, v.now)
	if p.Key, err = f.key(); err != nil {
		return err
	}
	if f.ok() {
		p.ID, err = a.store.AddSource(r.Context(), v.person.ID, p)
		err = a.nameTaken(r.Context(), err, p, f)
	}
	if err != nil {
		return err
	}
	if !f.ok() {
		return a.showSourceForm(w, r, v, http.StatusUnprocessableEntity, scrap.Source{}, f)
	}
	a.flash(r, p.Name+" is in the book.")
	return seeOther(w, r, sourcePath(p.ID))
}

func editSource(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	was, err := a.sourceOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	p := f.source(was, v.now)
	if f.ok() {
		err = a.store.ChangeSource(r.Context(), v.person.ID, p)
		err = a.nameTaken(r.Context(), err, p, f)
	}
	if err != nil {
		return err
	}
	if !f.ok() {
		return a.showSourceForm(w, r, v, http.StatusUnprocessableEntity, was, f)
	}
	a.flash(r, "Changed.")
	return seeOther(w, r, sourcePath(p.ID))
}

// nameTaken turns a conflict over a source's name into a fault beside the name.
func (a *app) nameTaken(ctx context.Context, err error, p scrap.Source, f *form) error {
	if !errors.Is(err, store.ErrConflict) || errors.Is(err, store.ErrKeyUsed) {
		return err
	}
	sources, err2 := a.store.Sources(ctx)
	if err2 != nil {
		return err2
	}
	for _, other := range sources {
		if other.ID != p.ID && strings.EqualFold(other.Name, p.Name) {
			f.fault("name", other.Name+" is in the book already. Give this one a name of its own, or use the other.")
			return nil
		}
	}
	return err
}

// source reads the form over what is known of a source.
func (f *form) source(p scrap.Source, now quantity.Moment) scrap.Source {
	p.Name, p.Note = f.text("name"), f.note("note")
	p.Form, p.Coating = scrap.Form(f.values.Get("form")), scrap.Coating(f.values.Get("coating"))
	p.Alloy, p.Sure = f.text("alloy"), scrap.Sure(f.values.Get("sure"))
	p.Paid = optional(f, "paid", f.style.ReadMassPrice)
	p.Fetches = optional(f, "fetches", f.style.ReadMassPrice)
	p.Hazards = scrap.Hazards{Hollow: f.on("hollow"), Wet: f.on("wet"), Magnesium: f.on("magnesium"), ZincLead: f.on("zinc_lead"), Batteries: f.on("batteries")}
	switch {
	case !f.on("ended"):
		p.Ended = nil
	case p.Ended == nil:
		p.Ended = &now
	}
	f.refuse(scrap.Check(p))
	return p
}

// typedSource is a source as it would have been typed into the form.
func typedSource(p scrap.Source, s quantity.Style) url.Values {
	v := url.Values{"name": {p.Name}, "form": {string(p.Form)}, "coating": {string(p.Coating)}, "alloy": {p.Alloy}, "sure": {string(p.Sure)}, "note": {p.Note}}
	put(v, "paid", p.Paid, s.MassPriceInput)
	put(v, "fetches", p.Fetches, s.MassPriceInput)
	for name, on := range map[string]bool{
		"hollow": p.Hazards.Hollow, "wet": p.Hazards.Wet, "magnesium": p.Hazards.Magnesium, "zinc_lead": p.Hazards.ZincLead,
		"batteries": p.Hazards.Batteries, "ended": p.Ended != nil,
	} {
		if on {
			v.Set(name, "1")
		}
	}
	return v
}
