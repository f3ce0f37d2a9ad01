package main

import (
	"errors"
	"net/http"
	"slices"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/store"
	"drosswise/views"
)

// stillHot is how long after power or liquid metal a furnace is taken to be hot
// when the next melt is started; the person sees the choice and can change it.
const stillHot = 3 * quantity.Hour

// mostReason is how many letters a reason to melt on a cracked crucible may have.
const mostReason = 1000

func startPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.showStart(w, r, v, http.StatusOK, nil)
}

// showStart shows the form that starts a melt, with what was typed in f.
func (a *app) showStart(w http.ResponseWriter, r *http.Request, v visit, status int, f *form) error {
	ctx := r.Context()
	items, err := a.store.Kit(ctx)
	if err != nil {
		return err
	}
	last, err := a.store.LastHeading(ctx)
	if err != nil && !errors.Is(err, store.ErrNotFound) {
		return err
	}
	page := views.Start{Key: newKey(), Kit: byID(items), Last: last}
	hot, err := a.store.LastHot(ctx, page.Furnace())
	if err != nil {
		return err
	}
	page.Warm = hot != 0 && v.now.Since(hot) < stillHot
	if page.Due, err = a.dueByID(ctx, v); err != nil {
		return err
	}
	if f != nil {
		page.Typed, page.Faults = f.values, f.faults
		page.Key = f.values.Get("key")
	}
	return a.show(w, r, status, page.Page(a.frame(r, v, "Start a melt", "today")))
}

// byID arranges kit by its number.
func byID(items []kit.Item) map[int64]kit.Item {
	all := make(map[int64]kit.Item, len(items))
	for _, it := range items {
		all[it.ID] = it
	}
	return all
}

func start(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	h, err := f.heading(v.now)
	if err != nil {
		return err
	}
	why := f.text("why_cracked")
	if len([]rune(why)) > mostReason {
		f.fault("why_cracked", "That is too long. Keep it under 1000 letters.")
	}
	if f.ok() {
		h, err = a.store.Start(r.Context(), v.person.ID, h, why)
		var refused melt.Refusals
		switch {
		case errors.As(err, &refused):
			f.refuse(refused)
		case errors.Is(err, store.ErrNotFound):
			f.fault("furnace", "That kit is not there any more. Choose again.")
		case err != nil:
			return err
		}
	}
	if !f.ok() {
		return a.showStart(w, r, v, http.StatusUnprocessableEntity, f)
	}
	return seeOther(w, r, "/melts/"+string(h.Code))
}

// heading reads a melt's heading from the form that starts it.
func (f *form) heading(now quantity.Moment) (melt.Heading, error) {
	key, err := f.key()
	if err != nil {
		return melt.Heading{}, err
	}
	h := melt.Heading{
		Key: key, At: f.moment("at"), Furnace: f.id("furnace"), Crucible: f.id("crucible"), Element: f.id("element"), Probe: f.id("probe"),
		Warm: f.values.Get("warm") == "warm", Target: melt.Target(f.values.Get("target")), Ambient: optional(f, "ambient", f.style.ReadTemperature),
	}
	if h.At == 0 {
		h.At = now
	}
	if h.Furnace == 0 {
		f.fault("furnace", "Choose the furnace.")
	}
	if !slices.Contains(melt.Targets, h.Target) {
		h.Target = melt.Ingots
	}
	if h.Ambient != nil && (*h.Ambient < -50*quantity.Celsius || *h.Ambient > 60*quantity.Celsius) {
		f.fault("ambient", "A shed is between −50 and 60 °C. Check the number and its unit.")
	}
	if h.At > now+quantity.Moment(quantity.Minute) {
		f.fault("at", "That is still to come. Type when the melt began, or leave it empty for now.")
	}
	if y := h.At.Time().Year(); y < 2000 || y > 2098 {
		f.fault("at", "Check the year.")
	}
	return h, nil
}
