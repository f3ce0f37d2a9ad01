package scrap

import (
	"fmt"
	"strings"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// Limits that only catch a slip of the unit; common practice, no source.
const (
	mostMass  = 100_000 * quantity.Kilogram
	mostPrice = 10_000 * quantity.PriceUnit
)

// Check says what of a source cannot be so; each refusal names its field as
// the form does.
func Check(p Source) melt.Refusals {
	var rs melt.Refusals
	if n := len([]rune(p.Name)); n < 1 || n > 80 {
		rs = append(rs, refuse("name", "Give it a name of 1 to 80 letters, as it is called in the shop."))
	}
	if strings.ContainsRune(p.Name, '\n') {
		rs = append(rs, refuse("name", melt.OneLine))
	}
	if p.Form.Name() == "" {
		rs = append(rs, refuse("form", "Choose the form it comes in."))
	}
	if p.Coating.Name() == "" {
		rs = append(rs, refuse("coating", "Choose one of these."))
	}
	if !p.Sure.valid() {
		rs = append(rs, refuse("sure", "Choose one of these."))
	}
	if p.Alloy == "" && p.Sure == "sure" {
		rs = append(rs, refuse("alloy", "Write which alloy it is, since you are sure."))
	}
	if strings.ContainsRune(p.Alloy, '\n') {
		rs = append(rs, refuse("alloy", melt.OneLine))
	}
	if len([]rune(p.Alloy)) > 40 {
		rs = append(rs, refuse("alloy", "That is too long for an alloy. Put what else is to say into the notes."))
	}
	rs = append(rs, CheckPrice("paid", p.Paid)...)
	return append(rs, CheckPrice("fetches", p.Fetches)...)
}

// CheckLot says what of a delivery cannot be so.
func CheckLot(l Lot, now quantity.Moment) melt.Refusals {
	var rs melt.Refusals
	if l.At > now+quantity.Moment(2*quantity.Minute) {
		rs = append(rs, melt.Refuse("at", func(s quantity.Style) string {
			return fmt.Sprintf("%s is still to come: it is %s now. Type when it came.", s.DateTime(l.At), s.DateTime(now))
		}))
	}
	if l.AsFound == nil && l.AsCharged == nil {
		rs = append(rs, refuse("as_found", "Type what it weighed, as it came or ready to charge. One of the two is enough."))
	}
	for _, m := range []struct {
		field string
		mass  *quantity.Mass
	}{{"as_found", l.AsFound}, {"as_charged", l.AsCharged}, {"steel", l.Steel}, {"plastic", l.Plastic}} {
		if m.mass != nil && (*m.mass < 0 || *m.mass > mostMass) {
			rs = append(rs, refuse(m.field, "A mass here is not below zero and not above 100 tonnes. Check the number and its unit."))
		}
	}
	rs = append(rs, CheckPrice("paid", l.Paid)...)
	if len(rs) > 0 || l.AsFound == nil {
		return rs
	}
	return checkParts(l)
}

// checkParts holds the parts of a delivery against the whole. What is missing
// from the sum is water, oil and dirt; more than the whole it cannot be, but
// for what the scales leave open.
func checkParts(l Lot) melt.Refusals {
	found := *l.AsFound
	if found == 0 {
		return melt.Refusals{refuse("as_found", "A delivery of nothing is no delivery. Type the mass the scale shows.")}
	}
	field, parts := "", quantity.Mass(0)
	for _, m := range []struct {
		field string
		mass  *quantity.Mass
	}{{"as_charged", l.AsCharged}, {"steel", l.Steel}, {"plastic", l.Plastic}} {
		if m.mass != nil && *m.mass > 0 {
			field, parts = m.field, parts+*m.mass
		}
	}
	if parts <= found+found/50 {
		return nil
	}
	return melt.Refusals{melt.Refuse(field, func(s quantity.Style) string {
		return fmt.Sprintf("Ready metal, steel and plastic come to %s, but only %s came. Check the masses and their units.", s.Mass(parts), s.Mass(found))
	})}
}

func (s Sure) valid() bool {
	for _, x := range Sures {
		if x.Sure == s {
			return true
		}
	}
	return false
}

// Name is how people say how sure they are.
func (s Sure) Name() string {
	for _, x := range Sures {
		if x.Sure == s {
			return x.Name
		}
	}
	return ""
}

// Words are the hazards in plain words, none when nothing was noted.
func (h Hazards) Words() []string {
	var all []string
	for _, w := range []struct {
		is   bool
		word string
	}{
		{h.Hollow, "hollow or sealed pieces"}, {h.Wet, "holds water or oil"}, {h.Magnesium, "magnesium suspected"},
		{h.ZincLead, "zinc or lead"}, {h.Batteries, "may hold batteries"},
	} {
		if w.is {
			all = append(all, w.word)
		}
	}
	return all
}

// CheckPrice says what of a price of a mass cannot be so; nil is not known.
func CheckPrice(field string, p *quantity.Price) melt.Refusals {
	if p == nil || *p >= 0 && *p <= mostPrice {
		return nil
	}
	return melt.Refusals{melt.Refuse(field, func(s quantity.Style) string {
		symbol, kg := s.PriceMass()
		return "A price per " + symbol + " is not below zero and not above " + s.Number(mostPrice.Units()*kg, 0) + ". Type 0 for free, and leave it empty when it is not known."
	})}
}

func refuse(field, sentence string) melt.Refusal {
	return melt.Refuse(field, func(quantity.Style) string { return sentence })
}
