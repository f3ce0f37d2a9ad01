package life

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Roots that are known: the Dottie number (OEIS A003957), the real root of
// Wallis's x³ − 2x − 5, and a root at a flat place, where secants fail.
func TestRoot(t *testing.T) {
	assert.InDelta(t, 0.739085133215160641655, root(func(x float64) float64 { return math.Cos(x) - x }, 0, 1), 1e-13)
	assert.InDelta(t, 2.094551481542326591482, root(func(x float64) float64 { return x*x*x - 2*x - 5 }, 0, 4), 1e-13)
	assert.InDelta(t, 0.3, root(func(x float64) float64 { return math.Pow(x-0.3, 9) }, -1, 4), 1e-3)
	assert.InDelta(t, 1, root(func(x float64) float64 { return math.Copysign(1, x-1) }, 0, 7), 1e-12)
	assert.Equal(t, 2.0, root(func(x float64) float64 { return x - 2 }, 2, 5))
}

// It is quick where secants are, and never much slower than halving, which takes
// 50 here.
func TestRootIsQuick(t *testing.T) {
	for _, c := range []struct {
		most int
		f    func(float64) float64
	}{
		{15, func(x float64) float64 { return math.Exp(x) - 3 }},
		{150, func(x float64) float64 { return math.Tanh(1e6 * (x - 0.7)) }},
		{150, func(x float64) float64 { return math.Exp(-200*x) - math.Exp(-140) }},
	} {
		calls := 0
		root(func(x float64) float64 { calls++; return c.f(x) }, 0, 5)
		assert.LessOrEqual(t, calls, c.most)
	}
}
