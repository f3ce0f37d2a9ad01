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

// Expect says what the charge of a melt will give, the scatter from melt to melt
// and the scales included. Of the melt it reads the charges and the steel that
// was found so far, as the estimate does. ok is false when there is nothing in
// it or a source is not known.
func (e *Estimates) Expect(m Melt) (x Expectation, ok bool) {
	net, extra, why := m.netCharges(e.index)
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
	x.Metal = linear(e.metal, blend, e.unrest.metal.with(blend, noise)).within(0, 1)
	x.Dross = linear(e.dross, blend, e.unrest.dross.with(blend, noise)).within(0, 1)
	return x, true
}

// Hold sets the recovery of a melt that was not part of the estimate beside
// what its charge lets expect, as of one that was closed since. What a heel
// brought is left aside. ok is false when the melt cannot be read or its metal
// is not known.
func (e *Estimates) Hold(m Melt) (h Held, ok bool) {
	r, _, why := m.row(e.index, nil)
	if why != "" || math.IsNaN(r.metal) {
		return Held{}, false
	}
	noise := max(r.metalVar, sq(e.weighing/r.net)) // scales that are not known weigh as usual
	k := linear(e.metal, r.shares, e.unrest.metal.with(r.shares, noise))
	h.Seen = r.metal
	h.Expected, h.SD = k.moments()
	h.Z = (h.Seen - h.Expected) / h.SD
	h.Mistyped = slipOdds(fit{residual: h.Seen - h.Expected, variance: sq(h.SD)}, slipChance)
	return h, true
}
