package drift

import (
	"fmt"
	"math"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
)

// readers are the words and units of an instrument's errors.
var readers = map[Tool]struct{ name, used string }{
	ScaleTool: {"scale", "weighed on it"},
	ProbeTool: {"thermocouple", "measured with it"},
	MeterTool: {"meter", "metered with it"},
}

// show is how an instrument's error is shown, without its sign's word.
func (t Tool) show(s quantity.Style, x float64) string {
	switch t {
	case ScaleTool:
		return s.Mass(quantity.Mass(math.Round(x * float64(quantity.Kilogram))))
	case ProbeTool:
		if s.Fahrenheit {
			return s.Number(1.8*x, 1) + " °F"
		}
		return s.Number(x, 1) + " °C"
	}
	return s.Percent(x, 1)
}

// Say words what the checks of an instrument say.
func (in Instrument) Say(s quantity.Style) string {
	r := readers[in.Tool]
	if len(in.Checks) == 0 {
		return fmt.Sprintf("This %s was never checked. Time to check it.", r.name)
	}
	return sentences(in.sayLast(s), in.sayDrift(s), in.sayDoubtful(s))
}

// sayLast words the last check. It is called on an instrument with checks.
func (in *Instrument) sayLast(s quantity.Style) string {
	c, r := in.Checks[len(in.Checks)-1], readers[in.Tool]
	show := func(x float64) string { return in.Tool.show(s, x) }
	limit := "its own ±" + show(c.Limit)
	if in.Tool == ProbeTool {
		limit = "the ±" + show(c.Limit) + " of a new one of its class"
	}
	text := fmt.Sprintf("On %s the %s read %s", s.Date(c.At), r.name, more(c.Error, "too much", "too little", show))
	switch {
	case c.Limit == 0:
		return text + ". Its own ± is not known, so there is nothing to hold that against."
	case c.Verdict == Within:
		return text + ", within " + limit + "."
	case c.Verdict == Beyond:
		return text + ", beyond " + limit + ". Time to check it again, and to adjust or replace it."
	}
	return text + "; whether that is beyond " + limit + " this check is too coarse to say."
}

func (in Instrument) sayDrift(s quantity.Style) string {
	if in.Drift == nil {
		return ""
	}
	show := func(x float64) string { return in.Tool.show(s, x) }
	since := s.Date(*in.From)
	if in.Drift.Low <= 0 && in.Drift.High >= 0 {
		return fmt.Sprintf("Since %s no drift can be told from the doubt of the checks: it lies between %s and %s (9 chances in 10).", since, show(in.Drift.Low), show(in.Drift.High))
	}
	return fmt.Sprintf("Since %s it has drifted: it reads %s.", since, more(*in.Drift, "more", "less", show))
}

func (in Instrument) sayDoubtful(s quantity.Style) string {
	n := len(in.Doubtful)
	if n == 0 {
		return ""
	}
	since := "It was never found within its ±"
	if in.Good != nil {
		since = "It was last found within its ± on " + s.Date(*in.Good)
	}
	return fmt.Sprintf("%s: what was %s in %s since is in doubt.", since, readers[in.Tool].used, melts(n))
}

// more shows a signed range in words: 40 g too little, between 35 and 45.
func more(r recovery.Range, up, down string, show amount) string {
	word := up
	switch {
	case r.Middle == 0:
		return fmt.Sprintf("true, give or take %s (9 chances in 10)", show(r.High))
	case r.Middle < 0:
		word, r = down, turned(r)
	}
	return fmt.Sprintf("%s %s (between %s and %s, 9 chances in 10)", show(r.Middle), word, show(r.Low), show(r.High))
}
