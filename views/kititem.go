package views

import (
	"fmt"
	"strconv"
	"strings"

	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
)

// KitItem is the page of one piece of kit.
type KitItem struct {
	Item      kit.Item
	Lines     []kit.Line // in order of time
	Wear      kit.Wear
	Names     Names // kit and people
	Melts     []MeltRow
	Worn      *Worn             // nil while the first is being worked out
	Due       *kit.Due          // nil where it is retired, or its kind not on the list
	Photos    map[int64][]Photo // by line, those that stand
	Life      []Photo           // in order of time, of its lines and of its melts' that stand, with the heats by then
	OlderLife int               // photos of its life that are not shown
	All       bool              // all lines are asked for
	May       bool
	NewKeys   func() string // a key for each button that writes something
}

// ledgerLength is how many of the newest lines are shown until all are asked for.
const ledgerLength = 60

// lifeTitle stands over the photos, and says so when some are of its melts.
func (p KitItem) lifeTitle() string {
	for _, ph := range p.Life {
		if ph.Melt != "" {
			return "Its photos and its melts', side by side"
		}
	}
	return "Its photos, side by side"
}

func (p KitItem) path(more string) string { return kitHref(p.Item.ID) + more }

// over says where it is and since when.
func (p KitItem) over(s quantity.Style) string {
	words := []string{p.Item.Kind.Name()}
	for i := len(p.Lines) - 1; i >= 0; i-- {
		l := p.Lines[i]
		switch {
		case !l.Stands():
			continue
		case l.Kind == kit.Fitted && p.Item.On != 0:
			return strings.Join(append(words, "in "+p.Names.kit(p.Item.On), "fitted "+s.Date(l.At)), " · ")
		case l.Kind == kit.Retired && p.Item.Retired:
			return strings.Join(append(words, "retired "+s.Date(l.At)), " · ")
		}
	}
	return words[0]
}

// figures are the large numbers of the kind.
func (p KitItem) figures(s quantity.Style) []Figure {
	heats := Figure{Value: strconv.Itoa(p.Wear.Heats), Unit: one(p.Wear.Heats, "heat", "heats"), Sentence: "counted from melts it was used in"}
	hot := Figure{Value: s.Number(p.Wear.Hot.Hours(), 0), Unit: "h hot", Sentence: "with the power on"}
	value, unit := splitUnit(roundMass(p.Wear.Charged, s))
	charged := Figure{Value: value, Unit: unit, Sentence: "charged in all"}
	value, unit = splitUnit(s.Energy(p.Wear.Energy))
	energy := Figure{Value: value, Unit: unit, Sentence: "of electricity, where it was read"}
	if p.Wear.Energy == 0 {
		energy.Missing = "No melt in it has its electricity written yet."
	}
	switch p.Item.Kind {
	case kit.Furnace:
		return []Figure{heats, hot, charged, energy}
	case kit.Crucible:
		if p.Item.Retired {
			return []Figure{heats, hot, charged}
		}
		return []Figure{p.fill(s), p.chance(s), heats, hot, charged}
	case kit.Element:
		if p.Item.Retired {
			return []Figure{p.power(s), heats, hot, energy}
		}
		return []Figure{p.power(s), p.left(s), heats, hot, energy}
	}
	charged.Sentence = "charged in those melts"
	if p.Item.Kind == kit.Scale {
		return []Figure{heats, charged}
	}
	return []Figure{heats, hot, charged}
}

func one(n int, single, many string) string {
	if n == 1 {
		return single
	}
	return many
}

func (p KitItem) fill(s quantity.Style) Figure {
	shown, ok := safeFill(p.Item, s)
	if !ok {
		return Figure{Sentence: "safe fill", Missing: "Add the volume to the brim, the water it holds, or the maker's rating and its metal."}
	}
	value, unit := splitUnit(shown)
	return Figure{Value: value, Unit: unit, Sentence: "safe fill of liquid aluminium"}
}

