package drift

import (
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// Fit is least squares that takes one row after another: y = x'b + e, without
// an intercept. It keeps the triangle of the QR decomposition and turns each
// new row into it by Givens rotations (Gentleman 1974, Applied Statistics 23,
// AS 75), which loses no digits to normal equations and copes with columns
// that cannot be told apart yet: a row that brings something new, such as the
// first cold start, is taken up and says nothing of the scatter.
type Fit struct {
	columns int
	r       [][]float64 // row k of the triangle, zero when column k is not known
	right   []float64   // the rotated y
	length  []float64   // sum of squares of each column
	n, rank int
	rss     float64
}

// tiny is the share of a column's length below which it counts as a sum of the
// columns before it.
const tiny = 1e-9

// NewFit gives a fit of so many columns that has seen nothing yet.
func NewFit(columns int) *Fit {
	f := &Fit{columns: columns, right: make([]float64, columns), length: make([]float64, columns)}
	for range columns {
		f.r = append(f.r, make([]float64, columns))
	}
	return f
}

// N is how many rows were taken up.
func (f *Fit) N() int { return f.n }

// DF is how many of them tell of the scatter.
func (f *Fit) DF() int { return f.n - f.rank }

// Sigma is the residual standard deviation, 0 without degrees of freedom.
func (f *Fit) Sigma() float64 {
	if f.DF() < 1 {
		return 0
	}
	return math.Sqrt(f.rss / float64(f.DF()))
}

// Add takes up a row and gives its recursive residual, (y − x'b)/√(1 + x'Gx)
// with b and G = (X'X)⁻¹ of the rows before it (Brown, Durbin and Evans 1975,
// J. R. Stat. Soc. B 37:149). told is false for a row that only brought
// something new. x has as many numbers as the fit has columns.
func (f *Fit) Add(x []float64, y float64) (w float64, told bool) {
	f.n++
	rest := append([]float64(nil), x...)
	for k := range f.columns {
		f.length[k] += x[k] * x[k]
		if f.negligible(k, rest[k], 0) {
			continue
		}
		line := f.r[k]
		if line[k] == 0 {
			copy(line[k:], rest[k:])
			f.right[k] = y
			f.rank++
			return 0, false
		}
		h := math.Hypot(line[k], rest[k])
		c, s := line[k]/h, rest[k]/h
		for j := k; j < f.columns; j++ {
			line[j], rest[j] = c*line[j]+s*rest[j], c*rest[j]-s*line[j]
		}
		f.right[k], y = c*f.right[k]+s*y, c*y-s*f.right[k]
	}
	f.rss += y * y
	return y, true
}

// negligible reports whether what is left of column k is rounding only, beside
// what it has held and x. A column of next to nothing is nothing.
func (f *Fit) negligible(k int, rest, x float64) bool {
	return math.Abs(rest) <= tiny*max(math.Sqrt(f.length[k]+x*x), tiny)
}

// Predict gives x'b and the leverage x'Gx: the next y lies about x'b with the
// standard deviation Sigma·√(1 + x'Gx). ok is false for a row unlike all before.
func (f *Fit) Predict(x []float64) (y, leverage float64, ok bool) {
	v := make([]float64, f.columns) // R'v = x, row by row from the top
	for k := range f.columns {
		rest := x[k]
		for j := range k {
			rest -= f.r[j][k] * v[j]
		}
		if f.r[k][k] == 0 {
			if !f.negligible(k, rest, x[k]) {
				return 0, 0, false
			}
			continue
		}
		v[k] = rest / f.r[k][k]
		y += v[k] * f.right[k]
		leverage += v[k] * v[k]
	}
	return y, leverage, true
}

// Coef gives the coefficient of a column and its standard error. ok is false
// where the rows do not tell it.
func (f *Fit) Coef(column int) (b, se float64, ok bool) {
	one := make([]float64, f.columns)
	one[column] = 1
	b, variance, ok := f.Predict(one)
	return b, f.Sigma() * math.Sqrt(variance), ok && f.DF() > 0
}

// Residual gives the standardised one-step residual of a row that was not taken
// up: u = (y − x'b)/(s·√(1 + x'Gx)) follows Student's t with DF degrees of
// freedom, and Q is the normal value of the same chance. Without a change the
// Q of row after row are independent and standard normal (Quesenberry 1991,
// J. Quality Technology 23:213). least is the smallest s that is believed, such
// as the step of a meter over √12. ok is false where nothing can be said.
func (f *Fit) Residual(x []float64, y, least float64) (q float64, ok bool) {
	expected, leverage, ok := f.Predict(x)
	s := max(f.Sigma(), least)
	if !ok || f.DF() < 1 || s == 0 {
		return 0, false
	}
	return normalOf((y-expected)/(s*math.Sqrt(1+leverage)), float64(f.DF())), true
}

// Studentised gives the externally studentised residual of a row that was taken
// up before, e/(s₍₎·√(1−h)), s₍₎ without the row (Cook and Weisberg 1982,
// section 2.2.1). ok is false where the rest does not tell.
func (f *Fit) Studentised(x []float64, y float64) (t float64, ok bool) {
	expected, h, ok := f.Predict(x)
	e, rest := y-expected, 1-h
	if !ok || f.DF() < 2 || rest < 1e-9 {
		return 0, false
	}
	left := (f.rss - e*e/rest) / float64(f.DF()-1)
	if !(left > 0) {
		return 0, false
	}
	return e / math.Sqrt(left*rest), true
}

// furthest is the largest Q that is told apart: a chance below 1e-15 says no more.
const furthest = 8

// normalOf turns a value of Student's t into the normal value of the same
// chance. It works in the lower tail, where no digits are lost.
func normalOf(t, df float64) float64 {
	tail := distuv.StudentsT{Sigma: 1, Nu: df}.CDF(-math.Abs(t))
	q := float64(furthest)
	if tail > 1e-15 {
		q = min(-mathext.NormalQuantile(tail), furthest)
	}
	return math.Copysign(q, t)
}
