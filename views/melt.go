package views

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"drosswise/foundry/caution"
	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
	"drosswise/foundry/sheet"
	"drosswise/foundry/stage"
)

// Melt is a melt's page: the logging page while it runs, the sheet afterwards.
type Melt struct {
	Heading  melt.Heading
	Lines    []melt.Line // in the order of writing
	Sheet    sheet.Sheet
	Names    Names
	HeatNo   int // which heat of the crucible this is, 0 when not known
	SafeFill *quantity.Mass
	FillFrom kit.FillBasis
	HeelLeft *quantity.Mass // what the melt before left in this crucible
	HeelFrom melt.Code
	Expect   *recovery.Expectation // of what is charged so far, nil when there is none
	Curves   *Curves               // what loggers read, nil for nothing
	Photos   map[int64][]Photo     // by line, those that stand
	Held     *recovery.Held        // the recovery of a closed melt beside what its charge let expect
	Fit      *recovery.MeltFit     // the same with more, where it is in the estimate of all melts
	May      bool                  // the visitor may log
	Done     string                // key of the line that was just written
	Version  string                // of what is written, for phones that watch
	Keys     MeltKeys
}

// MeltKeys are the keys of what one tap on the page writes.
type MeltKeys struct{ Power, Stamp, Undo string }

func (m Melt) path(more string) string { return "/melts/" + string(m.Heading.Code) + more }

func (m Melt) standing() []melt.Line { return melt.Standing(m.Lines) }

func (m Melt) kit() melt.Kit { return melt.KitOf(m.Heading, m.standing()) }

// under names what the melt is made in.
func (m Melt) under() string {
	k := m.kit()
	pot := m.Names.kit(k.Crucible)
	if pot != "" {
		pot = "crucible " + pot
		if m.HeatNo > 0 {
			pot += fmt.Sprintf(" (heat %d)", m.HeatNo)
		}
	}
	wire := m.Names.kit(k.Element)
	if wire != "" {
		wire = "element " + wire
	}
	return strings.Join(nonEmpty(m.Names.kit(m.Heading.Furnace), pot, wire), " · ")
}

// over says how far the melt is.
func (m Melt) over(s quantity.Style) string {
	day := s.Date(m.Heading.At)
	switch m.Sheet.State {
	case melt.Closed:
		text := "Closed"
		if l, ok := melt.Last(m.standing(), melt.Close); ok {
			text += " " + s.DateTime(l.At)
		}
		if m.Sheet.PourTemp.Known() {
			what := " · last read in the metal "
			if m.poured() {
				what = " · poured at "
			}
			text += what + s.Temperature(celsius(m.Sheet.PourTemp.X))
		}
		return text
	case melt.Voided:
		return "Void · " + day
	}
	return "Running · started " + s.DateTime(m.Heading.At)
}

func (m Melt) poured() bool {
	_, ok := melt.Last(m.standing(), melt.Pour)
	return ok
}

func celsius(c float64) quantity.Temperature {
	return quantity.Temperature(math.Round(c * float64(quantity.Celsius)))
}

func kilograms(kg float64) quantity.Mass {
	return quantity.Mass(math.Round(kg * float64(quantity.Kilogram)))
}

// Frame adds to the page's frame what belongs to a melt: the dock while it
// runs, and the strip that undoes the last line.
func (m Melt) Frame(f Frame) Frame {
	if m.May && m.Sheet.State == melt.Running {
		f.Dock = m.dock()
	}
	i := slices.IndexFunc(m.Lines, func(l melt.Line) bool { return m.Done != "" && l.Key == m.Done })
	if i < 0 || !m.May {
		return f
	}
	l := m.Lines[i]
	told := Tell(l, m.Names, f.Style).Sentence()
	where := m.path(fmt.Sprintf("/lines/%d/", l.ID))
	switch {
	case l.Stands() && (m.Sheet.State == melt.Running || l.Kind == melt.Close || l.Kind == melt.Void):
		f.Flash, f.Undo = told+". Saved.", &Undo{Action: where + "strike", Label: "Undo", Key: m.Keys.Undo}
	case !l.Stands() && m.Sheet.State == melt.Running:
		f.Flash, f.Undo = told+": struck.", &Undo{Action: where + "lift", Label: "Put back", Key: m.Keys.Undo}
	}
	return f
}

// next is what comes next, with the step of the work whose cautions belong to it.
func (m Melt) next() stage.Step { return stage.Next(m.standing()) }

// hazards are those of all that is charged.
func (m Melt) hazards() caution.Hazards {
	var h caution.Hazards
	for _, l := range m.standing() {
		if l.Kind == melt.Charge && l.Source != 0 {
			h = h.Or(HazardsOf(m.Names.Sources[l.Source]))
		}
	}
	h.HotMetal = MetalIsHot(m.standing())
	return h
}

