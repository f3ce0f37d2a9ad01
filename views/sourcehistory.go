package views

import "drosswise/foundry/quantity"

// history is how the estimate of a source came about; nil while there is too
// little to draw.
func (p Source) history(s quantity.Style) *Plot {
	if len(p.History) < 2 {
		return nil
	}
	plot := Plot{Says: "How its estimate came about, after each melt with it; the numbers are in the table below."}
	var all []float64
	for _, h := range p.History {
		plot.Dots = append(plot.Dots, Dot{X: float64(h.Own), Y: h.Metal.Middle, Low: h.Metal.Low, High: h.Metal.High, Says: "after " + plural(h.Own, "melt", "melts") + ": " + between(h.Metal, s)})
		all = append(all, h.Metal.Low, h.Metal.High)
	}
	first, last := p.History[0], p.History[len(p.History)-1]
	plot.X = Axis{From: float64(first.Own), To: float64(last.Own), Rungs: []Rung{{float64(first.Own), plural(first.Own, "melt", "melts")}, {float64(last.Own), plural(last.Own, "melt", "melts")}}}
	plot.Y = rungs(func(x float64) string { return s.Percent(x, 0) }, all...)
	return &plot
}

// historyTable has the numbers of the plot, the newest first.
func (p Source) historyTable(s quantity.Style) Table {
	t := Table{Caption: "How the estimate came about", Columns: []Column{{Title: "After"}, {Title: "Metal", Number: true}, {Title: "90 % range", Number: true}}}
	for i := len(p.History) - 1; i >= 0; i-- {
		h := p.History[i]
		t.Rows = append(t.Rows, []Cell{{Text: plural(h.Own, "melt with it", "melts with it"), Sub: s.Date(h.At)}, {Text: middle(h.Metal, s)}, {Text: between(h.Metal, s)}})
	}
	return t
}
