package api

import (
	"net/url"
	"reflect"
	"strconv"
	"strings"
	"time"

	"drosswise/foundry/quantity"
)

// Values turns a body into the form of the page that does the same: each field
// with a form tag becomes the field of that name, typed as a person would who
// writes the decimal point. Moments do not fit into a form and come beside it.
func Values(body any) (url.Values, map[string]quantity.Moment) {
	values, moments := url.Values{}, map[string]quantity.Moment{}
	each(reflect.ValueOf(body), func(f reflect.StructField, v reflect.Value) {
		name := f.Tag.Get("form")
		if at, ok := v.Interface().(time.Time); ok {
			moments[name] = quantity.At(at)
			return
		}
		if v.Kind() == reflect.Slice {
			for i := range v.Len() {
				values.Add(name, text(v.Index(i)))
			}
			return
		}
		if t := text(v); t != "" {
			values.Set(name, t+f.Tag.Get("unit"))
		}
	})
	return values, moments
}

// FieldOf gives the name in JSON of a form's field, so that a fault can be told
// where a program looks for it; "" where the body has no such field.
func FieldOf(body any, name string) (json string) {
	members(reflect.TypeOf(body), func(f reflect.StructField) {
		if f.Tag.Get("form") == name {
			json, _, _ = strings.Cut(f.Tag.Get("json"), ",")
		}
	})
	return json
}

// each calls do for the fields with a form tag that say something.
func each(v reflect.Value, do func(reflect.StructField, reflect.Value)) {
	v = reflect.Indirect(v)
	for i := range v.NumField() {
		f, x := v.Type().Field(i), v.Field(i)
		switch {
		case f.Anonymous:
			each(x, do)
		case f.Tag.Get("form") == "":
		case x.Kind() != reflect.Pointer:
			do(f, x)
		case !x.IsNil():
			do(f, x.Elem())
		}
	}
}

// text is a value as it would be typed; "" for what would be left empty.
func text(v reflect.Value) string {
	switch v.Kind() {
	case reflect.Bool:
		if v.Bool() {
			return "1"
		}
		return ""
	case reflect.Float64:
		return Number(v.Float())
	case reflect.Int, reflect.Int64:
		return strconv.FormatInt(v.Int(), 10)
	}
	return v.String()
}

// Number is a number as it would be typed, with the decimal point.
func Number(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
