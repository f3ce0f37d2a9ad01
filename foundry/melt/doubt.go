package melt

import (
	"fmt"
	"slices"

	"drosswise/foundry/quantity"
)

// doubts are the soft refusals of a line: what can be, and most likely is a
// slip.
func doubts(standing []Line, l Line, b Bench) Refusals {
	rs := doubtSteps(l, b)
	switch l.Kind {
	case HeelIn, Charge:
		return append(rs, doubtFill(standing, l, b)...)
	case Close, Void:
		return doubtEnd(standing, l.Kind)
	}
	return append(rs, doubtOut(standing, l)...)
}

func doubt(field string, say func(quantity.Style) string) Refusals {
	return Refusals{{Field: field, Soft: true, say: say}}
}

// doubtFill doubts a charge above the safe fill.
func doubtFill(standing []Line, l Line, b Bench) Refusals {
	full := fullest(standing, l)
	if b.SafeFill == nil || full <= *b.SafeFill {
		return nil
	}
	fill := *b.SafeFill
	return doubt("mass", func(s quantity.Style) string {
		return fmt.Sprintf("With this the crucible holds %s, above its safe fill of %s. Do not charge more than that. If it is in there already, write it all the same and pour before adding anything.",
			s.Mass(full), s.Mass(fill))
	})
}

// drossPerMetal is what dross weighs at most for the aluminium it ate, as pure
// Al2O3: (2·26.982 + 3·15.999)/(2·26.982) = 1.889 (IUPAC standard atomic
// weights, 2021).
const drossPerMetal = 1 + 3*15.999/(2*26.982)

// doubtOut doubts that more comes out of the crucible than went in, all lines
// of the melt together. Dross counts as the least metal that can be in it. A
// twentieth is left to scales and to estimates: common practice, no source.
func doubtOut(standing []Line, l Line) Refusals {
	var in quantity.Mass
	out := metalIn(l)
	if out == 0 {
		return nil
	}
	for _, x := range standing {
		switch x.Kind {
		case HeelIn, Charge, Addition:
			in += x.Mass()
		default:
			out += metalIn(x)
		}
	}
	if in == 0 || out <= in+in/20 {
		return nil
	}
	return doubt("mass", func(s quantity.Style) string {
		if l.Mass() > in+in/20 {
			return fmt.Sprintf("That is %s, but only %s went in. Check the number and its unit, or write it all the same and look for the charge that was left out.", s.Mass(l.Mass()), s.Mass(in))
		}
		return fmt.Sprintf("With this at least %s came out, dross counted as the metal it ate, but only %s went in. Check the number, its unit and the container, or write it all the same and look for what was left out.", s.Mass(out), s.Mass(in))
	})
}

// metalIn is how much of what went in a line takes out, at least.
func metalIn(l Line) quantity.Mass {
	switch l.Kind {
	case Pour, Reject, Spill, Steel, HeelOut:
		return l.Mass()
	case Skim:
		return quantity.Mass(float64(l.Mass()) / drossPerMetal)
	}
	return 0
}

// doubtSteps doubts a reading between two steps of its scale.
func doubtSteps(l Line, b Bench) Refusals {
	scale := b.Scales[l.Scale]
	for _, g := range l.Gross {
		if !between(g, scale.Resolution) {
			continue
		}
		return doubt("mass", func(s quantity.Style) string {
			return fmt.Sprintf("%s goes in steps of %s, so it cannot have shown %s. Check the number, or choose the scale that was used.",
				scale.Name, s.Mass(scale.Resolution), s.MassInput(g)+" "+s.MassSymbol())
		})
	}
	return nil
}

// between reports whether a reading lies between two steps of a scale. What was
// read in pounds or ounces is no whole number of tenths of a gram: it is held
// against no step in grams, as the same scale goes in other steps there, and a
// step in pounds is itself rounded to a milligram.
func between(g, step quantity.Mass) bool {
	if step <= 0 {
		return false
	}
	n := (g + step/2) / step
	off := max(g-n*step, n*step-g)
	if step%(quantity.Gram/100) == 0 {
		return off > 0 && g%(quantity.Gram/10) == 0
	}
	return off > n/2+1
}

// fullest is the most that the crucible holds from the new line on, as far as
// anybody can say: later lines may have been written before it.
func fullest(standing []Line, l Line) quantity.Mass {
	before := len(upTo(standing, l.At))
	now := slices.Insert(slices.Clone(standing), before, l)
	var most quantity.Mass
	for i := before; i < len(now); i++ {
		inside, known := Contents(now[:i+1])
		if !known {
			break
		}
		most = max(most, inside)
	}
	return most
}

func upTo(standing []Line, at quantity.Moment) []Line {
	for i, l := range standing {
		if l.At > at {
			return standing[:i]
		}
	}
	return standing
}
