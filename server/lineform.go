package main

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
	"drosswise/store"
	"drosswise/views"
)

// addPage shows the form for a line of a kind; with ?of=LINE it is filled with
// that line, which the new one will take the place of.
func addPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	h, lines, err := a.store.Melt(r.Context(), codeOf(r))
	if err != nil {
		return err
	}
	spec, ok := melt.SpecOf(melt.Kind(chi.URLParam(r, "kind")))
	if !ok {
		return store.ErrNotFound
	}
	f := newForm(url.Values{}, v.style)
	var shut melt.Refusals
	if errors.As(melt.CheckOpen(h, lines, spec.Kind), &shut) {
		f.refuse(shut)
	}
	of := pathID(r.URL.Query().Get("of"))
	if of != 0 {
		i := slices.IndexFunc(lines, func(l melt.Line) bool { return l.ID == of })
		if i < 0 {
			return store.ErrNotFound
		}
		f.values = typed(lines[i], v.style)
	}
	return a.showLineForm(w, r, v, http.StatusOK, h, lines, spec, of, f)
}

func (a *app) showLineForm(w http.ResponseWriter, r *http.Request, v visit, status int, h melt.Heading, lines []melt.Line, spec melt.Spec, of int64, f *form) error {
	ctx := r.Context()
	names, err := a.names(ctx, lines)
	if err != nil {
		return err
	}
	var sources []views.Option
	if spec.Uses(melt.PartSource) {
		if sources, err = a.charges(ctx, v.style, names, lines); err != nil {
			return err
		}
	}
	page := lineForm(v, h, lines, spec, f, names, sources)
	if spec.Kind == melt.Checked {
		if page.Points, err = a.points(ctx, v, h, lines, names); err != nil {
			return err
		}
	}
	page.Of = of
	if status == http.StatusOK {
		page.Shut = f.faults["kind"]
	}
	if status != http.StatusOK {
		page.Key = f.values.Get("key")
	}
	presume(&page, h, lines)
	return a.show(w, r, status, page.Page(a.frame(r, v, spec.Verb+", melt "+string(h.Code), "melts")))
}

// lineForm is the form for a kind of line of a melt, with what is typed in f.
func lineForm(v visit, h melt.Heading, lines []melt.Line, spec melt.Spec, f *form, names views.Names, sources []views.Option) views.LineForm {
	page := views.LineForm{
		Code: h.Code, Spec: spec, Key: newKey(), Typed: f.values, Faults: f.faults, Doubts: f.doubts, Names: names, Sources: sources,
		Today: v.style.DateInput(h.At), InPast: v.now.Since(h.At) > 12*quantity.Hour && spec.Kind != melt.Close && spec.Kind != melt.Reopen && spec.Kind != melt.Void,
	}
	standing := melt.Standing(lines)
	for _, l := range standing {
		if l.Kind == melt.Charge && l.Source != 0 {
			page.Hazards = page.Hazards.Or(views.HazardsOf(names.Sources[l.Source]))
		}
	}
	page.Hazards.HotMetal = views.MetalIsHot(standing)
	if spec.Kind == melt.Close {
		page.Open = melt.StillOpen(standing)
	}
	return page
}

// presume chooses what was used last, where nothing is typed yet: the scale,
// the source, the thermocouple, where the temperature was read, and whether the charge goes into hot metal.
func presume(page *views.LineForm, h melt.Heading, lines []melt.Line) {
	fill := url.Values{}
	for k, v := range page.Typed {
		fill[k] = v
	}
	set := func(name string, id int64) {
		if _, had := fill[name]; !had && id != 0 {
			fill.Set(name, strconv.FormatInt(id, 10))
		}
	}
	standing := melt.Standing(lines)
	for _, l := range slices.Backward(standing) {
		set("scale", l.Scale)
	}
	set("probe", h.Probe)
	if page.Spec.Kind == melt.Charge && page.Of == 0 && len(page.Typed) == 0 {
		if l, ok := melt.Last(standing, melt.Charge); ok && l.Pour == 0 {
			fill.Set("source", chargeValue(l))
			if l.AsFound {
				fill.Set("basis", "found")
			}
		}
		if views.MetalIsHot(standing) {
			fill.Set("into_hot", "1")
		}
	}
	if page.Spec.Kind == melt.Temperature && page.Of == 0 && len(page.Typed) == 0 {
		if l, ok := melt.Last(standing, melt.Temperature); ok {
			fill.Set("which", string(l.Which))
		}
	}
	page.Typed = fill
}

