package gum_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"drosswise/foundry/gum"
)

// EURACHEM/CITAC Guide CG 4, Quantifying Uncertainty in Analytical
// Measurement, example A1: c = 1000·m·P/V = 1002.7 mg/l, u(c) = 0.9 mg/l.
func TestCadmiumStandardOfEurachemA1(t *testing.T) {
	m := gum.Measured("m", 100.28, 0.05)
	p := gum.Measured("P", 0.9999, 5.8e-05)
	v := gum.Measured("V", 100.0, 0.07)

	c := m.Times(p).Over(v).Scaled(1000)

	assert.InDelta(t, 1002.7, c.X, 0.05)
	assert.InDelta(t, 0.9, c.U(), 0.05)
	assert.InDelta(t, 0.863702590150637, c.U(), 1e-6, "the same example at full precision, recomputed")
}

// JCGM 100:2008 annex H.1, end gauge: four independent parts of 25, 9.7, 2.9
// and 16.6 nm combine to 32 nm (from memory, recomputed 31.671).
func TestEndGaugeOfGUMH1(t *testing.T) {
	var sum gum.Value
	for i, u := range []float64{25, 9.7, 2.9, 16.6} {
		sum = sum.Plus(gum.Measured(fmt.Sprint(i), 0, u))
	}
	assert.InDelta(t, 32, sum.U(), 0.5)
	assert.InDelta(t, 31.6711224935271, sum.U(), 1e-9)
}

// JCGM 100:2008 annex H.2: resistance R = (V/I)·cos φ from correlated means of
// five simultaneous sets: 127.732 Ω, u = 0.071 Ω; reactance 219.847 Ω, 0.295 Ω
// (from memory, recomputed). The correlation is built in by writing each mean
// as what the five sets contributed.
func TestCorrelatedInputsOfGUMH2(t *testing.T) {
	volts := []float64{5.007, 4.994, 5.005, 4.990, 4.999}
	amps := []float64{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3}
	phase := []float64{1.0456, 1.0438, 1.0468, 1.0428, 1.0433}

	v, i, phi := meanOfSets(volts), meanOfSets(amps), meanOfSets(phase)
	cos := linear(math.Cos(phi.X), phi, -math.Sin(phi.X))
	sin := linear(math.Sin(phi.X), phi, math.Cos(phi.X))
	r, x := v.Over(i).Times(cos), v.Over(i).Times(sin)

	assert.InDelta(t, 127.732, r.X, 6e-4)
	assert.InDelta(t, 0.071, r.U(), 6e-4)
	assert.InDelta(t, 219.847, x.X, 6e-4)
	assert.InDelta(t, 0.295, x.U(), 6e-4)
	assert.InDelta(t, -0.355311219817477, covariance(v, i)/(v.U()*i.U()), 1e-4)
	assert.InDelta(t, -0.588, covariance(r, x)/(r.U()*x.U()), 1e-3, "GUM table H.4")
}

// meanOfSets is the mean of simultaneous observations; set k of every quantity
// shares a source, so that the means come out with their sample covariance.
func meanOfSets(xs []float64) gum.Value {
	n := float64(len(xs))
	var mean float64
	for _, x := range xs {
		mean += x / n
	}
	v := gum.Exact(mean)
	for k, x := range xs {
		v = v.Plus(gum.Measured(fmt.Sprint("set ", k), 0, (x-mean)/math.Sqrt(n*(n-1))))
	}
	return v
}

func linear(x float64, v gum.Value, slope float64) gum.Value {
	return gum.Exact(x).Plus(v.Minus(gum.Exact(v.X)).Scaled(slope))
}

// JCGM 100:2008 F.2.2.1: a resolution of δx has u = 0.29 δx.
func TestResolutionIsRectangular(t *testing.T) {
	assert.InDelta(t, 0.29, gum.Resolution(1), 0.002)
	assert.InDelta(t, 0.5774, gum.Limits(1), 1e-4)
}

func TestAReadingUsedTwiceIsCountedOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.Float64Range(0.001, 10).Draw(t, "u")
		x := rapid.Float64Range(1, 100).Draw(t, "x")
		v := gum.Measured("tare", x, u)
		w := gum.Measured("other", x, u)

		assert.InDelta(t, 0, v.Minus(v).U(), 1e-12)
		assert.InDelta(t, 0, v.Over(v).U(), 1e-12)
		assert.InDelta(t, 2*u, v.Plus(v).U(), 1e-9)
		assert.InDelta(t, math.Sqrt2*u, v.Plus(w).U(), 1e-9)
		assert.InDelta(t, w.Minus(v).U(), v.Minus(w).U(), 1e-12)
	})
}

// covariance is read from what it adds to the variance of a sum (JCGM
// 100:2008, equation 13).
func covariance(v, w gum.Value) float64 {
	sum, difference := v.Plus(w).U(), v.Minus(w).U()
	return (sum*sum - difference*difference) / 4
}
