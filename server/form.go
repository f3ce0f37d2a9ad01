package main

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"unicode"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// form is a form as it was typed, together with what is wrong with it. Its
// readers give nil for a field that was left empty and note a fault for one
// that cannot be read, so that all faults are shown at once beside the text.
type form struct {
	values url.Values
	style  quantity.Style
	faults map[string]string          // by field
	doubts map[string]string          // soft refusals, by field
	exact  map[string]quantity.Moment // by field, of a program that knows them better than a form can say
}

// readForm takes the form out of a request.
func readForm(r *http.Request, v visit) (*form, error) {
	if err := r.ParseForm(); err != nil {
		var large *http.MaxBytesError
		if errors.As(err, &large) {
			return nil, errTooLarge
		}
		return nil, errBadForm
	}
	return newForm(r.PostForm, v.style), nil
}

func newForm(values url.Values, style quantity.Style) *form {
	return &form{values: values, style: style, faults: map[string]string{}, doubts: map[string]string{}}
}

// text gives what was typed, without the white space round it and without
// control characters.
func (f *form) text(field string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' || r == unicode.ReplacementChar {
			return -1
		}
		return r
	}, f.values.Get(field)))
}

// name gives the text of a field that must be filled in, within a length.
func (f *form) name(field string, most int, sentence string) string {
	text := f.text(field)
	switch n := len([]rune(text)); {
	case n == 0:
		f.fault(field, sentence)
	case n > most:
		f.fault(field, "That is too long. Use a shorter one.")
	case strings.ContainsRune(text, '\n'):
		f.fault(field, melt.OneLine)
	}
	return text
}

// note gives free text within the length that is kept.
func (f *form) note(field string) string {
	text := f.text(field)
	if len([]rune(text)) > melt.MaxText {
		f.fault(field, fmt.Sprintf("That is too long. Keep it under %d letters.", melt.MaxText))
	}
	return text
}

func (f *form) on(field string) bool { return f.values.Get(field) != "" }

// id gives the number of something chosen from a list, 0 when none was.
func (f *form) id(field string) int64 { return pathID(f.values.Get(field)) }

// one gives a choice out of those allowed.
func (f *form) one(field string, allowed ...string) string {
	got := f.values.Get(field)
	for _, a := range allowed {
		if got == a {
			return got
		}
	}
	f.fault(field, "Choose one of these.")
	return ""
}

func (f *form) fault(field, sentence string) {
	if _, had := f.faults[field]; !had {
		f.faults[field] = sentence
	}
}

func (f *form) ok() bool { return len(f.faults) == 0 && len(f.doubts) == 0 }

// refuse takes over what the trade's own rules found wrong.
func (f *form) refuse(rs melt.Refusals) {
	for _, r := range rs {
		f.refuseAs(r.Field, r)
	}
}

// refuseAs shows a refusal beside a field. All doubts of a field are told: who
// is sure is sure of all of them.
func (f *form) refuseAs(field string, r melt.Refusal) {
	if !r.Soft {
		f.fault(field, r.Say(f.style))
		return
	}
	f.doubts[field] = strings.TrimSpace(f.doubts[field] + " " + r.Say(f.style))
}

// optional reads one field with a reader of quantities.
func optional[T any](f *form, field string, read func(string) (T, error)) *T {
	text := f.text(field)
	if text == "" {
		return nil
	}
	x, err := read(text)
	if err != nil {
		f.fault(field, sentenceOf(err))
		return nil
	}
	return &x
}

// needed reads one field that must be filled in.
func needed[T any](f *form, field, sentence string, read func(string) (T, error)) (x T) {
	got := optional(f, field, read)
	if got == nil {
		f.fault(field, sentence)
		return x
	}
	return *got
}

// whole reads a whole number that may be left out.
func (f *form) whole(field string) *int {
	return optional(f, field, func(text string) (int, error) {
		n, err := f.style.ReadCount(text)
		return int(n), err
	})
}

// sentenceOf is what a refused quantity says for a person.
func sentenceOf(err error) string {
	var r *quantity.Refusal
	if errors.As(err, &r) {
		return r.Sentence
	}
	return "This cannot be read. Type it again."
}

// moment reads a date and a clock; both empty is now, which is 0.
func (f *form) moment(field string) quantity.Moment {
	if m, ok := f.exact[field]; ok {
		return m
	}
	date, clock := f.text(field+"_date"), f.text(field+"_clock")
	if date == "" && clock == "" {
		return 0
	}
	m, err := f.style.ReadMoment(date, clock)
	if err != nil {
		f.fault(field, sentenceOf(err))
	}
	return m
}

// What a phone says of when a form was filled in.
const (
	longestWait = 9600 * quantity.Hour // of a line in a phone
	longestWay  = 10 * quantity.Second // from the phone to here
)

// tapped gives when a form was filled in: now when it does not say. The phone says
// how long ago that was by its own clock, and what the shop's clock showed then
// as it reckons. The first holds however wrong the clocks are, but counts the
// way here as well; the second keeps the order of quick taps. So the second is
// taken where the way here explains the difference.
func (f *form) tapped(now quantity.Moment) quantity.Moment {
	ago, err := strconv.ParseInt(f.values.Get("ago"), 10, 64)
	if err != nil {
		return now
	}
	latest := now - quantity.Moment(min(max(quantity.Span(ago), 0), longestWait))
	reckoned, err := strconv.ParseInt(f.values.Get("reckoned"), 10, 64)
	if way := latest.Since(quantity.Moment(reckoned)); err == nil && way >= 0 && way <= longestWay {
		return quantity.Moment(reckoned)
	}
	return latest
}

// key gives the key that the phone or the page made for what the form saves.
func (f *form) key() (string, error) {
	key := f.values.Get("key")
	if len(key) < 8 || len(key) > 64 || strings.ContainsFunc(key, func(r rune) bool {
		return !(r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r == '-')
	}) {
		return "", errBadForm
	}
	return key, nil
}
