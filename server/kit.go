package main

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/crucible"
	"drosswise/foundry/element"
	"drosswise/foundry/heat"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
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
	page := views.KitList{Items: items, Wears: wears, May: v.may(melter)}
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
	if f, ok := meltsWith(page.Item); ok {
		if page.Melts, err = a.lastMelts(ctx, f, page.Names, lastMeltsShown); err != nil {
			return err
		}
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
	page := views.KitForm{Filled: filled(f), Kind: it.Kind, ID: it.ID, Name: it.Name, Wires: wires()}
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
	a.flash(r, "Changed.")
	return seeOther(w, r, kitPath(it.ID))
}

// kitTaken turns a conflict over a name or a letter into a fault beside it.
func (a *app) kitTaken(ctx context.Context, err error, it kit.Item, f *form) error {
	if !errors.Is(err, store.ErrConflict) {
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

// kit reads the form over what is known of a piece of kit. Of each kind only
// its own fields are read.
func (f *form) kit(it kit.Item) kit.Item {
	it.Name, it.Note = f.text("name"), f.note("note")
	switch it.Kind {
	case kit.Furnace:
		f.furnace(&it)
	case kit.Crucible:
		f.crucible(&it)
	case kit.Element:
		it.Wire = f.values.Get("wire")
		it.Diameter = optional(f, "diameter", f.style.ReadLength)
		it.Length = optional(f, "length", f.readMetres)
		it.Ohms = optional(f, "ohms", f.style.ReadResistance)
		f.life(&it)
	case kit.Scale:
		it.Resolution = needed(f, "resolution", "Type the smallest step that the scale shows.", f.style.ReadMass)
		it.Capacity = or(optional(f, "capacity", f.style.ReadMass), 0)
		it.Gain = or(optional(f, "gain", f.style.ReadPercent), 0)
		if f.faults["capacity"] == "" && f.text("capacity") != "" && it.Capacity <= 0 {
			it.Capacity = -1 // a typed nothing is not "not said"
		}
	case kit.Probe:
		it.Couple = f.values.Get("couple")
	}
	f.refuse(kit.Check(it))
	return it
}

func (f *form) furnace(it *kit.Item) {
	if f.values.Has("letter") || it.ID == 0 {
		it.Letter = strings.ToUpper(f.text("letter"))
	}
	it.Heating = f.values.Get("heating")
	it.Volts = optional(f, "volts", f.style.ReadVoltage)
	it.Circuit = optional(f, "circuit", f.style.ReadCurrent)
	it.Power = optional(f, "power", f.style.ReadPower)
}

func (f *form) crucible(it *kit.Item) {
	it.Material = heat.Crucible(f.values.Get("material"))
	it.Brim = optional(f, "brim", f.style.ReadVolume)
	f.water(it)
	it.Rated = optional(f, "rated", f.style.ReadMass)
	it.RatedIn = crucible.Metal(f.values.Get("rated_in"))
	it.Fill = optional(f, "fill", f.style.ReadPercent)
	it.Mass = optional(f, "mass", f.style.ReadMass)
	it.Wall = optional(f, "wall", f.style.ReadLength)
	f.life(it)
}

// water reads the volume to the brim from the water that fills it, in the
// place of a typed volume.
func (f *form) water(it *kit.Item) {
	held := optional(f, "water", f.style.ReadMass)
	if held == nil {
		return
	}
	if it.Brim != nil {
		f.fault("water", "Type the volume or the water, not both.")
		return
	}
	brim, err := crucible.BrimVolume(*held, 20*quantity.Celsius)
	if err != nil {
		f.fault("water", "The water weighs something: its mass full, less its mass empty. Check both.")
		return
	}
	it.Brim = &brim
	var told []string
	for _, r := range kit.Check(kit.Item{Kind: kit.Crucible, Name: "crucible", Brim: &brim}) {
		told = append(told, r.Say(f.style))
	}
	if len(told) > 0 {
		f.fault("water", strings.Join(told, " "))
	}
}

func (f *form) life(it *kit.Item) {
	it.Cost = optional(f, "cost", f.style.ReadMoney)
	it.ExpectedHeats = optional(f, "expected_heats", func(text string) (int, error) {
		n, err := f.style.ReadCount(text)
		return int(n), err
	})
}

// readMetres reads a length in metres unless another unit is written behind it.
func (f *form) readMetres(text string) (quantity.Length, error) {
	if last := text[len(text)-1]; last >= '0' && last <= '9' {
		text += " m"
	}
	return f.style.ReadLength(text)
}

// or gives what a pointer points to, or else a fallback.
func or[T any](x *T, fallback T) T {
	if x == nil {
		return fallback
	}
	return *x
}

// typedKit is a piece of kit as it would have been typed into the form.
func typedKit(it kit.Item, s quantity.Style) url.Values {
	v := url.Values{
		"name": {it.Name}, "note": {it.Note}, "letter": {it.Letter}, "heating": {it.Heating}, "material": {string(it.Material)},
		"rated_in": {string(it.RatedIn)}, "wire": {it.Wire}, "couple": {it.Couple},
	}
	put(v, "volts", it.Volts, s.VoltageInput)
	put(v, "circuit", it.Circuit, s.CurrentInput)
	put(v, "power", it.Power, s.PowerInput)
	put(v, "brim", it.Brim, s.VolumeInput)
	put(v, "rated", it.Rated, s.MassInput)
	put(v, "fill", it.Fill, s.PercentInput)
	put(v, "mass", it.Mass, s.MassInput)
	put(v, "wall", it.Wall, s.LengthInput)
	put(v, "cost", it.Cost, s.MoneyInput)
	put(v, "expected_heats", it.ExpectedHeats, strconv.Itoa)
	put(v, "diameter", it.Diameter, s.LengthInput)
	put(v, "length", it.Length, func(l quantity.Length) string { return s.NumberInput(int64(l), 6) })
	put(v, "ohms", it.Ohms, s.ResistanceInput)
	if it.Resolution > 0 {
		v.Set("resolution", s.MassInput(it.Resolution))
	}
	if it.Capacity > 0 {
		v.Set("capacity", s.MassInput(it.Capacity))
	}
	if it.Gain > 0 {
		v.Set("gain", s.PercentInput(it.Gain))
	}
	return v
}
