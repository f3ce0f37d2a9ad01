package recovery

import "math"

// What is believed of slips beforehand: two melts in a hundred have a mass that
// was mistyped, and that moves the yield by some quarter. Judgement.
const (
	slipChance = 0.02
	slipSD     = 0.25
)

// suspicious is the chance above which a melt is pointed out. To look at a mass
// again is cheap, so that one chance in seven is enough; on simulated shops
// fewer than one good melt in a hundred is pointed out.
const suspicious = 0.15

// settle finds the melts that do not fit and turns them down, loosens the prior
// of sources that do not fit it, and learns how much each source scatters, in
// rounds: fit, hold every melt against what the others say of it, and fit again. It gives the summit it ends on.
func (p *problem) settle(top summit, trusting bool) summit {
	rounds := 12
	if p.p > 80 { // each is dear, and no single melt counts for much
		rounds = 8
	}
	for range rounds {
		post, ok := p.solve(top.s, top.at.kappa())
		if !ok {
			break
		}
		p.invert(post)
		change := p.loosen(post, top.at.kappa())
		fits := p.fits(top.s, post)
		change = max(change, p.calm(fits, top.s.phi))
		if !trusting {
			change = max(change, p.doubt(fits))
		}
		if change < 0.01 {
			break
		}
		top = p.climb(top, 1)
	}
	return p.climb(top, 8)
}

// loosen widens the prior of a source that lies far from it, as Student's t
// asks (Lange, Little and Taylor 1989, J. Am. Stat. Assoc. 84:881), so that a
// source under a wrong form is neither pulled towards that form nor makes all
// others look more different than they are. It gives the largest change.
func (p *problem) loosen(post *posterior, kappa float64) float64 {
	if p.usual.tails == 0 {
		return 0
	}
	shift, _ := p.shopShift(post, kappa)
	most := 0.0
	for j := range p.p {
		if p.fixed[j] > 0 {
			continue
		}
		far := (sq(post.mean[j]-shift) + post.cov[j*p.p+j]) / (kappa * kappa)
		was := p.loose[j]
		p.loose[j] = (was + max(1, (p.usual.tails+far)/(p.usual.tails+1))) / 2
		most = max(most, math.Abs(p.loose[j]/was-1)/4)
	}
	return most
}

// fit is a melt held against all other melts.
type fit struct {
	expected float64 // x'ρ without this melt
	residual float64 // y − expected
	variance float64 // of expected, without the melt's own scatter
	noise    float64 // w² and its scatter's variance, over the melt's weight
}

// fits works out what the other melts say of each, by leaving it out of the
// fit: e/(1−h) with h its leverage (Cook and Weisberg 1982, section 2.2).
func (p *problem) fits(s *sums, post *posterior) []fit {
	all := make([]fit, p.melts())
	for i, y := range p.y {
		source, x := p.parts(i)
		var mean, spread float64
		for k, j := range source {
			mean += x[k] * post.mean[j]
			line := post.cov[int(j)*p.p:]
			for l, m := range source {
				spread += x[k] * x[l] * line[m]
			}
		}
		v := p.variance[i] + sq(s.phi)*p.times[i]
		precision := p.weight[i] / v
		if z := p.suspect[i]; z > 0 {
			precision = p.weight[i] * ((1-z)/v + z/(v+p.slip[i]))
		}
		rest := max(1-precision*spread, 1e-9)
		e := (y - mean) / rest
		all[i] = fit{expected: y - e, residual: e, variance: spread / rest, noise: v / p.weight[i]}
	}
	return all
}

// doubt updates the chance that each melt was mistyped and gives the largest
// change. Steps are halved, or two melts that accuse each other would swing;
// not where a melt hardly matters to what it is held against.
func (p *problem) doubt(fits []fit) float64 {
	most := 0.0
	for i, f := range fits {
		change := slipOdds(f, p.chance[i]) - p.suspect[i]
		if f.variance > 0.05*f.noise {
			change /= 2
		}
		p.suspect[i] += change
		if p.suspect[i] < 0.005 { // as nearly all are; it saves the work of two cases
			p.suspect[i] = 0
		}
		// A slip far beyond the usual must not pull by its mere size.
		p.slip[i] = max(sq(slipSD), sq(f.residual))
		most = max(most, math.Abs(change))
	}
	return most
}

// slipOdds is the chance that a melt with this residual was mistyped, from the
// chance before it was seen.
func slipOdds(f fit, before float64) float64 {
	good := f.noise + f.variance
	slip := good + sq(slipSD)
	logOdds := math.Log(before/(1-before)) + (math.Log(good/slip)+sq(f.residual)*(1/good-1/slip))/2
	return 1 / (1 + math.Exp(-logOdds))
}

// finish keeps how every melt fits at the summit.
func (p *problem) finish(top summit) {
	post, ok := p.solve(top.s, top.at.kappa())
	if !ok {
		return
	}
	p.invert(post)
	p.held = p.fits(top.s, post)
}

// warn raises the chance of a slip in another problem for the melts that this
// one suspects: half of the slips behind a sum that does not add up move one
// share of it plainly.
func (p *problem) warn(other *problem, rows int) {
	at := other.places(rows)
	for i, z := range p.suspect {
		if k := at[p.rows[i]]; k >= 0 {
			other.chance[k] = max(slipChance, z/2)
		}
	}
}
