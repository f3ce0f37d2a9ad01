package findings

import (
	"fmt"
	"strings"

	"drosswise/foundry/quantity"
)

var lackSentences = map[Lack]string{
	NoRecovery:     "What this scrap gives in metal is not known well enough yet.",
	NoScrapPrice:   "What the scrap cost is not written under Scrap. Type 0 if it was free.",
	NoResale:       "What the free scrap would have fetched is not written under Scrap.",
	NoEnergy:       "No melt says both its energy and its charge yet.",
	NoTariff:       "No price of electricity is set. Add it under Set-up.",
	NoFlux:         "How much flux is used is not known.",
	NoFluxPrice:    "What the flux costs is not written.",
	NoCrucibleCost: "The crucible's price or expected life is not written under Kit.",
	NoElementCost:  "The element's price or expected life is not written under Kit.",
	NoUsualCharge:  "There is no usual charge yet to share a heat's wear over.",
	NoDrossPrice:   "What the dross brings is not written.",
}

var lackWords = map[Lack]string{
	NoFlux: "flux", NoFluxPrice: "flux", NoCrucibleCost: "the crucible's wear", NoElementCost: "the element's wear",
	NoUsualCharge: "the wear of crucible and element", NoDrossPrice: "what the dross brings",
}

// Sentence says what is lacking and what to do about it.
func (l Lack) Sentence() string { return lackSentences[l] }

// explain lists what is lacking, each once.
func explain(lacks []Lack) string {
	var list []string
	seen := map[Lack]bool{}
	for _, l := range lacks {
		if !seen[l] {
			seen[l] = true
			list = append(list, l.Sentence())
		}
	}
	return strings.Join(list, " ")
}

// say words the figure; what is "in cash" or the like.
func (f Figure) say(s quantity.Style, what string) string {
	name, kg := unit(s)
	if !f.Known() {
		return fmt.Sprintf("What a %s of clean metal costs %s cannot be said yet. %s", name, what, explain(f.Lacks))
	}
	text := fmt.Sprintf("A %s of clean metal costs %s %s.", name, between(s, scaled(*f.Range, kg)), what)
	var left []string
	seen := map[string]bool{}
	for _, l := range f.Without {
		if w := lackWords[l]; !seen[w] {
			seen[w] = true
			left = append(left, w)
		}
	}
	if len(left) > 0 {
		text += " Left out, for want of a price: " + listed(left) + "."
	}
	return text
}

// Say words what a kilogram of clean metal costs, in cash and with what free
// scrap would have fetched.
func (c Cost) Say(s quantity.Style) string {
	text := c.Cash.say(s, "in cash")
	switch {
	case !c.Cash.Known():
	case !c.Opportunity.Known():
		text += " " + c.Opportunity.say(s, "with what the free scrap would have fetched")
	case c.Parts.Forgone != 0:
		_, kg := unit(s)
		text += fmt.Sprintf(" With what the free scrap would have fetched it is %s.", between(s, scaled(*c.Opportunity.Range, kg)))
	default:
		text += " Nothing else was given up for it: the scrap was paid for, or would have fetched nothing."
	}
	if c.Believed {
		text += " It was never charged yet, so this rests on what is believed of its form."
	}
	return text
}

// Say words whether to melt or to sell.
func (c Choice) Say(s quantity.Style) string {
	if c.Use == nil && c.Sell == nil {
		if len(c.Lacks) > 0 {
			return "Whether to melt it or sell it cannot be said yet. " + explain(c.Lacks)
		}
		return "Whether to melt it or sell it cannot be said yet. Write down what an equal ingot costs to buy, or what a yard pays for ingots, with the date."
	}
	var use, sell string
	if c.Use != nil {
		use = c.Use.say(s, "an equal ingot cost", map[Code]string{
			Helps:      "Melting it for your own use pays",
			Costs:      "Melting it does not pay: buying the ingot costs less",
			CannotTell: "Melting it or buying the ingot is too close to call",
		})
	}
	if c.Sell != nil {
		sell = c.Sell.say(s, "the yard paid for ingots", map[Code]string{
			Helps:      "Melting it in order to sell the ingots would have paid",
			Costs:      "Melting it in order to sell does not pay: sell it as scrap, clean and sorted",
			CannotTell: "Melting it in order to sell is too close to call",
		})
		sell += " Melting in order to sell rarely pays: yards pay little for ingots they do not know, and your time is not counted here."
	}
	return sentences(use, sell)
}

// say words one comparison; priced is what the price was of, such as "an equal
// ingot cost".
func (v Versus) say(s quantity.Style, priced string, verdict map[Code]string) string {
	name, kg := unit(s)
	return fmt.Sprintf("%s. On %s %s %s a %s; your own costs %s. The chance that it costs less than that is %s.",
		verdict[v.Code], s.Date(v.On), priced, money(s, v.Price*kg), name, between(s, scaled(v.Cost, kg)), percentage(s, v.Chance))
}
