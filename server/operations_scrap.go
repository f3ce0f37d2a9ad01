package main

import (
	"context"
	"math"
	"net/http"
	"slices"

	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
	"drosswise/server/api"
	"drosswise/store"
)

// scrapOperations are what programs do with scrap, its deliveries and prices.
var scrapOperations = slices.Concat([]offered{
	offer(operation{method: get, path: "/api/v1/sources", id: "list-sources", least: reader, tag: "scrap", summary: "All scrap, with what it gives."}, sourcesJSON),
	offer(operation{method: post, path: "/api/v1/sources", id: "add-source", least: melter, tag: "scrap", summary: "Write down a kind of scrap.", status: http.StatusCreated}, addSource),
	offer(operation{method: get, path: "/api/v1/sources/{id}", id: "get-source", least: reader, tag: "scrap", summary: "A kind of scrap, with what it gives."}, sourceJSON),
	offer(operation{method: http.MethodPut, path: "/api/v1/sources/{id}", id: "change-source", least: melter, tag: "scrap", summary: "Change what is written down of a kind of scrap.", more: "What is left out is not said any more."}, changeSource),
	offer(operation{method: http.MethodPut, path: "/api/v1/sources/{id}/belief", id: "set-belief", least: melter, tag: "scrap", summary: "Say what the shop believes of a kind of scrap."}, setBelief),
	offer(operation{method: get, path: "/api/v1/sources/{id}/lots", id: "list-lots", least: reader, tag: "scrap", summary: "The deliveries of a kind of scrap."}, listLots),
	offer(operation{method: post, path: "/api/v1/sources/{id}/lots", id: "add-lot", least: melter, tag: "scrap", summary: "Write down a delivery.", status: http.StatusCreated}, addLot),
	offer(operation{method: post, path: "/api/v1/sources/{id}/prices", id: "add-source-price", least: melter, tag: "scrap", summary: "Write down what a yard pays for a kind of scrap.", status: http.StatusCreated}, addSourceQuote),
	offer(operation{method: get, path: "/api/v1/prices", id: "list-prices", least: reader, tag: "scrap", summary: "All prices written down, the newest first."}, listQuotes),
	offer(operation{method: post, path: "/api/v1/prices", id: "add-price", least: melter, tag: "scrap", summary: "Write down a price of ingots or dross.", status: http.StatusCreated}, addShopQuote),
	offer(operation{method: get, path: "/api/v1/compare", id: "compare-sources", least: reader, tag: "scrap", summary: "Two kinds of scrap side by side."}, compareJSON),
	offer(operation{method: get, path: "/api/v1/findings", id: "get-findings", least: reader, tag: "scrap", summary: "What the records say of scrap, habits and costs."}, findingsJSON),
}, strikes(operation{path: "/api/v1/sources/{id}/lots/{lot}", id: "lot", least: melter, tag: "scrap", summary: "a delivery"},
	func(a *app, ctx context.Context, v visit, in *struct {
		api.Numbered
		api.Once[api.Marking]
		api.OfLot
	}, strike bool) error {
		m, err := markOf(v, in.Once, strike)
		if err != nil {
			return err
		}
		return a.store.StrikeLot(ctx, v.person.ID, in.ID, in.Lot, m)
	}),
	strikes(operation{path: "/api/v1/prices/{id}", id: "price", least: melter, tag: "scrap", summary: "a price"},
		func(a *app, ctx context.Context, v visit, in *struct {
			api.Numbered
			api.Once[api.Marking]
		}, strike bool) error {
			m, err := markOf(v, in.Once, strike)
			if err != nil {
				return err
			}
			return a.store.StrikeQuote(ctx, v.person.ID, in.ID, m)
		}))

func addSource(a *app, ctx context.Context, v visit, in *api.Once[api.SourceFacts]) (told api.Source, err error) {
	f := keyedForm(v, in.Key, in.Body)
	p := f.source(scrap.Source{}, v.now)
	if p.Key, err = f.key(); err != nil {
		return told, err
	}
	if f.ok() {
		p.ID, err = a.store.AddSource(ctx, v.person.ID, p)
		err = a.nameTaken(ctx, err, p, f)
	}
	if err != nil {
		return told, err
	}
	return api.SourceOf(p), f.wrong(in.Body)
}

