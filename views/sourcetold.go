package views

import (
	"fmt"
	"math"
	"strings"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
)

// estimate is what all melts tell of the source, nil while there are too few.
func (p Source) estimate() *recovery.SourceEstimate {
	if !p.Told.ranked() {
		return nil
	}
	return p.Told.of(p.ScrapRow.Source.ID)
}

// told are the figures as all melts tell them.
func (p Source) told(e *recovery.SourceEstimate, s quantity.Style) []Figure {
	share := func(f recovery.Figure, rough bool, what string) Figure {
		value := Figure{Value: strings.TrimSuffix(middle(f.Range, s), " %"), Unit: "%", Rough: rough, Sentence: what + ", 90 % range " + between(f.Range, s)}
		if rough {
			value.Value, value.Sentence = strings.TrimSuffix(blurred(f.Range, s), " %"), what+", known only roughly: 90 % range"
		}
		return value
	}
	charged, unit := splitUnit(about(e.Kilograms, s))
	of := "charged in " + plural(e.Melts, "closed melt", "closed melts")
	if e.Alone > 0 {
		of += fmt.Sprintf(", %d of them of it alone", e.Alone)
	}
	return []Figure{
		share(e.Metal, !e.Separable, "metal recovered per kg charged"),
		share(e.Dross, vague(e.Dross), "dross per kg charged"),
		{Value: charged, Unit: unit, Sentence: of},
	}
}

// mostDoubts is how many melts that do not fit a page names; its table has all.
const mostDoubts = 4

// careful says how the figures are to be read and what would better them.
func (p Source) careful(s quantity.Style) []Advice {
	var all []Advice
	if e := p.estimate(); e != nil && len(e.Reasons) > 0 {
		text := p.Told.reasons(e)
		if p.ScrapRow.Source.Ended == nil {
			text += " " + p.Told.alone(e.Source, s)
		}
		all = append(all, Advice{Text: strings.TrimSpace(text)})
	}
	for _, r := range p.Melts {
		if len(all) > mostDoubts {
			break
		}
		if fit, ok := p.Fits[r.Code]; ok && fit.Suspect {
			all = append(all, doubtful(fit, s))
		}
	}
	return all
}

// doubtful names a melt that does not fit, and leads to the mass to look at.
func doubtful(fit recovery.MeltFit, s quantity.Style) Advice {
	where := "/melts/" + fit.Code
	if len(fit.Slips) > 0 {
		where += fmt.Sprintf("#line-%d", fit.Slips[0].Reading)
	}
	return Advice{Text: fit.Say(s), Link: &Link{Text: "Look at it", Href: where}}
}

// beliefs are what is believed before any melt, and what the melts add.
func (p Source) beliefs(s quantity.Style) []Fact {
	prior := recovery.PriorOf(p.ScrapRow.Source.Form, p.ScrapRow.Source.Coating)
	one := func(term string, own *recovery.Belief, usual recovery.Belief, basis string) Fact {
		if own != nil {
			return Fact{Term: term, Value: believed(*own, s), Note: "set by the shop; form and coating suggest " + believed(usual, s)}
		}
		return Fact{Term: term, Value: believed(usual, s), Note: "from its form and coating: " + basis}
	}
	facts := []Fact{one("Metal", p.Metal, prior.Metal, basisOf(prior)), one("Dross", p.Dross, prior.Dross, "judgement")}
	if e := p.estimate(); e != nil {
		facts = append(facts, Fact{Term: "What the melts say", Value: informed(e.Metal.Information), Note: weighs(e, s)})
	}
	return facts
}

// informed words how much of the doubt the melts have taken away.
func informed(left float64) string {
	switch {
	case left > vagueAbove:
		return "hardly anything yet"
	case left > 0.5:
		return "something, roughly"
	case left > 0.25:
		return "a good deal"
	}
	return "nearly all there is to say"
}

