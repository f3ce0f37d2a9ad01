package views

import (
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
)

// expects says what the charge so far should give, "" when nobody can tell and
// once it is poured.
func (m Melt) expects(s quantity.Style) string {
	x := m.Expect
	if x == nil || m.poured() {
		return ""
	}
	kg := func(r recovery.Range) string {
		at := func(share float64) string { return s.MassTo(kilograms(share*x.Kilograms), kilograms(0.01)) }
		return at(r.Low) + " to " + at(r.High)
	}
	text := "Expect " + kg(x.Metal) + " of metal from this charge (" + between(x.Metal, s) + ") and " + kg(x.Dross) + " of dross."
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
