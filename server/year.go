package main

import (
	"context"
	"fmt"
	"net/http"
	"strconv"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/quantity"
	"drosswise/foundry/year"
	"drosswise/server/api"
	"drosswise/store"
	"drosswise/views"
)

// Years that a shop may have notes of; codes of melts have two digits of them.
const (
	firstYear = 2000
	lastYear  = 2099
)

func yearPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	page, err := a.year(r.Context(), v, chi.URLParam(r, "year"))
	if err != nil {
		return err
	}
	return a.show(w, r, http.StatusOK, page.Page(a.frame(r, v, strconv.Itoa(page.Of), "melts")))
}

// year reads what a year came to, beside the one before it.
func (a *app) year(ctx context.Context, v visit, text string) (page views.Year, err error) {
	of, err := strconv.Atoi(text)
	if err != nil || of < firstYear || of > lastYear {
		return page, store.ErrNotFound
	}
	if page.Year, err = a.store.Year(ctx, of, v.style.Zone); err != nil {
		return page, err
	}
	if page.Before, err = a.store.Year(ctx, of-1, v.style.Zone); err != nil {
		return page, err
	}
	if page.Years, err = a.store.Years(ctx); err != nil {
		return page, err
	}
	if page.Names, err = a.names(ctx, nil); err != nil {
		return page, err
	}
	page.Told = a.told(ctx, page.Names.SortedSources())
	return page, nil
}

// yearCSV writes a row for each month and each source of a year.
func yearCSV(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	page, err := a.year(r.Context(), v, chi.URLParam(r, "year"))
	if err != nil {
		return err
	}
	const none = number("")
	s := newSheet(w, fmt.Sprintf("year-%d.csv", page.Of))
	s.row("of", "name", "melts", "charged_kg", "recovery_charged_kg", "recovered_kg", "energy_charged_kg", "energy_kwh", "priced_melts", "cash", "cash_recovered_kg")
	for i, m := range page.Months {
		if m.Melts > 0 {
			s.row("month", fmt.Sprintf("%d-%02d", page.Of, i+1), whole(m.Melts), massCell(m.Charged), massCell(m.YieldCharged), massCell(m.Recovered),
				massCell(m.EnergyCharged), joules(m.Energy), whole(m.Priced), decimals(int64(m.Cash), v.style.Exponent()), massCell(m.CashRecovered))
		}
	}
	for _, p := range page.Names.SortedSources() {
		if charged, ok := page.Sources[p.ID]; ok {
			s.row("source", p.Name, whole(charged.Melts), massCell(charged.Charged), none, none, none, none, none, none, none)
		}
	}
	s.Flush()
	if err := s.Error(); err != nil {
		a.log.Debug("answer not taken", "err", err)
	}
	return nil
}

func whole(n int) number { return number(strconv.Itoa(n)) }

func massCell(m quantity.Mass) number { return decimals(int64(m), 6) }

// yearJSON tells a program what a year came to.
func yearJSON(a *app, ctx context.Context, v visit, in *api.OfYear) (told api.Year, err error) {
	page, err := a.year(ctx, v, strconv.Itoa(in.Year))
	if err != nil {
		return told, err
	}
	sums := func(s year.Sums) api.YearSums { return api.YearSumsOf(s, v.style.Exponent()) }
	told = api.Year{Year: in.Year, Currency: v.shop.Currency, Total: sums(page.Total()), Months: []api.YearMonth{}, Sources: []api.YearSource{}, Kit: []api.YearKit{}, Retired: []api.YearRetired{}, Says: orNone(page.Say(page.Before, v.style))}
	for i, m := range page.Months {
		if m.Melts > 0 {
			told.Months = append(told.Months, api.YearMonth{Month: fmt.Sprintf("%d-%02d", page.Of, i+1), YearSums: sums(m)})
		}
	}
	for _, p := range page.Names.SortedSources() {
		if charged, ok := page.Sources[p.ID]; ok {
			told.Sources = append(told.Sources, api.YearSource{Source: p.ID, Name: p.Name, Melts: charged.Melts, Charged: charged.Charged.Kilograms()})
		}
	}
	for _, it := range page.Names.SortedKit() {
		if heats := page.Heats[it.ID]; heats > 0 {
			told.Kit = append(told.Kit, api.YearKit{Kit: it.ID, Name: it.Name, Heats: heats})
		}
	}
	for _, gone := range page.Retired {
		told.Retired = append(told.Retired, api.YearRetired{Kit: gone.Kit, Name: page.Names.Kit[gone.Kit].Name, At: gone.At.Time().UTC(), Cause: gone.Cause})
	}
	return told, nil
}