// power is what an element set still gives of its first power, by Ohm's law at
// the same voltage.
func (p KitItem) power(s quantity.Style) Figure {
	f := Figure{Unit: "% power", Sentence: "of when it was new, by its cold ohms"}
	fresh, measured, ok := p.Item.NewOhms()
	if !ok {
		f.Missing = "Its ohms when new are not noted, so there is nothing to compare with."
		return f
	}
	now, at, ok := p.Item.OhmsNow(p.Lines)
	if !ok || now <= 0 {
		f.Missing = "Nothing to compare yet. Read its cold ohms with the plug out."
		return f
	}
	f.Value, f.Rough = s.Number(100*float64(fresh)/float64(now), 0), !measured
	f.Sentence = fmt.Sprintf("of when it was new at the same volts: %s on %s, %s new", s.Resistance(now), s.Date(at), s.Resistance(fresh))
	if !measured {
		f.Sentence += ", by its wire only"
	}
	return f
}

// advice is what does not go together, and what to do next.
func (p KitItem) advice(s quantity.Style) []Advice {
	var all []Advice
	for _, told := range p.Item.Remarks(s) {
		all = append(all, Advice{Lead: "Look at this.", Text: told})
	}
	if p.Due != nil && p.Due.Now() {
		all = append(all, DueKit{p.Item, *p.Due}.ToDo(s, p.May).advice())
	}
	if !p.Item.Retired && p.Item.Cracked {
		all = append(all, Advice{Lead: "A crack was found.", Text: "Do not use it again: it can let go when it is full.", Link: p.todo("Retire it", "/add/retired")})
	}
	switch {
	case p.Item.Kind == kit.Element && p.Item.On == 0 && !p.Item.Retired:
		all = append(all, Advice{Text: "It is not fitted in a furnace yet.", Link: p.todo("Write when it was fitted", "/add/fitted")})
	case p.Item.Kind == kit.Element && p.Item.On != 0:
		for _, other := range p.Names.SortedKit() {
			if other.ID != p.Item.ID && other.Kind == kit.Element && other.On == p.Item.On {
				all = append(all, Advice{Text: other.Name + " is down as fitted in the same furnace. Retire it if it came out.", Link: &Link{Text: other.Name, Href: kitHref(other.ID)}})
			}
		}
	}
	if p.Item.Kind == kit.Furnace || p.Item.Kind == kit.Element {
		all = append(all, Advice{Text: "Isolate and pull the plug before touching coils or terminals. Local wiring rules and a licensed electrician come first."})
	}
	return all
}

// nextLook says when it is due, "" where advice says that it is time.
func (p KitItem) nextLook(s quantity.Style) string {
	switch {
	case p.Item.Retired || p.Due != nil && p.Due.Now():
		return ""
	case p.Due == nil:
		return "None is asked for of this kind. An owner can change that under Set-up."
	}
	return p.Due.SayNext(s)
}

func (p KitItem) todo(text, more string) *Link {
	if !p.May {
		return nil
	}
	return &Link{Text: text, Href: p.path(more)}
}

// buttons are the lines that can be written now; Fitted comes first for what
// is not fitted.
func (p KitItem) buttons() []Link {
	var all []Link
	for _, spec := range kit.LineSpecs {
		fits := spec.Applies(p.Item.Kind)
		switch spec.Kind {
		case kit.Returned:
			fits = fits && p.Item.Retired
		case kit.Note, kit.Fitted:
		default:
			fits = fits && !p.Item.Retired
		}
		if fits {
			all = append(all, Link{Text: spec.Verb, Href: p.path("/add/" + string(spec.Kind))})
		}
	}
	return all
}

// ledger is the lines, the newest first, struck ones too.
func (p KitItem) ledger(s quantity.Style) Ledger {
	led := Ledger{Empty: "Nothing is written about it yet."}
	var years yearly
	for i := len(p.Lines) - 1; i >= 0; i-- {
		if !p.All && len(led.Rows) == ledgerLength {
			break
		}
		l := p.Lines[i]
		r := p.row(l, s)
		r.Day, r.Time = years.at(l.At, s)
		led.Rows = append(led.Rows, r)
	}
	return led
}

