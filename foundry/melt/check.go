package melt

import (
	"fmt"
	"strings"

	"drosswise/foundry/quantity"
)

// Refusal is why a line may not be written. A soft refusal is a doubt: the
// person may look again and write the line all the same, since what happened
// happened.
type Refusal struct {
	Field string // the field it stands beside, named as the form names it
	Soft  bool
	say   func(quantity.Style) string
}

// Say gives the sentence for a person, in their units.
func (r Refusal) Say(s quantity.Style) string { return r.say(s) }

// Refusals are all reasons against a line.
type Refusals []Refusal

// Error names the fields; people are shown Say.
func (rs Refusals) Error() string {
	fields := make([]string, len(rs))
	for i, r := range rs {
		fields[i] = r.Field
	}
	return "line refused: " + strings.Join(fields, ", ")
}

// Scale is what a scale can do.
type Scale struct {
	Name       string
	Resolution quantity.Mass
	Capacity   quantity.Mass // 0 when not said
	Gain       int64         // ± the scale's own relative error in parts per million, 0 when not said
}

// Bench is what a line is held against beside the melt's own lines.
type Bench struct {
	Now      quantity.Moment
	SafeFill *quantity.Mass // nil when it cannot be computed
	Scales   map[int64]Scale
	Sure     bool // the person has seen the doubts and means it
}

// Allowances of time: clocks of phones differ a little, and a melt is not
// spread over days.
const (
	clockSlack = 2 * quantity.Minute
	reach      = 36 * quantity.Hour
)

// Check says whether the line may be written under the heading beside the
// lines already there. It returns nil or Refusals.
func Check(h Heading, lines []Line, l Line, b Bench) error {
	spec, ok := SpecOf(l.Kind)
	if !ok {
		return Refusals{noKind}
	}
	standing := Standing(lines)
	var rs Refusals
	rs = append(rs, checkState(h, standing, l)...)
	rs = append(rs, checkParts(spec, l)...)
	rs = append(rs, checkRanges(l)...)
	rs = append(rs, checkScale(l, b)...)
	if r := checkDay(h, l, b.Now); r != nil {
		rs = append(rs, *r)
	} else {
		rs = append(rs, checkOrder(standing, l)...)
	}
	if len(rs) == 0 && !b.Sure {
		rs = append(rs, doubts(standing, l, b)...)
	}
	if len(rs) == 0 {
		return nil
	}
	return rs
}

// CheckAlone says what of a line cannot be so, whatever else is written in the
// melt or was when the line came: of a line in the book it holds for ever. It
// returns nil or Refusals.
func CheckAlone(h Heading, l Line, now quantity.Moment) Refusals {
	spec, ok := SpecOf(l.Kind)
	if !ok {
		return Refusals{noKind}
	}
	rs := append(checkParts(spec, l), checkRanges(l)...)
	if r := checkDay(h, l, now); r != nil {
		rs = append(rs, *r)
	}
	return rs
}

var noKind = refuse("kind", "There is no such kind of line. Go back to the melt and choose again.")

func refuse(field, sentence string) Refusal {
	return Refusal{Field: field, say: func(quantity.Style) string { return sentence }}
}

// CheckOpen says whether a line of a kind may be written under the heading at
// all, as far as the melt is open. It returns nil or Refusals.
func CheckOpen(h Heading, lines []Line, k Kind) error {
	if rs := checkState(h, Standing(lines), Line{Kind: k}); rs != nil {
		return rs
	}
	return nil
}

func checkState(h Heading, standing []Line, l Line) Refusals {
	state := StateOf(standing)
	switch {
	case state == Running && l.Kind == Reopen:
		return Refusals{refuse("kind", fmt.Sprintf("%s is open already. Nothing needs to be done.", h.Code))}
	case state == Closed && l.Kind != Reopen && l.Kind != Void:
		return Refusals{refuse("kind", fmt.Sprintf("%s is closed, so nothing was added. Reopen it with a reason, then write the line.", h.Code))}
	case state == Voided && l.Kind != Reopen:
		return Refusals{refuse("kind", fmt.Sprintf("%s was made void, so nothing was added. Reopen it with a reason if it was a real melt after all.", h.Code))}
	}
	return nil
}

// missing holds what to say when a part that a line needs was not filled in.
var missing = map[Part]struct{ field, sentence string }{
	PartSource:   {"source", "Choose what was charged. If it is not in the list, add it under Scrap first."},
	PartMass:     {"mass", "Type the mass the scale shows."},
	PartWhich:    {"which", "Choose one of these."},
	PartMeter:    {"meter", "Type what the meter shows, in kWh."},
	PartEnergy:   {"energy", "Type the energy of the melt, in kWh."},
	PartTemp:     {"temp", "Type the temperature."},
	PartElectric: {"volts", "Type at least one of volts, amps, watts and ohms."},
	PartKit:      {"crucible", "Choose the crucible or the element that was really used."},
	PartNote:     {"note", "Write a few words."},
}

func checkParts(spec Spec, l Line) Refusals {
	var rs Refusals
	for _, p := range spec.Needs {
		if !filled(l, p) {
			rs = append(rs, refuse(missing[p].field, missing[p].sentence))
		}
	}
	if l.Kind == Checked && l.Count != nil && *l.Count == 0 {
		rs = append(rs, refuse("kind", "No point is ticked, so nothing was written. Tick each point that you read, or go back."))
	}
	if l.Source != 0 && l.Pour != 0 {
		rs = append(rs, refuse("source", "A charge is either scrap or the ingots of a pour. Choose one of the two, and write the other as a charge of its own."))
	}
	if l.Which != "" && spec.Label(l.Which) == "" {
		rs = append(rs, refuse("which", missing[PartWhich].sentence))
	}
	return rs
}

func filled(l Line, p Part) bool {
	switch p {
	case PartSource:
		return l.Source != 0 || l.Pour != 0
	case PartMass:
		return l.Weighed()
	case PartWhich:
		return l.Which != ""
	case PartMeter:
		return l.Meter != nil
	case PartEnergy:
		return l.Energy != nil
	case PartTemp:
		return l.Temp != nil
	case PartElectric:
		return l.Volts != nil || l.Amps != nil || l.Watts != nil || l.Ohms != nil
	case PartKit:
		return l.Crucible != 0 || l.Element != 0
	case PartNote:
		return strings.TrimSpace(l.Note) != ""
	}
	return true
}

func checkScale(l Line, b Bench) Refusals {
	scale, ok := b.Scales[l.Scale]
	if !ok || scale.Capacity == 0 {
		return nil
	}
	for _, g := range l.Gross {
		if g > scale.Capacity {
			return Refusals{{Field: "mass", say: func(s quantity.Style) string {
				return fmt.Sprintf("%s shows at most %s, so it cannot have shown %s. Check the number, or choose the scale that was used.",
					scale.Name, s.Mass(scale.Capacity), s.Mass(g))
			}}}
		}
	}
	return nil
}
