package life

import (
	"math"
	"slices"
)

// leastForSuspects is how many readings there must be to doubt one of them:
// with fewer, honest ones are doubted too often.
const leastForSuspects = 8

// farOff is how many standard deviations a suspect lies off, and madToSD what a
// median absolute deviation is of one for normal scatter (Rousseeuw and Croux
// 1993, J. Am. Stat. Assoc. 88, 1273).
const (
	farOff  = 5.0
	madToSD = 1.4826
)

// suspect finds readings far off the line that most of them agree on, and what
// the loss is without them. It drops none.
func (t *Trend) suspect(readings []Reading, resolution float64) {
	if len(readings) < leastForSuspects {
		return
	}
	slope, middle := theilSen(readings)
	off := make([]float64, len(readings))
	for i, r := range readings {
		off[i] = math.Abs(r.Value - middle - slope*r.Age)
	}
	scatter := max(madToSD*median(slices.Clone(off)), resolution/math.Sqrt(12))
	var rest []Reading
	for i, r := range readings {
		if off[i] > farOff*scatter {
			t.Suspects = append(t.Suspects, i)
		} else {
			rest = append(rest, r)
		}
	}
	if len(t.Suspects) == 0 {
		return
	}
	if d, ok := driftOf(rest, resolution); ok {
		loss := d.loss()
		t.Without = &loss
	}
}

// theilSen is the line with the median of the slopes of all pairs, and the
// median of what is left (Sen 1968, J. Am. Stat. Assoc. 63, 1379). There must be
// two different ages.
func theilSen(readings []Reading) (slope, intercept float64) {
	var slopes, rest []float64
	for i, a := range readings {
		for _, b := range readings[:i] {
			if a.Age != b.Age {
				slopes = append(slopes, (a.Value-b.Value)/(a.Age-b.Age))
			}
		}
	}
	slope = median(slopes)
	for _, r := range readings {
		rest = append(rest, r.Value-slope*r.Age)
	}
	return slope, median(rest)
}

// median sorts the values in place; there must be one.
func median(values []float64) float64 {
	slices.Sort(values)
	n := len(values)
	return (values[(n-1)/2] + values[n/2]) / 2
}
