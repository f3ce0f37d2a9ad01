package api

import (
	"reflect"
	"strings"

	"github.com/danielgtaylor/huma/v2"
)

// Nulls lets the document of an API say of every member that is told as null
// when there is nothing that it may be null, which the library leaves out where
// the member is an object of its own.
func Nulls(of huma.API) {
	registry := of.OpenAPI().Components.Schemas
	for name, schema := range registry.Map() {
		t := registry.TypeFromRef("#/components/schemas/" + name)
		if t == nil || t.Kind() != reflect.Struct {
			continue
		}
		members(t, func(f reflect.StructField) {
			member, options, _ := strings.Cut(f.Tag.Get("json"), ",")
			p := schema.Properties[member]
			if f.Type.Kind() != reflect.Pointer || strings.Contains(options, "omitempty") || p == nil || p.Ref == "" {
				return
			}
			object := &huma.Schema{Ref: p.Ref}
			none := &huma.Schema{Type: "null"}
			none.PrecomputeMessages()
			schema.Properties[member] = &huma.Schema{AnyOf: []*huma.Schema{object, none}, Description: p.Description}
			schema.Properties[member].PrecomputeMessages()
		})
	}
}

// members calls do for the fields that a struct's JSON has, those of embedded
// structs too.
func members(t reflect.Type, do func(reflect.StructField)) {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	for f := range t.Fields() {
		if f.Anonymous {
			members(f.Type, do)
		} else {
			do(f)
		}
	}
}
