package views

import (
	"fmt"

	"drosswise/foundry/drift"
	"drosswise/foundry/kit"
	"drosswise/foundry/life"
	"drosswise/foundry/quantity"
	"drosswise/foundry/wear"
)

// Worn is what the records say of how a piece of kit wears, as it was last
// worked out; what does not go with the kind of kit is nil.
type Worn struct {
	At      quantity.Moment
	Old     bool // a newer one is being made
	Element *wear.Life
	Course  *Course
	Tool    *drift.Instrument
	Lives   *life.Life // of its kind, of crucibles and element sets
	Outlook *life.Outlook
	Cost    *life.Cost
	Weight  *life.Trend
	Wall    *life.Trend
	Doubted []Link // melts that an instrument measured since it was last found within its ±
}

// says tells how old it is.
func (w Worn) says(s quantity.Style) string {
	if w.Old {
		return "Worked out " + s.DateTime(w.At) + ". A newer one is being made: load the page again in a moment."
	}
	return "Worked out " + s.DateTime(w.At) + "."
}

// element is the life of an element set, nil when there is none to tell.
func (p KitItem) element() *wear.Life {
	if p.Worn == nil {
		return nil
	}
	return p.Worn.Element
}

// left is how many melts an element set has left to the shop's limit.
func (p KitItem) left(s quantity.Style) Figure {
	f := Figure{Unit: "melts", Sentence: "left to the shop's limit"}
	l := p.element()
	if l == nil {
		f.Missing = "It is being worked out. Load the page again in a moment."
		return f
	}
	switch {
	case l.Code == wear.Past:
		f.Value, f.Sentence = "0", "left: it is at the shop's limit or past it"
	case l.Code == wear.TooFew || l.Code == wear.OneMelt:
		f.Missing = "Read its ohms over several melts: it takes " + plural(wear.LeastReadings, "reading", "readings") + "."
	case l.Code == wear.Falling:
		f.Missing = "Its ohms fall, which no wire does with age."
	case l.Melts == nil || l.Melts.Early == nil:
		f.Missing = "No end is in sight yet."
	case l.Melts.Middle == nil:
		f.Value, f.Sentence = s.Number(*l.Melts.Early, 0), "left at least (19 chances in 20); how many more cannot be foreseen"
		f.Rough = true
	default:
		f.Value = s.Number(*l.Melts.Middle, 0)
		f.Sentence = "left before " + s.Percent(l.Limit, 0) + " over new, likely " + s.Number(*l.Melts.Early, 0) + " to " + lateMelts(*l.Melts, s)
		f.Rough = l.Far || l.Melts.Late == nil
	}
	return f
}

func lateMelts(left wear.Left, s quantity.Style) string {
	if left.Late == nil {
		return "more than can be foreseen"
	}
	return s.Number(*left.Late, 0)
}

// ohmsPlot draws the ohms of a set against its hours hot, with the limit and
// where it is foreseen to be met; nil with fewer than two readings.
func ohmsPlot(l *wear.Life, s quantity.Style) *Plot {
	points := l.Series.Points
	if len(points) < 2 {
		return nil
	}
	ohms := func(x float64) string { return s.Number(x, 1) + " Ω" }
	plot := Plot{Says: "Ohms against hours hot, with the limit at which the shop checks. The numbers are in the table below."}
	all := []float64{}
	for _, p := range points {
		plot.Dots = append(plot.Dots, Dot{X: p.Hours, Y: p.Ohms, Low: p.Ohms, High: p.Ohms, Rough: p.Way != wear.Cold, Says: p.Say(s)})
		all = append(all, p.Ohms)
	}
	first, last := points[0], points[len(points)-1]
	plot.X = Axis{From: first.Hours, To: max(last.Hours, l.Hours), Rungs: []Rung{{first.Hours, hoursText(first.Hours, s)}}}
	if l.LimitOhms > 0 {
		plot.Limits = []Rung{{l.LimitOhms, "check at " + s.Number(l.LimitOhms, 1) + " Ω"}}
		all = append(all, l.LimitOhms)
	}
	if a := ahead(l, last); a != nil {
		plot.Ahead = a
		plot.X.To = max(plot.X.To, a.Late)
		if a.Open {
			plot.X.To = max(plot.X.To, l.Hours+2*(a.Early-l.Hours))
		}
	}
	plot.X.Rungs = append(plot.X.Rungs, Rung{plot.X.To, hoursText(plot.X.To, s)})
	plot.Y = rungs(ohms, all...)
	return &plot
}

func hoursText(x float64, s quantity.Style) string { return s.Number(x, 0) + " h" }

