package main

import (
	"context"
	"fmt"
	"math"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"drosswise/foundry/logfile"
	"drosswise/foundry/melt"
	"drosswise/foundry/notebook"
	"drosswise/foundry/quantity"
	"drosswise/foundry/table"
	"drosswise/server/api"
	"drosswise/store"
	"drosswise/views"
)

// logFileOperations are what programs do with files of loggers.
var logFileOperations = []offered{
	offer(operation{method: post, path: "/api/v1/melts/{code}/log-files", change: func(op *huma.Operation) { op.MaxBodyBytes = maxLogJSON }, id: "add-log-file", least: melter, tag: "melts",
		summary: "Bring in a file of a logger or a plug meter.", more: "A reading is told by sensor and time: the same file sent again stores nothing more, and no Idempotency-Key is needed. What lies outside the melt's time or cannot be read is left out and told. How the columns were matched is remembered for the next file with the same ones."}, addLogFile),
}

// addLogFile does in one step what the page does with a file that waits.
func addLogFile(a *app, ctx context.Context, v visit, in *struct {
	api.Coded
	Body api.LogFile
}) (told api.LogTaken, err error) {
	h, lines, err := a.store.Melt(ctx, melt.Code(in.Code))
	if err != nil {
		return told, err
	}
	f := bodyForm(v, in.Body)
	v.style = f.style
	page := views.LogMatch{Melt: views.Melt{Heading: h, Lines: lines}, File: views.OldFile{File: fileName(in.Body.File)}, Window: logWindow(h, lines, v.now)}
	if page.Table, err = table.Read([]byte(in.Body.Text), delimiterNamed(in.Body.Delimiter), logLimits); err != nil {
		return told, wrongNotes("body.text", notebook.Said{Sentence: sentenceOfTable(err)})
	}
	if page.Match, page.Remembered, err = a.logMatchOf(ctx, v, f, page.Table, in.Body); err != nil {
		return told, err
	}
	if page.Match.Start == 0 {
		page.Match.Start = poweredAt(h, lines)
	}
	if err := a.draftLog(ctx, v, &page); err != nil {
		return told, err
	}
	if len(page.Wrong) > 0 {
		return told, wrongLog(page.Wrong)
	}
	told = api.LogTakenOf(page.Table, page.Match, page.Why, page.Draft, page.Window)
	told.Remembered = page.Remembered
	if page.Guess != 0 {
		told.Guess = new(float64(page.Guess) / float64(quantity.Second))
	}
	if in.Body.Look {
		return told, nil
	}
	if page.Draft.Readings() == 0 {
		return told, notTaken("body.text", noneOfMelt(told))
	}
	taken, err := a.storeLog(ctx, v, page)
	told.Stored, told.Had, told.Other = taken.New, taken.Had, taken.Other
	return told, err
}

// logMatchOf is the match that a body says; where it names no columns, they are
// matched as before or as they look.
func (a *app) logMatchOf(ctx context.Context, v visit, f *form, t table.Table, body api.LogFile) (m logfile.Match, remembered bool, err error) {
	m = f.logMatch(t)
	m.Ahead = quantity.Span(math.Round(body.Ahead * float64(quantity.Second)))
	if body.Columns == nil {
		known, remembered, err := a.knownLogMatch(ctx, v, store.Upload{}, t)
		for _, c := range t.Columns { // all of them, by which the match is known again
			m.Columns[c] = known.Columns[c]
		}
		if m.Order == "" {
			m.Order = known.Order
		}
		if m.Mark == "" {
			m.Mark = known.Mark
		}
		return m, remembered, err
	}
	known := map[string]bool{}
	for _, c := range t.Columns {
		known[c] = true
	}
	for c, name := range body.Columns {
		spec, ok := logfile.SpecOf(logfile.Field(name))
		switch {
		case !known[c]:
			return m, false, wrongNotes("body.columns", notebook.Said{Column: c, Sentence: "The table has no such column."})
		case !ok && name != "":
			return m, false, wrongNotes("body.columns", notebook.Said{Column: c, Sentence: "There is no such field."})
		}
		m.Columns[c] = spec.Field
	}
	return m, false, nil
}

// wrongLog is the problem that a match is.
func wrongLog(all []logfile.Said) error {
	var said []notebook.Said
	for _, s := range all {
		said = append(said, notebook.Said(s))
	}
	return wrongNotes("body.columns", said...)
}

// noneOfMelt says why nothing of a file is a reading of a melt.
func noneOfMelt(t api.LogTaken) string {
	say := "Nothing in it is a reading of this melt."
	if t.Outside > 0 && t.From != nil {
		at := func(x time.Time) string { return x.Format(time.RFC3339) }
		say += fmt.Sprintf(" From %s to %s a reading can be, and the file runs from %s to %s.", at(t.MeltFrom), at(t.MeltTo), at(*t.From), at(*t.To))
	}
	if t.Guess != nil {
		say += fmt.Sprintf(" Were the logger's clock ahead by %g seconds, all of it would lie on the melt: if it was, say so as clock_ahead_s.", *t.Guess)
	}
	if len(t.Passed) > 0 {
		p := t.Passed[0]
		say += fmt.Sprintf(" Line %d, “%s”: %s", p.Line, p.Column, p.Sentence)
	}
	return say
}
