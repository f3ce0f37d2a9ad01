package wear

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"drosswise/foundry/regress"
)

// Line is the straight line of least squares through readings against hours.
// It shows the trend; it does not say how long an element lasts, since ageing
// that speeds up leaves its ranges (Life.Left does).
type Line struct {
	Intercept float64 `json:"intercept"` // Ω at hour 0
	Slope     float64 `json:"slope"`     // Ω per hour
	SlopeSE   float64 `json:"slope_se"`
	Sigma     float64 `json:"sigma"` // scatter of one reading, Ω
	N         int     `json:"readings"`

	middle, height float64 // a point on the line: its x counts as exact
	sxx, weight    float64 // Σw(x−middle)² and Σw; n for equal weights
}

// fitLine fits the line to three points or more. Weights are 1 for the best
// readings and less for coarser ones; Sigma is that of a reading of weight 1,
// and at least `least`.
func fitLine(x, y, w []float64, least float64) (Line, error) {
	l := Line{N: len(x), middle: stat.Mean(x, w), weight: floats.Sum(w)}
	root, from, target := make([]float64, len(x)), make([]float64, len(x)), make([]float64, len(x))
	for i := range x {
		root[i] = math.Sqrt(w[i])
		from[i] = root[i] * (x[i] - l.middle)
		target[i] = root[i] * y[i]
		l.sxx += sq(from[i])
	}
	fit, err := regress.Origin(target, root, from)
	if err != nil {
		return Line{}, err
	}
	l.height, l.Slope = fit.Coef[0], fit.Coef[1]
	l.Intercept = l.height - l.Slope*l.middle
	l.Sigma = max(fit.Sigma, least)
	l.SlopeSE = l.Sigma / math.Sqrt(l.sxx)
	return l, nil
}

// mean is the line at x with its standard uncertainty.
func (l Line) mean(x float64) (y, u float64) {
	return l.height + l.Slope*(x-l.middle), l.Sigma * math.Sqrt(1/l.weight+sq(x-l.middle)/l.sxx)
}

// At predicts one good reading at x hours: the range holds it nine times in
// ten if ageing goes on straight.
func (l Line) At(x float64) Range {
	y, u := l.mean(x)
	return within(y, l.t()*math.Hypot(u, l.Sigma))
}

// t is the 95 % quantile of Student's t with n − 2 degrees of freedom.
func (l Line) t() float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(l.N - 2)}.Quantile(0.95)
}

// g tells how well the slope is known: from 1 on it cannot be told from none
// (Fieller 1954, J. R. Stat. Soc. B 16:175).
func (l Line) g() float64 { return sq(l.t()*l.Sigma) / (sq(l.Slope) * l.sxx) }

// Trend reports whether the slope can be told from none.
func (l Line) Trend() bool { return l.g() < 1 }

// Reach is at how many hours the line is at y Ω, with the range of nine in ten
// by Fieller's theorem; for one reading that shows y, where reading is true. ok
// is false without a trend: then there is no finite range.
func (l Line) Reach(y float64, reading bool) (x Range, ok bool) {
	g := l.g()
	if !(g < 1) {
		return x, false
	}
	k := 0.0
	if reading {
		k = 1
	}
	d := (y - l.height) / l.Slope
	middle := d / (1 - g)
	half := l.t() * l.Sigma / math.Abs(l.Slope) * math.Sqrt((1-g)*(k+1/l.weight)+d*d/l.sxx) / (1 - g)
	return Range{l.middle + middle - half, l.middle + d, l.middle + middle + half}, true
}
