package main

import (
	"context"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humachi"

	"drosswise/server/api"
)

// fileOperations hand out files. Those that the pages offer too, and that never
// needed a sign-in of a browser, have one address for both.
var fileOperations = []offered{
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
