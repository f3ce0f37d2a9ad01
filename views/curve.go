package views

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"drosswise/foundry/curve"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// Curves are what loggers and plug meters read during a melt, beside its lines.
type Curves struct {
	Report  curve.Report
	Old     bool // more has come since the report was made
	Series  []Series
	NewKeys func() string
}

// Series is a series in the list of all.
type Series struct {
	ID      int64
	Channel curve.Channel
	Name    string
	Count   int
	Shift   quantity.Span // by which its times were moved
	Struck  *Struck
}

// channelWords are what channels are called.
var channelWords = map[curve.Channel]string{
	curve.Temperature: "Temperature", curve.Power: "Power", curve.Energy: "Meter", curve.Voltage: "Volts", curve.Current: "Amps",
}

// drawn is how a channel is drawn: its integers as the numbers on the axis, and
// how such a number is written.
func drawn(c curve.Channel, s quantity.Style) (number func(int64) float64, written func(float64) string) {
	number = c.Plain
	unit, decimals := c.Unit(), 0
	switch c {
	case curve.Temperature:
		unit = s.TemperatureSymbol()
		if s.Fahrenheit {
			number = func(x int64) float64 { return c.Plain(x)*1.8 + 32 }
		}
	case curve.Energy:
		unit, decimals = "kWh", 1
		number = func(x int64) float64 { return quantity.Energy(x).KilowattHours() }
	case curve.Current:
		decimals = 1
	}
	return number, func(x float64) string { return s.Number(x, decimals) + " " + unit }
}

// marked is a line of the melt that is marked on the curves, under a number.
type marked struct {
	n    int
	line melt.Line
}

// markedLines are the lines within the time of the curves, numbered as they
// happened.
func (m Melt) markedLines() (all []marked) {
	for _, l := range m.standing() {
		if l.At >= m.Curves.Report.From && l.At <= m.Curves.Report.To && l.Kind != melt.Note {
			all = append(all, marked{len(all) + 1, l})
		}
	}
	return all
}

// plot draws one curve with the lines of the melt on it.
func (m Melt) plot(c curve.Curve, s quantity.Style) Plot {
	number, written := drawn(c.Channel, s)
	from, to := m.Curves.Report.From, m.Curves.Report.To
	p := Plot{X: timeAxis(from, to, s), Y: rungs(written, number(c.Least), number(c.Most))}
	p.Says = fmt.Sprintf("%s by %s, %s to %s: from %s to %s", channelWords[c.Channel], c.Name, s.DateTime(from), s.Clock(to), written(number(c.Least)), written(number(c.Most)))
	for _, run := range c.Runs {
		places := make([]Place, len(run))
		for i, x := range run {
			places[i] = Place{float64(x.At), number(x.Value)}
		}
		p.Runs = append(p.Runs, places)
	}
	var last percent = -full
	for _, k := range m.markedLines() {
		r := Rung{At: float64(k.line.At)}
		if at := p.X.across(r.At); at-last > full/16 {
			r.Text, last = strconv.Itoa(k.n), at
		}
		p.Marks = append(p.Marks, r)
		if c.Channel == curve.Temperature && k.line.Temp != nil {
			y := number(int64(*k.line.Temp))
			if y >= p.Y.From && y <= p.Y.To {
				p.Dots = append(p.Dots, Dot{X: r.At, Y: y, Low: y, High: y, Rough: true, Says: Tell(k.line, m.Names, s).Sentence()})
			}
		}
	}
	return p
}

// timeAxis names some four round times.
func timeAxis(from, to quantity.Moment, s quantity.Style) Axis {
	a := Axis{From: float64(from), To: float64(max(to, from+1))}
	step := quantity.Minute
	for _, longer := range []quantity.Span{2, 5, 10, 15, 30, 60, 120, 180, 360, 720, 1440, 2880, 10080} {
		if to.Since(from)/step > 3 {
			step = longer * quantity.Minute
		}
	}
	_, offset := from.Time().In(s.Zone).Zone()
	local := quantity.Moment(offset) * 1000
	for at := (from + local + quantity.Moment(step) - 1) / quantity.Moment(step) * quantity.Moment(step); at <= to+local; at += quantity.Moment(step) {
		text := s.Clock(at - local)
		if step >= 24*quantity.Hour {
			text = s.Date(at - local)
		}
		a.Rungs = append(a.Rungs, Rung{float64(at - local), text})
	}
	return a
}

// curveTable lists what the numbers on the curves stand for.
func (m Melt) curveTable(s quantity.Style) Table {
	t := Table{Caption: "Lines marked on the curves", Columns: []Column{{Title: "Line"}, {Title: "Time", Number: true}}}
	for _, k := range m.markedLines() {
		t.Rows = append(t.Rows, []Cell{{Text: fmt.Sprintf("%d  %s", k.n, Tell(k.line, m.Names, s).Sentence())}, {Text: s.Clock(k.line.At)}})
	}
	return t
}

