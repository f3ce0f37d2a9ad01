package curve

import (
	"fmt"

	"drosswise/foundry/quantity"
)

// Kind is a kind of doubt about a series.
type Kind string

// The kinds of doubt.
const (
	Gapped       Kind = "gap"
	Spiked       Kind = "spike"
	Reset        Kind = "reset"
	Fahrenheit   Kind = "fahrenheit"
	Kelvin       Kind = "kelvin"
	Thousandth   Kind = "thousandth"
	Thousandfold Kind = "thousandfold"
	Small        Kind = "small"
)

// Doubt is something about a series that was found and mended, or allowed for.
type Doubt struct {
	Kind   Kind            `json:"kind"`
	Count  int             `json:"count"`
	At     quantity.Moment `json:"at"` // the first time
	Lasted quantity.Span   `json:"lasted,omitempty"`
	Left   bool            `json:"left,omitempty"` // it may be right, and was left as it is
}

// Say tells it in a sentence.
func (d Doubt) Say(s quantity.Style) string {
	first := s.DateTime(d.At)
	readings := fmt.Sprintf("%d readings", d.Count)
	if d.Count == 1 {
		readings = "One reading"
	}
	switch d.Kind {
	case Gapped:
		if d.Count == 1 {
			return fmt.Sprintf("Nothing was read for %s from %s on.", s.Span(d.Lasted), first)
		}
		return fmt.Sprintf("Nothing was read %d times, for %s together, the first time at %s.", d.Count, s.Span(d.Lasted), first)
	case Spiked:
		return fmt.Sprintf("%s left out that no furnace explains, the first at %s. A loose wire or switching beside it does that.", readings, first)
	case Reset:
		if d.Count == 1 {
			return fmt.Sprintf("The counter began anew at %s. What it counted before is added; what was lost in between is allowed for.", first)
		}
		return fmt.Sprintf("The counter began anew %d times, first at %s. What it counted before is added; what was lost in between is allowed for.", d.Count, first)
	case Small:
		return "No furnace takes as little as was read: it may have come in kilowatts as if they were watts. It is left as it is."
	}
	came := map[Kind]string{
		Fahrenheit: "in degrees Fahrenheit among degrees Celsius", Kelvin: "in kelvins among degrees Celsius",
		Thousandth: "a thousand times too small", Thousandfold: "a thousand times too large",
	}[d.Kind]
	if d.Left {
		return fmt.Sprintf("From %s on it jumps as if it came %s. It is left as it is, since it does not jump back.", first, came)
	}
	return fmt.Sprintf("%s from %s on came %s, and were turned back.", readings, first, came)
}
