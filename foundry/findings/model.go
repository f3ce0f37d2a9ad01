package findings

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// model is Bayesian least squares with weak priors, robust to a row that does
// not fit:
//
//	y_i = x_i'θ + e_i,  e_i ~ N(0, s² + d_i),  θ_j ~ N(mean_j, sd_j²),
//
// with s not known beforehand either. For a fixed s everything has a closed
// form (Lindley and Smith 1972, J. R. Stat. Soc. B 34:1); s is summed out over
// a grid. A row is suspected when it would fit far better with the spread slip
// on top, and then counts for less.
type model struct {
	rows     []row
	mean, sd []float64 // prior of each coefficient
	scatter  float64   // s beforehand: log-normal about this median
	widely   float64   // with this standard deviation of its logarithm
	slip     float64   // standard deviation that a mistake adds to y
}

// row is one melt. Columns that are not named are zero.
type row struct {
	at      []int
	x       []float64
	y       float64
	doubt   float64 // variance of y besides s²
	chance  float64 // that it is mistaken, beforehand
	suspect float64 // the same, in the light of all others
}

// add puts a value into a column.
func (r *row) add(column int, value float64) {
	if value != 0 {
		r.at, r.x = append(r.at, column), append(r.x, value)
	}
}

// precision of the row, the chance of a mistake weighed in.
func (m *model) precision(r *row, s float64) float64 {
	v := s*s + r.doubt
	if r.suspect == 0 {
		return 1 / v
	}
	return (1-r.suspect)/v + r.suspect/(v+m.slip*m.slip)
}

// solution is the posterior for one s.
type solution struct {
	s    float64
	fits float64 // log of the marginal likelihood, up to a constant
	mean []float64
	half mat.Cholesky // of the precision of θ/sd
}

// solve finds the posterior for s. ok is false when it cannot be had, as with
// numbers that are not finite.
func (m *model) solve(s float64) (*solution, bool) {
	p := len(m.mean)
	q, b := mat.NewSymDense(p, nil), mat.NewVecDense(p, nil)
	raw, right := q.RawSymmetric(), b.RawVector().Data
	for j := range p {
		raw.Data[j*raw.Stride+j] = 1
	}
	sum := 0.0 // of log variances and squares
	for i := range m.rows {
		r := &m.rows[i]
		w := m.precision(r, s)
		y := r.y
		for k, j := range r.at {
			y -= r.x[k] * m.mean[j]
		}
		sum += w*y*y - math.Log(w)
		for k, j := range r.at {
			wx := w * r.x[k] * m.sd[j]
			right[j] += wx * y
			line := raw.Data[j*raw.Stride:]
			for l, h := range r.at {
				if h >= j { // the upper half is what is kept
					line[h] += wx * r.x[l] * m.sd[h]
				}
			}
		}
	}
	f := &solution{s: s, mean: make([]float64, p)}
	if math.IsNaN(sum) || !f.half.Factorize(q) {
		return nil, false
	}
	var u mat.VecDense
	if err := f.half.SolveVecTo(&u, b); err != nil && !conditioned(err) {
		return nil, false
	}
	f.fits = -(sum + f.half.LogDet() - mat.Dot(b, &u)) / 2
	for j := range p {
		f.mean[j] = m.mean[j] + m.sd[j]*u.AtVec(j)
	}
	return f, true
}

// conditioned reports whether an error only warns of a condition number, as
// when a prior is very weak.
func conditioned(err error) bool {
	c, ok := err.(mat.Condition)
	return ok && !math.IsInf(float64(c), 1)
}

// cov is the covariance of the coefficients, row after row.
func (m *model) cov(f *solution) []float64 {
	p := len(m.mean)
	var inverse mat.SymDense
	if err := f.half.InverseTo(&inverse); err != nil && !conditioned(err) {
		return nil
	}
	cov := make([]float64, p*p)
	for j := range p {
		for k := range p {
			cov[j*p+k] = m.sd[j] * m.sd[k] * inverse.At(j, k)
		}
	}
	return cov
}

// believed is the log prior of s per unit of log s.
func (m *model) believed(s float64) float64 {
	z := math.Log(s/m.scatter) / m.widely
	return -z * z / 2
}

// spread is x'Cx of a row.
func (r *row) spread(cov []float64, p int) float64 {
	sum := 0.0
	for k, j := range r.at {
		for l, h := range r.at {
			sum += r.x[k] * r.x[l] * cov[j*p+h]
		}
	}
	return sum
}

// residual is y − x'θ.
func (r *row) residual(mean []float64) float64 {
	e := r.y
	for k, j := range r.at {
		e -= r.x[k] * mean[j]
	}
	return e
}
