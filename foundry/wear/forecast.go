package wear

import (
	"math"
	"math/rand/v2"
)

// foresee fills in the hours left from the model. taught says that earlier sets
// told how fast they aged, so that a trend need not show in these readings yet.
func (l *Life) foresee(m *model, rng *rand.Rand, taught bool) {
	told := m.foresee(l.LimitOhms, rng)
	if len(told.crossings) == 0 {
		return
	}
	base := l.LimitOhms / (1 + l.Limit)
	l.Risen = &Range{
		quantile(told.levels, 0.05)/base - 1, quantile(told.levels, 0.5)/base - 1, quantile(told.levels, 0.95)/base - 1,
	}
	l.Faster = told.faster
	hours := func(q float64) float64 { return m.last + m.span*quantile(told.crossings, q) }
	early, middle, late := hours(0.05), hours(0.5), hours(0.95)
	if middle <= l.Hours {
		l.Code = Past
		return
	}
	straight, trend := l.Line.Reach(l.LimitOhms, false)
	switch {
	case trend && l.Line.Slope < 0:
		l.Code = Falling
		return
	case !trend && !taught:
		l.Code, middle, late = NoTrend, math.Inf(1), math.Inf(1)
	default:
		l.Code = Foreseen
	}
	if trend {
		l.Straight = &straight
		// Without support for a bend the line is the better middle.
		if max(told.faster, told.slower) < 0.95 && straight.Middle > early && straight.Middle < late {
			middle = straight.Middle
		}
	}
	l.Far = l.Code == Foreseen && middle > m.last+farSpans*m.span
	l.Left = &Left{Early: l.left(early), Middle: l.left(middle), Late: l.left(late)}
}

// left is how many hours are to go until that hour; nil when it is never.
func (l *Life) left(hour float64) *float64 {
	if math.IsInf(hour, 0) {
		return nil
	}
	left := max(0, hour-l.Hours)
	return &left
}

// convert turns hours into melts, and says what earlier sets make expected where
// there are no hours.
func (l *Life) convert(s Set) {
	if s.Before != nil && (l.Code == TooFew || l.Code == OneMelt) {
		earlier := s.Before.Hours(l.Limit)
		for _, h := range []**float64{&earlier.Early, &earlier.Middle, &earlier.Late} {
			if *h != nil {
				*h = l.left(**h)
			}
		}
		l.Earlier, l.sets = &earlier, s.Before.Sets
	}
	if l.Left != nil && l.Melt != nil {
		l.Melts = &Left{
			Early:  melts(l.Left.Early, *l.Melt, math.Floor),
			Middle: melts(l.Left.Middle, *l.Melt, math.Round),
			Late:   melts(l.Left.Late, *l.Melt, math.Ceil),
		}
	}
}

func melts(hours *float64, each float64, round func(float64) float64) *float64 {
	if hours == nil {
		return nil
	}
	n := round(*hours / each)
	return &n
}

// quantile is the smallest of sorted numbers that has the share q at or below it.
func quantile(sorted []float64, q float64) float64 {
	return sorted[max(0, int(math.Ceil(q*float64(len(sorted))))-1)]
}
