package main

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"

	"drosswise/foundry/melt"
	"drosswise/foundry/recovery"
	"drosswise/server/api"
	"drosswise/store"
	"drosswise/views"
)

// meltOperations are what programs do with melts.
var meltOperations = slices.Concat([]offered{
	offer(operation{method: get, path: "/api/v1/melts", id: "list-melts", least: reader, tag: "melts", summary: "List melts, the newest first."}, listMelts),
	offer(operation{method: post, path: "/api/v1/melts", id: "start-melt", least: melter, tag: "melts", summary: "Start a melt.", status: http.StatusCreated}, startMelt),
	offer(operation{method: get, path: "/api/v1/melts/{code}", id: "get-melt", least: reader, tag: "melts", summary: "A melt with its lines and figures."}, getMelt),
	offer(operation{method: get, path: "/api/v1/melts/{code}/expected", id: "get-expected", least: reader, tag: "melts", summary: "What the charge of a melt lets expect, by all other melts."}, getExpected),
	offer(operation{method: post, path: "/api/v1/melts/{code}/lines", id: "add-line", least: melter, tag: "melts", summary: "Write a line of a melt.", status: http.StatusCreated,
		more: "Which parts a kind of line has, and which it must have, is as on its form. What is doubted is refused with `doubted`, and taken when it is sent again with `sure`."}, addLine),
	offer(operation{method: post, path: "/api/v1/melts/{code}/lines/{line}/replace", id: "replace-line", least: melter, tag: "melts", summary: "Strike a line and write another in its place.", status: http.StatusCreated}, replaceLine),
	offer(operation{method: get, path: "/api/v1/years/{year}", id: "get-year", least: reader, tag: "melts", summary: "What the melts of a year came to, by month and by source."}, yearJSON),
}, strikes(operation{path: "/api/v1/melts/{code}/lines/{line}", id: "line", least: melter, tag: "melts", summary: "a line of a melt"},
	func(a *app, ctx context.Context, v visit, in *struct {
		api.Coded
		api.OfLine
		api.Once[api.Marking]
	}, strike bool) error {
		m, err := markOf(v, in.Once, strike)
		if err != nil {
			return err
		}
		return a.store.Strike(ctx, v.person.ID, melt.Code(in.Code), in.Line, m)
	}))

// listing says which melts a program wants to see.
type listing struct {
	Words   string `query:"q" maxLength:"200" doc:"Words in codes, notes, moulds and names."`
	Source  int64  `query:"source" doc:"Number of a source that was charged."`
	Furnace int64  `query:"furnace" doc:"Number of the furnace."`
	From    string `query:"from" pattern:"^[0-9]{4}-[0-9]{2}$" doc:"First month, such as 2026-01."`
	To      string `query:"to" pattern:"^[0-9]{4}-[0-9]{2}$" doc:"Last month."`
	Running bool   `query:"running" doc:"Only those that run; all else is left unread."`
	Before  string `query:"before" maxLength:"40" doc:"As the part before this one gave it."`
	Limit   int    `query:"limit" minimum:"1" maximum:"200" default:"50"`
}

func listMelts(a *app, ctx context.Context, v visit, in *listing) (told api.Melts, err error) {
	told.Melts = []api.Melted{}
	if in.Running {
		rows, err := a.store.RunningMelts(ctx)
		for _, r := range rows {
			told.Melts = append(told.Melts, melted(r))
		}
		return told, err
	}
	q, faults := url.Values{"q": {in.Words}, "from": {in.From}, "to": {in.To}, "before": {in.Before}}, map[string]string{}
	filter := filterOf(q, v.style, faults)
	filter.Source, filter.Furnace = in.Source, in.Furnace
	for field, sentence := range faults {
		return told, &api.Problem{Type: "about:blank", Title: "That does not fit", Status: http.StatusUnprocessableEntity, Detail: sentence,
			Errors: []api.Wrong{{Location: "query." + field, Message: sentence}}}
	}
	place, _ := placeOf(q)
	rows, more, err := a.store.Melts(ctx, filter, place, false, in.Limit)
	if err != nil {
		return told, err
	}
	for _, r := range rows {
		told.Melts = append(told.Melts, melted(r))
	}
	if more {
		last := rows[len(rows)-1]
		told.Older = fmt.Sprintf("%d-%d", last.Started, last.ID)
	}
	return told, nil
}

func melted(r store.Row) api.Melted {
	told := api.Melted{
		Code: string(r.Code), State: api.State(r.State), At: r.Started.Time().UTC(), Furnace: r.Furnace, Crucible: r.Crucible, Element: r.Element,
		Charged: r.Charged.Kilograms(), Yield: r.Yield, YieldU: r.YieldU, Sources: orNone(r.Sources),
	}
	if r.Recovered != nil {
		told.Recovered = new(r.Recovered.Kilograms())
	}
	if r.Energy != nil {
		told.Energy = new(r.Energy.KilowattHours())
	}
	return told
}

func getMelt(a *app, ctx context.Context, v visit, in *api.Coded) (told api.Melt, err error) {
	return a.tellMelt(ctx, v, melt.Code(in.Code))
}