// ahead is where the limit is foreseen to be met, nil where it is not.
func ahead(l *wear.Life, last wear.Point) *Ahead {
	if l.Left == nil || l.Left.Early == nil || l.Code != wear.Foreseen && l.Code != wear.NoTrend {
		return nil
	}
	a := Ahead{From: Place{last.Hours, last.Ohms}, Y: l.LimitOhms, Early: l.Hours + *l.Left.Early, Open: l.Left.Late == nil}
	if !a.Open {
		a.Late = l.Hours + *l.Left.Late
	}
	return &a
}

// readingTable has the numbers of the plot, the newest first.
func readingTable(l *wear.Life, s quantity.Style) Table {
	t := Table{Caption: "Readings brought to one basis", Columns: []Column{{Title: "Hours hot", Number: true}, {Title: "Ω, cold", Number: true}, {Title: "over new", Number: true}}}
	if l.Series.Hot {
		t.Columns[1].Title = "Ω, hot"
	}
	ways := map[wear.Way]string{wear.Cold: "read cold", wear.Hot: "read under power", wear.Draw: "drawn from the meter"}
	for i := len(l.Series.Points) - 1; i >= 0; i-- {
		p := l.Series.Points[i]
		over := Cell{Text: "–"}
		if l.Series.New > 0 {
			over.Text = s.Percent(p.Ohms/l.Series.New-1, 1)
		}
		t.Rows = append(t.Rows, []Cell{{Text: s.Number(p.Hours, 1), Sub: ways[p.Way]}, {Text: s.Number(p.Ohms, 2), Sub: "± " + s.Number(sdOf90*p.U, 2)}, over})
	}
	return t
}

// chance is how likely a crucible sees its next heats.
func (p KitItem) chance(s quantity.Style) Figure {
	f := Figure{Unit: "%", Sentence: "chance that it sees its next heats"}
	if p.Worn == nil || p.Worn.Outlook == nil {
		f.Missing = "It is being worked out. Load the page again in a moment."
		return f
	}
	o := p.Worn.Outlook
	f.Sentence = "chance that it does " + plural(int(o.Next), "heat", "heats") + " more, given what it has done"
	switch {
	case p.Item.Cracked:
		f.Missing = "A crack was found: retire it."
	case o.Chance == nil:
		f.Missing = "No crucible has worn out yet, and none is expected to: type how many melts you expect of it."
	default:
		f.Value = likely(*o.Chance, s)
		f.Rough = o.WornOut < life.LeastLearned
	}
	return f
}

// kindOfLife is how the lives of a kind of kit are spoken of.
func kindOfLife(k kit.Kind) life.Kind {
	if k == kit.Element {
		return life.ElementSet
	}
	return life.Crucible
}

// survival is the share of pieces that last so long, step by step.
func survival(c *life.KaplanMeier, s quantity.Style) Table {
	t := Table{Caption: "Share that lasts at least so long, with 90 % ranges", Columns: []Column{{Title: "Heats", Number: true}, {Title: "Worn out", Number: true}, {Title: "Left", Number: true}}}
	for _, step := range c.Steps {
		left := Cell{Text: s.Percent(step.Left, 0)}
		if step.Low != nil && step.High != nil {
			left.Sub = s.Number(100**step.Low, 0) + " to " + s.Percent(*step.High, 0)
		}
		t.Rows = append(t.Rows, []Cell{{Text: s.Number(step.Age, 0)}, {Text: fmt.Sprintf("%d of %d", step.Worn, step.AtRisk)}, left})
	}
	return t
}

// massPlot draws what a crucible weighed over time, from new on; nil with fewer
// than two weighings.
func (p KitItem) massPlot(s quantity.Style) *Plot {
	plot := Plot{Joined: true, Says: "What it weighed over time; each weighing stands in the lines below."}
	var all []float64
	add := func(at quantity.Moment, m quantity.Mass) {
		plot.Dots = append(plot.Dots, Dot{X: float64(at), Y: m.Kilograms(), Low: m.Kilograms(), High: m.Kilograms(), Says: s.Date(at) + ": " + s.Mass(m)})
		all = append(all, m.Kilograms())
	}
	if p.Item.Mass != nil {
		add(p.Item.Created, *p.Item.Mass)
	}
	for _, l := range p.Lines {
		if l.Stands() && l.Kind == kit.Inspected && l.Mass != nil && l.At > p.Item.Created {
			add(l.At, *l.Mass)
		}
	}
	if len(plot.Dots) < 2 {
		return nil
	}
	first, last := plot.Dots[0].X, plot.Dots[len(plot.Dots)-1].X
	plot.X = Axis{From: first, To: last, Rungs: []Rung{{first, s.Date(quantity.Moment(first))}, {last, s.Date(quantity.Moment(last))}}}
	plot.Y = rungs(func(kg float64) string { return s.MassTo(kilograms(kg), quantity.Gram) }, all...)
	return &plot
}
