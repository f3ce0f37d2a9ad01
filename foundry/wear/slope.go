package wear

import (
	"math"
	"slices"
)

// robust is a straight line that a few bad readings do not move.
type robust struct {
	slope, intercept float64
	scatter          float64 // 1.4826 × median absolute residual: σ of a normal curve
}

// manyPoints is from how many points on not every pair is looked at.
const manyPoints = 300

// theilSen is the median of the slopes of all pairs (Theil 1950; Sen 1968), with
// the median of y − slope·x for intercept. Above manyPoints each point is only
// paired with the one half the series later (Theil's incomplete method).
// ok is false when all x are the same.
func theilSen(x, y []float64) (line robust, ok bool) {
	slopes := pairSlopes(x, y)
	if len(slopes) == 0 {
		return line, false
	}
	line.slope = median(slopes)
	rest := make([]float64, len(x))
	for i := range x {
		rest[i] = y[i] - line.slope*x[i]
	}
	line.intercept = median(rest)
	for i := range rest {
		rest[i] = math.Abs(y[i] - line.at(x[i]))
	}
	line.scatter = 1.4826 * median(rest)
	return line, true
}

func (l robust) at(x float64) float64 { return l.intercept + l.slope*x }

func pairSlopes(x, y []float64) []float64 {
	var slopes []float64
	add := func(i, j int) {
		if x[i] != x[j] {
			slopes = append(slopes, (y[j]-y[i])/(x[j]-x[i]))
		}
	}
	half := (len(x) + 1) / 2
	for i := range x {
		if len(x) > manyPoints {
			if i+half < len(x) {
				add(i, i+half)
			}
			continue
		}
		for j := i + 1; j < len(x); j++ {
			add(i, j)
		}
	}
	return slopes
}

// median sorts its numbers and gives the middle one, or the mean of the two.
func median(v []float64) float64 {
	slices.Sort(v)
	n := len(v)
	if n%2 == 1 {
		return v[n/2]
	}
	return v[n/2-1]/2 + v[n/2]/2
}

// Flagging of single readings: at fewer than leastForOutliers the scatter is
// not known well enough, and a tighter bound costs coverage.
const (
	leastForOutliers = 8
	outlierScatters  = 5
)

// outliers gives the points that lie more than five scatters from the robust
// line. They are only pointed out; leaving one out is for a person to confirm.
func (now stretch) outliers() []int64 {
	if !now.straight || len(now.points) < leastForOutliers {
		return nil
	}
	var odd []int64
	for _, p := range now.points {
		if math.Abs(p.Ohms-now.line.at(p.Hours)) > outlierScatters*max(now.line.scatter, p.U) {
			odd = append(odd, p.ID)
		}
	}
	return odd
}

func xy(points []Point) (x, y []float64) {
	for _, p := range points {
		x, y = append(x, p.Hours), append(y, p.Ohms)
	}
	return x, y
}
