package views

import (
	"strings"

	"drosswise/foundry/curve"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
)

// glance is one large figure of a running melt.
type glance struct {
	Label, Value, More string
	Beyond             bool // More is a limit that is passed
}

// glances are the last temperature that was read, what is charged against the
// safe fill, and the metal to expect. A figure that is not there is a dash, with what it lacks.
func (m Melt) glances(f Frame) []glance {
	s := f.Style
	read := glance{Label: "Last read", Value: "–", More: "nothing yet"}
	if l, ok := melt.Last(m.standing(), melt.Temperature); ok && l.Temp != nil {
		spec, _ := melt.SpecOf(melt.Temperature)
		read.Value, read.More = s.Temperature(*l.Temp), strings.ToLower(spec.Label(l.Which))+", "+f.when(l.At)
	}
	if name, last, ok := m.probed(); ok {
		read.Value, read.More = s.Temperature(quantity.Temperature(last.Value)), name+", "+f.when(last.At)
	}
	standing := m.standing()
	charged := glance{Label: "Charged", Value: s.MassTo(melt.Charged(standing), kilograms(0.01)), More: "the safe fill is not known"}
	if m.SafeFill != nil {
		charged.More = "of " + fillShown(*m.SafeFill, s) + " safe fill"
		if inside, known := melt.Contents(standing); known && inside > *m.SafeFill {
			charged.More, charged.Beyond = "over the safe fill of "+fillShown(*m.SafeFill, s), true
		}
	}
	metal := glance{Label: "Expect", Value: "–", More: "nothing charged yet"}
	switch x := m.Expect; {
	case x != nil:
		metal.Value = s.MassTo(kilograms(x.Metal.Middle*x.Kilograms), kilograms(0.01))
		metal.More = "metal, " + m.mass(x.Metal, s)
	case melt.Charged(standing) > 0:
		metal.More = "too little is known"
	}
	return []glance{read, charged, metal}
}

// when is the time of day, with the date where that is not today's.
func (f Frame) when(at quantity.Moment) string {
	if f.Style.Date(at) == f.Style.Date(f.Now) {
		return f.Style.Clock(at)
	}
	return f.Style.DateTime(at)
}

// probed is the last temperature that a logger sent, if none was written down
// since.
func (m Melt) probed() (name string, last curve.Sample, ok bool) {
	if m.Curves == nil {
		return "", last, false
	}
	name, last, ok = m.Curves.Report.Temperature()
	if l, written := melt.Last(m.standing(), melt.Temperature); written && l.At >= last.At {
		return "", last, false
	}
	return name, last, ok
}

// mass is a share of the charge as a range of masses.
func (m Melt) mass(r recovery.Range, s quantity.Style) string {
	at := func(share float64) string { return s.MassTo(kilograms(share*m.Expect.Kilograms), kilograms(0.01)) }
	return at(r.Low) + " to " + at(r.High)
}

// expects says more of what the charge so far should give, "" when nobody can
// tell and once it is poured.
func (m Melt) expects(s quantity.Style) string {
	x := m.Expect
	if x == nil || m.poured() {
		return ""
	}
	text := "Expect " + between(x.Metal, s) + " of this charge as metal, and " + m.mass(x.Dross, s) + " of dross."
	if x.Known < 0.5 {
		text += " Mostly from what is believed of its form: there are too few melts with it."
	}
	return text
}

// unusual says whether the melt came out otherwise than its charge let expect,
// and which mass to look at.
func (m Melt) unusual(s quantity.Style) []Advice {
	var all []Advice
	if text := off(m.Held, "metal", s); text != "" {
		all = append(all, Advice{Text: text})
	}
	if m.Fit == nil {
		return all
	}
	if text := off(m.Fit.Dross, "dross", s); text != "" {
		all = append(all, Advice{Text: text})
	}
	if m.Fit.Suspect {
		all = append(all, doubtful(*m.Fit, s))
	}
	return all
}

// off words a share that is unusual for the charge, "" for one that is not.
func off(h *recovery.Held, what string, s quantity.Style) string {
	text := ""
	switch h.Unusual() {
	case recovery.SomewhatOff:
		text = "Somewhat "
	case recovery.FarOff:
		text = "Far "
	default:
		return ""
	}
	more := "more "
	if h.Seen < h.Expected {
		more = "less "
	}
	within := around(h.Expected, h.SD)
	return text + more + what + " than its charge lets expect: " + s.Percent(h.Seen, 1) + ", where " + between(within, s) + " was to be expected."
}

// expected is what the charge let expect, as a fact beside what was seen.
func (m Melt) expected(s quantity.Style) []Fact {
	if m.Held == nil {
		return nil
	}
	within := around(m.Held.Expected, m.Held.SD)
	return []Fact{{Term: "Recovery expected of this charge", Value: between(within, s), Note: "nine chances in ten, from all other melts"}}
}
