package life

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// ErrNoMaximum is answered when the likelihood of a Weibull curve has no
// maximum: fewer than two pieces wore out, or none of them did less than the
// piece that did most, so that ever steeper curves fit ever better.
var ErrNoMaximum = errors.New("life: the likelihood has no maximum")

// mostShape is the steepest curve that is fitted: with it, nine in ten pieces
// last within 0.5 % of each other.
const mostShape = 1000

// WeibullFit is the Weibull curve of the largest likelihood with what is
// known of it. Below LeastFitted pieces worn out its shape is too high, by
// about 1.4/r of it for r of them, and ranges read off it are too narrow: for
// the life of one piece take Learn.
type WeibullFit struct {
	Weibull
	LogLikelihood float64 `json:"log_likelihood"`
	// Standard errors from the observed information.
	SELogScale float64 `json:"se_log_scale"`
	SELogShape float64 `json:"se_log_shape"`
	// ShapeLow and ShapeHigh are the shape's 90 % range by the profile of the
	// likelihood: where twice its logarithm is 2.71 below the top.
	ShapeLow  float64 `json:"shape_low"`
	ShapeHigh float64 `json:"shape_high"`
}

// Maximize finds the Weibull curve of the largest likelihood of pieces. The
// error is a *Refusal or ErrNoMaximum.
func Maximize(pieces []Piece) (WeibullFit, error) {
	for _, p := range pieces {
		if r := p.refuse(); r != nil {
			return WeibullFit{}, r
		}
	}
	return sampleOf(pieces).maximize()
}

// maximize solves Σ t^b ln t / Σ t^b − 1/b − mean(ln t of the worn) = 0, which
// rises with b (Lawless 2003, Statistical Models and Methods for Lifetime Data,
// section 5.2), and then scale^b = Σ t^b / r.
func (s *sample) maximize() (WeibullFit, error) {
	r := float64(s.failed)
	if s.failed < 2 {
		return WeibullFit{}, ErrNoMaximum
	}
	score := func(b float64) float64 {
		_, mean := s.logPowers(b)
		return mean - 1/b - s.sum/r
	}
	low, high := 1.0, 1.0
	for low > 1e-6 && score(low) > 0 {
		low /= 2
	}
	for high < mostShape && score(high) < 0 {
		high *= 2
	}
	if score(low) > 0 || score(high) < 0 {
		return WeibullFit{}, ErrNoMaximum
	}
	b := root(score, low, high)
	f := WeibullFit{Weibull: Weibull{Shape: b, Scale: math.Exp(s.unit + s.logScale(b))}}
	f.LogLikelihood = s.profile(b) - r*s.unit // the ages were divided by the unit
	f.SELogScale, f.SELogShape = s.errors(b)
	f.ShapeLow, f.ShapeHigh = s.within(b)
	return f, nil
}

// logScale is the log of the likeliest scale at a shape.
func (s *sample) logScale(b float64) float64 {
	sum, _ := s.logPowers(b)
	return (sum - math.Log(float64(s.failed))) / b
}

// profile is the log likelihood at a shape and its likeliest scale.
func (s *sample) profile(b float64) float64 {
	r := float64(s.failed)
	return r*math.Log(b) - r*b*s.logScale(b) + (b-1)*s.sum - r
}

// errors are the standard errors of ln scale and ln shape: the roots of the
// diagonal of the inverse of the observed information. With z = b·ln(t/scale)
// and E = e^z, the second derivatives of the log likelihood are −b²ΣE,
// −br + bΣE + bΣzE and Σz(worn) − ΣzE − Σz²E.
func (s *sample) errors(b float64) (scale, shape float64) {
	at, r := s.logScale(b), float64(s.failed)
	var e, ze, zze float64
	for _, x := range s.logs {
		z := b * (x - at)
		w := math.Exp(z)
		e, ze, zze = e+w, ze+z*w, zze+z*z*w
	}
	aa, ab := b*b*e, b*(r-e-ze)
	bb := ze + zze - b*(s.sum-r*at)
	det := aa*bb - ab*ab
	return math.Sqrt(bb / det), math.Sqrt(aa / det)
}

// within is the range of shapes by the profile of the likelihood.
func (s *sample) within(b float64) (low, high float64) {
	floor := s.profile(b) - distuv.ChiSquared{K: 1}.Quantile(0.9)/2
	above := func(logB float64) float64 { return s.profile(math.Exp(logB)) - floor }
	end := func(step float64) float64 {
		far := math.Log(b) + step
		for range 100 {
			if above(far) < 0 {
				break
			}
			far += step
		}
		return math.Exp(root(above, math.Log(b), far))
	}
	return end(-0.25), end(0.25)
}
