package logfile

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"time"
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

// times reads when rows were.
type times struct {
	match       Match
	style       quantity.Style
	order       table.Order
	mark        table.Mark
	date, clock int // columns, -1 for none
	count       int
	field       Field // of count
	day         time.Time
	last        quantity.Moment
	passed      Passed
}

func newTimes(t table.Table, m Match, why Reasons, s quantity.Style, w Window) *times {
	x := &times{match: m, style: s, order: why.Order.Is, mark: why.Mark.Is, date: -1, clock: -1, count: -1}
	for i, c := range t.Columns {
		switch f := m.Columns[c]; {
		case f == Date:
			x.date, x.passed.Column = i, c
		case f == Clock:
			x.clock, x.passed.Column = i, c
		case f.since(), f.unix():
			x.count, x.field, x.passed.Column = i, f, c
		}
	}
	zone := s.Zone
	if zone == nil {
		zone = time.UTC
	}
	x.day = w.Began.Time().In(zone)
	return x
}

// of is when a row was, on the logger's clock.
func (x *times) of(row table.Row) (quantity.Moment, error) {
	switch {
	case x.count >= 0:
		return x.counted(row.Cells[x.count])
	case x.date >= 0 && x.clock >= 0:
		date, err := table.Date(row.Cells[x.date], x.order)
		if err != nil {
			return 0, said(err)
		}
		clock, err := table.Clock(row.Cells[x.clock])
		if err != nil {
			return 0, said(err)
		}
		at, err := x.style.ReadMoment(date, clock)
		return at, said(err)
	case x.date >= 0:
		at, timed, err := table.Moment(row.Cells[x.date], x.order, x.style)
		if err == nil && !timed {
			return 0, sentence("There is a date and no time of day. Choose the column with the time too.")
		}
		return at, said(err)
	}
	return x.clocked(row.Cells[x.clock])
}

// clocked reads a time of day. The first is taken on the day that brings it
// nearest to the start of the melt, the others go on from there: a time that
// goes back by more than half a day is past midnight.
func (x *times) clocked(cell string) (quantity.Moment, error) {
	clock, err := table.Clock(cell)
	if err != nil {
		return 0, said(err)
	}
	near := x.last
	if near == 0 {
		near = quantity.At(x.day)
	}
	var best quantity.Moment
	found := false
	for days := -1; days <= 1; days++ {
		at, err := x.style.ReadMoment(near.Time().In(x.day.Location()).AddDate(0, 0, days).Format(time.DateOnly), clock)
		if err != nil {
			continue
		}
		if !found || abs(at.Since(near)) < abs(best.Since(near)) {
			best, found = at, true
		}
	}
	if !found {
		return 0, sentence("The clock was put forward over this time, so it was never shown.")
	}
	x.last = best
	return best, nil
}

func abs(s quantity.Span) quantity.Span { return max(s, -s) }

// counted reads a time that counts from the start or from 1970.
func (x *times) counted(cell string) (quantity.Moment, error) {
	if x.field == Lapse {
		since, err := lapse(cell)
		return x.match.Start + quantity.Moment(since), err
	}
	n, err := number(cell, x.mark)
	if err != nil {
		return 0, err
	}
	scale := map[Field]float64{Seconds: 1e3, Minutes: 60e3, Hours: 3600e3, UnixSeconds: 1e3, UnixMillis: 1}[x.field]
	ms := math.Round(n * scale)
	if !(math.Abs(ms) < 1e14) { // some three thousand years
		return 0, sentence("The number is too large for a time.")
	}
	if x.field.unix() {
		return quantity.Moment(ms), nil
	}
	return x.match.Start + quantity.Moment(ms), nil
}

// number reads a bare number with any number of decimals, with a power of ten
// too, as loggers write small times.
func number(cell string, mark table.Mark) (float64, error) {
	text := table.Number(cell, mark)
	if mark == table.CommaMark {
		text = strings.ReplaceAll(text, ",", ".")
	}
	n, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(n) || math.IsInf(n, 0) {
		return 0, sentence("This is not read as a number of seconds, minutes or hours.")
	}
	return n, nil
}

// lapse reads a time since the start like 1:02:03 or 2:03.
func lapse(cell string) (quantity.Span, error) {
	parts := strings.Split(cell, ":")
	refused := sentence("This is not read as a time since the start. It should be like 1:02:03.")
	if len(parts) < 2 || len(parts) > 3 {
		return 0, refused
	}
	total := 0.0
	for i, p := range parts {
		n, err := number(p, table.Point)
		if err != nil || n < 0 || i > 0 && n >= 60 || i < len(parts)-1 && n != math.Trunc(n) || n > 1e6 {
			return 0, refused
		}
		total = total*60 + n
	}
	return quantity.Span(math.Round(total * 1000)), nil
}

func said(err error) error {
	var refused *quantity.Refusal
	if errors.As(err, &refused) {
		return sentence(refused.Sentence)
	}
	return err
}

// mostZone is how far two clocks are apart at most that show the time of
// different zones, in hours: from UTC-12 to UTC+14.
const mostZone = 26

// WholeHours guesses by how many whole hours a logger's clock was ahead whose times,
// from and to, do not lie on a melt: as they are when it was never put on summer
// time or runs on UTC. It is the smallest by which all of them lie between first
// and last of the melt's lines, with slack on both sides; 0 for none.
func WholeHours(from, to, first, last quantity.Moment, slack quantity.Span) quantity.Span {
	fits := func(ahead quantity.Span) bool {
		return from-quantity.Moment(ahead) >= first-quantity.Moment(slack) && to-quantity.Moment(ahead) <= last+quantity.Moment(slack)
	}
	for h := quantity.Span(0); h <= mostZone; h++ {
		switch {
		case fits(h * quantity.Hour):
			return h * quantity.Hour
		case fits(-h * quantity.Hour):
			return -h * quantity.Hour
		}
	}
	return 0
}
