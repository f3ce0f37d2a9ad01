package recovery

import "math"

// Some scrap scatters more from melt to melt than other scrap: one pressed bag
// of cans is not like the next, one bar of offcuts is. unrest is how much, by
// source: s_j², the scatter's variance of a melt of source j alone over φ². A
// portion of a source that is off moves a melt by its share x of the charge,
// and its variance by x²:
//
//	v_i = w_i² + φ² (1 + Σ_j x_ij² (s_j² − 1))
//
// With all s at 1 this is one scatter for all melts, however they are mixed.
// nil is that too.
//
// s_j² is learnt from how far the melts with the source lie from what all
// others say of them, and believed beforehand as if [usual].steady melts of it
// alone had shown what its form lets expect (scaled inverse χ²). The form of
// the variance, the prior and the bounds are ours, tried on simulated shops.
type unrest []float64

// The bounds of s_j². Judgement: between about half and four times the usual
// scatter.
const minUnrest, maxUnrest = 0.3, 16

// times is the variance of a blend's scatter over φ².
func (u unrest) times(blend []share) float64 {
	sum := 1.0
	if u != nil {
		for _, s := range blend {
			sum += sq(s.part) * (u[s.source] - 1)
		}
	}
	return sum
}

// with is the variance that one melt of a blend has beside what is known of its
// sources: its scatter, and noise.
func (u unrest) with(blend []share, noise float64) func(c component) float64 {
	times := u.times(blend)
	return func(c component) float64 { return sq(c.phi)*times + noise }
}

// usualLoss is what scrap may lose before it is believed to scatter more than
// the shop's usual. Judgement.
const usualLoss = 0.1

// unrestOf is what s_j² is believed to be of a form: what is lost more of
// differs by more. Judgement: the variance grows with the loss, which is half
// of the way (on a logarithmic scale) from one scatter for all to a scatter in
// proportion to the loss.
func unrestOf(s Source) float64 {
	return max(1, (1-PriorOf(s.Form, s.Coating).Metal.Mean)/usualLoss)
}

// assume starts with what is believed of the sources' scatter.
func (p *problem) assume(sources []Source) {
	p.times = make([]float64, p.melts())
	if p.usual.steady > 0 {
		p.unrest, p.assumed, p.shown = make(unrest, p.p), make([]float64, p.p), make([]float64, p.p)
		for j, s := range sources {
			p.unrest[j], p.assumed[j] = unrestOf(s), unrestOf(s)
		}
	}
	p.spread()
}

// spread works out by how much each melt scatters.
func (p *problem) spread() {
	for i := range p.times {
		p.times[i] = 1
		if p.unrest == nil {
			continue
		}
		source, x := p.parts(i)
		for k, j := range source {
			p.times[i] += sq(x[k]/p.scale[j]) * (p.unrest[j] - 1)
		}
	}
}

// calm learns the sources' scatter from how the melts fit, in a few Fisher
// scoring steps on ln s² for the most probable value, and gives a measure of
// the last change.
func (p *problem) calm(fits []fit, phi float64) (change float64) {
	if p.unrest == nil {
		return 0
	}
	const rounds, farthest, still = 3, 0.7, 0.005
	for range rounds {
		slope := p.tally(fits, phi)
		change = 0
		for j, was := range p.unrest {
			prior := p.usual.steady * p.assumed[j] / was
			step := (slope[j] + prior - p.usual.steady) / (p.shown[j] + prior)
			step = min(max(step, -farthest), farthest)
			p.unrest[j] = min(max(was*math.Exp(step), minUnrest), maxUnrest)
			change = max(change, math.Abs(math.Log(p.unrest[j]/was))/8)
		}
		p.spread()
		if change < still {
			break
		}
	}
	return change
}

// tally gives twice the slope of the log likelihood along each ln s², and
// leaves twice its information in shown: how many melts of the source alone
// would show as much. Both are zero for a source that no melt has. A melt
// counts by the chance that nothing in it was mistyped; beyond surprise it says
// no more, or a slip would pass for scatter.
func (p *problem) tally(fits []fit, phi float64) (slope []float64) {
	const surprise = 9 // in variances: three standard deviations
	slope = make([]float64, p.p)
	clear(p.shown)
	var own []float64 // parts of the melt's variance that come from its sources
	for i, f := range fits {
		v := p.variance[i] + sq(phi)*p.times[i]
		off := min(sq(f.residual)/(v+f.variance), surprise) - 1
		trust := p.weight[i] * (1 - p.suspect[i])
		source, x := p.parts(i)
		own = own[:0]
		all := 0.0
		for k, j := range source {
			own = append(own, sq(phi*x[k]/p.scale[j])*p.unrest[j]/v)
			all += own[k]
		}
		for k, j := range source {
			slope[j] += trust * own[k] * off
			p.shown[j] += trust * own[k] * all // all in place of own: sources charged together share the step
		}
	}
	return slope
}

// allow widens the scatter of each source from its most probable value to its
// mean, n/(n − 2) times it for the inverse χ² of n melts, since what a few
// melts show of their own scatter is itself in doubt.
func (p *problem) allow() {
	for j := range p.unrest {
		n := p.usual.steady + p.shown[j]
		p.unrest[j] *= n / (n - 2)
	}
	p.spread()
}
