package api

import (
	"github.com/danielgtaylor/huma/v2"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/scrap"
)

// The types of this file are words out of a list that the trade's packages
// keep, so that the document lists what is taken and nothing else.

// LineKind is a kind of line of a melt.
type LineKind string

// Schema lists the kinds.
func (LineKind) Schema(huma.Registry) *huma.Schema {
	var all []any
	for _, s := range melt.Specs() {
		all = append(all, string(s.Kind))
	}
	return words("What the line records.", all)
}

// State is how far a melt has come.
type State string

// Schema lists the states.
func (State) Schema(huma.Registry) *huma.Schema {
	return words("How far the melt has come.", []any{string(melt.Running), string(melt.Closed), string(melt.Voided)})
}

// Target is what a melt is for.
type Target string

// Schema lists the targets.
func (Target) Schema(huma.Registry) *huma.Schema {
	var all []any
	for _, t := range melt.Targets {
		all = append(all, string(t))
	}
	return words("What the melt is for.", all)
}

// Form is the form of scrap.
type Form string

// Schema lists the forms.
func (Form) Schema(huma.Registry) *huma.Schema {
	var all []any
	for _, f := range scrap.Forms {
		all = append(all, string(f.Form))
	}
	return words("What the pieces are.", all)
}

// Coating is what covers scrap.
type Coating string

// Schema lists the coatings.
func (Coating) Schema(huma.Registry) *huma.Schema {
	var all []any
	for _, c := range scrap.Coatings {
		all = append(all, string(c.Coating))
	}
	return words("What covers the metal; empty for not said.", all)
}

// Sure is how sure a shop is of an alloy.
type Sure string

// Schema lists how sure one can be.
func (Sure) Schema(huma.Registry) *huma.Schema {
	var all []any
	for _, s := range scrap.Sures {
		all = append(all, string(s.Sure))
	}
	return words("How sure the shop is of the alloy; empty for not said.", all)
}

// Goods is what a price is of.
type Goods string

// Schema lists the goods.
func (Goods) Schema(huma.Registry) *huma.Schema {
	return words("scrap: a source as it is, to a yard. ingots: ingots like one's own, to a yard. bought: an equal ingot, from whoever sells it. dross: cold dross, to a yard.",
		[]any{string(scrap.Unmelted), string(scrap.IngotsSold), string(scrap.IngotsBought), string(scrap.DrossSold)})
}

// KitKind is a kind of kit.
type KitKind string

// Schema lists the kinds.
func (KitKind) Schema(huma.Registry) *huma.Schema {
	var all []any
	for _, k := range kit.Kinds {
		all = append(all, string(k))
	}
	return words("What the piece is.", all)
}

// KitLineKind is a kind of line of a piece of kit.
type KitLineKind string

// Schema lists the kinds.
func (KitLineKind) Schema(huma.Registry) *huma.Schema {
	var all []any
	for _, s := range kit.LineSpecs {
		all = append(all, string(s.Kind))
	}
	return words("What happened to the piece.", all)
}

// Role is what a person may do.
type Role string

// Schema lists the roles.
func (Role) Schema(huma.Registry) *huma.Schema {
	return words("A reader looks, a melter logs as well, an owner does all.", []any{"reader", "melter", "owner"})
}

func words(says string, all []any) *huma.Schema {
	return &huma.Schema{Type: huma.TypeString, Description: says, Enum: all}
}
