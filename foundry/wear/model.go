package wear

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// model is how an element ages, seen from its last reading:
//
//	y = b0 + b1 u + h + [b2 u² + b3 min(u, 0)³] + wander + noise,  u = (hours − last)/span.
//
// b0 and b1 are open, unless earlier sets told something of b1. h ~ N(0, shared²)
// is what readings taken the other way than the one the limit is counted from
// are off. What stands in brackets is there or not, as likely either way
// beforehand: ageing that speeds up, b2 ~ N(0, bend²), and a shape of the past
// that tells nothing of times to come, b3 ~ N(0, cube²). The wander is a random
// walk of standard deviation q σ over the span, the noise has variance σ² beside
// that of each reading. q and σ are summed out over a grid. Given both everything
// is normal: a Kalman filter turns walk and noise into independent innovations,
// and least squares does the rest (Kohn and Ansley 1985, Ann. Statist. 13:1286).
//
// Without b3, elements whose rise goes with a power of the hours leave their
// 90 % range a third of the time; without the even chance that ageing is
// straight the late end is open twice as often. Both as simulated (sim_test.go).
type model struct {
	rows  []observation
	last  float64 // hours of the last reading
	span  float64 // hours from the first to the last
	base  float64 // Ω that y is counted from
	prior [terms]belief
	sigma []float64 // the grid, Ω
}

// The coefficients: straight ones first, so that a straight model has the first
// few and a bent one has all.
const (
	level = iota
	slope
	offset
	straightTerms
	bend  = straightTerms
	cube  = bend + 1
	terms = cube + 1
)

type observation struct {
	u, y, variance float64
	other          bool // taken the other way
}

// belief about a coefficient beforehand: normal, or nothing when sd is 0.
type belief struct{ mean, sd float64 }

// walks are the q of the grid.
var walks = [...]float64{0, 0.3, 1, 3}

// The grid of σ: so many steps, equal in log σ, from half to sixty times the
// readability (or what readings repeat to, if that is finer), and on to thrice
// the scatter about a straight line if that is more.
const (
	sigmaSteps  = 25
	sigmaLeast  = 0.5
	sigmaMost   = 60
	sigmaBeyond = 3
)

// How much of the rise over the span b2 and b3 may be beforehand, as one standard
// deviation.
const (
	bendShare = 0.7
	cubeShare = 0.1
)

// newModel poses the model for a stretch whose points are not all at the same
// hours, with the straight line through them.
func newModel(now stretch, series Series, line Line, before *Rate) *model {
	points, n := now.points, len(now.points)
	m := &model{last: points[n-1].Hours, span: points[n-1].Hours - points[0].Hours, base: points[n-1].Ohms}
	least := repeats * series.New // what is drawn is coarser, but says so itself
	for _, p := range points {
		m.rows = append(m.rows, observation{
			u: (p.Hours - m.last) / m.span, y: p.Ohms - m.base, variance: sq(p.U),
			other: (p.Way == Cold) != (series.newWay == Cold),
		})
		least = min(least, readability(p))
	}
	// As much as the rise may be: what has not shown yet may have sped up as well.
	rise := (math.Abs(now.line.slope) + line.SlopeSE) * m.span
	m.prior[bend].sd, m.prior[cube].sd = max(bendShare*rise, least), max(cubeShare*rise, least)
	m.prior[offset].sd = max(series.shared()*series.New, least)
	if before != nil {
		m.prior[slope] = belief{before.Mean * series.New * m.span, before.SD * series.New * m.span}
	}
	from, to := sigmaLeast*least, max(sigmaMost*least, sigmaBeyond*line.Sigma)
	for i := range sigmaSteps {
		m.sigma = append(m.sigma, from*math.Pow(to/from, float64(i)/(sigmaSteps-1)))
	}
	return m
}

// readability is the step of the instrument that would give the point its
// uncertainty.
func readability(p Point) float64 { return p.U * math.Sqrt(12) }

// cell is what is known at one q and σ, of a straight model or a bent one.
type cell struct {
	walk float64      // variance of the walk over the span
	fits float64      // log of the marginal likelihood, up to a constant
	mean []float64    // of the coefficients
	root mat.TriDense // U of the precision U'U
	// The walk at the last reading is normal about wander − Σ pulls·b.
	wander, wanderVar float64
	pulls             []float64
}

// solve finds the posterior of the first n coefficients. ok is false for numbers
// that are not finite.
func (m *model) solve(f filtered, n int) (c *cell, ok bool) {
	c = &cell{fits: f.yy + f.logDet, wander: f.state[terms], pulls: f.state[:n], wanderVar: f.variance}
	precision, right := mat.NewSymDense(n, nil), mat.NewVecDense(n, f.xy[:n])
	for i := range n {
		for j := i; j < n; j++ {
			precision.SetSym(i, j, f.xx[i][j])
		}
		if b := m.prior[i]; b.sd > 0 {
			precision.SetSym(i, i, f.xx[i][i]+1/sq(b.sd))
			right.SetVec(i, f.xy[i]+b.mean/sq(b.sd))
			c.fits += sq(b.mean/b.sd) + 2*math.Log(b.sd)
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(precision) {
		return nil, false
	}
	mean := mat.NewVecDense(n, nil)
	if err := chol.SolveVecTo(mean, right); err != nil && math.IsInf(chol.Cond(), 1) {
		return nil, false
	}
	c.fits = -(c.fits + chol.LogDet() - mat.Dot(right, mean)) / 2
	chol.UTo(&c.root)
	c.mean = mean.RawVector().Data
	return c, !math.IsNaN(c.fits)
}

// filtered are the sums over innovations, and the state after the last reading:
// one for each column of the design, and for y.
type filtered struct {
	xx       [terms][terms]float64
	xy       [terms]float64
	yy       float64
	logDet   float64
	state    [terms + 1]float64
	variance float64
}

// filter runs the walk's Kalman filter over y and every column alike. The walk
// starts at 0 at the first reading, since b0 is open.
func (m *model) filter(walk, noise float64) (f filtered) {
	before := m.rows[0].u
	for _, r := range m.rows {
		column := [terms + 1]float64{level: 1, slope: r.u, bend: r.u * r.u, cube: r.u * r.u * r.u, terms: r.y}
		if r.other {
			column[offset] = 1
		}
		f.variance += walk * (r.u - before)
		before = r.u
		total := f.variance + noise + r.variance
		gain := f.variance / total
		for j := range column {
			column[j] -= f.state[j]
			f.state[j] += gain * column[j]
		}
		f.variance *= 1 - gain
		f.logDet += math.Log(total)
		y := column[terms]
		for i := range terms {
			for j := i; j < terms; j++ {
				f.xx[i][j] += column[i] * column[j] / total
			}
			f.xy[i] += column[i] * y / total
		}
		f.yy += y * y / total
	}
	return f
}

// learn solves the whole grid and gives the cells with their weights, which add
// up to one. There are none when the numbers allow no answer.
func (m *model) learn() (cells []*cell, weights []float64) {
	best := math.Inf(-1)
	for _, q := range walks {
		for _, sigma := range m.sigma {
			walk := sq(q * sigma)
			f := m.filter(walk, sq(sigma))
			for _, n := range []int{straightTerms, terms} {
				if c, ok := m.solve(f, n); ok {
					c.walk = walk
					cells = append(cells, c)
					best = max(best, c.fits)
				}
			}
		}
	}
	sum := 0.0
	for _, c := range cells {
		w := math.Exp(c.fits - best)
		weights = append(weights, w)
		sum += w
	}
	for i := range weights {
		weights[i] /= sum
	}
	return cells, weights
}
