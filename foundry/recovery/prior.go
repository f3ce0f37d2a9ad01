package recovery

import (
	"math"

	"drosswise/foundry/scrap"
)

// Prior is what is believed of a form of scrap, dry and sorted, before the shop
// has melted any of it.
type Prior struct {
	Form    scrap.Form    `json:"form"`
	Coating scrap.Coating `json:"coating"` // "" for all that have no row of their own
	Metal   Belief        `json:"metal"`
	Dross   Belief        `json:"dross"`
	Basis   string        `json:"basis"` // of the metal
	Flag    Flag          `json:"flag"`
}

// Flag says what a prior rests on.
type Flag string

// What a prior may rest on.
const (
	Published Flag = "published"
	Practice  Flag = "practice" // common practice, no source
	Judgement Flag = "judgement"
)

// DrossBasis says what the dross column of Priors rests on.
const DrossBasis = "judgement: about the melt loss and a third more, since dross holds metal and takes up oxygen; " +
	"makers of dross equipment name 1-2 % for clean and 6-10 % for dirty charges of large furnaces, small ones make more"

// Priors are the beliefs by form and coating. The figures of Practice rows are
// workshop practice without a source (physics/melt_loss.csv in testdata, flag
// practice); a spread is meant wide enough that a shop's own melts soon count
// for more.
var Priors = []Prior{
	{scrap.Ingot, "", Belief{0.985, 0.015}, Belief{0.015, 0.02}, "clean ingot or returns 98-99.5 %", Practice},
	{scrap.Returns, "", Belief{0.975, 0.025}, Belief{0.03, 0.03}, "clean ingot or returns 98-99.5 %; own returns hold sand and oxide: lower and wider", Judgement},
	{scrap.Profile, "", Belief{0.96, 0.03}, Belief{0.045, 0.035}, "clean extrusion offcuts 96-98 %, coating not said: lower and wider", Judgement},
	{scrap.Profile, "bare", Belief{0.97, 0.025}, Belief{0.035, 0.03}, "clean extrusion offcuts 96-98 %", Practice},
	{scrap.Profile, "painted", Belief{0.935, 0.04}, Belief{0.07, 0.045}, "between clean extrusion offcuts and painted sheet 88-95 %", Judgement},
	{scrap.Profile, "mixed", Belief{0.935, 0.045}, Belief{0.07, 0.045}, "as painted profile", Judgement},
	{scrap.Casting, "", Belief{0.94, 0.045}, Belief{0.07, 0.045}, "clean castings, wheels 93-97 %, coating not said: lower and wider", Judgement},
	{scrap.Casting, "bare", Belief{0.95, 0.035}, Belief{0.06, 0.04}, "clean castings, wheels (dry, degreased) 93-97 %", Practice},
	{scrap.Casting, "painted", Belief{0.925, 0.045}, Belief{0.085, 0.05}, "below clean castings by what paint weighs", Judgement},
	{scrap.Casting, "oily", Belief{0.91, 0.055}, Belief{0.09, 0.055}, "below clean castings; oil and road dirt weigh", Judgement},
	{scrap.Casting, "mixed", Belief{0.91, 0.055}, Belief{0.09, 0.055}, "as oily castings", Judgement},
	{scrap.Sheet, "", Belief{0.93, 0.045}, Belief{0.07, 0.045}, "between painted sheet 88-95 % and clean offcuts", Judgement},
	{scrap.Sheet, "bare", Belief{0.955, 0.035}, Belief{0.05, 0.035}, "a little below clean extrusion offcuts: thinner", Judgement},
	{scrap.Sheet, "painted", Belief{0.915, 0.045}, Belief{0.085, 0.05}, "painted or coated sheet 88-95 %, includes coating burn-off", Practice},
	{scrap.Sheet, "lacquered", Belief{0.915, 0.045}, Belief{0.085, 0.05}, "painted or coated sheet 88-95 %, includes coating burn-off", Practice},
	{scrap.Can, "", Belief{0.77, 0.09}, Belief{0.22, 0.10}, "used beverage cans, crushed, small open crucible 70-88 %; lids and bodies gave 51-71 % in a small laboratory melt (published): lower and wider", Practice},
	{scrap.Wire, "", Belief{0.95, 0.04}, Belief{0.055, 0.04}, "new wire holds 98.7 % metal, old 97.7 % (from memory), less the loss of thin pieces", Judgement},
	{scrap.Wire, "oily", Belief{0.92, 0.055}, Belief{0.08, 0.05}, "below bare wire", Judgement},
	{scrap.Wire, "mixed", Belief{0.90, 0.07}, Belief{0.09, 0.055}, "below bare wire; insulation left on weighs much", Judgement},
	{scrap.Foil, "", Belief{0.60, 0.13}, Belief{0.35, 0.13}, "foil, loose 40-80 %", Practice},
	{scrap.Foil, "lacquered", Belief{0.50, 0.15}, Belief{0.38, 0.14}, "foil, loose 40-80 %; 28 % is the yield named for foil laminated with paper or plastic (published)", Judgement},
	{scrap.Swarf, "", Belief{0.80, 0.08}, Belief{0.19, 0.09}, "turnings, dry, loose 70-90 %", Practice},
	{scrap.Swarf, "oily", Belief{0.73, 0.10}, Belief{0.23, 0.10}, "below dry turnings by the oil", Judgement},
	{scrap.Other, "", Belief{0.88, metalUsual.spread}, Belief{0.08, drossUsual.spread}, "all scrap together: between cans and clean offcuts", Judgement},
}

// PriorOf finds the prior of a form and coating: the coating's own row, or the
// form's, or that of other scrap.
func PriorOf(form scrap.Form, coating scrap.Coating) Prior {
	best := Priors[len(Priors)-1]
	for _, p := range Priors {
		switch {
		case p.Form == form && p.Coating == coating:
			return p
		case p.Form == form && p.Coating == "":
			best = p
		}
	}
	return best
}

// usual is what is believed of the shop as a whole for one of the two shares.
type usual struct {
	shift      float64 // s0: sd of how the shop differs from the priors
	spread     float64 // κ: median, or scale of the half-normal curve when spreadLog is 0
	spreadLog  float64 // sd of ln κ
	scatter    float64 // φ: median
	scatterLog float64 // sd of ln φ
	steady     float64 // melts of a source that the belief in its scatter is worth, above 2; 0: all scatter alike
	tails      float64 // degrees of freedom of ε, Student's t; 0 is normal
}

// Judgement, tried on simulated shops: a shop is mostly as the priors say, its
// sources differ as much as the priors' spreads say within a factor of some
// 1.6, and melts of the same charge differ by one to three points.
var (
	metalUsual = usual{shift: 0.05, spread: 0.11, spreadLog: 0.5, scatter: 0.015, scatterLog: 0.8, tails: 4, steady: 4}
	drossUsual = usual{shift: 0.04, spread: 0.085, spreadLog: 0.5, scatter: 0.012, scatterLog: 0.8, tails: 4, steady: 4}
	restUsual  = usual{shift: 0.03, spread: 0.07, spreadLog: 0.5, scatter: 0.018, scatterLog: 0.8, tails: 4, steady: 4}
)

// unit is the spread of a source's prior for which c is 1.
func (u usual) unit() float64 {
	if u.spreadLog > 0 {
		return u.spread
	}
	return math.Hypot(u.shift, u.spread)
}

// valid reports whether a belief can be worked with.
func (b *Belief) valid() bool {
	return b != nil && b.Mean >= 0 && b.Mean <= 1 && b.SD > 0 && !math.IsInf(b.SD, 0)
}
