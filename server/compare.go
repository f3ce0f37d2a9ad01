package main

import (
	"context"
	"net/http"
	"slices"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
	"drosswise/foundry/tariff"
	"drosswise/views"
)

func comparePage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	q := r.URL.Query()
	page, err := a.compared(r.Context(), v, pathID(q.Get("a")), pathID(q.Get("b")))
	if err != nil {
		return err
	}
	return a.show(w, r, http.StatusOK, page.Page(a.frame(r, v, "Compare scrap", "scrap")))
}

// compared sets two sources side by side, as far as they are known.
func (a *app) compared(ctx context.Context, v visit, first, second int64) (views.Compare, error) {
	sources, err := a.store.Sources(ctx)
	if err != nil {
		return views.Compare{}, err
	}
	page := views.Compare{Sources: sources, Told: a.told(ctx, sources)}
	find := func(id int64) *scrap.Source {
		if i := slices.IndexFunc(sources, func(p scrap.Source) bool { return p.ID == id }); i >= 0 {
			return &sources[i]
		}
		return nil
	}
	one, other := find(first), find(second)
	if one != nil {
		page.A = one.ID
	}
	if other != nil {
		page.B = other.ID
	}
	if one == nil || other == nil || page.Told.Estimates == nil {
		return page, nil
	}
	if c, ok := page.Told.Compare(one.ID, other.ID); ok {
		page.Result = &c
	}
	if one.Paid != nil && other.Paid != nil && max(*one.Paid, *other.Paid) > 0 {
		if chance, ok := page.Told.Cheaper(one.ID, other.ID, one.Paid.Units(), other.Paid.Units()); ok {
			page.Cheaper = &chance
		}
	}
	if page.Metal, err = a.metalPrice(ctx, v, one, other); err != nil {
		return page, err
	}
	page.Power, err = a.powerPrice(ctx, v)
	return page, err
}

// metalPrice is what metal is taken to be worth: what a yard last paid for
// ingots, or the more that one of the sources would fetch unmelted.
func (a *app) metalPrice(ctx context.Context, v visit, sources ...*scrap.Source) (*views.MetalPrice, error) {
	quotes, err := a.store.Quotes(ctx)
	if err != nil {
		return nil, err
	}
	if q := scrap.Latest(quotes, scrap.IngotsSold, 0); q != nil {
		return &views.MetalPrice{Price: q.Price, Basis: "what a yard paid for ingots on " + v.style.Date(q.At)}, nil
	}
	var best *views.MetalPrice
	for _, p := range sources {
		if p.Fetches != nil && *p.Fetches > 0 && (best == nil || *p.Fetches > best.Price) {
			best = &views.MetalPrice{Price: *p.Fetches, Basis: "what " + p.Name + " would fetch unmelted; ingots have no price yet"}
		}
	}
	return best, nil
}

// powerPrice is what a kilowatt-hour costs now, nil when nobody said.
func (a *app) powerPrice(ctx context.Context, v visit) (*quantity.Price, error) {
	all, err := a.store.Tariffs(ctx)
	if err != nil {
		return nil, err
	}
	list := make([]tariff.Tariff, len(all))
	for i, t := range all {
		list[i] = t.Tariff
	}
	for _, s := range tariff.Split(list, v.style.Zone, tariff.Use{From: v.now, To: v.now, Energy: 1}) {
		if s.InForce {
			return &s.Price, nil
		}
	}
	return nil, nil
}

// comparison is the comparison of an address that a program asks for.
func (a *app) comparison(ctx context.Context, v visit, first, second int64) (recovery.Comparison, views.Compare, error) {
	page, err := a.compared(ctx, v, first, second)
	switch {
	case err != nil:
		return recovery.Comparison{}, page, err
	case page.Told.Estimates == nil:
		return recovery.Comparison{}, page, errNotYet
	case page.Result == nil:
		return recovery.Comparison{}, page, errNotTwo
	}
	return *page.Result, page, nil
}
