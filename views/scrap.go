package views

import (
	"fmt"
	"slices"
	"strings"

	"drosswise/foundry/alloy"
	"drosswise/foundry/caution"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

// ScrapList is all scrap that the shop keeps apart.
type ScrapList struct {
	Rows []ScrapRow // by name
	May  bool
}

// ScrapRow is one source with what came of it.
type ScrapRow struct {
	Source scrap.Source
	Record scrap.Record
}

// estimates are the sources that are in use, or those that are not.
func (p ScrapList) estimates(ended bool, s quantity.Style) []Estimate {
	var all []Estimate
	for _, r := range p.Rows {
		if (r.Source.Ended != nil) == ended {
			all = append(all, r.estimate(s))
		}
	}
	return all
}

// under says how much there is.
func (p ScrapList) under() string {
	if len(p.Rows) == 0 {
		return ""
	}
	return plural(len(p.Rows), "kind kept apart", "kinds kept apart") + "; % is metal recovered of what was charged"
}

func (p ScrapList) first() Link {
	if !p.May {
		return Link{}
	}
	return Link{Text: "Add the first scrap", Href: "/scrap/new"}
}

func sourceHref(id int64) string { return fmt.Sprintf("/scrap/%d", id) }

func (r ScrapRow) estimate(s quantity.Style) Estimate {
	e := Estimate{Name: r.Source.Name, Href: sourceHref(r.Source.ID), Value: r.yield(s)}
	e.Note = strings.Join(nonEmpty(formOf(r.Source), r.charged(s), r.alone(s), pricesOf(r.Source, s)), " · ")
	var advice []string
	if words := r.Source.Hazards.Words(); len(words) > 0 {
		advice = append(advice, "Look out: "+strings.Join(words, ", ")+".")
	}
	if told := r.experiment(); told != "" && r.Source.Ended == nil {
		advice = append(advice, told)
	}
	e.Advice = strings.Join(advice, " ")
	return e
}

// formOf is the form with what covers it: "Profile (extrusion), painted".
func formOf(p scrap.Source) string {
	text := p.Form.Name()
	if p.Coating != "" {
		text += ", " + strings.ToLower(p.Coating.Name())
	}
	return text
}

// yield is what the source gives when nothing else is charged.
func (r ScrapRow) yield(s quantity.Style) string {
	value, spread, ok := r.rounded(s)
	switch {
	case !ok:
		return "not known"
	case spread == "":
		return value + " %"
	}
	return value + " ± " + spread + " %"
}

func (r ScrapRow) rounded(s quantity.Style) (value, spread string, ok bool) {
	y, u, ok := r.Record.Alone.Yield()
	if !ok {
		return "", "", false
	}
	value, spread = s.Round(100*y, 100*u, 1)
	return value, spread, true
}

func (r ScrapRow) charged(s quantity.Style) string {
	if r.Record.Melts == 0 {
		return "not charged yet"
	}
	return s.Mass(r.Record.Charged) + " charged in " + plural(r.Record.Melts, "melt", "melts")
}

// alone says what the yield is from.
func (r ScrapRow) alone(s quantity.Style) string {
	a := r.Record.Alone
	if _, _, ok := a.Yield(); !ok {
		return ""
	}
	return "alone in " + plural(a.Melts, "melt", "melts") + ": " + s.Mass(a.Recovered) + " of " + s.Mass(a.Charged)
}

// experiment says how the source's own yield could be known.
func (r ScrapRow) experiment() string {
	switch {
	case r.Record.Alone.Melts > 0:
		return ""
	case r.Record.Melts == 0:
		return "Melt it alone once, and its own yield is known."
	}
	return "Never weighed out alone, so its own yield is not known. Melt it alone once."
}

// pricesOf is what a source costs and would fetch.
func pricesOf(p scrap.Source, s quantity.Style) string {
	var paid, fetches string
	switch {
	case p.Paid == nil:
	case *p.Paid == 0:
		paid = "free"
	default:
		paid = s.Price(*p.Paid) + " a kg"
	}
	if p.Fetches != nil {
		fetches = "would fetch " + s.Price(*p.Fetches) + " a kg"
	}
	return strings.Join(nonEmpty(paid, fetches), ", ")
}

// Source is the page of one kind of scrap.
type Source struct {
	ScrapRow
	Lots    []scrap.Lot // the newest first
	Older   *Link       // to older deliveries, nil when there are none
	Melts   []MeltRow   // the newest first
	People  map[int64]string
	May     bool
	NewKeys func() string // a key for each button that writes something
}

func (p Source) path(more string) string { return sourceHref(p.ScrapRow.Source.ID) + more }

func (p Source) under() string {
	if e := p.ScrapRow.Source.Ended; e != nil {
		return "No longer used"
	}
	return formOf(p.ScrapRow.Source)
}

func (p Source) figures(s quantity.Style) []Figure {
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
		paid = s.Price(*src.Paid) + " a kg"
		if *src.Paid == 0 {
			paid = "nothing"
		}
	}
	if src.Fetches != nil {
		fetches = s.Price(*src.Fetches) + " a kg"
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
	list := caution.For(caution.Charging, HazardsOf(p.ScrapRow.Source))
	usual := caution.For(caution.Charging, caution.Hazards{})
	return Cautions{Title: "Before it goes into the pot", List: CautionList(list[:len(list)-len(usual)])}
}

// ledger is the deliveries, struck ones too.
func (p Source) ledger(s quantity.Style) Ledger {
	led := Ledger{Empty: "No delivery is written yet. Weighing what comes in tells how much is left, and what steel and plastic it brings."}
	var years yearly
	for _, l := range p.Lots {
		r := Row{ID: fmt.Sprintf("lot-%d", l.ID), Verb: "Delivered", Text: lotMass(l, s), Note: lotNote(l, s), Value: lotLeft(l, s)}
		r.Day, r.Time = years.at(l.At, s)
		if k := l.Strike; k != nil {
			r.Struck = &Struck{Reason: k.Reason, Who: p.People[k.By], When: s.Date(k.At)}
		}
		if p.May {
			r.Tap = []Action{strikeOrLift(p.path(fmt.Sprintf("/lots/%d", l.ID)), l.Strike != nil, p.NewKeys)}
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
		words = append(words, s.Price(*l.Paid)+" a kg as found")
	}
	if l.Charged > 0 {
		words = append(words, s.Mass(l.Charged)+" charged of it")
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

// SourceForm is the form in which a kind of scrap is described.
type SourceForm struct {
	Filled
	ID   int64 // 0 for a new one
	Name string
	Key  string
}

func (p SourceForm) title() string {
	if p.ID == 0 {
		return "New scrap"
	}
	return "Change " + p.Name
}

func (p SourceForm) action() string {
	if p.ID == 0 {
		return "/scrap"
	}
	return sourceHref(p.ID)
}

func (p SourceForm) back() Link {
	if p.ID == 0 {
		return Link{Text: "Scrap", Href: "/scrap"}
	}
	return Link{Text: "Back", Href: sourceHref(p.ID)}
}

func (p SourceForm) inputs(s quantity.Style) []Input {
	forms, coatings, sures := []Option{}, []Option{}, []Option{}
	for _, x := range scrap.Forms {
		forms = append(forms, Option{Value: string(x.Form), Label: x.Name})
	}
	for _, x := range scrap.Coatings {
		coatings = append(coatings, Option{Value: string(x.Coating), Label: x.Name})
	}
	for _, x := range scrap.Sures {
		sures = append(sures, Option{Value: string(x.Sure), Label: x.Name})
	}
	all := []Input{
		p.text("name", "Name", "As you call it in the shop. Keep apart what you want to know apart.").must(),
		p.pick("form", "Form", "", forms).must(),
		p.pick("coating", "What is on it", "", coatings),
		p.text("alloy", "Alloy", "By its number, such as 6061 or A356.0: a guess helps the heat figures. Leave it empty when nobody knows."),
		p.radio("sure", "How sure of it", "", sures),
		p.number("paid", "What it costs", perKg(s), "Type 0 when it is free. Empty means not said."),
		p.number("fetches", "What a yard would pay for it unmelted", perKg(s), "Your own figure. It is what melting forgoes."),
		p.tick("hollow", "Hollow or sealed pieces", "Tubes, cylinders, shocks: they burst when heated shut."),
		p.tick("wet", "Holds water or oil", ""),
		p.tick("magnesium", "Magnesium suspected", ""),
		p.tick("zinc_lead", "Zinc or lead on it or in it", ""),
		p.tick("batteries", "May hold batteries", ""),
		p.words("note", "Notes", "Tests done, where it comes from."),
	}
	if p.ID != 0 {
		all = append(all, p.tick("ended", "No longer used", "It stays in the book and is not offered when charging."))
	}
	return all
}

func perKg(s quantity.Style) string { return strings.TrimSpace(s.Currency + " a kg") }

// LotForm is the form in which a delivery is written.
type LotForm struct {
	Filled
	Source  scrap.Source
	Key     string
	Hazards caution.Hazards
}

func (p LotForm) back() Link { return Link{Text: "Back", Href: sourceHref(p.Source.ID)} }

func (p LotForm) inputs(s quantity.Style) []Input {
	unit := s.MassSymbol()
	return []Input{
		p.number("as_found", "As found", unit, "As it came, with steel, plastic, oil and water on it."),
		p.number("as_charged", "Ready to charge", unit, "Sorted, stripped and dried. One of the two masses is enough; what is left is reckoned from this one."),
		p.number("steel", "Steel taken off", unit, ""),
		p.number("plastic", "Plastic taken off", unit, ""),
		p.number("paid", "Paid for this delivery", perKg(s), "Per kg as found. Empty: the price that stands for "+p.Source.Name+"."),
		p.words("note", "Notes", ""),
	}
}

func (p LotForm) cautions() Cautions {
	return Cautions{Title: caution.Sorting.String(), List: CautionList(slices.Clone(caution.For(caution.Sorting, p.Hazards)))}
}
