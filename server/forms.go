package main

import (
	"net/http"
	"net/url"

	"drosswise/foundry/melt"
	"drosswise/views"
)

// formsPage is the forms of every kind of line, for a phone to keep.
func formsPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	ctx := r.Context()
	h, lines, err := a.store.Melt(ctx, codeOf(r))
	if err != nil {
		return err
	}
	names, err := a.names(ctx, lines)
	if err != nil {
		return err
	}
	sources, err := a.charges(ctx, v.style, names, lines)
	if err != nil {
		return err
	}
	page := views.Forms{Code: h.Code}
	for _, spec := range melt.Specs() {
		form := lineForm(v, h, lines, spec, newForm(url.Values{}, v.style), names, sources)
		if spec.Kind == melt.Checked {
			if form.Points, err = a.points(ctx, v, h, lines, names); err != nil {
				return err
			}
		}
		form.Apart = true
		presume(&form, h, lines)
		page.Lines = append(page.Lines, form)
	}
	return a.show(w, r, http.StatusOK, page.Page(views.Frame{Title: "Forms of melt " + string(h.Code), Style: v.style, Now: v.now}))
}
