package main

import (
	"net/http"
	"net/url"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
	"drosswise/views"
)

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

func (a *app) showPrice(w http.ResponseWriter, r *http.Request, v visit, status int, p *scrap.Source, f *form) error {
	page := views.PriceForm{Filled: filled(f), Source: p, Key: newKey(), NewKeys: newKey}
	title, id := "Prices of metal and dross", int64(0)
	if p != nil {
		title, id = "What a yard pays for "+p.Name, p.ID
	}
	quotes, err := a.store.Quotes(r.Context())
	if err != nil {
		return err
	}
	for _, q := range quotes {
		if q.Source == id && len(page.Quotes) < pricesShown {
			page.Quotes = append(page.Quotes, q)
		}
	}
	n, err := a.names(r.Context(), nil)
	if err != nil {
		return err
	}
	page.People = n.People
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
	q, where := f.quote(v.now, p), "/scrap"
	if p != nil {
		where = sourcePath(p.ID)
	}
	if q.Key, err = f.key(); err != nil {
		return err
	}
	if !f.ok() {
		return a.showPrice(w, r, v, http.StatusUnprocessableEntity, p, f)
	}
	if err := a.store.AddQuote(r.Context(), v.person.ID, q); err != nil {
		return err
	}
	a.flash(r, "The price is written down.")
	return seeOther(w, r, where)
}

// quote reads a price from its form; without a day it is today's.
func (f *form) quote(now quantity.Moment, of *scrap.Source) scrap.Quote {
	q := scrap.Quote{At: now, Note: f.note("note"), Of: scrap.Unmelted}
	if of != nil {
		q.Source = of.ID
	} else {
		q.Of = scrap.Goods(f.one("of", string(scrap.IngotsSold), string(scrap.IngotsBought), string(scrap.DrossSold)))
	}
	symbol, _ := f.style.PriceMass()
	q.Price = needed(f, "price", "Type what a "+symbol+" costs or brings.", f.style.ReadMassPrice)
	f.refuse(scrap.CheckPrice("price", &q.Price))
	if day := optional(f, "day", f.style.ReadDate); day != nil {
		if q.At = *day; q.At > now {
			f.fault("day", "That day is still to come.")
		}
	}
	return q
}

func strikePrice(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.markPrice(w, r, v, true)
}

func liftPrice(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.markPrice(w, r, v, false)
}

func (a *app) markPrice(w http.ResponseWriter, r *http.Request, v visit, strike bool) error {
	m, err := readMark(r, v, strike)
	if err != nil {
		return err
	}
	q, err := a.store.Quote(r.Context(), pathID(chi.URLParam(r, "price")))
	if err != nil {
		return err
	}
	if err := a.store.StrikeQuote(r.Context(), v.person.ID, q.ID, m); err != nil {
		return err
	}
	a.flash(r, markedSentence(strike))
	if q.Source != 0 {
		return seeOther(w, r, sourcePath(q.Source)+"/prices")
	}
	return seeOther(w, r, "/scrap/prices")
}
