package main

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/melt"
	"drosswise/foundry/scrap"
	"drosswise/store"
	"drosswise/views"
)

func codeOf(r *http.Request) melt.Code { return melt.Code(chi.URLParam(r, "code")) }

func meltPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	ctx := r.Context()
	// The version is read before the lines: at worst they are newer, and asked
	// for once more.
	version, err := a.store.Version(ctx, codeOf(r))
	if upper := melt.Code(strings.ToUpper(string(codeOf(r)))); errors.Is(err, store.ErrNotFound) && upper != codeOf(r) { // typed by hand
		if _, _, _, ok := upper.Parts(); ok {
			return seeOther(w, r, "/melts/"+string(upper))
		}
	}
	if err != nil {
		return err
	}
	h, lines, err := a.store.Melt(ctx, codeOf(r))
	if err != nil {
		return err
	}
	page := views.Melt{Heading: h, Lines: lines, Version: version, May: v.may(melter), Done: r.URL.Query().Get("done")}
	if page.May {
		page.Keys = views.MeltKeys{Power: newKey(), Stamp: newKey(), Undo: newKey()}
	}
	if page.Sheet, err = a.store.Sheet(ctx, h.ID); err != nil {
		return err
	}
	if page.Names, err = a.names(ctx, lines); err != nil {
		return err
	}
	if page.Photos, err = a.photosOfMelt(ctx, h, lines, page.Names, v.style); err != nil {
		return err
	}
	if err := a.crucibleOf(ctx, &page); err != nil {
		return err
	}
	if err := a.curvesOf(ctx, v, &page); err != nil {
		return err
	}
	if err := a.expectOf(ctx, &page); err != nil {
		return err
	}
	return a.show(w, r, http.StatusOK, page.Page(a.frame(r, v, "Melt "+string(h.Code), "melts")))
}

// crucibleOf fills in what the page says of the crucible.
func (a *app) crucibleOf(ctx context.Context, page *views.Melt) error {
	id := melt.KitOf(page.Heading, melt.Standing(page.Lines)).Crucible
	if id == 0 {
		return nil
	}
	if fill, basis, ok := page.Names.Kit[id].SafeFill(); ok {
		page.SafeFill, page.FillFrom = &fill, basis
	}
	if page.Sheet.State != melt.Running {
		return nil
	}
	wears, err := a.store.Wears(ctx)
	if err != nil {
		return err
	}
	page.HeatNo = wears[id].Heats
	if melt.Charged(melt.Standing(page.Lines)) == 0 {
		page.HeatNo++
	}
	page.HeelLeft, page.HeelFrom, err = a.store.HeelLeft(ctx, id, store.Place{At: page.Heading.At, ID: page.Heading.ID})
	if page.HeelLeft != nil && *page.HeelLeft == 0 {
		page.HeelLeft = nil
	}
	return err
}

// names gathers what lines refer to.
func (a *app) names(ctx context.Context, lines []melt.Line) (n views.Names, err error) {
	items, err := a.store.Kit(ctx)
	if err != nil {
		return n, err
	}
	n.Kit = byID(items)
	sources, err := a.store.Sources(ctx)
	if err != nil {
		return n, err
	}
	n.Sources = make(map[int64]scrap.Source, len(sources))
	for _, p := range sources {
		n.Sources[p.ID] = p
	}
	if n.People, err = a.store.Names(ctx); err != nil {
		return n, err
	}
	n.Pours = map[int64]melt.Code{}
	for _, l := range lines {
		if l.Pour == 0 {
			continue
		}
		if n.Pours[l.Pour], err = a.store.CodeOf(ctx, l.Pour); err != nil {
			return n, err
		}
	}
	return n, nil
}