// HazardsOf is what a source's own description says to look out for.
func HazardsOf(p scrap.Source) caution.Hazards {
	return caution.Hazards{
		Hollow: p.Hazards.Hollow, Wet: p.Hazards.Wet, Magnesium: p.Hazards.Magnesium, ZincLead: p.Hazards.ZincLead, Batteries: p.Hazards.Batteries,
		Swarf: p.Form == scrap.Swarf, Cans: p.Form == scrap.Can, Coated: p.Coating.Burns(),
	}
}

// MetalIsHot reports whether liquid metal was seen in the pot.
func MetalIsHot(standing []melt.Line) bool {
	_, first := melt.First(standing, melt.FirstLiquid)
	_, all := melt.First(standing, melt.AllMolten)
	_, heel := melt.First(standing, melt.HeelIn)
	_, on := melt.First(standing, melt.PowerOn)
	return first || all || heel && on
}

// CautionList turns the trade's cautions into the page's.
func CautionList(list []caution.Caution) []Caution {
	all := make([]Caution, len(list))
	for i, c := range list {
		all[i] = Caution{Text: c.Text, Why: c.Why, Source: c.Source}
	}
	return all
}

// cautionsFrom are the cautions of the stage from one to before another, those
// of the charge before the usual ones.
func (m Melt) cautionsFrom(first, end int) []Caution {
	all := CautionList(caution.For(m.next().Stage, m.hazards()))
	return all[min(first, len(all)):min(end, len(all))]
}

// chargeCautions are those that all that was charged calls for, or the sentence
// that none was noted.
func (m Melt) chargeCautions() []Caution {
	var h caution.Hazards
	for _, l := range m.standing() {
		if l.Kind == melt.Charge && l.Source != 0 {
			h = h.Or(HazardsOf(m.Names.Sources[l.Source]))
		}
	}
	if list := CautionList(caution.ForCharge(h)); len(list) > 0 {
		return list
	}
	return []Caution{{Text: "Nothing was noted of this scrap. That says that nobody noted it, not that nothing is there."}}
}

// power is the state of the furnace with the tap that changes it.
func (m Melt) power(f Frame) Power {
	on, open := melt.OnTime(m.standing(), f.Now)
	p, since := PowerAfter("", m.path("/lines"), m.Keys.Power), quantity.Moment(0)
	switch {
	case open:
		p, since = PowerAfter(melt.PowerOn, m.path("/lines"), m.Keys.Power), on[len(on)-1].From
	case len(on) > 0:
		p, since = PowerAfter(melt.Isolated, m.path("/lines"), m.Keys.Power), on[len(on)-1].To
	}
	p.Since, p.Now, p.Style = since, f.Now, f.Style
	return p
}

// longOn is how long the power of a small furnace is on at most in one melt:
// common practice, no source.
const longOn = 12 * quantity.Hour

// leftOn asks about a power that seems to be on since long ago; ok is false
// where it is not.
func (m Melt) leftOn(f Frame) (a Advice, ok bool) {
	on, open := melt.OnTime(m.standing(), f.Now)
	if !open {
		return Advice{}, false
	}
	since := on[len(on)-1].From
	return Advice{
		Lead: "The power is on since " + f.Style.DateTime(since) + ".",
		Text: "If it still is, isolate the furnace now. If it was isolated long ago, write when that was; then close the melt, or make it void.",
		Link: &Link{Text: "Isolated", Href: m.path("/add/" + string(melt.Isolated))},
	}, f.Now.Since(since) > longOn
}

// PowerAfter is the state of the power after a line of a kind, power on or
// isolated, or before any, with the tap that posts its change to an address.
func PowerAfter(k melt.Kind, address, key string) Power {
	p := Power{Act: "Mark power on", State: "Power is off", Hint: "Tap at the moment you switch on."}
	next := melt.PowerOn
	switch k {
	case melt.PowerOn:
		p = Power{On: true, Act: "Mark isolated", State: "Power on", Hint: "Tap when isolated, before charging or reaching in.", Under: "since power on"}
		next = melt.Isolated
	case melt.Isolated:
		p = Power{Act: "Mark power on", State: "Isolated", Hint: "Tap when the power is on again.", Under: "since isolated"}
	}
	p.Change = Action{Href: address, Post: true, Key: key, Fields: []Hidden{{"kind", string(next)}}}
	return p
}

