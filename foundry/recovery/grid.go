package recovery

import "math"

// The grid's outer bounds.
const (
	minKappa, maxKappa = 0.006, 0.40
	minPhi, maxPhi     = 0.002, 0.15
)

// hyper is a place on the grid: ln κ and ln φ.
type hyper [2]float64

func (h hyper) kappa() float64 { return math.Exp(h[0]) }
func (h hyper) phi() float64   { return math.Exp(h[1]) }

var (
	lowest  = hyper{math.Log(minKappa), math.Log(minPhi)}
	highest = hyper{math.Log(maxKappa), math.Log(maxPhi)}
)

// clamp keeps a place on the grid.
func (h hyper) clamp() hyper {
	for i := range h {
		h[i] = min(max(h[i], lowest[i]), highest[i])
	}
	return h
}

// height is the log posterior density of a place, −∞ where there is none.
func (p *problem) height(s *sums, h hyper) float64 {
	if p.spare == nil {
		p.spare = make([]float64, p.p*p.p)
	}
	post, ok := p.solveIn(p.spare, s, h.kappa())
	if !ok {
		return math.Inf(-1)
	}
	return post.logML + p.usual.logPrior(h.kappa(), s.phi)
}

// scan finds the highest of a coarse net of places.
func (p *problem) scan() hyper {
	steps := 6
	if p.p > 80 {
		steps = 4
	}
	best, top := hyper{}, math.Inf(-1)
	for i := range steps {
		phi := lowest[1] + (highest[1]-lowest[1])*(float64(i)+0.5)/float64(steps)
		s := p.gather(math.Exp(phi))
		for k := range steps {
			h := hyper{lowest[0] + (highest[0]-lowest[0])*(float64(k)+0.5)/float64(steps), phi}
			if y := p.height(s, h); y > top {
				best, top = h, y
			}
		}
	}
	return best
}

// summit is where the posterior is highest, and how wide it is there along
// each axis.
type summit struct {
	at  hyper
	sd  hyper
	top float64
	s   *sums
}

// climb walks to the top from a place: along each axis the vertex of the
// parabola through three heights, which are set about one sd apart as that
// becomes known. It makes at most so many rounds.
func (p *problem) climb(from summit, rounds int) summit {
	now := from
	for range rounds {
		now.s = p.gather(now.at.phi())
		now.top = p.height(now.s, now.at)
		moved := now.at
		for axis := range 2 {
			low, high := now.at, now.at
			low[axis] -= now.sd[axis]
			high[axis] += now.sd[axis]
			step, sd := vertex(p.place(now.s, axis, low), now.top, p.place(now.s, axis, high), now.sd[axis])
			moved[axis] += step
			now.sd[axis] = sd
		}
		moved = moved.clamp()
		still := math.Abs(moved[0]-now.at[0]) < 0.1*now.sd[0] && math.Abs(moved[1]-now.at[1]) < 0.1*now.sd[1]
		now.at = moved
		if still {
			break
		}
	}
	now.s = p.gather(now.at.phi())
	now.top = p.height(now.s, now.at)
	return now
}

// foothold finds the summit while every melt is trusted.
func (p *problem) foothold() summit {
	return p.climb(summit{at: p.scan(), sd: hyper{0.3, 0.3}}, 8)
}

// place is the height at a place that differs from s along one axis.
func (p *problem) place(s *sums, axis int, h hyper) float64 {
	if axis == 1 {
		s = p.gather(h.phi())
	}
	return p.height(s, h)
}

// vertex gives the way to the top of the parabola through (−h, low), (0, mid)
// and (h, high), and the sd that its curvature amounts to.
func vertex(low, mid, high, h float64) (step, sd float64) {
	const most, slightest = 0.7, 1e-4
	bend := (low - 2*mid + high) / (h * h)
	if !(bend < 0) {
		return math.Copysign(min(4*h, most), high-low), min(2*h, most)
	}
	step = -(high - low) / (2 * h) / bend
	return min(max(step, -most), most), min(max(1/math.Sqrt(-bend), slightest), most)
}

