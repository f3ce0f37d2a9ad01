package views

import (
	"fmt"
	"strings"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// Told is a melt's line in words: "Charged" "rims" "2 weighings" "1.066 kg".
type Told struct{ Verb, Text, Note, Value string }

// Sentence is the line in one breath.
func (t Told) Sentence() string {
	var parts []string
	for _, p := range []string{t.Verb, t.Text, t.Value} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	return strings.Join(parts, " ")
}

// Tell puts a line into words.
func Tell(l melt.Line, n Names, s quantity.Style) Told {
	spec, _ := melt.SpecOf(l.Kind)
	t := Told{Verb: spec.Done}
	if l.Weighed() {
		t.Value = s.Mass(l.Mass())
	}
	switch l.Kind {
	case melt.Charge:
		t.Text = n.charged(l)
	case melt.Addition:
		t.Text = strings.ToLower(spec.Label(l.Which))
	case melt.Temperature:
		t.Text = strings.ToLower(spec.Label(l.Which))
	case melt.Using:
		t.Text = strings.Join(nonEmpty(n.kit(l.Crucible), n.kit(l.Element)), ", ")
	case melt.Pour, melt.Reject, melt.Checked:
		t.Text = counted(l)
	}
	switch {
	case l.Temp != nil && l.Kind == melt.Temperature:
		t.Value = s.Temperature(*l.Temp)
	case l.Meter != nil:
		t.Value = s.Energy(*l.Meter)
	case l.Energy != nil:
		t.Value = s.Energy(*l.Energy)
	case l.Kind == melt.Electric:
		t.Value = strings.Join(electric(l, s), " ")
	case !l.Weighed() && (l.Kind == melt.Pour || l.Kind == melt.Skim):
		t.Value = "not weighed"
	}
	t.Note = strings.Join(details(l, spec, n, s), " · ")
	return t
}

func counted(l melt.Line) string {
	if l.Count == nil {
		return ""
	}
	switch l.Kind {
	case melt.Checked:
		return plural(*l.Count, "point read", "points read")
	case melt.Reject:
		return plural(*l.Count, "piece", "pieces")
	}
	return plural(*l.Count, "ingot", "ingots")
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func electric(l melt.Line, s quantity.Style) []string {
	var all []string
	if l.Volts != nil {
		all = append(all, s.Voltage(*l.Volts))
	}
	if l.Amps != nil {
		all = append(all, s.Current(*l.Amps))
	}
	if l.Watts != nil {
		all = append(all, s.Power(*l.Watts))
	}
	if l.Ohms != nil {
		all = append(all, s.Resistance(*l.Ohms))
	}
	return all
}

// details are the small words under a line, in the order of asking.
func details(l melt.Line, spec melt.Spec, n Names, s quantity.Style) []string {
	var all []string
	say := func(when bool, words string) {
		if when && words != "" {
			all = append(all, words)
		}
	}
	say(len(l.Gross) > 1, fmt.Sprintf("%d weighings", len(l.Gross)))
	say(l.Tare > 0, "scale showed "+readings(l, s)+", container "+s.Mass(l.Tare)+" taken off")
	say(l.Weighed() && l.Scale != 0, n.kit(l.Scale))
	if l.Spread != nil {
		word := "known to"
		if l.Scale == 0 {
			word = "by eye,"
		}
		say(true, word+" ± "+s.Mass(*l.Spread))
	}
	say(l.AsFound, "as found")
	say(l.Dry, "dry")
	say(l.Preheated, "preheated")
	say(l.IntoHot, "into hot metal")
	say(l.Kind == melt.Skim && l.Which != "", strings.ToLower(spec.Label(l.Which)))
	say(l.Mould != "", l.Mould)
	say(l.Kind == melt.Pour && l.Temp != nil, atTemp(l, s))
	say(l.Probe != 0, n.kit(l.Probe))
	if l.Cost != nil {
		say(true, s.Money(*l.Cost))
	}
	say(true, l.Note)
	return all
}

// readings are what the scale showed, with the container in each.
func readings(l melt.Line, s quantity.Style) string {
	all := make([]string, len(l.Gross))
	for i, g := range l.Gross {
		all[i] = s.Mass(g)
	}
	return strings.Join(all, " + ")
}

func atTemp(l melt.Line, s quantity.Style) string {
	if l.Temp == nil {
		return ""
	}
	return "at " + s.Temperature(*l.Temp)
}

func nonEmpty(words ...string) []string {
	var all []string
	for _, w := range words {
		if w != "" {
			all = append(all, w)
		}
	}
	return all
}