func changeSource(a *app, ctx context.Context, v visit, in *struct {
	api.Numbered
	Body api.SourceFacts
}) (told api.Source, err error) {
	was, err := a.store.Source(ctx, in.ID)
	if err != nil {
		return told, err
	}
	f := bodyForm(v, in.Body)
	p := f.source(was, v.now)
	if f.ok() {
		err = a.nameTaken(ctx, a.store.ChangeSource(ctx, v.person.ID, p), p, f)
	}
	if err != nil {
		return told, err
	}
	return api.SourceOf(p), f.wrong(in.Body)
}

func setBelief(a *app, ctx context.Context, v visit, in *struct {
	api.Numbered
	api.Once[api.Belief]
}) (told api.Belief, err error) {
	f := keyedForm(v, in.Key, in.Body)
	key, err := f.key()
	if err != nil {
		return told, err
	}
	b := store.Belief{Metal: f.belief("metal"), Dross: f.belief("dross")}
	if err := f.wrong(in.Body); err != nil {
		return told, err
	}
	return in.Body, a.store.Believe(ctx, v.person.ID, in.ID, key, b)
}

func tellBelief(b store.Belief) (told api.Belief) {
	told.Metal, told.MetalSD = percents(b.Metal)
	told.Dross, told.DrossSD = percents(b.Dross)
	return told
}

// percents are a share and its spread in percent, to the ten thousandth that is
// kept.
func percents(b *recovery.Belief) (mean, sd *float64) {
	if b == nil {
		return nil, nil
	}
	return new(math.Round(b.Mean*1e6) / 1e4), new(math.Round(b.SD*1e6) / 1e4)
}

// lots are the deliveries of a source.
type lots struct {
	Lots []api.Lot `json:"lots" nullable:"false"`
}

func listLots(a *app, ctx context.Context, v visit, in *api.Numbered) (told lots, err error) {
	if _, err := a.store.Source(ctx, in.ID); err != nil {
		return told, err
	}
	told.Lots = []api.Lot{}
	all, err := a.store.Lots(ctx, in.ID)
	for _, l := range all {
		told.Lots = append(told.Lots, api.LotOf(l))
	}
	return told, err
}

func addLot(a *app, ctx context.Context, v visit, in *struct {
	api.Numbered
	api.Once[api.NewLot]
}) (told api.Lot, err error) {
	p, err := a.store.Source(ctx, in.ID)
	if err != nil {
		return told, err
	}
	f := keyedForm(v, in.Key, in.Body)
	l := f.lot(p, v.now)
	if l.Key, err = f.key(); err != nil {
		return told, err
	}
	if err := f.wrong(in.Body); err != nil {
		return told, err
	}
	if err := a.store.AddLot(ctx, v.person.ID, l); err != nil {
		return told, err
	}
	all, err := a.store.Lots(ctx, in.ID)
	for _, had := range all {
		if had.Key == l.Key {
			told = api.LotOf(had)
		}
	}
	return told, err
}

// quotes are prices.
type quotes struct {
	Prices []api.Quote `json:"prices" nullable:"false"`
}

func listQuotes(a *app, ctx context.Context, v visit, _ *struct{}) (told quotes, err error) {
	told.Prices = []api.Quote{}
	all, err := a.store.Quotes(ctx)
	for _, q := range all {
		told.Prices = append(told.Prices, api.QuoteOf(q))
	}
	return told, err
}

func addSourceQuote(a *app, ctx context.Context, v visit, in *struct {
	api.Numbered
	api.Once[api.NewQuote]
}) (told api.Quote, err error) {
	p, err := a.store.Source(ctx, in.ID)
	if err != nil {
		return told, err
	}
	return a.tellQuote(ctx, v, keyedForm(v, in.Key, in.Body), &p, in.Body)
}

func addShopQuote(a *app, ctx context.Context, v visit, in *api.Once[api.NewShopQuote]) (api.Quote, error) {
	return a.tellQuote(ctx, v, keyedForm(v, in.Key, in.Body), nil, in.Body)
}

// tellQuote writes the price of a form down, of scrap or of the whole shop.
func (a *app) tellQuote(ctx context.Context, v visit, f *form, of *scrap.Source, body any) (told api.Quote, err error) {
	q := f.quote(v.now, of)
	if q.Key, err = f.key(); err != nil {
		return told, err
	}
	if err := f.wrong(body); err != nil {
		return told, err
	}
	if err := a.store.AddQuote(ctx, v.person.ID, q); err != nil {
		return told, err
	}
	all, err := a.store.Quotes(ctx)
	for _, had := range all {
		if had.Key == q.Key {
			told = api.QuoteOf(had)
		}
	}
	return told, err
}
