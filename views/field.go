package views

import (
	"slices"
	"strconv"
	"strings"

	"github.com/a-h/templ"
)

// Field is one thing that a person fills in, with the text as it was typed.
type Field struct {
	Name         string
	Label        string
	Value        string
	Hint         string // one sentence under the label
	Error        string // the sentence that says what is wrong and what to do
	Unit         string // shown behind a number
	Required     bool
	Autofocus    bool
	Checked      bool   // of a checkbox
	Autocomplete string // as in HTML
	Type         string // of a text field: text when empty, or password, email, search
	ID           string // where a name occurs twice on a page; else made from Name
	Options      []Option
}

// Option is one of the answers to choose from.
type Option struct {
	Value    string
	Label    string
	Hint     string // shown under a radio row, not in a select
	Group    string // above it and its neighbours of the same, in a select
	Selected bool
}

// groups parts options into those of one group that lie together.
func groups(options []Option) (all [][]Option) {
	for _, o := range options {
		if n := len(all); n > 0 && all[n-1][0].Group == o.Group {
			all[n-1] = append(all[n-1], o)
		} else {
			all = append(all, []Option{o})
		}
	}
	return all
}

// Fault is a refused field as the summary above a form names it.
type Fault struct{ ID, Label, Sentence string }

// Faults lists what is wrong with these fields, in their order.
func Faults(fields ...Field) []Fault {
	var faults []Fault
	for _, f := range fields {
		if f.Error != "" {
			faults = append(faults, Fault{f.id(), f.Label, f.Error})
		}
	}
	return faults
}

// Weighings is the field in which one charge is weighed in several goes. All
// of its inputs have the same name, and empty ones mean nothing. The container
// is taken off each weighing.
type Weighings struct {
	Field           // of one weighing; Value is not used
	Values []string // as typed; there is always at least one input
	Tare   *Field   // the container, when it can be given
	Comma  bool     // the decimal mark shown is a comma
}

// spare is how many more weighings a page without script offers.
const spare = 3

func (w Weighings) fields() []Field {
	values := w.Values
	if len(values) == 0 {
		values = []string{""}
	}
	fields := make([]Field, 0, len(values)+spare)
	for i, v := range values {
		fields = append(fields, w.at(i, v))
	}
	return fields
}

// further are the empty fields for a page without script.
func (w Weighings) further() []Field {
	n := max(len(w.Values), 1)
	fields := make([]Field, spare)
	for i := range fields {
		fields[i] = w.at(n+i, "")
	}
	return fields
}

func (w Weighings) at(i int, value string) Field {
	f := w.Field
	f.Value = value
	if i > 0 {
		f.ID = w.id() + "-" + strconv.Itoa(i+1)
		f.Label += " " + strconv.Itoa(i+1)
		f.Hint, f.Error = "", ""
		f.Autofocus, f.Required = false, false
	}
	return f
}

func (f Field) id() string {
	if f.ID != "" {
		return f.ID
	}
	return "f-" + f.Name
}

func (f Field) kind() string {
	if f.Type == "" {
		return "text"
	}
	return f.Type
}

// attributes are those that every input has, whatever its kind.
func (f Field) attributes() templ.Attributes {
	a := templ.Attributes{"id": f.id(), "name": f.Name}
	if by := f.describedBy(); by != "" {
		a["aria-describedby"] = by
	}
	if f.Error != "" {
		a["aria-invalid"] = "true"
	}
	if f.Autocomplete != "" {
		a["autocomplete"] = f.Autocomplete
	}
	if f.Required {
		a["required"] = true
	}
	if f.Autofocus {
		a["autofocus"] = true
	}
	return a
}

// describedBy names what a screen reader says after the label.
func (f Field) describedBy() string {
	var ids []string
	for _, part := range []struct{ text, suffix string }{
		{f.Unit, "-unit"}, {f.Hint, "-hint"}, {f.Error, "-error"},
	} {
		if part.text != "" {
			ids = append(ids, f.id()+part.suffix)
		}
	}
	return strings.Join(ids, " ")
}

// optionID is the id of a radio row; the first has the field's own, so that
// the summary of errors can lead to it.
func (f Field) optionID(i int) string {
	if i == 0 {
		return f.id()
	}
	return f.id() + "-" + strconv.Itoa(i)
}

func (f Field) chosen() bool {
	return slices.ContainsFunc(f.Options, func(o Option) bool { return o.Selected })
}

// choicesClass sets choices with hints under one another.
func (f Field) choicesClass() string {
	if slices.ContainsFunc(f.Options, func(o Option) bool { return o.Hint != "" }) {
		return "choices long"
	}
	return "choices"
}

// faultsHeading is the first sentence of the summary of errors.
func faultsHeading(n int) string {
	if n == 1 {
		return "Not saved yet. One thing to put right:"
	}
	return "Not saved yet. " + strconv.Itoa(n) + " things to put right:"
}
