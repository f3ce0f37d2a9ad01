package drift

import "math"

// Individuals is a chart of single values with limits from the moving range of
// two. It is for plain series such as yield; the limits are wrong for a series
// that follows something else or has a trend.
type Individuals struct {
	Mean  float64 `json:"mean"`
	Sigma float64 `json:"sigma"` // mean moving range over 1.128
	Low   float64 `json:"low"`   // mean less three sigma
	High  float64 `json:"high"`
	Range float64 `json:"range"` // limit of the moving range, 3.267 times its mean
	Out   []int   `json:"out"`   // places of the values beyond the limits, from 0
}

// Factors of the moving range of two for a normal series: mean over standard
// deviation, and the limit of the range over its mean (NIST/SEMATECH
// e-Handbook of Statistical Methods, 6.3.2.2).
const (
	d2 = 1.128
	d4 = 3.267
)

// LeastForChart is how many values there must be before a chart has limits.
const LeastForChart = 10

// ChartSingles gives the individuals chart of a series in order of time. ok is false
// below LeastForChart values and when one of them is not a sound number.
func ChartSingles(values []float64) (c Individuals, ok bool) {
	n := len(values)
	if n < LeastForChart || !sound(values...) {
		return Individuals{}, false
	}
	moving := 0.0
	for i, v := range values {
		c.Mean += v / float64(n)
		if i > 0 {
			moving += math.Abs(v-values[i-1]) / float64(n-1)
		}
	}
	c.Sigma, c.Range = moving/d2, d4*moving
	c.Low, c.High = c.Mean-3*c.Sigma, c.Mean+3*c.Sigma
	c.Out = []int{}
	for i, v := range values {
		// Rounding alone must not put a constant series beyond its limits.
		if slack := 1e-9 * math.Abs(c.Mean); v < c.Low-slack || v > c.High+slack {
			c.Out = append(c.Out, i)
		}
	}
	return c, true
}
