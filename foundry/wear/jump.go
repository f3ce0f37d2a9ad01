package wear

import (
	"math"
	"slices"
)

// Jump is a place where the readings do not go on from those before: the trend
// starts anew after it.
type Jump struct {
	After  float64 `json:"after"`  // hours of the last reading before it
	Before float64 `json:"before"` // hours of the first reading after it
	Repair int64   `json:"repair,omitempty"`
	Size   Range   `json:"size"`  // the step in Ω, up or down, the trend taken off; nine in ten
	Share  float64 `json:"share"` // Size.Middle as a share of the ohms before
}

const (
	// leastStep is the smallest step that is named, as a share of the ohms:
	// common practice, no source. Wear between two readings is less.
	leastStep = 0.02
	// repeats is how well clips, switch-off time and room let one reading repeat
	// another, as a share: common practice, no source.
	repeats = 0.0025
	// stepScatters is by how many scatters a step must stand out.
	stepScatters = 5
	// leastBeside is how many readings must stand on either side: one alone may
	// as well be misread.
	leastBeside = 2
	// leastForSteps is how many readings it takes to know the scatter.
	leastForSteps = 5
	// beside is how many readings on either side a step is measured by.
	beside = 3
)

// jumps finds the steps in a series, and breaks it at repairs. at are the
// indexes of the first point after each.
func jumps(points []Point, repairs []Repair) (found []Jump, at []int) {
	if len(points) < 2 {
		return nil, nil
	}
	rate := usualRate(points)
	scatter := differenceScatter(points, rate)
	for i := 1; i < len(points); i++ {
		repair, repaired := between(repairs, points[i-1].Hours, points[i].Hours)
		if !repaired && !steps(points, rate, scatter, i) {
			continue
		}
		j := Jump{After: points[i-1].Hours, Before: points[i].Hours, Repair: repair}
		j.Size = stepSize(points, rate, scatter, i)
		j.Share = j.Size.Middle / points[i-1].Ohms
		found, at = append(found, j), append(at, i)
	}
	return found, at
}

// between finds the repair after one reading and before the next. Work at the
// hours of a reading is taken to have been done before it.
func between(repairs []Repair, after, before float64) (id int64, ok bool) {
	i := slices.IndexFunc(repairs, func(r Repair) bool { return r.Hours > after && r.Hours <= before })
	if i < 0 {
		return 0, false
	}
	return repairs[i].ID, true
}

// steps reports whether there is a step before point i: from one reading to the
// next, larger than scatter, trend and the doubt of the readings explain, and
// with the readings on either side standing by it.
func steps(points []Point, rate, scatter float64, i int) bool {
	if len(points) < leastForSteps || i < leastBeside || len(points)-i < leastBeside {
		return false
	}
	step := excess(points, rate, i)
	trend := rate * (points[i].Hours - points[i-1].Hours)
	bound := max(stepScatters*math.Hypot(scatter, doubt(points[i-1], points[i])),
		leastStep*points[i-1].Ohms, 2*math.Abs(trend))
	if math.Abs(step) <= bound {
		return false
	}
	for k := 1; k <= leastBeside; k++ {
		for l := range leastBeside {
			if over := rest(points[i+l], rate) - rest(points[i-k], rate); over/step < 0.5 {
				return false
			}
		}
	}
	return true
}

// usualRate is the rise per hour from one reading to the next, in the middle of
// all: a step falls into one of them and does not move it.
func usualRate(points []Point) float64 {
	var rates []float64
	for i := 1; i < len(points); i++ {
		if apart := points[i].Hours - points[i-1].Hours; apart > 0 {
			rates = append(rates, (points[i].Ohms-points[i-1].Ohms)/apart)
		}
	}
	if len(rates) == 0 {
		return 0
	}
	return median(rates)
}

// rest is what the trend leaves of a reading.
func rest(p Point, rate float64) float64 { return p.Ohms - rate*p.Hours }

// excess is by how much a reading differs from the one before it beyond the trend.
func excess(points []Point, rate float64, i int) float64 {
	return rest(points[i], rate) - rest(points[i-1], rate)
}

// differenceScatter is the robust scatter of the differences of neighbours.
func differenceScatter(points []Point, rate float64) float64 {
	var all []float64
	for i := 1; i < len(points); i++ {
		all = append(all, math.Abs(excess(points, rate, i)))
	}
	return max(1.4826*median(all), repeats*points[0].Ohms)
}

// doubt is the standard uncertainty of the difference of two readings. A cold
// and a hot one differ by the doubt of the wire's table too.
func doubt(a, b Point) float64 {
	return math.Sqrt(sq(a.U) + sq(b.U) + sq(a.Shared*a.Ohms-b.Shared*b.Ohms))
}

// stepSize measures the step before point i by up to three readings on either side.
func stepSize(points []Point, rate, scatter float64, i int) Range {
	level := func(some []Point) (middle, variance float64) {
		var v []float64
		for _, p := range some {
			v = append(v, rest(p, rate))
			variance += (sq(p.U) + sq(repeats*p.Ohms)) / sq(float64(len(some)))
		}
		return median(v), variance
	}
	before, vb := level(points[max(0, i-beside):i])
	after, va := level(points[i:min(len(points), i+beside)])
	// Half the variance of a difference of two neighbours is that of one reading.
	variance := sq(scatter) / 2 * (1/float64(min(i, beside)) + 1/float64(min(len(points)-i, beside)))
	return within(after-before, z95*math.Sqrt(max(variance, va+vb)))
}