func (p KitItem) rest() int {
	if p.All {
		return 0
	}
	return max(0, len(p.Lines)-ledgerLength)
}

func (p KitItem) row(l kit.Line, s quantity.Style) Row {
	spec, _ := kit.SpecOf(l.Kind)
	r := Row{ID: fmt.Sprintf("line-%d", l.ID), Verb: spec.Done, Photos: p.Photos[l.ID], Style: s}
	notes := nonEmpty(l.Note)
	switch l.Kind {
	case kit.Fitted:
		r.Text = "in " + p.Names.kit(l.Furnace)
	case kit.Read:
		r.Text, r.Value, notes = reading(l, s)
	case kit.Inspected:
		r.Text, r.Value = inspection(l, s)
	case kit.Retired:
		r.Text = strings.ToLower(kit.NameOf(kit.Causes, l.Cause))
	}
	if l.Stands() {
		notes = append(notes, l.Remarks(p.Item, s)...)
	}
	r.Note = strings.Join(notes, " · ")
	if k := l.Strike; k != nil {
		r.Struck = &Struck{Reason: k.Reason, Who: p.Names.People[k.By], When: s.Date(k.At)}
	}
	if p.May {
		line := p.path(fmt.Sprintf("/lines/%d", l.ID))
		r.Tap = []Action{strikeOrLift(line, l.Strike != nil, p.NewKeys), photoTap(line)}
	}
	return r
}

// reading words what was read: the ohms as the value, or what Ohm's law makes
// of volts and amps.
func reading(l kit.Line, s quantity.Style) (text, value string, notes []string) {
	if l.Temp != nil {
		notes = append(notes, "at "+s.Temperature(*l.Temp))
	}
	if l.Lead != nil {
		notes = append(notes, "with "+s.Resistance(*l.Lead)+" of leads")
	}
	if l.Volts != nil {
		notes = append(notes, s.Voltage(*l.Volts))
	}
	if l.Amps != nil {
		notes = append(notes, s.Current(*l.Amps))
	}
	if l.Watts != nil {
		notes = append(notes, s.Power(*l.Watts))
	}
	notes = append(notes, nonEmpty(l.Note)...)
	drawn, ok := l.DrawnOhms()
	switch {
	case l.Ohms != nil && l.Volts == nil && l.Amps == nil && l.Watts == nil:
		return "ohms", s.Resistance(*l.Ohms), notes
	case l.Ohms != nil:
		return "ohms and power", s.Resistance(*l.Ohms), notes
	case ok:
		return "under power; ohms by V/A", s.Resistance(drawn), notes
	}
	return "under power", "", notes
}

// inspection words what was seen: how a crucible is, or what an instrument
// showed beside something known.
func inspection(l kit.Line, s quantity.Style) (text, value string) {
	var words []string
	if l.Cracked {
		words = append(words, "cracked")
	}
	if l.Ring != "" {
		words = append(words, "sounds "+strings.ToLower(kit.NameOf(kit.Rings, l.Ring)))
	}
	if l.Glaze != "" {
		words = append(words, "skin "+strings.ToLower(kit.NameOf(kit.Glazes, l.Glaze)))
	}
	if l.Wall != nil {
		words = append(words, "wall "+s.Length(*l.Wall))
	}
	switch {
	case l.KnownMass != nil && l.Mass != nil:
		return "showed " + s.Mass(*l.Mass) + " of " + s.Mass(*l.KnownMass), ""
	case l.KnownTemp != nil && l.Temp != nil:
		return "showed " + s.Temperature(*l.Temp) + " at " + s.Temperature(*l.KnownTemp), ""
	case l.KnownEnergy != nil && l.Energy != nil:
		return "its meter counted " + s.Energy(*l.Energy) + " of " + s.Energy(*l.KnownEnergy), ""
	case l.Mass != nil:
		value = s.Mass(*l.Mass)
	}
	return strings.Join(words, ", "), value
}
