package main

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/senml"
	"drosswise/server/api"
	"drosswise/store"
)

// takesBatch describes a batch of readings, and makes room for a full one.
func takesBatch(op *huma.Operation) {
	api.TakesSenML(op)
	op.MaxBodyBytes = maxReadings
}

// readingOperations are what programs do with readings.
var readingOperations = slices.Concat([]offered{
	offer(operation{method: post, path: readingsPattern, id: "add-readings", least: melter, tag: "melts", summary: "Send readings of a logger or a plug meter.", change: takesBatch,
		more: "Takes SenML in JSON (RFC 8428), up to 5000 records at a time. The unit says what is read, the name which sensor it is. A reading is told by name, unit and time: sent again it is stored once. What is answered is on disk. A stream (application/sensml+json) may end amid a record: those before it are stored."}, addReadings),
	offer(operation{method: get, path: readingsPattern, id: "list-readings", least: reader, tag: "melts", summary: "Readings of a melt."}, listReadings),
	offer(operation{method: get, path: "/api/v1/melts/{code}/curve", id: "get-curve", least: reader, tag: "melts", summary: "What the readings of a melt come to: energy, heating, plateaus and doubts."}, getCurve),
}, strikes(operation{path: "/api/v1/melts/{code}/series/{id}", id: "series", least: melter, tag: "melts", summary: "a series of readings"},
	func(a *app, ctx context.Context, v visit, in *struct {
		api.Coded
		api.Numbered
		api.Once[api.Marking]
	}, strike bool) error {
		m, err := markOf(v, in.Once, strike)
		if err != nil {
			return err
		}
		return a.strikeSeries(ctx, v, melt.Code(in.Code), in.ID, m)
	}))

// notTaken is the problem of a batch of which nothing was kept.
func notTaken(location, sentence string) error {
	return &api.Problem{Type: "about:blank", Title: notWritten, Status: http.StatusUnprocessableEntity, Detail: sentence, Errors: []api.Wrong{{Location: location, Message: sentence}}}
}

func addReadings(a *app, ctx context.Context, v visit, in *struct {
	api.Coded
	api.Readings
}) (told api.Taken, err error) {
	code := melt.Code(in.Code)
	h, err := a.store.Heading(ctx, code)
	if err != nil {
		return told, err
	}
	now, b := v.now, store.Sending{}
	if in.Key != "" {
		if b.Key, err = keyedForm(v, in.Key, struct{}{}).key(); err != nil {
			return told, notTaken("header.Idempotency-Key", "That is no key. Make it of 8 to 64 letters a to z, A to Z, 0 to 9 and -.")
		}
		// What comes again is read as it was when it first came.
		first, err := a.store.FirstSent(ctx, b.Key)
		if err != nil {
			return told, err
		}
		if first != 0 {
			now = first
		}
	}
	limits := batchLimits
	if limits.Open, err = in.Listed(); err != nil {
		return told, err
	}
	records, err := senml.Decode(in.RawBody, now, limits)
	var refused *senml.Refusal
	if errors.As(err, &refused) {
		return told, notTaken(place(refused), refused.Error())
	}
	if err != nil {
		return told, err
	}
	var shift quantity.Span
	if !in.Clock.IsZero() {
		if shift = now.Since(quantity.At(in.Clock)); shift > -leastOff && shift < leastOff {
			shift = 0
		}
	}
	all := sortReadings(records, shift, !in.Clock.IsZero())
	if len(all.series) == 0 {
		return told, notTaken("body", strings.Join(append([]string{"No record is a reading of a melt."}, all.says...), " "))
	}
	if sentence := all.outside(now, h.At); sentence != "" {
		return told, notTaken("body", sentence)
	}
	if b.Series = all.series; all.loose && b.Key == "" {
		return told, notTaken("header.Idempotency-Key", "Times hang on when this came. Send an Idempotency-Key of 8 to 64 letters and digits with it, made anew for each batch, so that a repetition is known.")
	}
	taken, err := a.store.AddReadings(ctx, v.person.ID, code, b, now)
	if err != nil {
		return told, err
	}
	if taken.New > 0 {
		a.curves.want(h.ID)
	}
	told = api.Taken{Stored: taken.New, Had: taken.Had, Other: taken.Other, Passed: all.passed, MovedBy: float64(shift) / float64(quantity.Second), Says: all.says}
	if shift != 0 {
		told.Says = append(told.Says, fmt.Sprintf("The logger's clock is %s; its times were moved by that.", off(shift)))
	}
	told.Says = orNone(told.Says)
	return told, nil
}

// place is where in a body a refusal is about.
func place(r *senml.Refusal) string {
	if r.Record == 0 {
		return "body"
	}
	return fmt.Sprintf("body[%d]", r.Record-1)
}

// off says by how much a clock is off whose times are to be moved by a span.
func off(shift quantity.Span) string {
	d := time.Duration(shift) * time.Millisecond
	if d > 0 {
		return d.Round(time.Second).String() + " behind"
	}
	return (-d).Round(time.Second).String() + " ahead"
}

func listReadings(a *app, ctx context.Context, v visit, in *struct {
	api.Coded
	api.Asking
}) (told api.ReadingsTold, err error) {
	h, err := a.store.Heading(ctx, melt.Code(in.Code))
	if err != nil {
		return told, err
	}
	all, err := a.store.MeltSeries(ctx, h.ID)
	if err != nil {
		return told, err
	}
	told.Series, told.Readings = []api.Series{}, []api.Reading{}
	for _, s := range all {
		told.Series = append(told.Series, tellSeries(s))
		if s.ID != in.Series {
			continue
		}
		after := quantity.Moment(0)
		if !in.After.IsZero() {
			after = quantity.At(in.After)
		}
		samples, err := a.store.Readings(ctx, s.ID, after, in.Limit+1)
		if err != nil {
			return told, err
		}
		if told.More = len(samples) > in.Limit; told.More {
			samples = samples[:in.Limit]
		}
		for _, x := range samples {
			told.Readings = append(told.Readings, api.Reading{At: x.At.Time(), Value: s.Channel.Plain(x.Value)})
		}
	}
	if in.Series != 0 && !slices.ContainsFunc(all, func(s store.Series) bool { return s.ID == in.Series }) {
		return told, store.ErrNotFound
	}
	return told, nil
}

func getCurve(a *app, ctx context.Context, v visit, in *api.Coded) (told api.Curve, err error) {
	h, err := a.store.Heading(ctx, melt.Code(in.Code))
	if err != nil {
		return told, err
	}
	report, _, old, err := a.curveOf(ctx, h.ID)
	return api.CurveOf(report, old, v.style), err
}

func tellSeries(s store.Series) api.Series {
	told := api.Series{ID: s.ID, Channel: api.Channel(s.Channel), Name: s.Name, Unit: s.Channel.Unit(), Count: s.Samples, Moved: float64(s.Shift) / float64(quantity.Second)}
	if s.Strike != nil {
		told.Struck = &api.Struck{At: s.Strike.At.Time(), By: s.Strike.By, Reason: s.Strike.Reason}
	}
	return told
}