// flowWords say where an energy comes from.
var flowWords = map[curve.Channel]string{
	curve.Energy: "counted by %s", curve.Power: "power of %s over time", curve.Voltage: "volts of %s times amps over time",
}

// curveFacts are what the curves come to.
func (m Melt) curveFacts(s quantity.Style) (facts []Fact) {
	r := m.Curves.Report
	for i, f := range append(flows(r.Energy), r.Other...) {
		kilo := float64(quantity.KilowattHour)
		value, spread := s.Round(f.Joules/kilo, f.U/kilo, 3)
		if spread != "" {
			value += " ± " + spread
		}
		note := fmt.Sprintf(flowWords[f.From], f.Name)
		if i == 0 {
			note += "; what the meter itself is off by is not in it"
			if m.Sheet.Energy.Known() {
				note += fmt.Sprintf(". The sheet has %s, %s", s.Energy(kwh(m.Sheet.Energy.X)), basisWords[m.Sheet.EnergyBasis])
			}
		}
		if i > 0 && f.Apart(*r.Energy) {
			note += ". This and the first are farther apart than two meters are: one has slipped in its unit, or missed a part of the melt"
		}
		facts = append(facts, Fact{"Energy", value + " kWh", note})
	}
	for _, h := range r.Heats {
		facts = append(facts, Fact{"Hottest", s.Temperature(h.Most), h.Name})
		if h.Fastest != nil {
			facts = append(facts, Fact{"Fastest heating", perHour(h.Fastest.KelvinPerHour, s), "over ten minutes from " + s.Clock(h.Fastest.At) + ", " + h.Name})
		}
		for _, p := range h.Plateaus {
			term := "Stood while melting"
			if p.Falling {
				term = "Stood while freezing"
			}
			facts = append(facts, Fact{term, s.Temperature(p.Temp), fmt.Sprintf("for %s from %s, %s. Pure aluminium melts at %s", s.Span(p.To.Since(p.From)), s.Clock(p.From), h.Name, s.Temperature(meltingPoint))})
		}
		for _, stay := range h.Stays {
			facts = append(facts, Fact{"Above " + s.Temperature(stay.Above), s.Span(stay.Span), h.Name})
		}
	}
	return facts
}

// meltingPoint is that of aluminium (ITS-90: 660.323 °C).
const meltingPoint = quantity.Temperature(660_32)

func flows(f *curve.Flow) []curve.Flow {
	if f == nil {
		return nil
	}
	return []curve.Flow{*f}
}

// perHour is a rate in degrees an hour.
func perHour(kelvin float64, s quantity.Style) string {
	if s.Fahrenheit {
		kelvin *= 1.8
	}
	return s.Number(math.Round(kelvin), 0) + " " + s.TemperatureSymbol() + "/h"
}

// curveDoubts are sentences on what was mended or is odd.
func (m Melt) curveDoubts(c curve.Curve, s quantity.Style) (all []string) {
	for _, d := range c.Doubts {
		all = append(all, d.Say(s))
	}
	return all
}

// clockDoubt says that the curves and the lines lie apart, "" where they meet.
func (m Melt) clockDoubt(s quantity.Style) string {
	lines, r := m.standing(), m.Curves.Report
	if len(lines) == 0 || len(r.Curves) == 0 {
		return ""
	}
	first, last := lines[0].At, lines[len(lines)-1].At
	switch {
	case r.To < first:
		return fmt.Sprintf("All readings are from before the first line, the last one by %s. The logger's clock may be behind.", s.Span(first.Since(r.To)))
	case r.From > last && m.Sheet.State != melt.Running:
		return fmt.Sprintf("All readings are from after the last line, the first one by %s. The logger's clock may be ahead.", s.Span(r.From.Since(last)))
	}
	return ""
}

// seriesFacts tell of a series.
func (x Series) facts(s quantity.Style) (facts []Fact) {
	facts = append(facts, Fact{channelWords[x.Channel], s.Number(float64(x.Count), 0) + " readings", x.Name})
	if x.Shift != 0 {
		way := "behind"
		if x.Shift < 0 {
			way = "ahead"
		}
		facts = append(facts, Fact{"Clock", s.Span(max(x.Shift, -x.Shift)) + " " + way, "the times it sent were moved by that"})
	}
	if x.Struck != nil {
		facts = append(facts, Fact{"Struck", x.Struck.When, strings.Join(nonEmpty(x.Struck.Reason, x.Struck.Who), ", by ")})
	}
	return facts
}

func (m Melt) markSeries(x Series) Action {
	return strikeOrLift(m.path(fmt.Sprintf("/series/%d", x.ID)), x.Struck != nil, m.Curves.NewKeys)
}
