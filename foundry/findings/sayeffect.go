package findings

import (
	"fmt"
	"math"
	"strings"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
)

// Title is the practice as the beginning of a sentence.
func (f Effect) Title(s quantity.Style) string {
	switch f.Practice {
	case Drying:
		return "Drying the charge"
	case Preheating:
		return "Preheating the charge"
	case HotMetal:
		return "Charging into hot metal"
	case Heel:
		return "Charging into a heel"
	case WithFlux:
		if f.Kind == "" {
			return "Using flux"
		}
		return "Using " + f.Kind
	case Hotter:
		if s.Fahrenheit {
			return fmt.Sprintf("Pouring %s °F hotter", s.Number(HotterBy*1.8, 0))
		}
		return fmt.Sprintf("Pouring %d °C hotter", HotterBy)
	}
	return string(f.Practice)
}

// sides says how many melts there are on each side.
func (f Effect) sides() string {
	with, without := "with it", "without"
	if f.Practice == Hotter {
		with, without = "hotter than the middle", "colder"
	}
	return fmt.Sprintf("%s %s and %d %s", count(f.With, "melt", "melts"), with, f.Without, without)
}

// points shows a share of the charge without its sign.
func points(s quantity.Style, x float64) string {
	return s.Number(math.Abs(x)*100, 1)
}

// signed shows a change of the outcome.
func (f Effect) signed(s quantity.Style, x float64) string {
	if x < 0 {
		return points(s, x) + " points less"
	}
	return points(s, x) + " points more"
}

// Say words the effect and what it rests on. What the practice is dangerous by
// is said by Caution, and belongs beside it.
func (f Effect) Say(s quantity.Style, name recovery.Namer) string {
	title, from := f.Title(s), f.sides()
	var text string
	switch f.Code {
	case TooFew:
		return f.tooFew(s)
	case Helps, Costs:
		// One side of zero, so that both ends have the same sign.
		text = fmt.Sprintf("%s went with %s %s: between %s and %s (9 chances in 10), from %s.", title, f.signed(s, f.Range.Middle), f.Outcome,
			points(s, min(math.Abs(f.Range.Low), math.Abs(f.Range.High))), points(s, max(math.Abs(f.Range.Low), math.Abs(f.Range.High))), from)
	case CannotTell:
		text = fmt.Sprintf("%s: the melts cannot tell yet what it does to the %s. It may be anything between %s and %s (9 chances in 10), from %s.",
			title, f.Outcome, f.signed(s, f.Range.Low), f.signed(s, f.Range.High), from)
	default:
		text = fmt.Sprintf("%s: no difference in %s was seen. It may still be anything between %s and %s (9 chances in 10), from %s.",
			title, f.Outcome, f.signed(s, f.Range.Low), f.signed(s, f.Range.High), from)
	}
	left := ""
	if f.Left > 0 {
		left = count(f.Left, "melt does", "melts do") + " not say."
	}
	return sentences(text, left, f.sayTwins(s), f.sayTies(name))
}

func (f Effect) tooFew(s quantity.Style) string {
	what := fmt.Sprintf("%s: what it does to the %s cannot be said", f.Title(s), f.Outcome)
	switch {
	case f.With == 0 && f.Without == 0:
		return what + ": no melt says whether it was done."
	case f.Practice == Hotter && f.With == 0:
		return what + ": all melts were poured alike."
	case f.With == 0:
		return what + ": it was never done."
	case f.Without == 0:
		return what + ": it was always done, so there is nothing to compare it with."
	}
	return fmt.Sprintf("%s from %s. It takes %d of each.", what, f.sides(), LeastMelts)
}

// sayTwins says what it nearly always went with.
func (f Effect) sayTwins(s quantity.Style) string {
	if len(f.Twins) == 0 {
		return ""
	}
	var names []string
	for _, t := range f.Twins {
		title := Effect{Practice: t.Practice, Kind: t.Kind}.Title(s)
		names = append(names, strings.ToLower(title[:1])+title[1:])
	}
	return "It nearly always went with " + listed(names) + ", so only what they do together is known."
}

// sayTies says which source the practice was always used with. What may be
// dangerous to leave out, as drying is, is not proposed to be left out.
func (f Effect) sayTies(name recovery.Namer) string {
	var never, only []string
	for _, t := range f.Ties {
		if t.Apart {
			only = append(only, name(t.Source))
		} else {
			never = append(never, name(t.Source))
		}
	}
	it := "It was only ever done with "
	if f.Practice == Hotter {
		it = "The hotter pours were all of "
	}
	text := ""
	if len(never) > 0 {
		text = it + listed(never) + ", and never was the one without the other, so the two can hardly be told apart."
		if f.Practice != Drying && f.Practice != Hotter {
			text += " A melt of that scrap without it would tell most."
		}
	}
	if len(only) > 0 {
		text = sentences(text, it+listed(only)+": that says little of other scrap.")
	}
	return text
}

// Caution is what belongs beside a practice, whatever it gives in metal.
func (p Practice) Caution(s quantity.Style) string {
	switch p {
	case Drying:
		return "Dry it whatever this says: water that metal closes over explodes."
	case Preheating:
		return "Preheat in the open air and out of the way of the pot, and never anything that is shut in itself."
	case HotMetal, Heel:
		return "Only dry, open, warmed pieces may meet liquid metal; some teaching foundries forbid it altogether, and a cold charge is the more careful way."
	case WithFlux:
		return "Flux must be dry, and it wears crucible and elements."
	case Hotter:
		return "Pouring above about " + s.Temperature(750*quantity.Celsius) + " brings trouble, whatever it does to the yield."
	}
	return ""
}

// Say words what the effect is worth. Drying is never a question of money
// alone, and is not called not worth it.
func (p Payback) Say(s quantity.Style) string {
	name, kg := unit(s)
	worth := fmt.Sprintf("it comes to %s for each %s charged", between(s, scaled(p.Range, kg)), name)
	switch {
	case p.Code == Helps:
		return "It pays: " + worth + "."
	case p.Practice == Drying:
		return "In money alone " + worth + ". Dry it all the same: it is done so that nothing explodes."
	case p.Code == Costs:
		return "It does not pay: " + worth + "."
	case p.Code == CannotTell:
		return "Whether it pays cannot be told yet: " + worth + "."
	}
	return "Whether it pays is open: " + worth + ". The chance that it pays is " + percentage(s, p.Up) + "."
}

// Caveat says how far several effects may be believed together; "" when none is
// claimed. Of ranges of nine chances in ten, one in ten misses: who asks many
// questions gets some answers by chance.
func Caveat(list []Effect) string {
	asked, claimed := 0, 0
	for _, f := range list {
		if f.Range != nil {
			asked++
		}
		if f.Code == Helps || f.Code == Costs {
			claimed++
		}
	}
	if claimed == 0 {
		return ""
	}
	return fmt.Sprintf("%s asked, each answered with nine chances in ten: even where nothing makes a difference, one in ten shows one by chance. Trust an effect that stays as melts are added.",
		count(asked, "question was", "questions were"))
}
