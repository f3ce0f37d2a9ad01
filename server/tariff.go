package main

import (
	"errors"
	"net/http"
	"net/url"
	"strconv"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/quantity"
	"drosswise/foundry/tariff"
	"drosswise/store"
	"drosswise/views"
)

// mostBands is how many times of day a price may have.
const mostBands = 4

func newTariffPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f := newForm(url.Values{"from": {v.style.DateInput(v.now)}, "key": {newKey()}}, v.style)
	return a.showTariff(w, r, v, http.StatusOK, f)
}

func (a *app) showTariff(w http.ResponseWriter, r *http.Request, v visit, status int, f *form) error {
	page := views.TariffForm{Key: f.values.Get("key"), Form: f.typed(), Bands: mostBands}
	return a.show(w, r, status, page.Page(a.frame(r, v, "Add a price of electricity", "shop")))
}

func newTariff(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	p, err := f.tariff()
	if err != nil {
		return err
	}
	if !f.ok() {
		return a.showTariff(w, r, v, http.StatusUnprocessableEntity, f)
	}
	if err := a.store.AddTariff(r.Context(), v.person.ID, p); err != nil {
		return err
	}
	a.flash(r, "The price is added, and the cost of melts since then is worked out with it.")
	return seeOther(w, r, "/shop")
}

func strikeTariff(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	if err := a.store.StrikeTariff(r.Context(), v.person.ID, pathID(chi.URLParam(r, "id"))); err != nil {
		return err
	}
	a.flash(r, "The price is struck and no longer counts.")
	return seeOther(w, r, "/shop")
}

// tariff reads a price of electricity from its form.
func (f *form) tariff() (store.Tariff, error) {
	key, err := f.key()
	if err != nil {
		return store.Tariff{}, err
	}
	p := store.Tariff{Key: key}
	p.From = needed(f, "from", "Give the first day on which this price holds.", f.style.ReadDate)
	p.Price = f.electricity("price", "Type what a kilowatt-hour costs.")
	var fields []string // of each band
	for n := 1; n <= mostBands; n++ {
		name := "band" + strconv.Itoa(n) + "_"
		if f.text(name+"from")+f.text(name+"to")+f.text(name+"price") == "" {
			continue
		}
		p.Bands = append(p.Bands, tariff.Band{
			FromMinute: f.minute(name+"from", "Say when this price begins."),
			ToMinute:   f.minute(name+"to", "Say when this price ends."),
			Price:      f.electricity(name+"price", "Type the price at this time of day."),
		})
		fields = append(fields, name+"from")
	}
	if !f.ok() {
		return p, nil
	}
	var refused *quantity.Refusal
	if errors.As(p.Check(), &refused) {
		for i, b := range p.Bands {
			if b.String() == refused.Text {
				f.fault(fields[i], refused.Sentence)
			}
		}
	}
	return p, nil
}

func (f *form) electricity(field, sentence string) quantity.Price {
	price := needed(f, field, sentence, f.style.ReadPrice)
	if price < 0 {
		f.fault(field, "A price is not below zero here. Type 0 for electricity that costs nothing.")
	}
	return price
}

// minute reads a time of day as minutes since midnight.
func (f *form) minute(field, sentence string) int {
	anyDay := func(clock string) (quantity.Moment, error) { return quantity.Style{}.ReadMoment("2000-01-01", clock) }
	at := needed(f, field, sentence, anyDay).Time()
	return at.Hour()*60 + at.Minute()
}
