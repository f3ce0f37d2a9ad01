package views

import (
	"math"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
)

// BeliefForm is the form in which a shop says what it believes of a source
// before its melts speak.
type BeliefForm struct {
	Filled
	Source scrap.Source
	Key    string
}

func (p BeliefForm) back() Link { return Link{Text: "Back", Href: sourceHref(p.Source.ID)} }

func (p BeliefForm) inputs() []Input {
	within := "Two such scraps in three lie within it."
	return []Input{
		p.number("metal", "Metal recovered per kg charged", "%", "Leave both empty to go by its form and coating."),
		p.number("metal_sd", "Give or take", "%", within),
		p.number("dross", "Dross per kg charged", "%", "Leave both empty to go by its form and coating."),
		p.number("dross_sd", "Give or take", "%", within),
	}
}

// usual says what form and coating suggest.
func (p BeliefForm) usual(s quantity.Style) []Fact {
	prior := recovery.PriorOf(p.Source.Form, p.Source.Coating)
	return []Fact{
		{Term: "Metal", Value: believed(prior.Metal, s), Note: basisOf(prior)},
		{Term: "Dross", Value: believed(prior.Dross, s), Note: recovery.DrossBasis},
	}
}

// believed is a belief with its spread: "96 ± 3 %".
func believed(b recovery.Belief, s quantity.Style) string {
	typed := func(share float64) string { return s.PercentInput(int64(math.Round(share*1000)) * 1000) }
	return typed(b.Mean) + " ± " + typed(b.SD) + " %"
}

// basisOf says what a prior rests on.
func basisOf(p recovery.Prior) string {
	switch p.Flag {
	case recovery.Practice:
		return p.Basis + " (common practice, no source)"
	case recovery.Judgement:
		return p.Basis + " (judgement)"
	}
	return p.Basis
}