func (a *app) tellMelt(ctx context.Context, v visit, code melt.Code) (told api.Melt, err error) {
	if told.Version, err = a.store.Version(ctx, code); err != nil {
		return told, err
	}
	h, lines, err := a.store.Melt(ctx, code)
	if err != nil {
		return told, err
	}
	if told.Sheet, err = a.store.Sheet(ctx, h.ID); err != nil {
		return told, err
	}
	told.Heading = api.HeadingOf(h, told.Sheet.State)
	told.Lines, told.Flags = []api.Line{}, []string{}
	for _, l := range lines {
		told.Lines = append(told.Lines, api.LineOf(l, v.style.Exponent()))
	}
	for _, f := range told.Sheet.Flags {
		told.Flags = append(told.Flags, f.Say(v.style))
	}
	return told, nil
}

// expectedOf is what a charge lets expect. Shares are fractions of the charge, low
// to high nine chances in ten.
type expectedOf struct {
	Expected *recovery.Expectation `json:"expected" doc:"Of a melt that runs; null for others, and where too little is known of what is charged."`
	Held     *recovery.Held        `json:"recovery" doc:"Of a closed melt its recovery beside what was to be expected; null where one of them is not known."`
	Fit      *recovery.MeltFit     `json:"fit" doc:"Of a closed melt that is in the latest estimate, all that is told of it."`
}

func getExpected(a *app, ctx context.Context, v visit, in *api.Coded) (told expectedOf, err error) {
	h, lines, err := a.store.Melt(ctx, melt.Code(in.Code))
	if err != nil {
		return told, err
	}
	page := views.Melt{Heading: h, Lines: lines}
	if page.Sheet, err = a.store.Sheet(ctx, h.ID); err != nil {
		return told, err
	}
	if page.Names, err = a.names(ctx, lines); err != nil {
		return told, err
	}
	err = a.expectOf(ctx, &page)
	return expectedOf{page.Expect, page.Held, page.Fit}, err
}

func startMelt(a *app, ctx context.Context, v visit, in *api.Once[api.NewMelt]) (told api.Melt, err error) {
	f := keyedForm(v, in.Key, in.Body)
	asked, err := f.heading(v.now)
	if err != nil {
		return told, err
	}
	h := asked
	if f.ok() {
		h, err = a.store.Start(ctx, v.person.ID, asked, in.Body.Why)
		var refused melt.Refusals
		switch {
		case errors.As(err, &refused):
			f.refuse(refused)
		case errors.Is(err, store.ErrNotFound):
			f.fault("furnace", "That kit is not there any more. Choose again.")
		case err != nil:
			return told, err
		}
	}
	if err := f.wrong(in.Body); err != nil {
		return told, err
	}
	if in.Body.At != nil && asked.At != h.At {
		return told, store.ErrKeyUsed
	}
	return a.tellMelt(ctx, v, h.Code)
}

func addLine(a *app, ctx context.Context, v visit, in *struct {
	api.Coded
	api.Once[api.NewLine]
}) (api.Line, error) {
	return a.writeLine(ctx, v, melt.Code(in.Code), 0, keyedForm(v, in.Key, in.Body), in.Body.Parts, in.Body)
}

func replaceLine(a *app, ctx context.Context, v visit, in *struct {
	api.Coded
	api.OfLine
	api.Once[api.Anew]
}) (api.Line, error) {
	return a.writeLine(ctx, v, melt.Code(in.Code), in.Line, keyedForm(v, in.Key, in.Body), in.Body.Parts, in.Body)
}

// writeLine writes the line of a form, in the place of another if of names one,
// and gives it as it is stored.
func (a *app) writeLine(ctx context.Context, v visit, code melt.Code, of int64, f *form, parts api.Parts, body any) (told api.Line, err error) {
	spec, _ := melt.SpecOf(melt.Kind(f.values.Get("kind")))
	f.values.Set("source", chargeValue(melt.Line{Source: or(parts.Source, 0), Lot: or(parts.Lot, 0), Pour: or(parts.Pour, 0)}))
	l := f.line(spec)
	if spec.Kind == melt.Checked {
		l.Count = nil
		if parts.Count != nil {
			l.Count = new(int(*parts.Count))
		}
	}
	if l.Key, err = f.key(); err != nil {
		return told, err
	}
	if f.ok() {
		err = a.save(ctx, v, code, of, l, f)
		var refused melt.Refusals
		var gone *store.GoneError
		switch {
		case errors.As(err, &refused):
			f.refuse(refused)
		case errors.As(err, &gone):
			f.fault(gone.Field, goneSentence)
		case err != nil:
			return told, err
		}
	}
	if err := f.wrong(body); err != nil {
		return told, err
	}
	_, lines, err := a.store.Melt(ctx, code)
	if err != nil {
		return told, err
	}
	for _, l := range lines {
		if l.Key == f.values.Get("key") {
			return api.LineOf(l, v.style.Exponent()), nil
		}
	}
	return told, store.ErrNotFound
}
