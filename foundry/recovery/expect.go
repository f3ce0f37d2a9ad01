package recovery

import "math"

// Expectation is what a charge can be expected to give.
type Expectation struct {
	Metal     Range   `json:"metal"`     // recovery of this one melt
	Dross     Range   `json:"dross"`     // dross rate of this one melt
	Kilograms float64 `json:"kilograms"` // charged, less what is known not to be metal
	// Known is how much of the charge comes from sources whose own melts say
	// something of them; the rest is mostly the prior.
	Known float64 `json:"known"`
}

// Expect says what a charge will give, the scatter from melt to melt and the
// scales included. ok is false when there is nothing in it or a source is not
// known.
func (e *Estimates) Expect(charges []Charge) (x Expectation, ok bool) {
	net, extra, why := Melt{Charges: charges}.netCharges(e.index)
	if why != "" {
		return Expectation{}, false
	}
	for _, s := range net {
		x.Kilograms += s.part
	}
	if x.Kilograms <= 0 {
		return Expectation{}, false
	}
	blend := merge(net, 1/x.Kilograms, nil, 0)
	for _, s := range blend {
		if e.Sources[s.source].Metal.Information <= averageAbove {
			x.Known += s.part
		}
	}
	noise := sq(e.weighing/x.Kilograms) + extra
	one := func(c component) float64 { return sq(c.phi) + noise }
	x.Metal = linear(e.metal, blend, one).within(0, 1)
	x.Dross = linear(e.dross, blend, one).within(0, 1)
	return x, true
}

// Hold sets a yield that was not part of the estimate beside what its charge
// lets expect, as a melt that was closed since. seen is its recovery.
func (e *Estimates) Hold(charges []Charge, seen float64) (h Held, ok bool) {
	net, extra, why := Melt{Charges: charges}.netCharges(e.index)
	kg := 0.0
	for _, s := range net {
		kg += s.part
	}
	if why != "" || kg <= 0 || math.IsNaN(seen) {
		return Held{}, false
	}
	noise := sq(e.weighing/kg) + extra
	k := linear(e.metal, merge(net, 1/kg, nil, 0), func(c component) float64 { return sq(c.phi) + noise })
	h.Seen = seen
	h.Expected, h.SD = k.moments()
	h.Z = (h.Seen - h.Expected) / h.SD
	h.Mistyped = slipOdds(fit{residual: h.Seen - h.Expected, variance: sq(h.SD)}, slipChance)
	return h, true
}