const (
	// openLots is how many deliveries of each source are offered when charging.
	openLots = 5
	// Of the last so many melts so many kinds of scrap are offered first.
	recentMelts   = 5
	recentSources = 5
)

// charges lists what can be charged: the scrap that was charged last, the others
// by name, each with its latest deliveries that have something left, then ingots of the latest pours, then whatever else
// the melt's own lines name, so that a correction can keep it.
func (a *app) charges(ctx context.Context, style quantity.Style, names views.Names, lines []melt.Line) ([]views.Option, error) {
	var options []views.Option
	lots, err := a.store.OpenLots(ctx, openLots)
	if err != nil {
		return nil, err
	}
	recent, err := a.store.RecentSources(ctx, recentMelts)
	if err != nil {
		return nil, err
	}
	recent = recent[:min(len(recent), recentSources)]
	sources := names.SortedSources()
	place := func(p scrap.Source) int { // among the recent ones, behind them for all others
		if i := slices.Index(recent, p.ID); i >= 0 {
			return i
		}
		return len(recent)
	}
	slices.SortStableFunc(sources, func(p, q scrap.Source) int { return place(p) - place(q) })
	for _, p := range sources {
		if p.Ended != nil {
			continue
		}
		group := "Charged last"
		if place(p) == len(recent) {
			group = "Other scrap"
		}
		options = append(options, views.Option{Value: fmt.Sprintf("source-%d", p.ID), Label: p.Name, Group: group})
		for _, l := range lots {
			if left, _ := l.Left(); l.Source == p.ID {
				options = append(options, views.Option{Value: fmt.Sprintf("lot-%d-%d", p.ID, l.ID), Label: fmt.Sprintf("%s, delivery of %s (%s left)", p.Name, style.Date(l.At), style.Mass(left)), Group: group})
			}
		}
	}
	pours, err := a.store.RecentPours(ctx, 20)
	if err != nil {
		return nil, err
	}
	for _, p := range pours {
		if slices.ContainsFunc(lines, func(l melt.Line) bool { return l.ID == p.ID }) {
			continue
		}
		options = append(options, views.Option{Value: fmt.Sprintf("pour-%d", p.ID), Label: fmt.Sprintf("Ingots of %s (%s poured)", p.Code, style.Mass(p.Mass)), Group: "Ingots"})
	}
	for _, l := range lines {
		value := chargeValue(l)
		if value == "" || slices.ContainsFunc(options, func(o views.Option) bool { return o.Value == value }) {
			continue
		}
		options = append(options, views.Option{Value: value, Label: nameOfCharge(l, names), Group: "In this melt"})
	}
	return options, nil
}

// nameOfCharge calls what a line charged by its name.
func nameOfCharge(l melt.Line, names views.Names) string {
	switch {
	case l.Pour != 0:
		return "Ingots of " + string(names.Pours[l.Pour])
	case l.Lot != 0:
		return names.Sources[l.Source].Name + ", an earlier delivery"
	}
	return names.Sources[l.Source].Name
}

// chargeValue names what a charge line put in, as the form does.
func chargeValue(l melt.Line) string {
	switch {
	case l.Pour != 0:
		return fmt.Sprintf("pour-%d", l.Pour)
	case l.Lot != 0:
		return fmt.Sprintf("lot-%d-%d", l.Source, l.Lot)
	case l.Source != 0:
		return fmt.Sprintf("source-%d", l.Source)
	}
	return ""
}

// readCharge is the opposite of chargeValue; what it cannot read names nothing.
func readCharge(l *melt.Line, value string) {
	parts := strings.Split(value, "-")
	switch {
	case len(parts) == 2 && parts[0] == "source":
		l.Source = pathID(parts[1])
	case len(parts) == 2 && parts[0] == "pour":
		l.Pour = pathID(parts[1])
	case len(parts) == 3 && parts[0] == "lot":
		l.Source, l.Lot = pathID(parts[1]), pathID(parts[2])
	}
}
