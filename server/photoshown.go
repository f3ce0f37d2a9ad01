package main

import (
	"context"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
	"drosswise/server/photo"
	"drosswise/store"
	"drosswise/views"
)

// shownPhoto is a photo as a page shows it.
func shownPhoto(p store.Photo, what string, people map[int64]string, s quantity.Style) views.Photo {
	shown := views.Photo{ID: p.ID, Of: what, At: p.At, By: people[p.By], Note: p.Note, Width: p.Width, Height: p.Height}
	shown.ThumbWidth, shown.ThumbHeight = photo.ThumbSize(p.Width, p.Height)
	if k := p.Strike; k != nil {
		shown.Struck = &views.Struck{Reason: k.Reason, Who: people[k.By], When: s.DateTime(k.At)}
	}
	return shown
}

// photosOfMelt are the photos that stand, by line.
func (a *app) photosOfMelt(ctx context.Context, h melt.Heading, lines []melt.Line, n views.Names, s quantity.Style) (map[int64][]views.Photo, error) {
	photos, err := a.store.MeltPhotos(ctx, h.ID)
	if err != nil {
		return nil, err
	}
	what := map[int64]string{}
	for _, l := range lines {
		what[l.ID] = views.PhotoOfLine(l, h.Code, n)
	}
	all := map[int64][]views.Photo{}
	for _, p := range photos {
		if p.Stands() {
			all[p.Of.Line] = append(all[p.Of.Line], shownPhoto(p, what[p.Of.Line], n.People, s))
		}
	}
	return all, nil
}

// photosOfKit fills in the photos of a piece of kit: by line, and over its life
// with those of its melts and the heats that it had by then.
func (a *app) photosOfKit(ctx context.Context, page *views.KitItem, allOfLife bool, s quantity.Style) error {
	photos, err := a.store.KitPhotos(ctx, page.Item.ID)
	if err != nil {
		return err
	}
	lines := map[int64]kit.Line{}
	for _, l := range page.Lines {
		lines[l.ID] = l
	}
	page.Photos = map[int64][]views.Photo{}
	for _, p := range photos {
		if p.Stands() {
			l := lines[p.Of.KitLine]
			page.Photos[l.ID] = append(page.Photos[l.ID], shownPhoto(p, views.PhotoOfKit(page.Item, l), page.Names.People, s))
		}
	}
	most := lifeShown
	if allOfLife {
		most = -1
	}
	life, older, err := a.store.LifePhotos(ctx, page.Item, most)
	page.OlderLife = older
	for _, p := range life {
		what := views.PhotoOfKit(page.Item, lines[p.Of.KitLine])
		if p.Code != "" {
			page.Names.Pours[p.Line.Pour] = p.PourOf
			what = views.PhotoOfLine(p.Line, p.Code, page.Names)
		}
		shown := shownPhoto(p.Photo, what, page.Names.People, s)
		shown.Melt, shown.Heats = p.Code, p.Heats
		page.Life = append(page.Life, shown)
	}
	return err
}

// lifeShown is how many of the newest photos of a life are shown until all are
// asked for.
const lifeShown = 24

// photosOfLots are the photos that stand of a source's deliveries.
func (a *app) photosOfLots(ctx context.Context, p scrap.Source, people map[int64]string, s quantity.Style) (map[int64][]views.Photo, error) {
	photos, err := a.store.LotPhotos(ctx, p.ID)
	if err != nil {
		return nil, err
	}
	all := map[int64][]views.Photo{}
	for _, ph := range photos {
		if ph.Stands() {
			all[ph.Of.Lot] = append(all[ph.Of.Lot], shownPhoto(ph, deliveryOf(p), people, s))
		}
	}
	return all, nil
}
