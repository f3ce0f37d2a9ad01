package views

import (
	"github.com/a-h/templ"

	"drosswise/foundry/quantity"
)

// Filled is a form of which most fields may stay empty.
type Filled struct{ Typed }

// Input is a field and the way it is shown, such as ShortNumber.
type Input struct {
	Show func(Field) templ.Component
	Field
}

// field is a field that may stay empty.
func (p Filled) field(name, label, hint string) Field {
	f := p.Typed.field(name, label, hint)
	f.Required = false
	return f
}

func (p Filled) text(name, label, hint string) Input {
	return Input{TextField, p.field(name, label, hint)}
}

func (p Filled) words(name, label, hint string) Input {
	return Input{TextArea, p.field(name, label, hint)}
}

func (p Filled) number(name, label, unit, hint string) Input {
	in := Input{ShortNumber, p.field(name, label, hint)}
	in.Unit = unit
	return in
}

func (p Filled) tick(name, label, hint string) Input {
	in := Input{Checkbox, p.field(name, label, hint)}
	in.Checked, in.Value = in.Value != "", ""
	return in
}

func (p Filled) pick(name, label, hint string, options []Option) Input {
	in := Input{Select, p.choose(name, label, hint, options...)}
	in.Required = false
	return in
}

func (p Filled) radio(name, label, hint string, options []Option) Input {
	in := p.pick(name, label, hint, options)
	in.Show = Choices
	return in
}

// must marks an input as one that has to be filled in.
func (in Input) must() Input {
	in.Required = true
	return in
}

// date and clock are when it happened; an empty clock is any time of the day.
func (p Filled) date() Field {
	return p.field("at_date", "Date", "Empty: today.")
}

func (p Filled) clock() Field {
	f := p.field("at_clock", "Time", "Empty: not said.")
	f.Error = p.Faults["at"]
	return f
}

// faults lists what is wrong in the order of the inputs, then of the time.
func (p Filled) faults(inputs []Input) []Fault {
	fields := make([]Field, 0, len(inputs)+1)
	for _, in := range inputs {
		fields = append(fields, in.Field)
	}
	if p.Faults["at"] != "" {
		fields = append(fields, p.clock())
	}
	return Faults(fields...)
}

// yearly heads the rows of a ledger with their year, so that each row needs
// only its day.
type yearly struct{ last string }

func (y *yearly) at(m quantity.Moment, s quantity.Style) (heading, day string) {
	date := s.Date(m)
	cut := len(date) - len("2026")
	day, year := date[:cut-1], date[cut:]
	if year == y.last {
		return "", day
	}
	y.last = year
	return year, day
}