// dock has its places fixed: what a thumb has learnt stays where it was.
func (m Melt) dock() *Dock {
	add := func(k melt.Kind) Action {
		spec, _ := melt.SpecOf(k)
		return Action{Label: spec.Verb, Href: m.path("/add/" + string(k))}
	}
	d := &Dock{Main: add(melt.Charge), Side: []Action{add(melt.Temperature), add(melt.Skim), add(melt.Pour)}}
	stamp, _ := melt.SpecOf(melt.Stamp)
	d.Low = &Action{Label: stamp.Verb, Under: "say later what it was", Href: m.path("/lines"), Post: true, Key: m.Keys.Stamp, Fields: []Hidden{{"kind", string(melt.Stamp)}}}
	for _, spec := range melt.Specs() {
		a := add(spec.Kind)
		if spec.Kind == melt.Reopen || spec.Kind == melt.Stamp || a.Href == d.Main.Href || slices.ContainsFunc(d.Side, func(s Action) bool { return s.Href == a.Href }) {
			continue
		}
		d.More = append(d.More, a)
	}
	return d
}

// closable reports whether all is weighed that is needed to close the melt.
func (m Melt) closable() bool { return m.May && m.poured() && m.Sheet.Recovered.Known() }

// fill shows what is in the crucible against the safe fill.
func (m Melt) fill(s quantity.Style) FillBar {
	standing := m.standing()
	inside, known := melt.Contents(standing)
	f := FillBar{Charged: s.Mass(melt.Charged(standing))}
	kinds := []Kind{Metal, MetalLined}
	for _, l := range standing {
		label := "heel"
		if l.Kind == melt.Charge {
			label = m.Names.charged(l)
		}
		if l.Kind != melt.Charge && l.Kind != melt.HeelIn {
			continue
		}
		i := slices.IndexFunc(f.Parts, func(p Part) bool { return p.Label == label })
		if i < 0 {
			kind := kinds[len(f.Parts)%2]
			if l.Kind == melt.HeelIn {
				kind = Heat
			}
			f.Parts = append(f.Parts, Part{Kind: kind, Label: label})
			i = len(f.Parts) - 1
		}
		f.Parts[i].Amount += int64(l.Mass())
		f.Parts[i].Value = s.Mass(quantity.Mass(f.Parts[i].Amount))
	}
	f.takenOut(inside, known, s)
	if m.SafeFill == nil {
		f.Unknown = "The safe fill is not known: add the crucible's brim volume or its maker's rating under Kit."
		return f
	}
	f.Safe, f.Limit = fillShown(*m.SafeFill, s), int64(*m.SafeFill)
	if known {
		f.Room = strconv.FormatInt(int64(*m.SafeFill-inside), 10)
	}
	if known && *m.SafeFill > 0 {
		f.Share = s.Percent(float64(inside)/float64(*m.SafeFill), 0)
	}
	if known && inside > *m.SafeFill {
		f.Over = "Charge nothing more before some of it is poured."
	}
	return f
}

// ledger is the melt's ruled page, the newest line first.
func (m Melt) ledger(s quantity.Style) Ledger {
	ordered := slices.Clone(m.Lines)
	slices.SortStableFunc(ordered, func(a, b melt.Line) int {
		if a.At != b.At {
			return int(min(max(b.At-a.At, -1), 1))
		}
		return int(min(max(b.ID-a.ID, -1), 1))
	})
	on, _ := melt.OnTime(m.standing(), math.MaxInt64)
	led := Ledger{Empty: "Nothing is written yet. Weigh in what goes into the crucible, or tap the power when you switch on."}
	last := ""
	for _, l := range ordered {
		r := m.row(l, s)
		if day := s.Date(l.At); day != last {
			r.Day, last = day, day
		}
		for _, o := range on {
			r.Hot = r.Hot || l.At >= o.From && l.At <= o.To
		}
		led.Rows = append(led.Rows, r)
	}
	if len(led.Rows) > 0 && led.Rows[0].Day == s.Date(m.Heading.At) {
		led.Rows[0].Day = ""
	}
	return led
}

func (m Melt) row(l melt.Line, s quantity.Style) Row {
	t := Tell(l, m.Names, s)
	r := Row{ID: fmt.Sprintf("line-%d", l.ID), Time: s.Clock(l.At), Verb: t.Verb, Text: t.Text, Note: t.Note, Value: t.Value, Photos: m.Photos[l.ID], Style: s}
	if m.May {
		r.Href = m.path(fmt.Sprintf("/lines/%d", l.ID))
		if l.Stands() && photographed[l.Kind] {
			r.Tap = []Action{photoTap(r.Href)}
		}
	}
	if k := l.Strike; k != nil {
		r.Struck = &Struck{Reason: k.Reason, Who: m.Names.People[k.By], When: s.Clock(k.At)}
	}
	return r
}
