package main

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/drift"
	"drosswise/foundry/element"
	"drosswise/foundry/kit"
	"drosswise/store"
	"drosswise/views"
)

func kitPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	items, err := a.store.Kit(r.Context())
	if err != nil {
		return err
	}
	wears, err := a.store.Wears(r.Context())
	if err != nil {
		return err
	}
	due, err := a.dueByID(r.Context(), v)
	if err != nil {
		return err
	}
	page := views.KitList{Items: items, Wears: wears, Due: due, May: v.may(melter)}
	return a.show(w, r, http.StatusOK, page.Page(a.frame(r, v, "Kit", "kit")))
}

func kitItemPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	ctx := r.Context()
	page := views.KitItem{May: v.may(melter), NewKeys: newKey, All: r.URL.Query().Has("all")}
	var err error
	if page.Item, page.Lines, page.Wear, err = a.store.KitItem(ctx, pathID(chi.URLParam(r, "id"))); err != nil {
		return err
	}
	if page.Names, err = a.names(ctx, nil); err != nil {
		return err
	}
	if err := a.photosOfKit(ctx, &page, r.URL.Query().Get("photos") == "all", v.style); err != nil {
		return err
	}
	due, err := a.dueByID(ctx, v)
	if err != nil {
		return err
	}
	if d, ok := due[page.Item.ID]; ok {
		page.Due = &d
	}
	if f, ok := meltsWith(page.Item); ok {
		if page.Melts, err = a.lastMelts(ctx, f, page.Names, lastMeltsShown); err != nil {
			return err
		}
	}
	if page.Worn, err = a.worn(ctx, page.Item, page.Names, v); err != nil {
		return err
	}
	return a.show(w, r, http.StatusOK, page.Page(a.frame(r, v, page.Item.Name, "kit")))
}

// meltsWith filters the melts that a piece of kit was in; ok is false for a
// kind that melts do not count.
func meltsWith(it kit.Item) (f store.Filter, ok bool) {
	switch it.Kind {
	case kit.Furnace:
		return store.Filter{Furnace: it.ID}, true
	case kit.Crucible:
		return store.Filter{Crucible: it.ID}, true
	case kit.Element:
		return store.Filter{Element: it.ID}, true
	}
	return f, false
}

// itemOf reads the piece of kit that the address names.
func (a *app) itemOf(r *http.Request) (kit.Item, error) {
	it, _, _, err := a.store.KitItem(r.Context(), pathID(chi.URLParam(r, "id")))
	return it, err
}

func kitPath(id int64) string { return "/kit/" + strconv.FormatInt(id, 10) }

func newKitPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	it := kit.Item{Kind: kit.Kind(chi.URLParam(r, "kind"))}
	if !it.Kind.Valid() {
		return store.ErrNotFound
	}
	return a.showKitForm(w, r, v, http.StatusOK, it, newForm(url.Values{}, v.style))
}

func editKitPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	it, err := a.itemOf(r)
	if err != nil {
		return err
	}
	return a.showKitForm(w, r, v, http.StatusOK, it, newForm(typedKit(it, v.style), v.style))
}

func (a *app) showKitForm(w http.ResponseWriter, r *http.Request, v visit, status int, it kit.Item, f *form) error {
	page := views.KitForm{Filled: filled(f), Kind: it.Kind, ID: it.ID, Name: it.Name, Wires: wires(), Bricks: bricks()}
	title := "New " + strings.ToLower(it.Kind.Name())
	if it.ID == 0 {
		page.Key = newKey()
	} else {
		title = "Change " + it.Name
	}
	fixed, err := a.letterFixed(r.Context(), it)
	if err != nil {
		return err
	}
	if fixed {
		page.LetterFixed = it.Letter
	}
	return a.show(w, r, status, page.Page(a.frame(r, v, title, "kit")))
}

// letterFixed reports whether melts carry a furnace's letter in their codes.
func (a *app) letterFixed(ctx context.Context, it kit.Item) (bool, error) {
	if it.Kind != kit.Furnace || it.ID == 0 {
		return false, nil
	}
	rows, _, err := a.store.Melts(ctx, store.Filter{Furnace: it.ID}, store.Place{}, false, 1)
	return len(rows) > 0, err
}

// wires are the heating alloys to choose from.
func wires() []views.Option {
	all := []views.Option{{Value: "", Label: "Not said"}}
	for _, w := range element.Wires() {
		all = append(all, views.Option{Value: w.Name, Label: w.Name})
	}
	return append(all, views.Option{Value: kit.OtherWire, Label: "Another alloy"})
}

// bricks are the bricks that a wall is reckoned with.
func bricks() []views.Option {
	all := []views.Option{{Value: "", Label: "Not said"}}
	for _, b := range drift.Bricks {
		all = append(all, views.Option{Value: b.Name, Label: strings.ToUpper(b.Name[:1]) + b.Name[1:]})
	}
	return all
}

func newKit(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	it := kit.Item{Kind: kit.Kind(f.values.Get("kind"))}
	if !it.Kind.Valid() {
		return errBadForm
	}
	blank := it
	it = f.kit(it)
	if it.Key, err = f.key(); err != nil {
		return err
	}
	if f.ok() {
		it.ID, err = a.store.AddKit(r.Context(), v.person.ID, it)
		err = a.kitTaken(r.Context(), err, it, f)
	}
	if err != nil {
		return err
	}
	if !f.ok() {
		return a.showKitForm(w, r, v, http.StatusUnprocessableEntity, blank, f)
	}
	a.flash(r, it.Name+" is in the book.")
	return seeOther(w, r, kitPath(it.ID))
}

func editKit(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	was, err := a.itemOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	it := f.kit(was)
	if f.ok() {
		err = a.store.ChangeKit(r.Context(), v.person.ID, it)
		err = a.kitTaken(r.Context(), err, it, f)
	}
	if err != nil {
		return err
	}
	if !f.ok() {
		return a.showKitForm(w, r, v, http.StatusUnprocessableEntity, was, f)
	}
	a.settle(r.Context())
	a.flash(r, "Changed.")
	return seeOther(w, r, kitPath(it.ID))
}

// kitTaken turns a conflict over a name or a letter into a fault beside it.
func (a *app) kitTaken(ctx context.Context, err error, it kit.Item, f *form) error {
	if !errors.Is(err, store.ErrConflict) || errors.Is(err, store.ErrKeyUsed) {
		return err
	}
	items, err2 := a.store.Kit(ctx)
	if err2 != nil {
		return err2
	}
	for _, other := range items {
		switch {
		case other.ID == it.ID && other.Letter != it.Letter:
			f.fault("letter", "Melts carry the letter "+other.Letter+" in their codes, so it stays.")
		case other.ID == it.ID:
		case other.Kind == it.Kind && strings.EqualFold(other.Name, it.Name):
			f.fault("name", other.Name+" is in the book already. Give this one a name of its own.")
		case it.Letter != "" && other.Letter == it.Letter:
			f.fault("letter", other.Name+" has this letter. Take another one.")
		}
	}
	if f.ok() {
		return err
	}
	return nil
}
