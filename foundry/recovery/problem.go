package recovery

import (
	"math"

	"drosswise/foundry/quantity"
)

// problem is one share, metal or dross, of all melts where it is known, in
// standard measure: ρ_j = (r_j − m_j)/c_j, so that all sources are alike
// beforehand. Rows are kept flat, since there may be a hundred thousand.
type problem struct {
	usual usual
	p     int
	mid   []float64 // m_j
	scale []float64 // c_j
	fixed []float64 // variance of ρ_j where a person set the belief, else 0
	alike int       // sources that share μ and κ
	loose []float64 // by how much κ² is widened for a source unlike its prior

	unrest  unrest    // s_j²; nil where all sources scatter alike
	assumed []float64 // s_j² before any melt
	shown   []float64 // how many melts of a source alone would show as much of its scatter

	rows     []int32 // index into the table, by melt
	start    []int32 // first part of each melt, and one past the last
	source   []int32
	x        []float64 // x_ij c_j
	y        []float64 // y_i − Σ x_ij m_j
	variance []float64 // w_i²
	weight   []float64 // 1, or less for an old melt
	times    []float64 // variance of its scatter over φ²
	suspect  []float64 // z_i, chance that a mass behind it was mistyped
	slip     []float64 // variance that a slip would add
	chance   []float64 // of a slip, before the melt's own figure is looked at
	held     []fit     // how each melt fits, at the end

	spare []float64 // p×p of memory, for heights
}

// pick says which of the two shares a problem is about.
type pick struct {
	usual usual
	of    func(r row) (y, variance float64)
	prior func(s Source) Belief
	own   func(s Source) *Belief
}

var (
	metalPick = pick{
		usual: metalUsual,
		of:    func(r row) (float64, float64) { return r.metal, r.metalVar },
		prior: func(s Source) Belief { return PriorOf(s.Form, s.Coating).Metal },
		own:   func(s Source) *Belief { return s.Metal },
	}
	drossPick = pick{
		usual: drossUsual,
		of:    func(r row) (float64, float64) { return r.dross, r.drossVar },
		prior: func(s Source) Belief { return PriorOf(s.Form, s.Coating).Dross },
		own:   func(s Source) *Belief { return s.Dross },
	}
	// restPick is about what became neither metal nor dross: coating, water,
	// oil, less the oxygen in the dross. It is never shown. What a source
	// loses as metal it mostly gains as dross, so this share is known better
	// beforehand than the two, and a mistyped mass stands out in it.
	restPick = pick{
		usual: restUsual,
		of:    row.rest,
		prior: func(s Source) Belief {
			p := PriorOf(s.Form, s.Coating)
			return Belief{1 - p.Metal.Mean - p.Dross.Mean, math.Hypot(p.Metal.SD, p.Dross.SD) / 2}
		},
		own: func(Source) *Belief { return nil },
	}
)

// pose sets a problem up.
func (k pick) pose(sources []Source, rows []row, halfLife quantity.Span) *problem {
	p := &problem{usual: k.usual, p: len(sources), start: make([]int32, 1, len(rows)+1)}
	for _, s := range sources {
		p.believe(k.prior(s), k.own(s))
	}
	parts := 0
	for _, r := range rows {
		parts += len(r.shares)
	}
	p.source, p.x = make([]int32, 0, parts), make([]float64, 0, parts)
	for i, r := range rows {
		y, variance := k.of(r)
		if math.IsNaN(y) {
			continue
		}
		for _, s := range r.shares {
			p.source = append(p.source, int32(s.source))
			p.x = append(p.x, s.part*p.scale[s.source])
			y -= s.part * p.mid[s.source]
		}
		p.rows = append(p.rows, int32(i))
		p.start = append(p.start, int32(len(p.x)))
		p.y = append(p.y, y)
		p.variance = append(p.variance, variance)
		p.weight = append(p.weight, ageing(rows[len(rows)-1].at.Since(r.at), halfLife))
		p.suspect = append(p.suspect, 0)
		p.slip = append(p.slip, sq(slipSD))
		p.chance = append(p.chance, slipChance)
	}
	p.assume(sources)
	return p
}

// believe adds a source with its prior, or with what a person set instead.
func (p *problem) believe(prior Belief, own *Belief) {
	if own.valid() {
		p.mid, p.scale, p.fixed = append(p.mid, own.Mean), append(p.scale, 1), append(p.fixed, sq(own.SD))
		p.loose = append(p.loose, 1)
		return
	}
	p.mid, p.scale, p.fixed = append(p.mid, prior.Mean), append(p.scale, prior.SD/p.usual.unit()), append(p.fixed, 0)
	p.loose = append(p.loose, 1)
	p.alike++
}

// ageing is how much a melt of an age counts.
func ageing(age, halfLife quantity.Span) float64 {
	if halfLife <= 0 {
		return 1
	}
	return math.Exp2(-float64(age) / float64(halfLife))
}

// melts is how many melts the problem has.
func (p *problem) melts() int { return len(p.y) }

// parts gives the sources of melt i and their scaled shares.
func (p *problem) parts(i int) (source []int32, x []float64) {
	from, to := p.start[i], p.start[i+1]
	return p.source[from:to], p.x[from:to]
}

// sums are what the melts amount to at one φ: all that the posterior needs of
// them, whatever κ.
type sums struct {
	phi    float64
	a      []float64 // X'V⁻¹X, p×p, lower triangle
	b      []float64 // X'V⁻¹y
	yy     float64   // y'V⁻¹y
	logVar float64   // Σ ln V_i, less ln product

	product float64 // of variances: one logarithm for many is much cheaper
}

func (p *problem) empty(phi float64) *sums {
	return &sums{phi: phi, product: 1, a: make([]float64, p.p*p.p), b: make([]float64, p.p)}
}

// gather adds all melts up at φ.
func (p *problem) gather(phi float64) *sums {
	s := p.empty(phi)
	for i := range p.y {
		p.add(s, i)
	}
	s.logVar += math.Log(s.product)
	s.product = 1
	return s
}

// add counts melt i. One that is suspect with chance z counts with precision
// (1−z)/v + z/(v + slip), which is what the mixture of the two cases gives on
// average (expectation-maximisation, Dempster, Laird and Rubin 1977, J. R.
// Stat. Soc. B 39:1).
func (p *problem) add(s *sums, i int) {
	v, y := p.variance[i]+s.phi*s.phi*p.times[i], p.y[i]
	precision := 1 / v
	if z := p.suspect[i]; z > 0 {
		slipped := v + p.slip[i]
		precision = (1-z)/v + z/slipped
		s.logVar += z * math.Log(slipped/v)
	}
	if s.product *= v; s.product < 1e-250 || s.product > 1e250 {
		s.logVar += math.Log(s.product)
		s.product = 1
	}
	precision *= p.weight[i]
	s.yy += precision * y * y
	source, x := p.parts(i)
	for k, j := range source {
		px := precision * x[k]
		s.b[j] += px * y
		line := s.a[int(j)*p.p:]
		for l := 0; l <= k; l++ { // sources rise within a melt
			line[source[l]] += px * x[l]
		}
	}
}
