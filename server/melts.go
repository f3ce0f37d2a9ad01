package main

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/store"
	"drosswise/views"
)

// pageLength is how many melts a page of the list holds.
const pageLength = 50

func melts(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	ctx, q := r.Context(), r.URL.Query()
	page := views.Melts{Words: q.Get("q"), From: q.Get("from"), To: q.Get("to"), Faults: map[string]string{}, May: v.may(melter)}
	filter := filterOf(q, v.style, page.Faults)
	page.Source, page.Furnace = filter.Source, filter.Furnace

	place, newer := placeOf(q)
	rows, more, err := a.store.Melts(ctx, filter, place, newer, pageLength)
	if err != nil {
		return err
	}
	n, err := a.names(ctx, nil)
	if err != nil {
		return err
	}
	if page.Years, err = a.store.Years(ctx); err != nil {
		return err
	}
	page.Rows = meltRows(rows, n)
	page.Any = len(rows) > 0 || filter != (store.Filter{}) || place != (store.Place{})
	page.Query = filterQuery(q).Encode()
	page.Newer, page.Older = pages(q, rows, place, newer, more)
	page.Sources, page.Furnaces = filterOptions(n, filter)
	if filter.Words == "" {
		t, err := a.store.Totals(ctx, filter)
		if err != nil {
			return err
		}
		page.Total = &views.MeltTotals{Melts: t.Melts, Charged: t.Charged, OfSource: t.OfSource, YieldCharged: t.YieldCharged, Recovered: t.Recovered, EnergyCharged: t.EnergyCharged, Energy: t.Energy}
		if filter.Source != 0 {
			page.Total.SourceName = n.Sources[filter.Source].Name
		}
	}
	return a.show(w, r, http.StatusOK, page.Page(a.frame(r, v, "Melts", "melts")))
}

// filterOf reads a filter from an address. A month that cannot be read is
// noted as a fault and does not filter.
func filterOf(q url.Values, style quantity.Style, faults map[string]string) store.Filter {
	f := store.Filter{Source: pathID(q.Get("source")), Furnace: pathID(q.Get("furnace")), Words: strings.TrimSpace(q.Get("q"))}
	if from, ok := monthOf(q.Get("from"), style.Zone, "from", faults); ok {
		f.FromMonth, f.From = monthNumber(from), quantity.At(from)
	}
	if to, ok := monthOf(q.Get("to"), style.Zone, "to", faults); ok {
		f.ToMonth, f.To = monthNumber(to), quantity.At(to.AddDate(0, 1, 0))
	}
	return f
}

func monthOf(text string, zone *time.Location, field string, faults map[string]string) (time.Time, bool) {
	text = strings.TrimSpace(text)
	if text == "" {
		return time.Time{}, false
	}
	t, err := time.ParseInLocation("2006-01", text, zone)
	if err != nil || t.Year() < 1990 || t.Year() > 2100 {
		faults[field] = "Type a month as year and month, such as 2026-01."
		return time.Time{}, false
	}
	return t, true
}

func monthNumber(t time.Time) int { return t.Year()*12 + int(t.Month()) - 1 }

// placeOf reads where a page starts: ?before= or ?after= with time and number.
func placeOf(q url.Values) (p store.Place, newer bool) {
	text := q.Get("before")
	if text == "" {
		text, newer = q.Get("after"), q.Has("after")
	}
	at, id, ok := strings.Cut(text, "-")
	if !ok {
		return store.Place{}, false
	}
	ms, err := strconv.ParseInt(at, 10, 64)
	if err != nil {
		return store.Place{}, false
	}
	return store.Place{At: quantity.Moment(ms), ID: pathID(id)}, newer
}

func filterQuery(q url.Values) url.Values {
	kept := url.Values{}
	for _, k := range []string{"q", "source", "furnace", "from", "to"} {
		if q.Get(k) != "" {
			kept.Set(k, q.Get(k))
		}
	}
	return kept
}

// pages gives the addresses of the pages before and after this one.
func pages(q url.Values, rows []store.Row, place store.Place, newer, more bool) (newerPage, olderPage string) {
	if len(rows) == 0 {
		return "", ""
	}
	address := func(way string, r store.Row) string {
		kept := filterQuery(q)
		kept.Set(way, fmt.Sprintf("%d-%d", r.Started, r.ID))
		return "/melts?" + kept.Encode()
	}
	if place != (store.Place{}) && (!newer || more) {
		newerPage = address("after", rows[0])
	}
	if more && !newer || newer {
		olderPage = address("before", rows[len(rows)-1])
	}
	return newerPage, olderPage
}

func filterOptions(n views.Names, f store.Filter) (sources, furnaces []views.Option) {
	sources = []views.Option{{Value: "", Label: "All"}}
	for _, p := range n.SortedSources() {
		sources = append(sources, views.Option{Value: strconv.FormatInt(p.ID, 10), Label: p.Name, Selected: p.ID == f.Source})
	}
	furnaces = []views.Option{{Value: "", Label: "All"}}
	for _, it := range n.SortedKit() {
		if it.Kind == kit.Furnace {
			furnaces = append(furnaces, views.Option{Value: strconv.FormatInt(it.ID, 10), Label: it.Name, Selected: it.ID == f.Furnace})
		}
	}
	return sources, furnaces
}

// meltRows names what rows of a list refer to.
func meltRows(rows []store.Row, n views.Names) []views.MeltRow {
	all := make([]views.MeltRow, len(rows))
	for i, r := range rows {
		all[i] = views.MeltRow{
			Code: r.Code, State: r.State, Started: r.Started, Furnace: n.Kit[r.Furnace].Name,
			Charged: r.Charged, Recovered: r.Recovered, Yield: r.Yield, YieldU: r.YieldU, Energy: r.Energy,
		}
		for _, id := range r.Sources {
			all[i].Sources = append(all[i].Sources, n.Sources[id].Name)
		}
	}
	return all
}

// lastMelts lists the latest melts of a filter as a page shows them.
func (a *app) lastMelts(ctx context.Context, f store.Filter, n views.Names, limit int) ([]views.MeltRow, error) {
	rows, _, err := a.store.Melts(ctx, f, store.Place{}, false, limit)
	return meltRows(rows, n), err
}
