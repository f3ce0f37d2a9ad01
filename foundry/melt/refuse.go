package melt

import "drosswise/foundry/quantity"

// Refuse makes the refusal of a field for rules that are kept elsewhere, such
// as those of kit. say gives the sentence for a person, in their units.
func Refuse(field string, say func(quantity.Style) string) Refusal {
	return Refusal{Field: field, say: say}
}

// OneLine is said of a name that has a line break, which lists and labels would
// have no room for.
const OneLine = "Keep it on one line."
