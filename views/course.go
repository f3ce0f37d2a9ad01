package views

import (
	"strings"

	"drosswise/foundry/drift"
	"drosswise/foundry/quantity"
)

// Course is what the melts of a furnace took, one after another.
type Course struct {
	Energy, Time drift.Course
	Alarm        *drift.Alarm // the open one, nil when none is
	Of           drift.Kind   // what the open one is of
	Causes       []drift.Likely
	Wall         *drift.Wall
	Loss         *drift.Loss
	Closed       []ClosedAlarm // the newest first
	Served       *Timeline     // its element sets and crucibles; nil before the first melt
}

// ClosedAlarm is an alarm that a person has judged.
type ClosedAlarm struct {
	Melt string
	How  string
	When string
	Who  string
	Note string
}

// coursePlot draws how far each melt lay from what was expected of it, in
// scatters of a usual melt, with the moving average that watches for a change;
// nil while there is no chart.
func coursePlot(c drift.Course, s quantity.Style) *Plot {
	if c.Stage != drift.Charting {
		return nil
	}
	var points []drift.Point
	for _, p := range c.Points {
		if p.Q != nil {
			points = append(points, p)
		}
	}
	points = points[max(0, len(points)-mostCharted):]
	if len(points) < 2 {
		return nil
	}
	plot := Plot{Says: "How far each melt lay from what was expected of it; the line is the average that watches for a change. The numbers are in the table below."}
	all := []float64{-3, 3}
	for i, p := range points {
		x := float64(i)
		plot.Dots = append(plot.Dots, Dot{X: x, Y: *p.Q, Low: *p.Q, High: *p.Q, Rough: p.Open, Says: p.Code})
		plot.Trace = append(plot.Trace, Place{x, p.EWMA})
		all = append(all, *p.Q)
	}
	last := points[len(points)-1]
	plot.X = Axis{From: 0, To: float64(len(points) - 1), Rungs: []Rung{{0, points[0].Code}, {float64(len(points) - 1), last.Code}}}
	plot.Y = rungs(func(x float64) string { return signedNumber(x, s) }, all...)
	if last.Limit > 0 {
		plot.Limits = []Rung{{last.Limit, ""}, {-last.Limit, ""}}
	}
	return &plot
}

// mostCharted is how many melts a chart on a phone has room for.
const mostCharted = 60

func signedNumber(x float64, s quantity.Style) string {
	text := s.Number(x, 0)
	if x > 0 {
		return "+" + text
	}
	return text
}

// mostListed is how many of the newest melts the table of a chart has.
const mostListed = 20

// courseTable has what the newest melts took beside what was expected.
func courseTable(c drift.Course, s quantity.Style) Table {
	unit, show := "kWh", func(x float64) string { return s.Number(x, 2) }
	if c.Kind == drift.OfTime {
		unit, show = "h", func(x float64) string { return s.Number(x, 2) }
	}
	t := Table{Caption: "What the newest melts took, and what was expected", Columns: []Column{{Title: "Melt"}, {Title: "Took, " + unit, Number: true}, {Title: "Expected", Number: true}}}
	for i := len(c.Points) - 1; i >= 0 && len(t.Rows) < mostListed; i-- {
		p := c.Points[i]
		expected := Cell{Text: "–"}
		if p.Expected != nil {
			expected.Text = show(*p.Expected)
		}
		if p.Q != nil {
			expected.Sub = signedDeviations(*p.Q, s)
		}
		t.Rows = append(t.Rows, []Cell{{Text: p.Code, Href: "/melts/" + p.Code}, {Text: show(p.Y)}, expected})
	}
	return t
}

// signedDeviations is how far off a melt was, in scatters of a usual melt.
func signedDeviations(q float64, s quantity.Style) string {
	text := s.Number(q, 1)
	if q > 0 {
		text = "+" + text
	}
	return text + " scatters off"
}

// closings are the buttons that close the open alarm.
func (p KitItem) closings() []Action {
	if !p.May || p.Worn == nil || p.Worn.Course == nil || p.Worn.Course.Alarm == nil {
		return nil
	}
	path := p.path("/alarms/" + p.Worn.Course.Alarm.Code)
	return []Action{
		{Label: "It has changed", Under: "start anew from there", Href: path + "/real_change", Post: true, Key: p.NewKeys()},
		{Label: "It was a one-off", Under: "leave these melts out", Href: path + "/one_off", Post: true, Key: p.NewKeys()},
	}
}

// supported are the causes with something for them, and open those of which
// nothing was written down.
func (c Course) causes(supported bool) []drift.Likely {
	var some []drift.Likely
	for _, l := range c.Causes {
		if (l.Finding == drift.Supports || l.Finding == drift.Noted) == supported {
			some = append(some, l)
		}
	}
	return some
}

// closedFacts are the alarms that people have judged.
func closedFacts(list []ClosedAlarm) []Fact {
	how := map[string]string{string(drift.RealChange): "a real change", string(drift.OneOff): "a one-off"}
	var all []Fact
	for _, c := range list {
		all = append(all, Fact{Term: c.Melt, Value: how[c.How], Note: strings.Join(nonEmpty(c.When, c.Who, c.Note), " · ")})
	}
	return all
}

// toolTitle heads what the checks of an instrument say.
func toolTitle(t drift.Tool) string {
	switch t {
	case drift.ScaleTool:
		return "Against known masses"
	case drift.ProbeTool:
		return "Against known temperatures"
	}
	return "Its meter against a second one"
}
