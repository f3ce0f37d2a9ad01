// Package balance follows the metal of one melt: what went in, what came out
// as metal, as dross and as steel, and what is not accounted for, each with its
// standard uncertainty from the scales. It takes standing lines and knows no
// prices, no heat and no other melt.
package balance

import (
	"fmt"
	"slices"

	"drosswise/foundry/gum"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// Share is what one source gave to the charge.
type Share struct {
	Source  int64 // 0 for ingots of an earlier pour
	Pour    int64
	Mass    quantity.Mass
	AsFound bool // some of it was weighed as found
}

// Balance is a melt's metal in kilograms. A sum of which no part was written
// is an exact zero; the Has fields tell that from one that was weighed.
type Balance struct {
	Charged, Attachments         gum.Value
	HeelIn, HeelOut              gum.Value
	Ingots, Rejects, Spills      gum.Value
	Dross                        gum.Value
	HasCharge, HasIngots         bool
	HasDross                     bool
	HasHeelIn, HasHeelOut        bool
	UnweighedPour, UnweighedSkim bool // poured or skimmed, and not weighed yet
	AsFound                      bool // some charge was weighed with its attachments
	Readings                     int  // scale readings in the balance
	Shares                       []Share
}

// Of adds up a melt's standing lines. Metal added as silicon or master alloy
// counts as charged.
func Of(standing []melt.Line, scales map[int64]melt.Scale) Balance {
	var b Balance
	w := weigher{scales: scales}
	for _, l := range standing {
		if l.Kind == melt.Addition && !l.AddsMetal() {
			continue
		}
		v := w.mass(l)
		switch l.Kind {
		case melt.Charge:
			b.Charged, b.HasCharge = b.Charged.Plus(v), true
			b.AsFound = b.AsFound || l.AsFound
			b.share(l)
		case melt.Addition:
			b.Charged = b.Charged.Plus(v)
		case melt.Steel:
			b.Attachments = b.Attachments.Plus(v)
		case melt.HeelIn:
			b.HeelIn, b.HasHeelIn = b.HeelIn.Plus(v), true
		case melt.HeelOut:
			b.HeelOut, b.HasHeelOut = b.HeelOut.Plus(v), true
		case melt.Pour:
			b.Ingots = b.Ingots.Plus(v)
			b.HasIngots = b.HasIngots || l.Weighed()
			b.UnweighedPour = b.UnweighedPour || !l.Weighed()
		case melt.Reject:
			b.Rejects, b.HasIngots = b.Rejects.Plus(v), true
		case melt.Spill:
			b.Spills = b.Spills.Plus(v)
		case melt.Skim:
			b.Dross = b.Dross.Plus(v)
			b.HasDross = b.HasDross || l.Weighed()
			b.UnweighedSkim = b.UnweighedSkim || !l.Weighed()
		}
	}
	b.Readings = w.readings
	return b
}

func (b *Balance) share(l melt.Line) {
	i := slices.IndexFunc(b.Shares, func(s Share) bool { return s.Source == l.Source && s.Pour == l.Pour })
	if i < 0 {
		b.Shares = append(b.Shares, Share{Source: l.Source, Pour: l.Pour})
		i = len(b.Shares) - 1
	}
	b.Shares[i].Mass += l.Mass()
	b.Shares[i].AsFound = b.Shares[i].AsFound || l.AsFound
}

// Net is the charge less what was steel or other attachments, C − A.
func (b Balance) Net() gum.Value { return b.Charged.Minus(b.Attachments) }

// Recovered is the metal that came out, R = I + J + S + (H1 − H0)
// (TRADE §4 after American Foundry Society practice).
func (b Balance) Recovered() gum.Value {
	return b.Ingots.Plus(b.Rejects).Plus(b.Spills).Plus(b.HeelOut).Minus(b.HeelIn)
}

// Good is what came out fit to keep, I + H1 − H0.
func (b Balance) Good() gum.Value { return b.Ingots.Plus(b.HeelOut).Minus(b.HeelIn) }

// Unaccounted is what is left over of all that went in,
// U = (C − A) + H0 − (I + J + S + D + H1).
func (b Balance) Unaccounted() gum.Value { return b.Net().Minus(b.Recovered()).Minus(b.Dross) }

// A heel that nobody said the doubt of: standard uncertainty of a tenth of it
// and at least 50 g. Common practice, no source.
const (
	heelShare = 0.1
	heelLeast = 0.05
)

// weigher turns lines into values whose sources of doubt are readings.
type weigher struct {
	scales   map[int64]melt.Scale
	readings int
}

// mass is the line's net mass in kg. Every gross reading is independent, of
// resolution d: d/√12 each (JCGM 100:2008, F.2.2.1). The container was read
// once and stands in every gross reading of the line, so its doubt counts once
// with that weight. The same container mass on the same scale elsewhere in the
// melt is taken to be the same reading written again. A scale's own relative
// error (limits, 4.3.7) is common to all it weighed. A spread that the person
// gave replaces all of this. What was weighed on no scale that is known counts
// as exact, except a heel, which is judged by eye.
func (w *weigher) mass(l melt.Line) gum.Value {
	if !l.Weighed() {
		return gum.Exact(0)
	}
	w.readings += len(l.Gross)
	kg := l.Mass().Kilograms()
	if l.Spread != nil {
		return gum.Measured(source("by eye", l), kg, l.Spread.Kilograms())
	}
	scale, ok := w.scales[l.Scale]
	switch {
	case !ok && kg > 0 && (l.Kind == melt.HeelIn || l.Kind == melt.HeelOut):
		return gum.Measured(source("by eye", l), kg, max(heelShare*kg, heelLeast))
	case !ok:
		return gum.Exact(kg)
	}
	u := gum.Resolution(scale.Resolution.Kilograms())
	v := gum.Exact(0)
	for i, g := range l.Gross {
		v = v.Plus(gum.Measured(fmt.Sprintf("%s reading %d", source("gross", l), i), g.Kilograms(), u))
	}
	if l.Tare > 0 {
		tare := gum.Measured(fmt.Sprintf("tare %d on %d", l.Tare, l.Scale), l.Tare.Kilograms(), u)
		v = v.Minus(tare.Scaled(float64(len(l.Gross))))
	}
	if scale.Gain > 0 {
		v = v.Plus(gum.Measured(fmt.Sprintf("gain of %d", l.Scale), 0, gum.Limits(float64(scale.Gain)/1e6)).Scaled(kg))
	}
	return v
}

func source(what string, l melt.Line) string {
	return fmt.Sprintf("%s of line %d %s", what, l.ID, l.Key)
}
