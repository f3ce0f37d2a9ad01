package logfile

import (
	"errors"
	"strings"
	"unicode"
	"unicode/utf8"

	"drosswise/foundry/curve"
	"drosswise/foundry/quantity"
	"drosswise/foundry/table"
)

// Window is the time of a melt.
type Window struct {
	Began quantity.Moment // when it started
	From  quantity.Moment // readings before are of something else
	To    quantity.Moment // and so are those after
}

// Draft is what a table becomes.
type Draft struct {
	Series   []curve.Series // by column, in the order of the table; within the window
	Passed   []Passed
	Outside  int             // rows whose time is outside the window
	Same     int             // readings of the same moment as one before, of the same column
	From, To quantity.Moment // the first and the last time in the table, 0 where none can be read
	Previews []Preview
}

// Passed is what of a column cannot be read.
type Passed struct {
	Column   string
	Count    int
	Line     int    // the first, in the file
	Sentence string // why, of the first
}

// Preview is what one of the first rows becomes.
type Preview struct {
	Line   int
	At     quantity.Moment // 0 where the time cannot be read
	Within bool
	Values []Value
	Says   []Said
}

// Value is a cell as it was read.
type Value struct {
	Column  string
	Channel curve.Channel
	X       int64 // in the channel's unit
}

// previewed is how many rows are shown.
const previewed = 6

// mostName is how long a sensor's name may be, in letters.
const mostName = 100

// column is a matched column of readings.
type column struct {
	at     int
	spec   Spec
	passed Passed
	seen   map[quantity.Moment]bool
}

// Work makes a draft of a table. m is one that Check has nothing to say of.
// Times without a zone are on the shop's clock.
func Work(t table.Table, m Match, s quantity.Style, w Window) Draft {
	why := Because(t, m, s)
	var d Draft
	var columns []*column
	for i, c := range t.Columns {
		if spec, _ := SpecOf(m.Columns[c]); spec.Channel != "" {
			columns = append(columns, &column{i, spec, Passed{Column: c}, map[quantity.Moment]bool{}})
			d.Series = append(d.Series, curve.Series{Channel: spec.Channel, Name: sensor(c)})
		}
	}
	when := newTimes(t, m, why, s, w)
	for n, row := range t.Rows {
		p := Preview{Line: row.Line}
		at, err := when.of(row)
		if err == nil {
			at -= quantity.Moment(m.Ahead)
			p.At, p.Within = at, at >= w.From && at <= w.To
			if d.From == 0 || at < d.From {
				d.From = at
			}
			d.To = max(d.To, at)
		} else {
			when.passed.add(row.Line, err)
			p.Says = append(p.Says, Said{when.passed.Column, err.Error()})
		}
		if err == nil && !p.Within {
			d.Outside++
		}
		for k, c := range columns {
			cell := row.Cells[c.at]
			if cell == "" {
				continue
			}
			x, err := c.spec.read(cell, why.Mark.Is)
			switch {
			case err != nil:
				c.passed.add(row.Line, err)
				p.Says = append(p.Says, Said{c.passed.Column, err.Error()})
				continue
			case p.Within && c.seen[at]:
				d.Same++
			case p.Within:
				c.seen[at] = true
				d.Series[k].Samples = append(d.Series[k].Samples, curve.Sample{At: at, Value: x})
			}
			p.Values = append(p.Values, Value{c.passed.Column, c.spec.Channel, x})
		}
		if n < previewed {
			d.Previews = append(d.Previews, p)
		}
	}
	if when.passed.Count > 0 {
		d.Passed = append(d.Passed, when.passed)
	}
	for _, c := range columns {
		if c.passed.Count > 0 {
			d.Passed = append(d.Passed, c.passed)
		}
	}
	return d
}

// Readings counts the readings of a draft.
func (d Draft) Readings() (n int) {
	for _, s := range d.Series {
		n += len(s.Samples)
	}
	return n
}

func (p *Passed) add(line int, err error) {
	if p.Count++; p.Count == 1 {
		p.Line, p.Sentence = line, err.Error()
	}
}

// sensor is the name of a series, from its column's.
func sensor(column string) string {
	if utf8.RuneCountInString(column) > mostName {
		return string([]rune(column)[:mostName-1]) + "…"
	}
	return column
}

// sentence is why a cell is no reading, for people.
type sentence string

func (s sentence) Error() string { return string(s) }

// read reads a cell as an integer of the field's channel. A unit in the cell
// goes before that of the column.
func (s Spec) read(cell string, mark table.Mark) (int64, error) {
	text := table.Number(cell, mark)
	if strings.IndexFunc(text, unicode.IsLetter) < 0 && !strings.ContainsAny(text, "°") {
		text += " " + s.unit
	}
	var x int64
	var err error
	var style quantity.Style
	switch s.Channel {
	case curve.Temperature:
		var v quantity.Temperature
		v, err = style.ReadTemperature(text)
		x = int64(v)
	case curve.Power:
		var v quantity.Power
		v, err = style.ReadPower(text)
		x = int64(v)
	case curve.Energy:
		var v quantity.Energy
		v, err = style.ReadEnergy(text)
		x = int64(v)
	case curve.Voltage:
		var v quantity.Voltage
		v, err = style.ReadVoltage(text)
		x = int64(v)
	case curve.Current:
		var v quantity.Current
		v, err = style.ReadCurrent(text)
		x = int64(v)
	}
	var refused *quantity.Refusal
	if errors.As(err, &refused) {
		return 0, sentence(refused.Sentence)
	}
	if err != nil {
		return 0, err
	}
	if _, _, _, fits := curve.Read(s.Channel.Unit(), s.Channel.Plain(x)); !fits {
		return 0, sentence("No furnace has such a value, so the sensor or the unit chosen must be off.")
	}
	return x, nil
}

func said(err error) error {
	var refused *quantity.Refusal
	if errors.As(err, &refused) {
		return sentence(refused.Sentence)
	}
	return err
}
