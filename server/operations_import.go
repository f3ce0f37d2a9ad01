package main

import (
	"context"
	"fmt"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"drosswise/foundry/notebook"
	"drosswise/foundry/table"
	"drosswise/server/api"
	"drosswise/store"
	"drosswise/views"
)

// importsPath takes as large a table as the page does.
const importsPath = "/api/v1/imports"

// importOperations are what programs do with tables of old melts.
var importOperations = []offered{
	offer(operation{method: get, path: "/api/v1/imports", id: "list-imports", least: reader, tag: "melts", summary: "Old notes that were brought in, the newest first."}, listImports),
	offer(operation{method: post, path: importsPath, change: func(op *huma.Operation) { op.MaxBodyBytes = maxOldBody }, id: "import-melts", least: melter, tag: "melts", summary: "Bring in a table of old melts.", more: "All rows that can be melts come in, or none. A row that is in the book already changes nothing."}, importMelts),
	offer(operation{method: get, path: "/api/v1/imports/{id}", id: "get-import", least: reader, tag: "melts", summary: "An import and its melts."}, getImport),
	offer(operation{method: post, path: "/api/v1/imports/{id}/strike", id: "strike-import", least: melter, tag: "melts", summary: "Make all melts of an import void.", more: "Its rows can come in again. This is not put back."}, strikeImport),
}

func listImports(a *app, ctx context.Context, v visit, _ *struct{}) (told api.Imports, err error) {
	told.Imports = []api.Import{}
	all, err := a.store.Imports(ctx)
	for _, i := range all {
		told.Imports = append(told.Imports, importTold(i))
	}
	return told, err
}

func importTold(i store.Import) api.Import {
	told := api.Import{ID: i.ID, At: i.At.Time().UTC(), By: i.By, File: i.File, Melts: i.Melts}
	if k := i.Struck; k != nil {
		told.Struck = &api.Struck{At: k.At.Time().UTC(), By: k.By, Reason: k.Reason}
	}
	return told
}

func importMelts(a *app, ctx context.Context, v visit, in *api.Once[api.OldNotes]) (told api.Imported, err error) {
	f := keyedForm(v, in.Key, in.Body)
	v.style = f.style
	key, err := f.key()
	if err != nil {
		return told, err
	}
	page := views.OldMatch{File: views.OldFile{File: fileName(in.Body.File)}}
	if page.Table, err = table.Read([]byte(in.Body.Text), delimiterNamed(in.Body.Delimiter), oldLimits); err != nil {
		return told, wrongNotes("body.text", notebook.Said{Sentence: sentenceOfTable(err)})
	}
	if page.Match, err = a.matchOf(ctx, v, f, page.Table, in.Body.Columns); err != nil {
		return told, err
	}
	if err := a.draft(ctx, v, &page); err != nil {
		return told, err
	}
	if len(page.Wrong) > 0 {
		return told, wrongNotes("body.columns", page.Wrong...)
	}
	if !in.Body.Look {
		i, err := a.takeIn(ctx, v, key, &page, in.Body.Sure)
		switch {
		case err != nil:
			return told, err
		case page.Refused != "":
			return told, refusedNotes(page)
		case i.ID != 0:
			told.Import = new(importTold(i))
		}
		if page.In, err = a.store.RowsIn(ctx, page.Drafts); err != nil {
			return told, err
		}
	}
	told.Rows = []api.OldRow{}
	for _, d := range page.Drafts {
		told.Rows = append(told.Rows, api.OldRowOf(d, string(page.In[d.Key])))
	}
	return told, nil
}

// matchOf is the match that a body says; where it names no columns, they are
// matched as before or by their names.
func (a *app) matchOf(ctx context.Context, v visit, f *form, t table.Table, columns map[string]string) (notebook.Match, error) {
	m := f.oldMatch(t)
	if columns == nil {
		remembered, err := a.store.RememberedMatch(ctx, t.Columns)
		if err != nil {
			return m, err
		}
		if remembered == nil {
			remembered = new(notebook.Guess(t, v.style))
		}
		m.Columns = remembered.For(t).Columns
		return m, nil
	}
	known := map[string]bool{}
	for _, c := range t.Columns {
		known[c] = true
	}
	for c, name := range columns {
		spec, ok := notebook.SpecOf(notebook.Field(name))
		switch {
		case !known[c]:
			return m, wrongNotes("body.columns", notebook.Said{Column: c, Sentence: "The table has no such column."})
		case !ok:
			return m, wrongNotes("body.columns", notebook.Said{Column: c, Sentence: "There is no such field."})
		}
		m.Columns[c] = spec.Field
	}
	return m, nil
}

// wrongNotes is the problem that a table, or its match, is.
func wrongNotes(at string, all ...notebook.Said) error {
	p := &api.Problem{Type: "about:blank", Title: notWritten, Status: http.StatusUnprocessableEntity}
	for _, s := range all {
		where := at
		if s.Column != "" {
			where += "." + s.Column
		}
		p.Errors = append(p.Errors, api.Wrong{Location: where, Message: s.Sentence})
	}
	p.Sort()
	p.Detail = p.Errors[0].Message
	return p
}

// mostRefused is how many rows a problem tells of.
const mostRefused = 100

// refusedNotes is the problem of a table of which nothing was brought in, with
// what is said of its rows.
func refusedNotes(page views.OldMatch) error {
	p := &api.Problem{Type: "about:blank", Title: notWritten, Status: http.StatusUnprocessableEntity, Detail: page.Refused}
	for _, d := range page.Drafts {
		for n, said := range [][]notebook.Said{d.Faults, d.Doubts} {
			for _, s := range said {
				if len(p.Errors) < mostRefused {
					p.Errors = append(p.Errors, api.Wrong{Location: fmt.Sprintf("body.text line %d %s", d.Row, s.Column), Message: s.Sentence, Doubted: n == 1})
				}
			}
		}
	}
	return p
}

func getImport(a *app, ctx context.Context, v visit, in *api.Numbered) (told api.ImportedMelts, err error) {
	i, melts, err := a.store.ImportOf(ctx, in.ID)
	told = api.ImportedMelts{Import: importTold(i), Codes: []string{}}
	for _, m := range melts {
		told.Codes = append(told.Codes, string(m.Code))
	}
	return told, err
}

func strikeImport(a *app, ctx context.Context, v visit, in *struct {
	api.Numbered
	api.Once[api.Marking]
}) (told api.Done, err error) {
	m, err := markOf(v, in.Once, true)
	if err != nil {
		return told, err
	}
	if m.Reason == "" {
		return told, wrongNotes("body.reason", notebook.Said{Sentence: oldReason})
	}
	err = a.store.StrikeImport(ctx, v.person.ID, in.ID, m.Reason)
	return api.Done{Done: err == nil}, err
}
