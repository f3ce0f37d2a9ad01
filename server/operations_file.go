package main

import (
	"context"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humachi"

	"drosswise/server/api"
)

// fileOperations hand out files. Where a page offers the same file there is one
// address for both.
var fileOperations = []offered{
	file[filter](operation{method: get, path: "/melts.csv", id: "get-melts-csv", least: reader, tag: "melts", summary: "Melts with their figures as CSV, the newest first.", more: asCSV}, api.CSV, meltsCSV),
	file[filter](operation{method: get, path: "/lines.csv", id: "get-lines-csv", least: reader, tag: "melts", summary: "All lines of melts as CSV, struck ones too.", more: asCSV}, api.CSV, linesCSV),
	file[yearNamed](operation{method: get, path: "/years/{year}.csv", id: "get-year-csv", least: reader, tag: "melts", summary: "A year by month and by source as CSV.", more: asCSV}, api.CSV, yearCSV),
	file[photoNamed](operation{method: get, path: "/photos/{id}.jpg", id: "get-photo", least: reader, tag: "photos", summary: "A photo, 1600 pixels at most on its longer side.", more: neverChanges}, api.JPEG, photoFull),
	file[photoNamed](operation{method: get, path: "/photos/{id}/thumb.jpg", id: "get-thumb", least: reader, tag: "photos", summary: "A small picture of a photo, 320 pixels at most.", more: neverChanges}, api.JPEG, photoThumb),
	file[struct{}](operation{method: get, path: "/metrics", id: "get-metrics", least: reader, tag: "shop", summary: "How the program itself does, for what watches over machines.", more: "As OpenMetrics where Accept asks for that, else in the text format of Prometheus."}, api.Metrics, metricsPage),
	file[struct{}](operation{method: get, path: exportPath, id: "export-shop", least: owner, tag: "shop", summary: "The whole shop as a folder of CSV in a zip.",
		more: "Every table, what is struck too, and the photos; columns.txt in it says what each column means. Passwords, sign-ins, tokens and calendar addresses stay behind. The command import takes it in elsewhere. It needs a token of scope all."}, api.Zip, exportZip),
	file[copyNamed](operation{method: get, path: copyPath, id: "get-copy", least: owner, tag: "shop", summary: "A copy of the whole shop.",
		more: "The database itself, with the hashes of passwords and tokens in it: keep it as you keep the shop. The command restore takes it in. It needs a token of scope all."}, api.SQLite, copyFile),
}

// What hands out the whole shop. A token that only reads does not reach it: whoever
// holds the file holds all of it for good.
const (
	exportPath = "/api/v1/export"
	copyPath   = "/api/v1/copies/{name}"
)

const (
	asCSV        = "RFC 4180 with a row of headings, which name the units. What is not known is an empty cell; text that a spreadsheet program would run as a formula has an apostrophe before it."
	neverChanges = "It never changes, so that it may be kept."
)

// filter says which melts are wanted. What of it cannot be read filters nothing,
// as on the page that has the same address.
type filter struct {
	Words   string `query:"q" doc:"Words in codes, notes, moulds and names."`
	Source  string `query:"source" doc:"Number of a source that was charged."`
	Furnace string `query:"furnace" doc:"Number of the furnace."`
	From    string `query:"from" doc:"First month, such as 2026-01."`
	To      string `query:"to" doc:"Last month."`
}

// yearNamed names a year; one that is none is nowhere (404), as with the photo.
type yearNamed struct {
	Year string `path:"year" doc:"Such as 2026."`
}

// photoNamed names a photo.
type photoNamed struct {
	ID string `path:"id" doc:"Its number."`
}

// copyNamed names a copy.
type copyNamed struct {
	Name string `path:"name" maxLength:"80" doc:"As the list of copies has it."`
}

// file makes an operation of a page's handler that hands out a file. In says what
// comes with a request, for the document; the handler reads it itself.
func file[In any](o operation, kind api.Kind, handle handler) offered {
	return offered{o, func(a *app, to huma.API) *huma.Operation {
		op := o.described()
		kind.Answers(op)
		huma.Register(to, *op, func(ctx context.Context, _ *In) (*huma.StreamResponse, error) {
			v := ctx.Value(visitKey{}).(visit)
			return &huma.StreamResponse{Body: func(c huma.Context) {
				r, w := humachi.Unwrap(c)
				if err := handle(a, w, r, v); err != nil {
					a.fail(w, r, v, err)
				}
			}}, nil
		})
		return op
	}}
}
