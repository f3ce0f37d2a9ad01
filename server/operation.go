package main

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humachi"

	"drosswise/foundry/melt"
	"drosswise/server/api"
	"drosswise/store"
)

// apiVersion is that of the API: what programs may build on stays within one.
const apiVersion = "1"

// described is the API as it is served: its addresses, and the document that
// tells of them, both made of the same operations.
type described struct {
	huma.API
	routes []route
}

// operation is one thing that programs can do.
type operation struct {
	method, path string
	id           string // in the document
	least        role
	tag          string
	summary      string
	more         string // of the document's description
	status       int    // when it went well, 0 for 200
	change       func(*huma.Operation)
}

// describe makes the API of the shop.
func (a *app) describe() *described {
	d := &described{}
	var handler func(huma.Context)
	d.API = api.Described(apiVersion, func(op *huma.Operation, h func(huma.Context)) { handler = h })
	for _, offer := range [][]offered{meltOperations, readingOperations, logFileOperations, importOperations, scrapOperations, kitOperations, photoOperations, shopOperations, fileOperations} {
		for _, o := range offer {
			op := o.register(a, d.API)
			serve := handler
			d.routes = append(d.routes, route{op.Method, op.Path, o.least, func(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
				serve(humachi.NewContext(op, r.WithContext(context.WithValue(r.Context(), visitKey{}, v)), w))
				return nil
			}})
		}
	}
	api.Nulls(d.API)
	return d
}

// visitKey is where an operation's context keeps who asks.
type visitKey struct{}

// offered is an operation that waits for the app that does it.
type offered struct {
	operation
	register func(a *app, to huma.API) *huma.Operation
}

// answerOf is an answer with a body.
type answerOf[T any] struct{ Body T }

// offer makes an operation of what does it. In says what comes with a request,
// Out is the body of the answer.
func offer[In, Out any](o operation, do func(a *app, ctx context.Context, v visit, in *In) (Out, error)) offered {
	return offered{o, func(a *app, to huma.API) *huma.Operation {
		op := o.described()
		huma.Register(to, *op, func(ctx context.Context, in *In) (*answerOf[Out], error) {
			v := ctx.Value(visitKey{}).(visit)
			body, err := do(a, ctx, v, in)
			if err != nil {
				return nil, a.failure(v, op.Path, err)
			}
			return &answerOf[Out]{body}, nil
		})
		return op
	}}
}

// described is the operation as the document has it, but for what comes and goes.
func (o operation) described() *huma.Operation {
	op := &huma.Operation{
		Method: o.method, Path: o.path, OperationID: o.id, Tags: []string{o.tag}, Summary: o.summary, Description: strings.TrimSpace(o.more + " " + o.least.forWhom()),
		DefaultStatus: max(o.status, http.StatusOK), Errors: o.errors(), MaxBodyBytes: maxBody, BodyReadTimeout: maxTime,
	}
	if o.change != nil {
		o.change(op)
	}
	return op
}

// errors are the statuses with which an operation may refuse.
func (o operation) errors() []int {
	all := []int{http.StatusUnauthorized, http.StatusForbidden, http.StatusUnprocessableEntity, http.StatusInternalServerError, http.StatusServiceUnavailable}
	if strings.Contains(o.path, "{") || o.method != get {
		all = append(all, http.StatusNotFound)
	}
	if o.method != get {
		all = append(all, http.StatusBadRequest, http.StatusRequestTimeout, http.StatusConflict, http.StatusRequestEntityTooLarge, http.StatusUnsupportedMediaType)
	}
	return all
}

// failure tells a program why something could not be done.
func (a *app) failure(v visit, route string, err error) error {
	var p *api.Problem
	if errors.As(err, &p) {
		return p
	}
	an := answerTo(err)
	p = &api.Problem{Type: "about:blank", Title: an.title, Status: an.status, Detail: an.detail}
	var refused melt.Refusals
	var gone *store.GoneError
	switch {
	case errors.Is(err, store.ErrKeyUsed):
		p.Title, p.Detail = keyUsed, keySentence
		p.Errors = []api.Wrong{{Location: "header.Idempotency-Key", Message: keySentence}}
	case errors.As(err, &refused):
		p.Title, p.Status, p.Detail = notWritten, http.StatusUnprocessableEntity, refused[0].Say(v.style)
	case errors.As(err, &gone):
		p.Title, p.Status, p.Detail = notWritten, http.StatusUnprocessableEntity, goneSentence
	case an.status == http.StatusInternalServerError:
		id := faultID()
		a.log.Error("request failed", "id", id, "route", route, "err", err)
		p.Instance = faultURN(id)
	}
	return p
}

const (
	notWritten   = "That was not written"
	keyUsed      = "That key stands for something else"
	keySentence  = "This Idempotency-Key came before with other content, which is stored and stays. Of what came now nothing was written: send it with a key of its own."
	goneSentence = "What was chosen is not there any more. Choose again."
)

// keyedForm makes the form of a page of a body and of the key it comes with.
func keyedForm(v visit, key string, body any) *form {
	f := bodyForm(v, body)
	f.values.Set("key", strings.Trim(key, `"`)) // a structured field's string has quotes
	return f
}

// bodyForm makes the form of a page of a body. Whatever the shop's pages use,
// programs write the decimal point, kg and °C; days are the shop's.
func bodyForm(v visit, body any) *form {
	style := v.style
	style.Comma, style.MassUnit, style.Fahrenheit = false, 0, false
	values, moments := api.Values(body)
	f := newForm(values, style)
	f.exact = moments
	return f
}

// wrong is nil for a form that may be taken, else the problem it is, told by
// the fields of the body that it was made of.
func (f *form) wrong(body any) error {
	if f.ok() {
		return nil
	}
	p := &api.Problem{Type: "about:blank", Title: notWritten, Status: http.StatusUnprocessableEntity}
	for n, said := range []map[string]string{f.faults, f.doubts} {
		for field, sentence := range said {
			at := "body"
			if name := api.FieldOf(body, field); name != "" {
				at += "." + name
			}
			p.Errors = append(p.Errors, api.Wrong{Location: at, Message: sentence, Doubted: n == 1})
		}
	}
	p.Sort()
	p.Detail = p.Errors[0].Message
	return p
}

// forWhom says who may do what takes at least the role.
func (r role) forWhom() string {
	switch r {
	case reader:
		return "For everybody with an account."
	case melter:
		return "For melters and owners."
	}
	return "For owners."
}
