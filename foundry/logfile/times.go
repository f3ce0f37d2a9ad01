package logfile

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"drosswise/foundry/quantity"
	"drosswise/foundry/table"
)

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
	down        bool // the newest row comes first
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
	x.down = x.date >= 0 && x.falls(t.Rows)
	return x
}

// falls reports whether the last row that can be read is older than the first.
func (x *times) falls(rows []table.Row) bool {
	var first, last quantity.Moment
	for _, row := range rows {
		if at, err := x.dated(row); err == nil {
			first = at
			break
		}
	}
	for _, row := range slices.Backward(rows) {
		if at, err := x.dated(row); err == nil {
			last = at
			break
		}
	}
	return last < first
}

// of is when a row was, on the logger's clock.
func (x *times) of(row table.Row) (at quantity.Moment, err error) {
	switch {
	case x.count >= 0:
		return x.counted(row.Cells[x.count])
	case x.date >= 0:
		at, err = x.dated(row)
	default:
		at, err = x.clocked(row.Cells[x.clock])
	}
	if err != nil {
		return 0, err
	}
	x.last = x.settled(at)
	return x.last, nil
}

// dated reads a date with its time of day, in one cell or in two.
func (x *times) dated(row table.Row) (quantity.Moment, error) {
	if x.clock < 0 {
		at, timed, err := table.Moment(row.Cells[x.date], x.order, x.style)
		if err == nil && !timed {
			return 0, sentence("There is a date and no time of day. Choose the column with the time too.")
		}
		return at, said(err)
	}
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
}

// settled tells by the order of the rows which of two is meant of a time that the
// clock showed twice, since it was put back by an hour: the rows go on in time.
func (x *times) settled(at quantity.Moment) quantity.Moment {
	const hour = quantity.Moment(quantity.Hour)
	early, late := at, at
	if x.putBack(at - hour) {
		early = at - hour
	}
	if x.putBack(at) {
		late = at + hour
	}
	if early == late || x.last == 0 {
		return at
	}
	if !x.down && early >= x.last || x.down && late > x.last {
		return early
	}
	return late
}

// putBack reports whether clocks show the same an hour later.
func (x *times) putBack(at quantity.Moment) bool {
	_, before := at.Time().In(x.day.Location()).Zone()
	_, after := (at + quantity.Moment(quantity.Hour)).Time().In(x.day.Location()).Zone()
	return before-after == 3600
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
