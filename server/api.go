package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"slices"
	"time"

	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
	"drosswise/foundry/sheet"
	"drosswise/server/api"
	"drosswise/store"
	"drosswise/views"
)

// answerJSON writes an answer for a program, whole or not at all.
func (a *app) answerJSON(w http.ResponseWriter, body any) error {
	var b bytes.Buffer
	if err := json.NewEncoder(&b).Encode(body); err != nil {
		return fmt.Errorf("write JSON: %w", err)
	}
	w.Header().Set("Content-Type", "application/json")
	if _, err := b.WriteTo(w); err != nil {
		a.log.Debug("answer not taken", "err", err)
	}
	return nil
}

// madeJSON says what an answer was made from.
type madeJSON struct {
	At     time.Time `json:"at"`     // of the newest melts in it
	Old    bool      `json:"old"`    // a newer one is being made
	Ranked bool      `json:"ranked"` // false while there are too few melts to tell sources apart
	Melts  int       `json:"melts"`
}

func made(est *estimated, old bool) madeJSON {
	return madeOf(views.Yields{Estimates: est.Estimates, At: est.At, Old: old})
}

func madeOf(y views.Yields) madeJSON {
	return madeJSON{y.At.Time().UTC(), y.Old, y.Ranked, y.Metal.Melts}
}

// sourceTold is a source for a program. Shares are fractions of 1, masses kg.
type sourceTold struct {
	ID      int64         `json:"id"`
	Name    string        `json:"name"`
	Form    scrap.Form    `json:"form"`
	Coating scrap.Coating `json:"coating"`
	Ended   bool          `json:"ended"`
	recovery.SourceEstimate
	Why []string `json:"why"` // the reasons in words
}

// sourcesTold is what all melts tell of all scrap.
type sourcesTold struct {
	Made        madeJSON              `json:"estimate"`
	Scatter     recovery.Range        `json:"scatter" doc:"Of recovery, melt to melt."`
	Sources     []sourceTold          `json:"sources"`
	Groups      []recovery.Group      `json:"groups"`
	Experiments []recovery.Experiment `json:"experiments"`
	Suspects    []recovery.MeltFit    `json:"suspects"`
	Out         []recovery.Out        `json:"out"`
}

func sourcesJSON(a *app, ctx context.Context, v visit, _ *struct{}) (body sourcesTold, err error) {
	est, old := a.yields.latest(ctx)
	if est == nil {
		return body, errNotYet
	}
	sources, err := a.store.Sources(ctx)
	if err != nil {
		return body, err
	}
	return sourcesTold{made(est, old), est.Metal.Scatter, tellAll(est, sources), est.Groups, orNone(est.Experiments()), orNone(est.Suspects()), est.Out}, nil
}

// orNone keeps a list that is empty from being written as null.
func orNone[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

// tellAll pairs sources with what is told of them; those newer than the
// estimate are left out.
func tellAll(est *estimated, sources []scrap.Source) []sourceTold {
	known := make(map[int64]scrap.Source, len(sources)+1)
	names := make(map[int64]string, len(sources))
	for _, p := range sources {
		known[p.ID], names[p.ID] = p, p.Name
	}
	known[sheet.OwnIngots] = scrap.Source{Name: "own ingots", Form: scrap.Ingot, Coating: "bare"}
	names[sheet.OwnIngots] = "own ingots"
	all := make([]sourceTold, 0, len(est.Sources))
	for _, s := range est.Sources {
		p, ok := known[s.Source]
		if !ok || s.Source == sheet.OwnIngots && s.Melts == 0 {
			continue
		}
		told := sourceTold{s.Source, p.Name, p.Form, p.Coating, p.Ended != nil, s, []string{}}
		for _, reason := range s.Reasons {
			told.Why = append(told.Why, reason.Say(func(id int64) string { return names[id] }))
		}
		all = append(all, told)
	}
	return all
}

// sourceWhole is what all melts tell of one kind of scrap, and what is written
// down of it.
type sourceWhole struct {
	Made   *madeJSON          `json:"estimate" doc:"null before the first estimate with it."`
	Facts  api.Source         `json:"facts"`
	Belief api.Belief         `json:"belief" doc:"What the shop believes of it; empty where it goes by its form and coating."`
	Source *sourceTold        `json:"source" doc:"null before the first estimate with it."`
	Fits   []recovery.MeltFit `json:"melts" nullable:"false" doc:"The latest it was in."`
}

func sourceJSON(a *app, ctx context.Context, v visit, in *api.Numbered) (body sourceWhole, err error) {
	p, err := a.store.Source(ctx, in.ID)
	if err != nil {
		return body, err
	}
	beliefs, err := a.store.Beliefs(ctx)
	if err != nil {
		return body, err
	}
	body = sourceWhole{Facts: api.SourceOf(p), Belief: tellBelief(beliefs[p.ID]), Fits: []recovery.MeltFit{}}
	sources, err := a.store.Sources(ctx)
	if err != nil {
		return body, err
	}
	est, old := a.yields.latest(ctx)
	if est == nil {
		return body, nil
	}
	all := tellAll(est, sources)
	at := slices.IndexFunc(all, func(s sourceTold) bool { return s.ID == p.ID })
	if at < 0 { // newer than the estimate
		return body, nil
	}
	body.Made, body.Source = new(made(est, old)), &all[at]
	rows, _, err := a.store.Melts(ctx, store.Filter{Source: p.ID}, store.Place{}, false, fitsShown)
	if err != nil {
		return body, err
	}
	wanted := make(map[int64]bool, len(rows))
	for _, row := range rows {
		wanted[row.ID] = true
	}
	for _, m := range est.Melts {
		if wanted[m.Melt] {
			body.Fits = append(body.Fits, m)
		}
	}
	return body, nil
}

// toldComparison is one source beside another.
type toldComparison struct {
	Made madeJSON `json:"estimate"`
	recovery.Comparison
	Ten *tenPoints `json:"ten_points,omitempty" doc:"Absent while metal has no price."`
}

// twoSources are the two that are compared.
type twoSources struct {
	A int64 `query:"a" required:"true" doc:"Number of a source."`
	B int64 `query:"b" required:"true" doc:"Number of another."`
}

func compareJSON(a *app, ctx context.Context, v visit, in *twoSources) (body toldComparison, err error) {
	c, page, err := a.comparison(ctx, v, in.A, in.B)
	if err != nil {
		return body, err
	}
	body = toldComparison{Made: madeOf(page.Told), Comparison: c}
	if page.Metal != nil {
		power := 0.0
		if page.Power != nil {
			power = page.Power.Units()
		}
		money, kWh := recovery.TenPoints(page.Metal.Price.Units(), power)
		body.Ten = &tenPoints{Money: money, Currency: v.shop.Currency, Basis: page.Metal.Basis}
		if !math.IsNaN(kWh) {
			body.Ten.KWh = &kWh
		}
	}
	return body, nil
}

// tenPoints is what ten points of recovery are worth per kg charged.
type tenPoints struct {
	Money    float64  `json:"money"`
	Currency string   `json:"currency"`
	KWh      *float64 `json:"kwh,omitempty"` // absent while electricity has no price
	Basis    string   `json:"basis"`
}
