package views

import (
	"fmt"
	"strings"

	"drosswise/foundry/alloy"
	"drosswise/foundry/caution"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
)

// Source is the page of one kind of scrap.
type Source struct {
	ScrapRow
	Lots    []scrap.Lot // the newest first
	Older   *Link       // to older deliveries, nil when there are none
	Melts   []MeltRow   // the newest first
	Told    Yields
	Fits    map[melt.Code]recovery.MeltFit // of Melts, where they are in the estimate
	Batches map[int64]recovery.BatchFit    // by delivery
	Metal   *recovery.Belief               // what the shop believes, nil to go by form and coating
	Dross   *recovery.Belief
	Quotes  []scrap.Quote // of all goods, the newest first
	Cost    *SourceCost   // of a kilo of metal; nil while there is no estimate
	History []recovery.Point
	Handled map[melt.Code]Handled // how Melts were worked
	Photos  map[int64][]Photo     // by delivery, those that stand
	People  map[int64]string
	May     bool
	NewKeys func() string // a key for each button that writes something
}

// Handled is how a melt was worked.
type Handled struct {
	Pour  *float64 // °C
	Notes []string
}

func (p Source) path(more string) string { return sourceHref(p.ScrapRow.Source.ID) + more }

func (p Source) under() string {
	if e := p.ScrapRow.Source.Ended; e != nil {
		return "No longer used"
	}
	return formOf(p.ScrapRow.Source)
}

func (p Source) figures(s quantity.Style) []Figure {
	if e := p.estimate(); e != nil && e.Melts > 0 {
		return p.told(e, s)
	}
	yield := Figure{Sentence: "metal recovered of what was charged, in melts with nothing else"}
	value, spread, ok := p.rounded(s)
	if ok {
		yield.Value, yield.Unit, yield.Sentence = value, "%", "metal recovered of what was charged, "+p.alone(s)
		if spread != "" {
			yield.Range = "± " + spread
			yield.Sentence += "; ± is the weighing alone"
		}
	} else {
		yield.Missing = p.experiment()
	}
	if p.Record.Melts == 0 {
		return []Figure{yield, {Value: "0", Unit: "melts", Sentence: "with it so far"}}
	}
	charged, unit := splitUnit(roundMass(p.Record.Charged, s))
	return []Figure{yield, {Value: charged, Unit: unit, Sentence: "charged in " + plural(p.Record.Melts, "melt", "melts")}}
}

// roundMass shows a large mass to about three digits.
func roundMass(m quantity.Mass, s quantity.Style) string { return s.MassTo(m, m/200) }

// splitUnit parts a shown quantity at its last blank.
func splitUnit(shown string) (value, unit string) {
	i := strings.LastIndexByte(shown, ' ')
	if i < 0 {
		return shown, ""
	}
	return shown[:i], shown[i+1:]
}

func (p Source) facts(s quantity.Style) []Fact {
	src := p.ScrapRow.Source
	facts := []Fact{{Term: "Form", Value: formOf(src)}}
	made := Fact{Term: "Alloy", Value: "not guessed"}
	if src.Alloy != "" {
		made.Value = src.Alloy
	}
	var notes []string
	if src.Sure != "" {
		notes = append(notes, strings.ToLower(src.Sure.Name()))
	}
	if _, ok := alloy.Find(src.Alloy); src.Alloy != "" && !ok {
		notes = append(notes, "not in the table of alloys, so its heat is reckoned as pure aluminium's")
	}
	made.Note = strings.Join(notes, "; ")
	facts = append(facts, made)
	paid, fetches := "not said", "not said"
	if src.Paid != nil {
		paid = s.MassPrice(*src.Paid)
		if *src.Paid == 0 {
			paid = "nothing"
		}
	}
	if src.Fetches != nil {
		fetches = s.MassPrice(*src.Fetches)
	}
	return append(facts, Fact{Term: "Costs", Value: paid}, Fact{Term: "Would fetch unmelted", Value: fetches})
}

// hazards are what was noted of the source, in words.
func (p Source) hazards() string {
	words := p.ScrapRow.Source.Hazards.Words()
	if len(words) == 0 {
		return "Nothing was noted. That says that nobody noted it, not that nothing is there."
	}
	return strings.ToUpper(words[0][:1]) + strings.Join(words, ", ")[1:] + "."
}

// warnings are the cautions that this source calls for when it is charged; those of
// every charge stand where charging is written.
func (p Source) warnings() Cautions {
	return Cautions{Title: "Before it goes into the pot", List: CautionList(caution.ForCharge(HazardsOf(p.ScrapRow.Source)))}
}

// ledger is the deliveries, struck ones too.
func (p Source) ledger(s quantity.Style) Ledger {
	led := Ledger{Empty: "No delivery is written yet. Weighing what comes in tells how much is left, and what steel and plastic it brings."}
	var years yearly
	for _, l := range p.Lots {
		r := Row{ID: fmt.Sprintf("lot-%d", l.ID), Verb: "Delivered", Text: lotMass(l, s), Note: lotNote(l, s), Value: lotLeft(l, s), Photos: p.Photos[l.ID], Style: s}
		r.Day, r.Time = years.at(l.At, s)
		if k := l.Strike; k != nil {
			r.Struck = &Struck{Reason: k.Reason, Who: p.People[k.By], When: s.Date(k.At)}
		}
		if p.May {
			lot := p.path(fmt.Sprintf("/lots/%d", l.ID))
			r.Tap = []Action{strikeOrLift(lot, l.Strike != nil, p.NewKeys), photoTap(lot)}
			if l.Strike == nil {
				r.Tap = append(r.Tap, Action{Label: "Label", Href: printLabel(fmt.Sprintf("lot-%d", l.ID)).Href})
			}
		}
		led.Rows = append(led.Rows, r)
	}
	return led
}

// strikeOrLift is the button that takes a row out of account, or back in.
func strikeOrLift(path string, struck bool, key func() string) Action {
	if struck {
		return Action{Label: "Put back", Href: path + "/lift", Post: true, Key: key()}
	}
	return Action{Label: "Strike", Href: path + "/strike", Post: true, Key: key()}
}

func lotMass(l scrap.Lot, s quantity.Style) string {
	var words []string
	if l.AsFound != nil {
		words = append(words, s.Mass(*l.AsFound)+" as found")
	}
	if l.AsCharged != nil {
		words = append(words, s.Mass(*l.AsCharged)+" ready to charge")
	}
	return strings.Join(words, ", ")
}

func lotNote(l scrap.Lot, s quantity.Style) string {
	var words []string
	if l.Steel != nil {
		words = append(words, "steel "+s.Mass(*l.Steel))
	}
	if l.Plastic != nil {
		words = append(words, "plastic "+s.Mass(*l.Plastic))
	}
	if l.Paid != nil {
		words = append(words, s.MassPrice(*l.Paid)+" as found")
	}
	if l.Charged > 0 {
		words = append(words, summed(l.Charged, s)+" charged of it")
	}
	return strings.Join(append(words, nonEmpty(l.Note)...), " · ")
}

// lotLeft is what should still be there.
func lotLeft(l scrap.Lot, s quantity.Style) string {
	left, ok := l.Left()
	switch {
	case !ok:
		return "left: not known"
	case left < 0:
		return s.Mass(-left) + " more charged than came"
	}
	return s.Mass(left) + " left"
}
