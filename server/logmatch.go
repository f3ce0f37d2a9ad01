package main

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/curve"
	"drosswise/foundry/logfile"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/table"
	"drosswise/store"
	"drosswise/views"
)

// logMatch reads a file that waits and makes readings of it, matched as the form
// says, else as it was matched before, else as it looks.
func (a *app) logMatch(r *http.Request, v visit, f *form) (page views.LogMatch, err error) {
	ctx := r.Context()
	h, lines, err := a.store.Melt(ctx, codeOf(r))
	if err != nil {
		return page, err
	}
	u, err := a.store.Upload(ctx, chi.URLParam(r, "key"))
	if err != nil {
		return page, err
	}
	if u.Melt != h.ID {
		return page, store.ErrNotFound
	}
	people, err := a.store.Names(ctx)
	if err != nil {
		return page, err
	}
	page = views.LogMatch{Melt: views.Melt{Heading: h, Lines: lines}, File: oldFile(u, people), FormKey: newKey(), Delimiter: delimiterNamed(u.Delimiter)}
	if f != nil {
		page.Delimiter = delimiterNamed(f.values.Get("delimiter"))
	}
	if page.Table, err = table.Read(u.Body, page.Delimiter, logLimits); err != nil && page.Delimiter != 0 {
		page.Delimiter = 0 // what was chosen makes no table of it
		page.Table, err = table.Read(u.Body, 0, logLimits)
	}
	if err != nil {
		return page, err
	}
	switch {
	case f != nil:
		page.Match = f.logMatch(page.Table)
		if page.Delimiter != delimiterNamed(u.Delimiter) { // other columns than those of the form
			page.Match.Columns = logfile.Guess(page.Table, v.style).Columns
		}
		page.Typed = views.Typed{Values: f.values, Faults: f.faults}
	default:
		if page.Match, page.Remembered, err = a.knownLogMatch(ctx, v, u, page.Table); err != nil {
			return page, err
		}
		if page.Match.Start == 0 {
			page.Match.Start = poweredAt(h, lines)
		}
		page.Typed = views.Typed{Values: logTyped(page.Match, v.style)}
	}
	if page.Window = logWindow(h, lines, v.now); f == nil || f.ok() {
		err = a.draftLog(ctx, v, &page)
	}
	return page, err
}

// knownLogMatch is how a file was matched before, or the last one with its
// columns, or how it looks.
func (a *app) knownLogMatch(ctx context.Context, v visit, u store.Upload, t table.Table) (m logfile.Match, remembered bool, err error) {
	had, err := u.LogMatch()
	if err != nil {
		return m, false, err
	}
	if had == nil {
		if had, err = a.store.RememberedLogMatch(ctx, t.Columns); err != nil {
			return m, false, err
		}
		remembered = had != nil
	}
	if had != nil && had.Fits(t) {
		return *had, remembered, nil
	}
	return logfile.Guess(t, v.style), false, nil
}

// draftLog makes readings of a table by its match.
func (a *app) draftLog(ctx context.Context, v visit, page *views.LogMatch) error {
	page.Wrong = page.Match.Check(page.Table)
	page.Why = logfile.Because(page.Table, page.Match, v.style)
	if len(page.Wrong) > 0 {
		return nil
	}
	page.Draft = logfile.Work(page.Table, page.Match, v.style, page.Window)
	if page.Draft.Outside > 0 {
		ahead := logfile.WholeHours(page.Draft.From, page.Draft.To, page.Window.From, page.Window.To, 0)
		page.Guess = ahead
		if ahead != 0 {
			page.Guess += page.Match.Ahead
		}
	}
	all, err := a.store.MeltSeries(ctx, page.Melt.Heading.ID)
	if err != nil {
		return err
	}
	page.Renamed = map[string]string{}
	for i, s := range page.Draft.Series {
		if name := freeName(all, s.Channel, s.Name); name != s.Name {
			page.Renamed[s.Name], page.Draft.Series[i].Name = name, name
		}
	}
	return nil
}

// freeName is a sensor's name, with a number where the series of that name was
// struck: its readings are kept and would stand against new ones.
func freeName(all []store.Series, c curve.Channel, name string) string {
	free := name
	for n := 2; slices.ContainsFunc(all, func(s store.Series) bool { return s.Channel == c && s.Name == free && !s.Stands() }); n++ {
		free = fmt.Sprintf("%s (%d)", name, n)
	}
	return free
}

// How long before a melt's start and after its last line readings are of it: a
// logger is switched on early, and a furnace cools for long.
const (
	logBefore = 2 * quantity.Hour
	logAfter  = 6 * quantity.Hour
)

// logWindow is the time of a melt, in which readings are of it.
func logWindow(h melt.Heading, lines []melt.Line, now quantity.Moment) logfile.Window {
	w := logfile.Window{Began: h.At, From: h.At - quantity.Moment(logBefore), To: now + quantity.Moment(mostAhead)}
	standing := melt.Standing(lines)
	if n := len(standing); n > 0 && standing[n-1].Kind == melt.Close {
		w.To = min(w.To, standing[n-1].At+quantity.Moment(logAfter))
	}
	return w
}

// poweredAt is when the power first came on, or else when the melt began.
func poweredAt(h melt.Heading, lines []melt.Line) quantity.Moment {
	for _, l := range melt.Standing(lines) {
		if l.Kind == melt.PowerOn {
			return l.At
		}
	}
	return h.At
}

// logMatch reads how a table was matched in the form. What the form does not
// know is left out.
func (f *form) logMatch(t table.Table) logfile.Match {
	m := logfile.Match{Columns: map[string]logfile.Field{}, Start: f.moment("start")}
	for i, c := range t.Columns {
		spec, _ := logfile.SpecOf(logfile.Field(f.values.Get(views.OldColumn(i))))
		m.Columns[c] = spec.Field
	}
	m.Order, m.Mark = f.howWritten()
	if way := f.one("off_way", "", "ahead", "behind"); way != "" {
		by, err := f.style.ReadSpan(f.text("off_by"))
		switch {
		case err != nil:
			f.fault("off_by", sentenceOf(err))
		case by > mostOff:
			f.fault("off_by", "More than ten years cannot be a clock. Type by how much it was off, like 1:00 for an hour.")
		case way == "behind":
			m.Ahead = -by
		default:
			m.Ahead = by
		}
	}
	return m
}

// mostOff is how far a logger's clock may be off: one that lost its battery
// starts years ago.
const mostOff = 10 * 366 * 24 * quantity.Hour

// logTyped fills the form from a match.
func logTyped(m logfile.Match, s quantity.Style) url.Values {
	typed := url.Values{"start_date": {s.DateInput(m.Start)}, "start_clock": {s.ClockInput(m.Start)}}
	if m.Ahead != 0 {
		way := "ahead"
		if m.Ahead < 0 {
			way = "behind"
		}
		typed.Set("off_way", way)
		by := max(m.Ahead, -m.Ahead)
		typed.Set("off_by", fmt.Sprintf("%d:%02d:%02d", by/quantity.Hour, by%quantity.Hour/quantity.Minute, by%quantity.Minute/quantity.Second))
	}
	return typed
}
