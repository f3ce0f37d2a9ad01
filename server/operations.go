package main

import (
	"context"
	"encoding/json"
	"net/http"

	"drosswise/server/api"
	"drosswise/store"
)

// openAPI sends the document of the API.
func openAPI(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	document, err := json.Marshal(a.api.OpenAPI())
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	if _, err := w.Write(document); err != nil {
		a.log.Debug("answer not taken", "err", err)
	}
	return nil
}

// markOf reads a strike, or the lifting of one.
func markOf(v visit, in api.Once[api.Marking], strike bool) (store.Mark, error) {
	f := keyedForm(v, in.Key, in.Body)
	key, err := f.key()
	return store.Mark{Struck: strike, Reason: f.text("reason"), Key: key}, err
}

// strikes offers to strike a kind of row and to put it back.
func strikes[In any](o operation, mark func(a *app, ctx context.Context, v visit, in *In, strike bool) error) []offered {
	both := func(way, summary string, strike bool) offered {
		one := o
		one.method, one.path, one.id, one.summary = post, o.path+"/"+way, way+"-"+o.id, summary+o.summary+"."
		return offer(one, func(a *app, ctx context.Context, v visit, in *In) (api.Done, error) {
			return api.Done{Done: true}, mark(a, ctx, v, in, strike)
		})
	}
	return []offered{both("strike", "Strike ", true), both("lift", "Put back ", false)}
}
