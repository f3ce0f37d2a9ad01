// Package regress fits a plain least-squares model, y = Xb, to data. It weighs
// nothing, believes nothing beforehand and refuses a fit that the data cannot
// carry.
package regress

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// ErrFew is answered when there are not more rows than coefficients.
var ErrFew = errors.New("regress: too few rows for the coefficients")

// ErrIllConditioned is answered when the columns cannot be told apart: the
// condition number of the centred and scaled columns is above MaxCondition.
var ErrIllConditioned = errors.New("regress: columns cannot be told apart")

// MaxCondition is the largest condition number that is still fitted: with
// 16 digits in a number it leaves about four in a coefficient.
const MaxCondition = 1e12

// Fit is a fitted model.
type Fit struct {
	Coef     []float64 // the intercept first, if there is one
	SE       []float64 // standard errors of Coef
	Sigma    float64   // residual standard deviation, on DF degrees of freedom
	RSquared float64   // about the mean with an intercept, about zero without
	DF       int
}

// Line fits y to the columns with an intercept.
func Line(y []float64, columns ...[]float64) (Fit, error) { return fit(y, columns, true) }

// Origin fits y to the columns through the origin, without an intercept.
func Origin(y []float64, columns ...[]float64) (Fit, error) { return fit(y, columns, false) }

// fit works by QR on columns that are centred (with an intercept) and scaled to
// length one. The normal equations would lose twice the digits.
func fit(y []float64, columns [][]float64, intercept bool) (Fit, error) {
	n, p := len(y), len(columns)
	df := n - p
	if intercept {
		df--
	}
	if p == 0 || df < 1 {
		return Fit{}, ErrFew
	}
	for j, c := range columns {
		if len(c) != n {
			return Fit{}, fmt.Errorf("regress: column %d has %d rows, not %d", j, len(c), n)
		}
	}
	x, middle, length := standard(columns, n, intercept)
	yMiddle := 0.0
	if intercept {
		yMiddle = stat.Mean(y, nil)
	}
	target := mat.NewVecDense(n, nil)
	for i, v := range y {
		target.SetVec(i, v-yMiddle)
	}
	var qr mat.QR
	qr.Factorize(x)
	if c := qr.Cond(); !(c <= MaxCondition) {
		return Fit{}, fmt.Errorf("%w: condition %.1e", ErrIllConditioned, c)
	}
	var b, fitted, rest mat.VecDense
	if err := qr.SolveVecTo(&b, false, target); err != nil {
		return Fit{}, fmt.Errorf("%w: %v", ErrIllConditioned, err)
	}
	fitted.MulVec(x, &b)
	rest.SubVec(target, &fitted)
	rss := mat.Dot(&rest, &rest)

	f := Fit{DF: df, Sigma: math.Sqrt(rss / float64(df)), RSquared: 1 - rss/mat.Dot(target, target)}
	return f, f.unscale(&qr, &b, middle, length, yMiddle, n, intercept)
}

// standard gives the columns centred and scaled, with what was taken off and
// what they were divided by.
func standard(columns [][]float64, n int, intercept bool) (x *mat.Dense, middle, length []float64) {
	p := len(columns)
	x = mat.NewDense(n, p, nil)
	middle, length = make([]float64, p), make([]float64, p)
	for j, c := range columns {
		if intercept {
			middle[j] = stat.Mean(c, nil)
		}
		for i, v := range c {
			x.Set(i, j, v-middle[j])
			length[j] = math.Hypot(length[j], v-middle[j])
		}
		if length[j] == 0 {
			length[j] = 1 // a constant column: the condition number tells
		}
		for i := range n {
			x.Set(i, j, x.At(i, j)/length[j])
		}
	}
	return x, middle, length
}

// unscale carries coefficients and their covariance, s²(R'R)⁻¹, back to the
// columns as they were given.
func (f *Fit) unscale(qr *mat.QR, b *mat.VecDense, middle, length []float64, yMiddle float64, n int, intercept bool) error {
	p := len(middle)
	var r mat.Dense
	qr.RTo(&r)
	var inverse mat.Dense // of R, upper triangular
	if err := inverse.Inverse(r.Slice(0, p, 0, p)); err != nil && !isCondition(err) {
		return fmt.Errorf("%w: %v", ErrIllConditioned, err)
	}
	var cov mat.Dense
	cov.Mul(&inverse, inverse.T())

	constant, variance := yMiddle, 1/float64(n)
	for j := range p {
		constant -= b.AtVec(j) / length[j] * middle[j]
		for k := range p {
			variance += middle[j] * middle[k] / (length[j] * length[k]) * cov.At(j, k)
		}
	}
	if intercept {
		f.Coef, f.SE = append(f.Coef, constant), append(f.SE, f.Sigma*math.Sqrt(max(0, variance)))
	}
	for j := range p {
		f.Coef = append(f.Coef, b.AtVec(j)/length[j])
		f.SE = append(f.SE, f.Sigma*math.Sqrt(cov.At(j, j))/length[j])
	}
	return nil
}

// isCondition reports whether an error only warns of a condition number.
func isCondition(err error) bool {
	var c mat.Condition
	return errors.As(err, &c) && !math.IsInf(float64(c), 1)
}
