package drift

import (
	"fmt"
	"strings"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
)

// amount shows a plain number of the unit that a sentence names.
type amount func(x float64) string

// between shows a range, its middle first, with the unit once.
func between(r recovery.Range, show amount, unit string) string {
	return fmt.Sprintf("%s%s, between %s and %s (9 chances in 10)", show(r.Middle), unit, show(r.Low), show(r.High))
}

// turned is a range seen from the other side: so much less instead of more.
func turned(r recovery.Range) recovery.Range {
	return recovery.Range{Low: -r.High, Middle: -r.Middle, High: -r.Low}
}

func sentences(parts ...string) string {
	var some []string
	for _, p := range parts {
		if p != "" {
			some = append(some, p)
		}
	}
	return strings.Join(some, " ")
}

// melts counts them.
func melts(n int) string {
	if n == 1 {
		return "1 melt"
	}
	return fmt.Sprintf("%d melts", n)
}

// takes are the words and the unit of what is watched.
type takes struct {
	more, less string
	unit       string
	scale      float64 // of the unit to Y
	decimals   int
	look       string // where to look when one melt stands alone
}

var taking = map[Kind]takes{
	OfEnergy: {"more", "less", " kWh", 1, 1, "its meter reading, its charge and its times"},
	OfTime:   {"longer", "less", " minutes", 60, 0, "the times written down, its charge and its supply"},
}

// Say words what is known of what melts take, and whether a change was noticed.
func (c Course) Say(s quantity.Style) string {
	var all []string
	if a := c.Open(); a != nil {
		all = append(all, a.Say(s, c.Kind))
	}
	for _, a := range c.Lone() {
		all = append(all, a.Say(s, c.Kind))
	}
	return sentences(append(all, c.sayLevel(s), c.sayStage(), c.sayMisread())...)
}

func (c Course) sayLevel(s quantity.Style) string {
	if c.Kind == OfEnergy {
		return c.Split.Say(s)
	}
	p := c.PerKilogram
	if p.Value == nil {
		return "No closed melt says when all was molten, its charge and whether it started cold."
	}
	unit, kg := "kilogram", 1.0
	if s.MassUnit == quantity.Pounds {
		unit, kg = "pound", 0.45359237 // exactly (international agreement, 1959)
	}
	show := func(hours float64) string { return s.Number(60*kg*hours, 1) }
	return fmt.Sprintf("From power on to all molten it took %s minutes a %s charged over %s, one melt between %s and %s.",
		show(*p.Value), unit, melts(p.Melts), show(p.Low), show(p.High))
}

// sayStage says what the melts allow, and never that nothing has changed.
func (c Course) sayStage() string {
	n := len(c.Baseline)
	switch {
	case c.Melts == 0 || c.Open() != nil:
		return ""
	case c.Stage != Charting:
		return fmt.Sprintf("A change can be noticed from %d melts on; there are %d to go by.", LeastForChart, n)
	}
	return fmt.Sprintf("No change was noticed over %s. That does not show that there was none: one as large as the usual scatter takes about ten melts to stand out.", melts(n))
}

func (c Course) sayMisread() string {
	if n := len(c.Misread); n > 0 && c.Kind == OfTime {
		return fmt.Sprintf("%s of them did not fit the others: check what was written.", melts(n))
	}
	return ""
}

// Say words an alarm of what is watched.
func (a Alarm) Say(s quantity.Style, kind Kind) string {
	w := taking[kind]
	show := func(x float64) string { return s.Number(w.scale*x, w.decimals) }
	more, size, share := w.more, a.Size, a.Share
	if !a.Up {
		more = w.less
		size, share = turnedIf(size), turnedIf(share)
	}
	if a.Sign == ByOne {
		return a.sayLone(w, more, size, show)
	}
	if size == nil {
		return sentences(fmt.Sprintf("Time to check: from melt %s on, melts took %s than melts like them took before. The melts before are too few to say by how much.", a.ChangeCode, more), a.sayClose())
	}
	text := fmt.Sprintf("Time to check: from melt %s on, melts took %s%s %s than melts like them took before, between %s and %s (9 chances in 10)",
		a.ChangeCode, show(size.Middle), w.unit, more, show(size.Low), show(size.High))
	if share != nil {
		text += fmt.Sprintf(", which is %s (%s to %s)", s.Percent(share.Middle, 0), s.Number(100*share.Low, 0), s.Percent(share.High, 0))
	}
	return sentences(fmt.Sprintf("%s. That rests on %s since and %d before.", text, melts(a.Since), a.Before), a.sayPassed(), a.sayClose())
}

func (a Alarm) sayLone(w takes, more string, size *recovery.Range, show amount) string {
	by, about := "", ", by how much the melts before are too few to say"
	if size != nil {
		by = show(size.Middle) + w.unit + " "
		about = fmt.Sprintf(", between %s and %s (9 chances in 10)", show(size.Low), show(size.High))
	}
	text := fmt.Sprintf("Time to check what was written of melt %s: it alone took %s%s than expected%s. Look at %s.", a.Code, by, more, about, w.look)
	if a.Close == "" && a.Later > 0 {
		text += fmt.Sprintf(" Of %s since, %d took what was expected. Correct the slip if there is one; if not, close this as a one-off.", melts(a.Later), a.Back)
	}
	return sentences(text, a.sayClose())
}

// sayPassed says that an open change may be over.
func (a Alarm) sayPassed() string {
	if a.Close != "" || a.Later < leastEach || 2*a.Back <= a.Later {
		return ""
	}
	return fmt.Sprintf("Of %s after it was noticed, %d took what was expected: it may have passed.", melts(a.Later), a.Back)
}

func (a Alarm) sayClose() string {
	switch a.Close {
	case RealChange:
		return "It was closed as a real change: what a melt should take was learnt anew from there."
	case Joined:
		return "It proved to be the first of a change."
	case OneOff:
		return "It was closed as a one-off and is left out of what a melt should take."
	case Renewed:
		return "Something was renewed since, and what a melt should take was learnt anew."
	}
	return ""
}

func turnedIf(r *recovery.Range) *recovery.Range {
	if r == nil {
		return nil
	}
	t := turned(*r)
	return &t
}

// Say words an individuals chart of what is called `what`, its values shown by
// show.
func (c Individuals) Say(what string, show func(float64) string) string {
	text := fmt.Sprintf("%s was %s on average, and by the usual scatter one value lies between %s and %s.", what, show(c.Mean), show(c.Low), show(c.High))
	switch n := len(c.Out); n {
	case 0:
		return text + " None lay outside."
	case 1:
		return text + " One lay outside: time to check it."
	default:
		return fmt.Sprintf("%s %d lay outside: time to check them.", text, n)
	}
}
