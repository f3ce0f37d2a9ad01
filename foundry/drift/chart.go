package drift

import "math"

// EWMA is an exponentially weighted moving average of standardised values
// (Roberts 1959; Lucas and Saccucci 1990, Technometrics 32:1).
type EWMA struct {
	Lambda float64 // weight of the newest value, 0 … 1
	L      float64 // width of the limits in standard deviations
	z      float64
	n      int
}

// Add takes the next value and gives the average and the limit that it passes
// only by chance, either way.
func (e *EWMA) Add(q float64) (z, limit float64) {
	e.n++
	e.z = e.Lambda*q + (1-e.Lambda)*e.z
	return e.z, e.Limit(e.n)
}

// Limit is the exact limit at the n-th value, L·√(λ/(2−λ)·(1−(1−λ)²ⁿ)).
func (e *EWMA) Limit(n int) float64 {
	return e.Steady() * math.Sqrt(1-math.Pow(1-e.Lambda, float64(2*n)))
}

// Steady is the limit after many values.
func (e *EWMA) Steady() float64 { return e.L * math.Sqrt(e.Lambda/(2-e.Lambda)) }

// CUSUM sums up what standardised values are above K, and below −K, and starts
// anew at zero (Page 1954, Biometrika 41:100). A sum above H is a sign.
type CUSUM struct {
	K, H                float64
	High, Low           float64
	SinceHigh, SinceLow int // values since each sum was last zero
}

// Add takes the next value.
func (c *CUSUM) Add(q float64) {
	c.High, c.SinceHigh = step(c.High+q-c.K, c.SinceHigh)
	c.Low, c.SinceLow = step(c.Low-q-c.K, c.SinceLow)
}

func step(sum float64, since int) (float64, int) {
	if sum <= 0 {
		return 0, 0
	}
	return sum, since + 1
}
