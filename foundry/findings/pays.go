package findings

import "drosswise/foundry/recovery"

// Payback is what an effect on metal is worth.
type Payback struct {
	Practice Practice       `json:"practice"`
	Range    recovery.Range `json:"range"` // money for each kilogram charged, less what it costs
	Up       float64        `json:"up"`    // chance that it pays
	Code     Code           `json:"code"`
}

// Pays turns an effect on metal into money for each kilogram charged: its
// points at the price of a kilogram of metal, less what the practice costs for
// each kilogram charged (flux, electricity to dry). ok is false for dross and
// where there is no effect to speak of.
func (f Effect) Pays(metal, cost float64) (p Payback, ok bool) {
	if f.Range == nil || f.Outcome != Metal || !(metal > 0) {
		return Payback{}, false
	}
	r := *f.Range
	p.Practice = f.Practice
	p.Range = recovery.Range{Low: r.Low*metal - cost, Middle: r.Middle*metal - cost, High: r.High*metal - cost}
	p.Up, p.Code = above(p.Range, 0), NoDifference
	switch {
	case p.Range.Low > 0:
		p.Code = Helps
	case p.Range.High < 0:
		p.Code = Costs
	case f.Information > tells:
		p.Code = CannotTell
	}
	return p, true
}
