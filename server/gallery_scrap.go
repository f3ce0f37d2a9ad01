package main

import (
	"net/url"
	"time"

	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
	"drosswise/views"
)

// scrapScenes are the list of scrap, the pages of sources and their forms.
func scrapScenes() []scene {
	many := views.ScrapList{May: true}
	for i := range int64(4) {
		many.Rows = append(many.Rows, galleryScrap(i+1))
	}
	gone := galleryScrap(2)
	gone.Source.Name, gone.Source.Ended = "Brake levers", new(galleryWhen(20))
	many.Rows = append(many.Rows, gone)
	one := views.ScrapList{Rows: many.Rows[3:4]}
	all := []scene{
		{"scrap/empty", "Scrap, empty", views.ScrapList{May: true}.Page},
		{"scrap/one", "Scrap, one, for a reader", one.Page},
		{"scrap/many", "Scrap, many", many.Page},
		{"scrap/alone", "A source that was melted alone", gallerySource(1, galleryLots()).Page},
		{"scrap/mixed", "A source that was never melted alone", gallerySource(3, nil).Page},
		{"scrap/long", "A source with a very long name", gallerySource(4, nil).Page},
	}
	return append(all, scrapFormScenes()...)
}

// galleryScrap is a source with what came of it: the first was melted alone,
// the second and third only with others, the last not at all.
func galleryScrap(id int64) views.ScrapRow {
	r := views.ScrapRow{Source: gallerySources()[id]}
	switch id {
	case 1:
		r.Record = scrap.Record{Charged: 31 * kilogram, Melts: 22, Alone: scrap.Alone{Melts: 6, Charged: 9 * kilogram, Recovered: 8460 * gram, Spread: 40 * gram}}
	case 2, 3:
		r.Record = scrap.Record{Charged: quantity.Mass(id) * kilogram, Melts: int(id)}
	}
	return r
}

func gallerySource(id int64, lots []scrap.Lot) views.Source {
	p := views.Source{ScrapRow: galleryScrap(id), Lots: lots, Melts: galleryRows(4), People: galleryNames().People, May: true, NewKeys: galleryKey}
	if p.Record.Melts == 0 {
		p.Melts = nil
	}
	return p
}

func galleryLots() []scrap.Lot {
	kg := func(x float64) *quantity.Mass { return new(quantity.Mass(x * float64(kilogram))) }
	return []scrap.Lot{
		{ID: 3, At: galleryWhen(3), AsFound: kg(12.5), AsCharged: kg(11.2), Steel: kg(0.6), Plastic: kg(0.1), Charged: 2500 * gram, Note: "Two sacks from the spring clean."},
		{ID: 2, At: galleryWhen(40), AsFound: kg(125), Paid: new(quantity.Price(800_000)), Strike: &scrap.Strike{At: galleryWhen(39), By: 2, Reason: "a decimal mark was left out"}},
		{ID: 1, At: galleryWhen(400), AsCharged: kg(8), Charged: 8200 * gram},
	}
}

func scrapFormScenes() []scene {
	style := quantity.Style{Currency: "EUR", Zone: time.UTC}
	p := gallerySources()[3]
	change := views.SourceForm{Filled: filled(newForm(typedSource(p, style), style)), ID: p.ID, Name: p.Name}
	wrong := newForm(url.Values{"name": {""}, "form": {""}, "paid": {"cheap"}, "fetches": {"-1"}, "sure": {"sure"}}, style)
	wrong.source(scrap.Source{}, galleryNow)
	heavy := newForm(url.Values{"as_found": {"10"}, "as_charged": {"9"}, "steel": {"3"}, "at_date": {"2027-01-01"}}, style)
	heavy.lot(p, galleryNow)
	grown := newForm(url.Values{"as_found": {"10"}, "as_charged": {"12"}}, style)
	grown.lot(p, galleryNow)
	return []scene{
		{"scrap/new", "New scrap", views.SourceForm{Key: galleryKey()}.Page},
		{"scrap/edit", "Change scrap", change.Page},
		{"scrap/refused", "New scrap, refused", views.SourceForm{Filled: filled(wrong), Key: galleryKey()}.Page},
		{"scrap/delivery", "A delivery", views.LotForm{Source: p, Key: galleryKey(), Hazards: views.HazardsOf(p)}.Page},
		{"scrap/delivery-refused", "A delivery still to come", views.LotForm{Filled: filled(heavy), Source: p, Key: galleryKey()}.Page},
		{"scrap/delivery-grown", "A delivery that grew", views.LotForm{Filled: filled(grown), Source: p, Key: galleryKey()}.Page},
	}
}