func weighs(e *recovery.SourceEstimate, s quantity.Style) string {
	if e.Melts == 0 {
		return "it was never charged in a closed melt"
	}
	if n := math.Round(e.Metal.Effective); n >= 1 {
		return plural(e.Melts, "melt", "melts") + " with it, which tell as much as " + plural(int(n), "melt of it alone", "melts of it alone")
	}
	return plural(e.Melts, "melt", "melts") + " with it, which tell less than one melt of it alone"
}

// inSight is how many melts stand in sight; the ones before are folded away.
const inSight = 8

func (p Source) newest() []MeltRow { return p.Melts[:min(inSight, len(p.Melts))] }

func (p Source) older() []MeltRow { return p.Melts[len(p.newest()):] }

// fits is every melt that it was in: what was to be expected of the charge
// from all other melts, and what was seen.
func (p Source) fits(rows []MeltRow, s quantity.Style) Table {
	t := Table{Caption: "Melts with it, expected and seen", Columns: []Column{{Title: "Melt"}, {Title: "Expected", Number: true}, {Title: "Seen", Number: true}, {Title: "Off by", Number: true}}}
	for _, r := range rows {
		row := []Cell{{Text: string(r.Code), Sub: s.Date(r.Started) + " · " + r.what(), Href: r.href()}, {Text: "–"}, {Text: r.yield(s)}, {Text: "–"}}
		fit := p.Fits[r.Code]
		if h := fit.Metal; h != nil {
			within := around(h.Expected, h.SD)
			row[1] = Cell{Text: middle(within, s), Sub: between(within, s)}
			row[3] = Cell{Text: points(h.Seen-h.Expected, s), Sub: unusual(h)}
			if fit.Suspect {
				row[3].Sub = "does not fit"
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// unusual words a melt that is off; "" for one that is as expected.
func unusual(h *recovery.Held) string {
	switch h.Unusual() {
	case recovery.SomewhatOff:
		return "somewhat off"
	case recovery.FarOff:
		return "far off"
	}
	return ""
}

// deliveries compares deliveries with all other melts, those that were charged.
func (p Source) deliveries(s quantity.Style) []Fact {
	var all []Fact
	for _, l := range p.Lots {
		fit, ok := p.Batches[l.ID]
		if !ok || l.Strike != nil {
			continue
		}
		f := Fact{Term: "Of " + s.Date(l.At), Value: "too few melts to tell", Note: s.Mass(l.Charged) + " charged, " + plural(fit.Melts, "melt", "melts")}
		if fit.Melts >= recovery.MinBatch {
			f.Value = against(fit.Off, s)
			f.Note += ", " + reach(fit.Off, s) + " points of metal"
		}
		all = append(all, f)
	}
	return all
}

// against words how a delivery differs from the rest.
func against(off recovery.Range, s quantity.Style) string {
	switch {
	case off.High < 0:
		return "worse than the rest, by " + points(-off.Middle, s)
	case off.Low > 0:
		return "better than the rest, by " + points(off.Middle, s)
	}
	return "no difference seen"
}

// priced is the mass that prices are spoken of by.
func (p Source) priced(s quantity.Style) string {
	symbol, _ := s.PriceMass()
	return symbol
}

// worked is how the melts with it went beside their metal: dross, temperature
// at the pour, and what was noted.
func (p Source) worked(s quantity.Style) Table {
	t := Table{Caption: "Dross, temperature and notes", Columns: []Column{{Title: "Melt"}, {Title: "Dross", Number: true}, {Title: "Poured at", Number: true}, {Title: "Notes"}}}
	for _, r := range p.Melts {
		h := p.Handled[r.Code]
		row := []Cell{{Text: string(r.Code), Href: r.href()}, {Text: "–"}, {Text: "–"}, {Text: strings.Join(h.Notes, " · ")}}
		if d := p.Fits[r.Code].Dross; d != nil {
			row[1] = Cell{Text: s.Percent(d.Seen, 1), Sub: "expected " + s.Percent(d.Expected, 1)}
		}
		if h.Pour != nil {
			row[2].Text = s.Temperature(quantity.Temperature(math.Round(*h.Pour * float64(quantity.Celsius))))
		}
		if row[1].Text != "–" || row[2].Text != "–" || row[3].Text != "" {
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}
