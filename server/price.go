package main

import (
	"context"
	"net/http"
	"net/url"

	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
	"drosswise/store"
	"drosswise/views"
)

// mostPrice is above what anybody pays for a kilo of aluminium: a price beyond
// is a slip.
const mostPrice = 10_000 * quantity.PriceUnit

// pricesOf lists what yards paid for a source unmelted, or for ingots (0), the
// newest first.
func (a *app) pricesOf(ctx context.Context, source int64) ([]views.YardPrice, error) {
	all, err := a.store.YardPrices(ctx)
	if err != nil {
		return nil, err
	}
	var list []views.YardPrice
	for _, p := range all {
		if p.Source == source && len(list) < pricesShown {
			list = append(list, views.YardPrice{At: p.At, Price: p.Price, Note: p.Note})
		}
	}
	return list, nil
}

func ingotPricePage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.showPrice(w, r, v, http.StatusOK, nil, newForm(url.Values{}, v.style))
}

func sourcePricePage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	p, err := a.sourceOf(r)
	if err != nil {
		return err
	}
	return a.showPrice(w, r, v, http.StatusOK, &p, newForm(url.Values{}, v.style))
}

func (a *app) showPrice(w http.ResponseWriter, r *http.Request, v visit, status int, p *scrap.Source, f *form) (err error) {
	page := views.PriceForm{Filled: filled(f), Source: p, Key: newKey()}
	title, id := "What a yard pays for ingots", int64(0)
	if p != nil {
		title, id = "What a yard pays for "+p.Name, p.ID
	}
	if page.Prices, err = a.pricesOf(r.Context(), id); err != nil {
		return err
	}
	return a.show(w, r, status, page.Page(a.frame(r, v, title, "scrap")))
}

func newIngotPrice(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.addPrice(w, r, v, nil)
}

func newSourcePrice(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	p, err := a.sourceOf(r)
	if err != nil {
		return err
	}
	return a.addPrice(w, r, v, &p)
}

func (a *app) addPrice(w http.ResponseWriter, r *http.Request, v visit, p *scrap.Source) error {
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	y, where := f.yardPrice(v.now), "/scrap"
	if p != nil {
		y.Source, where = p.ID, sourcePath(p.ID)
	}
	if y.Key, err = f.key(); err != nil {
		return err
	}
	if !f.ok() {
		return a.showPrice(w, r, v, http.StatusUnprocessableEntity, p, f)
	}
	if err := a.store.AddYardPrice(r.Context(), v.person.ID, y); err != nil {
		return err
	}
	a.flash(r, "The price is written down.")
	return seeOther(w, r, where)
}

// yardPrice reads a price from its form; without a day it is today's.
func (f *form) yardPrice(now quantity.Moment) store.YardPrice {
	y := store.YardPrice{At: now, Note: f.note("note")}
	y.Price = needed(f, "price", "Type what the yard pays for a kg.", f.style.ReadPrice)
	if y.Price < 0 || y.Price > mostPrice {
		f.fault("price", "A price per kg is not below zero, and not above 10 000.")
	}
	if day := optional(f, "day", f.style.ReadDate); day != nil {
		if y.At = *day; y.At > now {
			f.fault("day", "That day is still to come.")
		}
	}
	return y
}
