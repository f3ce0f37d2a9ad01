package api

import (
	"net/http"
	"reflect"
	"strings"

	"github.com/danielgtaylor/huma/v2"
)

// Described is an API that nothing serves yet: what is registered with it is
// described in its document and handed to take, which puts it behind an address.
func Described(version string, take func(*huma.Operation, func(huma.Context))) huma.API {
	huma.NewError = refuse // the library knows one way to say what does not fit, for the whole program
	registry := huma.NewMapRegistry("#/components/schemas/", nameOf)
	return huma.NewAPI(huma.Config{
		OpenAPI: &huma.OpenAPI{
			OpenAPI: "3.1.0",
			Info: &huma.Info{
				Title: "Drosswise", Version: version,
				Description: "The logbook of a shop that melts scrap, for programs. What its people write and read on the pages can be written and read here, by the same rules, with a token that a person makes under Your account. Three things stay on the pages. What belongs to signing in and to one browser: passwords, tokens, the private address of a calendar, colours. What is for paper: sheets of labels, and pages laid out for printing. And the coil on the bench, which reckons with typed figures and keeps none.\n\nUnits stand in the names of fields; a field without one is a plain number, or money in units of the shop's currency. Times are RFC 3339. Nothing is deleted: a wrong row is struck, and can be put back.",
			},
			Servers:    []*huma.Server{{URL: "/", Description: "This shop."}},
			Security:   []map[string][]string{{"token": {}}},
			Tags:       tags,
			Components: &huma.Components{Schemas: registry, SecuritySchemes: map[string]*huma.SecurityScheme{"token": {Type: "http", Scheme: "bearer", Description: "A token of a person's, made under Your account, Tokens for programs. It reaches as far as its scope and never further than its person's role."}}},
		},
		Formats:       map[string]huma.Format{"application/json": huma.DefaultJSONFormat, "json": huma.DefaultJSONFormat},
		DefaultFormat: "application/json",
	}, adapter(take))
}

// tags are the subjects of the document.
var tags = []*huma.Tag{
	{Name: "melts", Description: "Melts, their lines and readings."},
	{Name: "scrap", Description: "Scrap, its deliveries and prices, and what it gives."},
	{Name: "kit", Description: "Furnaces, crucibles, elements, scales and thermocouples."},
	{Name: "photos", Description: "Photos of lines and deliveries."},
	{Name: "shop", Description: "Settings, prices of electricity and people."},
}

// nameOf names a schema after its type, with its package where that is not
// this one: figures of several packages have the same name.
func nameOf(t reflect.Type, hint string) string {
	name := huma.DefaultSchemaNamer(t, hint)
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice || t.Kind() == reflect.Array {
		t = t.Elem()
	}
	path := t.PkgPath()
	subject := path[strings.LastIndexByte(path, '/')+1:]
	if subject == "" || subject == "api" || subject == "server" || subject == "main" {
		return name
	}
	return strings.ToUpper(subject[:1]) + subject[1:] + name
}

// adapter hands on what is registered.
type adapter func(*huma.Operation, func(huma.Context))

func (a adapter) Handle(op *huma.Operation, handler func(huma.Context)) { a(op, handler) }

func (a adapter) ServeHTTP(http.ResponseWriter, *http.Request) {
	panic("an API that is only described serves nothing")
}
