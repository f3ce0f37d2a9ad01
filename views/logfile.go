package views

import (
	"fmt"
	"net/url"
	"strings"

	"drosswise/foundry/curve"
	"drosswise/foundry/logfile"
	"drosswise/foundry/quantity"
	"drosswise/foundry/table"
)

// LogFiles is where the file of a logger or a plug meter comes in as readings of
// a melt.
type LogFiles struct {
	Melt    Melt
	Fault   string // why the file that was sent cannot be taken
	Waiting []OldFile
}

func (p LogFiles) file() Field {
	return Field{Name: "file", Label: "The file", Required: true, Error: p.Fault,
		Hint: "CSV or text, as the logger's or the meter's own program saves it. Up to 100,000 rows and 8 MB. Nothing is stored yet: you see first what each column would become."}
}

func (p LogFiles) waiting(s quantity.Style) Ledger {
	var l Ledger
	for _, f := range p.Waiting {
		l.Rows = append(l.Rows, Row{Time: dayAndMonth(s.Date(f.At)), Verb: f.File, Note: "Sent by " + f.Who + ".", Href: p.Melt.path("/readings/" + f.Key)})
	}
	return l
}

// LogMatch is the table of a logger with its columns matched to what they are of,
// and the readings it would become.
type LogMatch struct {
	Melt       Melt
	File       OldFile
	FormKey    string
	Table      table.Table
	Delimiter  table.Delimiter // as chosen, 0 as found
	Match      logfile.Match
	Remembered bool // matched as the last file with these columns was
	Why        logfile.Reasons
	Wrong      []logfile.Said // of the match as a whole
	Draft      logfile.Draft  // empty while something is wrong
	Window     logfile.Window
	Renamed    map[string]string // new names of sensors whose series was struck
	Guess      quantity.Span     // by how much its clock seems to be ahead, 0 for no guess
	Typed      Typed
}

func (p LogMatch) under() string {
	return fmt.Sprintf("%s and %s. Letters: %s. %s", plural(len(p.Table.Rows), "row", "rows"), plural(len(p.Table.Columns), "column", "columns"), p.Table.Encoding.Is, p.Table.Encoding.Why)
}

// columns are the fields that match the columns, each with a few of its cells.
func (p LogMatch) columns() []Field {
	var fields []Field
	for i, c := range p.Table.Columns {
		options := []Option{{Value: "", Label: "Left out"}}
		for _, s := range logfile.Specs() {
			options = append(options, Option{Value: string(s.Field), Label: s.Label})
		}
		f := chosen(OldColumn(i), "“"+c+"” is", sample(p.Table, i), string(p.Match.Columns[c]), options)
		for _, w := range p.Wrong {
			if w.Column == c {
				f.Error = w.Sentence
			}
		}
		fields = append(fields, f)
	}
	return fields
}

func (p LogMatch) typed(field string) string { return url.Values(p.Typed.Values).Get(field) }

func (p LogMatch) written() []Field {
	return written(p.Table, p.Delimiter, p.Why.Order, p.Match.Order, p.Why.Mark, p.Match.Mark)
}

// starts reports whether the times count from a start.
func (p LogMatch) starts() bool { return p.Match.Counts() }

func (p LogMatch) startDate() Field {
	return Field{Name: "start_date", Label: "Date", Value: p.typed("start_date"), Error: p.Typed.Faults["start"]}
}

func (p LogMatch) startClock() Field {
	return Field{Name: "start_clock", Label: "Time", Value: p.typed("start_clock")}
}

// clock are the fields on how far the logger's clock was off.
func (p LogMatch) clock() []Field {
	way := chosen("off_way", "The logger's clock was", "Compare it with the shop's when you next read it out.", p.typed("off_way"),
		[]Option{{Value: "", Label: "Right"}, {Value: "ahead", Label: "Ahead"}, {Value: "behind", Label: "Behind"}})
	by := Field{Name: "off_by", Label: "By", Value: p.typed("off_by"), Error: p.Typed.Faults["off_by"], Hint: "Like 1:00 for an hour, or 3 min. The times are moved by that."}
	return []Field{way, by}
}

// whole are the sentences on the form as a whole.
func (p LogMatch) whole() (say []string) {
	for _, w := range p.Wrong {
		if w.Column == "" {
			say = append(say, w.Sentence)
		}
	}
	return say
}

// says is what would become of the file.
func (p LogMatch) says(s quantity.Style) (say []string) {
	if len(p.Wrong) > 0 {
		return []string{"Nothing can be taken in yet: say what the columns are."}
	}
	d := p.Draft
	n := d.Readings()
	if n > 0 {
		say = append(say, fmt.Sprintf("%s by %s would be stored.", plural(n, "reading", "readings"), plural(len(d.Series), "sensor", "sensors")))
	} else {
		say = append(say, "No reading can be stored yet.")
	}
	if d.Outside > 0 {
		say = append(say, fmt.Sprintf("%s left out: from %s to %s a reading can be of this melt, and the file runs from %s to %s.", plural(d.Outside, "row is", "rows are"),
			s.DateTime(p.Window.From), s.DateTime(p.Window.To), s.DateTime(d.From), s.DateTime(d.To)))
	}
	if p.Guess != 0 {
		way := "ahead"
		if p.Guess < 0 {
			way = "behind"
		}
		say = append(say, fmt.Sprintf("If the logger's clock was %s %s, all of it lies on the melt: it may be on another zone or without summer time. Say so below if it was.", s.Span(max(p.Guess, -p.Guess)), way))
	}
	if d.Same > 0 {
		say = append(say, fmt.Sprintf("%s left out, since the sensor has one of the same moment already. If the logger can write seconds, let it.", plural(d.Same, "reading is", "readings are")))
	}
	for _, x := range d.Passed {
		say = append(say, fmt.Sprintf("“%s”: %s passed over. Line %d: %s", clipped(x.Column, 40), plural(x.Count, "cell is", "cells are"), x.Line, x.Sentence))
	}
	for _, c := range p.Table.Columns {
		if name := p.Renamed[c]; name != "" {
			say = append(say, fmt.Sprintf("The readings of “%s” were struck before, so these come as “%s”.", clipped(c, 40), clipped(name, 44)))
		}
	}
	return say
}

// preview is what the first rows would become.
func (p LogMatch) preview(s quantity.Style) Ledger {
	l := Ledger{Empty: "Nothing while something is wrong above."}
	for _, x := range p.Draft.Previews {
		r := Row{Time: fmt.Sprintf("line %d", x.Line), Verb: "No time"}
		if x.At != 0 {
			r.Verb = s.Date(x.At) + " " + s.ClockInput(x.At)
		}
		var words []string
		for _, v := range x.Values {
			words = append(words, clipped(v.Column, 40)+" "+inFull(v.Channel, v.X, s))
		}
		r.Text = strings.Join(words, ", ")
		if x.At != 0 && !x.Within {
			r.Says = append(r.Says, "Outside the melt.")
		}
		for _, w := range x.Says {
			r.Says = append(r.Says, "“"+clipped(w.Column, 40)+"”: "+w.Sentence)
		}
		l.Rows = append(l.Rows, r)
	}
	return l
}

// inFull is a value of a channel with a decimal more than its curve has.
func inFull(c curve.Channel, x int64, s quantity.Style) string {
	switch c {
	case curve.Energy:
		return s.Number(quantity.Energy(x).KilowattHours(), 3) + " kWh"
	case curve.Temperature:
		number, _ := drawn(c, s)
		return s.Number(number(x), 1) + " " + s.TemperatureSymbol()
	}
	return s.Number(c.Plain(x), 1) + " " + c.Unit()
}