// fall is how far below the top the grid ends: beyond it lies less than one
// part in a thousand.
const fall = 7

// edge walks from the top along an axis until the density has fallen far
// enough.
func (p *problem) edge(top summit, axis int, sign float64) float64 {
	step := 1.5 * top.sd[axis]
	for h := top.at; ; step *= 1.5 {
		h[axis] += sign * step
		if h != h.clamp() {
			return h.clamp()[axis]
		}
		if p.place(top.s, axis, h) < top.top-fall {
			return h[axis]
		}
	}
}

// fineness is how many places the grid has along κ and φ: fewer for many
// sources, where each costs p³ and the posterior is close to a normal curve.
func fineness(sources int) [2]int {
	switch {
	case sources <= 30:
		return [2]int{15, 17}
	case sources <= 80:
		return [2]int{9, 9}
	}
	return [2]int{6, 6}
}

// component is one normal curve of the mixture, in the sources' own shares.
type component struct {
	weight     float64
	kappa, phi float64
	mean       []float64 // r
	cov        []float64 // p×p
	shift      float64   // mean of μ
	shiftVar   float64   // its variance
}

// least is the weight below which a place of the grid is left out.
const least = 2e-4

// grid sums κ and φ out: it lays a net of places over the summit and gives the
// posterior at each its weight. The weights are those of the sources' most
// probable scatter, the posteriors allow for what is not known of it.
func (p *problem) grid(top summit) []component {
	var from, to hyper
	for axis := range 2 {
		from[axis], to[axis] = p.edge(top, axis, -1), p.edge(top, axis, +1)
	}
	size := fineness(p.p)
	at := func(axis, i int) float64 {
		return from[axis] + (to[axis]-from[axis])*(float64(i)+0.5)/float64(size[axis])
	}
	heights := make([]float64, size[0]*size[1])
	highest := math.Inf(-1)
	gathered := make([]*sums, size[1])
	for j := range size[1] {
		gathered[j] = p.gather(math.Exp(at(1, j)))
		for i := range size[0] {
			y := p.height(gathered[j], hyper{at(0, i), at(1, j)})
			heights[j*size[0]+i] = y
			highest = max(highest, y)
		}
	}
	total := 0.0
	for i, y := range heights {
		heights[i] = math.Exp(y - highest)
		total += heights[i]
	}
	p.allow()
	var mixture []component
	kept := 0.0
	for j := range size[1] {
		s := p.gather(gathered[j].phi)
		for i := range size[0] {
			w := heights[j*size[0]+i] / total
			if w < least {
				continue
			}
			post, ok := p.solve(s, math.Exp(at(0, i)))
			if !ok {
				continue
			}
			p.invert(post)
			kept += w
			mixture = append(mixture, p.component(post, w, math.Exp(at(0, i)), s.phi))
		}
	}
	for i := range mixture {
		mixture[i].weight /= kept
	}
	return mixture
}

// component carries a posterior back to the sources' own shares. It takes the
// posterior's memory over.
func (p *problem) component(post *posterior, weight, kappa, phi float64) component {
	c := component{weight: weight, kappa: kappa, phi: phi, mean: post.mean, cov: post.cov}
	c.shift, c.shiftVar = p.shopShift(post, kappa)
	for j := range p.p {
		c.mean[j] = p.mid[j] + p.scale[j]*post.mean[j]
		line := c.cov[j*p.p : (j+1)*p.p]
		for l := range line {
			line[l] *= p.scale[j] * p.scale[l]
		}
	}
	return c
}

// shopShift is mean and variance of μ, from its normal distribution given ρ.
func (p *problem) shopShift(post *posterior, kappa float64) (mean, variance float64) {
	pr := p.prior(kappa)
	for j, t := range pr.tie {
		mean += pr.pull * t * post.mean[j]
		if t == 0 {
			continue
		}
		for l, v := range post.cov[j*p.p : (j+1)*p.p] {
			variance += pr.pull * t * pr.pull * pr.tie[l] * v
		}
	}
	return mean, variance + pr.pull
}
