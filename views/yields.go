package views

import (
	"strings"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/sheet"
)

// Yields are what all closed melts together say of the scrap in them, with who is who.
type Yields struct {
	*recovery.Estimates                 // nil while the very first is being made
	At                  quantity.Moment // of the latest melts in it
	Old                 bool            // a newer one is being made
	Names               map[int64]string
}

// ownIngots is what metal of earlier pours is called among scrap.
const ownIngots = "Own ingots, melted again"

// Name is how people call a source.
func (t Yields) Name(id int64) string {
	switch name, ok := t.Names[id]; {
	case ok:
		return name
	case id == sheet.OwnIngots:
		return ownIngots
	}
	return "unknown scrap"
}

// of finds what is told of a source, nil when nothing is.
func (t Yields) of(id int64) *recovery.SourceEstimate {
	if t.Estimates == nil {
		return nil
	}
	for i := range t.Sources {
		if t.Sources[i].Source == id {
			return &t.Sources[i]
		}
	}
	return nil
}

// ranked reports whether there are melts enough to tell sources apart.
func (t Yields) ranked() bool { return t.Estimates != nil && t.Ranked }

// says tells how old the figures are.
func (t Yields) says(s quantity.Style) string {
	switch {
	case t.Estimates == nil:
		return "The first estimate from all melts is being made. Load the page again in a moment."
	case t.Old:
		return "Worked out " + s.DateTime(t.At) + ". A newer one is being made: load the page again in a moment."
	}
	return "Worked out " + s.DateTime(t.At) + "."
}

// decimals are how many a share in percent is shown with: none, or one where
// its range is narrower than two points.
func decimals(r recovery.Range) int {
	if r.Width() < 0.02 {
		return 1
	}
	return 0
}

// middle is the middle of a share's range: "91 %".
func middle(r recovery.Range, s quantity.Style) string { return s.Percent(r.Middle, decimals(r)) }

// between is a share's range: "88 to 94 %".
func between(r recovery.Range, s quantity.Style) string {
	low, high := s.Number(100*r.Low, decimals(r)), s.Number(100*r.High, decimals(r))
	if low == high {
		return low + " %"
	}
	return low + " to " + high + " %"
}

// blurred is a share that is known only by its range: "61–86 %".
func blurred(r recovery.Range, s quantity.Style) string {
	return strings.Replace(between(r, s), " to ", "–", 1)
}

// sdOf90 is how many standard deviations half a range of nine chances in ten
// is wide: the 95 % quantile of the normal curve.
const sdOf90 = 1.6448536269514722

// around is the range of a normal curve, kept within 0 and 1.
func around(mean, sd float64) recovery.Range {
	cut := func(x float64) float64 { return min(max(x, 0), 1) }
	return recovery.Range{Low: cut(mean - sdOf90*sd), Middle: cut(mean), High: cut(mean + sdOf90*sd)}
}

// points is a difference of two shares: "3 points", "0.4 points".
func points(share float64, s quantity.Style) string {
	text := s.Number(100*share, 0)
	if share > -0.02 && share < 0.02 {
		text = s.Number(100*share, 1)
	}
	if text == "1" || text == "-1" || text == "−1" {
		return text + " point"
	}
	return text + " points"
}

// reach is a range of a difference in points, without the word: "−2 to 1".
func reach(r recovery.Range, s quantity.Style) string {
	return s.Number(100*r.Low, decimals(r)) + " to " + s.Number(100*r.High, decimals(r))
}

// chance is a chance in percent; nothing is ever quite sure.
func chance(p float64, s quantity.Style) string {
	switch {
	case p > 0.99:
		return "over 99 %"
	case p < 0.01:
		return "under 1 %"
	}
	return s.Percent(p, 0)
}

// vague reports whether the melts say too little of a share to name its middle.
func vague(f recovery.Figure) bool { return f.Effective == 0 || f.Information > vagueAbove }

// vagueAbove is the part of the doubt left, as recovery holds a source to be
// mostly the shop's average.
const vagueAbove = 0.8

// drossOf is what is known of a source's dross.
func drossOf(e *recovery.SourceEstimate, s quantity.Style) string {
	if vague(e.Dross) {
		return "dross " + between(e.Dross.Range, s)
	}
	return "dross " + middle(e.Dross.Range, s)
}

// reasons are the sentences that say how a figure is to be read.
func (t Yields) reasons(e *recovery.SourceEstimate) string {
	var all []string
	for _, r := range e.Reasons {
		if text := r.Say(t.Name); text != "" {
			all = append(all, text)
		}
	}
	return strings.Join(all, " ")
}

// alone is the melt that would tell most of a source: of it alone.
func (t Yields) alone(id int64, s quantity.Style) string {
	if t.Estimates == nil {
		return ""
	}
	for _, x := range t.Experiments() {
		if x.Source != id || id == sheet.OwnIngots {
			continue
		}
		wide := func(sd float64) string { return s.Number(200*sdOf90*sd, 0) }
		text := "Melt it alone once, about " + s.MassTo(kilograms(x.Kilograms), kilograms(0.1))
		if before, after := wide(x.OwnBefore), wide(x.OwnAfter); before != after {
			text += ": its range should shrink from " + before + " to " + after + " points"
		}
		return text + "."
	}
	return ""
}

// together says which sources cannot be told apart, and what would.
func (t Yields) together(s quantity.Style) []Advice {
	if !t.ranked() {
		return nil
	}
	var all []Advice
	for _, g := range t.Groups {
		names := make([]string, len(g.Sources))
		for i, b := range g.Sources {
			names[i] = t.Name(b.Source)
		}
		last := len(names) - 1
		a := Advice{Lead: strings.Join(names[:last], ", ") + " and " + names[last]}
		a.Text = "are nearly always charged together; only their blend is known: "
		if !g.Apart {
			a.Text = "were never charged apart; only their blend is known: "
		}
		a.Text += middle(g.Metal, s) + " metal, " + between(g.Metal, s) + "."
		if g.Try != nil {
			a.Text += " " + g.Try.Say(s, t.Name)
		}
		all = append(all, a)
	}
	return all
}
