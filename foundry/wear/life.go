package wear

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"
)

// Code is what can be said of the hours left.
type Code string

// What can be said of the hours left.
const (
	TooFew   Code = "too_few"  // fewer than LeastReadings since the trend began
	OneMelt  Code = "one_melt" // all read within one melt, or at the same hours
	Falling  Code = "falling"  // ohms go down, which no wire does with age
	NoTrend  Code = "no_trend" // the rise cannot be told from none: no end in sight
	Foreseen Code = "foreseen"
	Past     Code = "past" // at the limit or beyond it, more likely than not
)

// LeastReadings is how many readings a forecast takes.
const LeastReadings = 4

// farSpans is from how many spans beyond the last reading on a forecast is
// called far.
const farSpans = 2

// Left are hours or melts still to go. The true number is nine times in ten
// between Early and Late; nil cannot be foreseen. Early is what to order a spare
// by.
type Left struct {
	Early  *float64 `json:"early"` // 5 %
	Middle *float64 `json:"middle"`
	Late   *float64 `json:"late"` // 95 %
}

// Life is what the readings say of an element set.
type Life struct {
	Code   Code    `json:"code"`
	Series Series  `json:"series"`
	Limit  float64 `json:"limit"` // rise over new at which it is time to check
	// LimitOhms is the limit in Ω on the series' basis. A step down lowers it with
	// the ohms; a step up does not raise it.
	LimitOhms float64 `json:"limit_ohms"`
	Hours     float64 `json:"hours"` // hot so far

	Jumps    []Jump  `json:"jumps,omitempty"`
	Outliers []int64 `json:"outliers,omitempty"` // readings to look at, still counted
	From     float64 `json:"from"`               // hours at which the trend begins
	LastRead float64 `json:"last_read"`
	Readings int     `json:"readings"` // in the trend

	Risen    *Range   `json:"risen"`    // over new at the last reading, a share, nine in ten
	Rise     *float64 `json:"rise"`     // share per hour, by the longest trend
	Line     *Line    `json:"line"`     // to draw; nil without LeastReadings
	Straight *Range   `json:"straight"` // hours at which the line meets the limit (Fieller)

	Left   *Left    `json:"left"`   // hours hot from now to the limit
	Melts  *Left    `json:"melts"`  // the same in melts
	Melt   *float64 `json:"melt"`   // hours hot per melt, by the last LastHeats
	Faster float64  `json:"faster"` // chance that ageing speeds up
	Far    bool     `json:"far"`    // more than farSpans beyond the last reading
	// Earlier is what earlier sets make expected, where the readings cannot say.
	Earlier *Left `json:"earlier,omitempty"`

	sets int // that Earlier rests on
}

// Look says what the readings of a set come to. The order of the readings does
// not matter.
func Look(s Set, readings []Reading) Life {
	if !(s.Hours >= 0 && s.Hours <= mostHours) {
		s.Hours = 0 // not said; the last reading tells
	}
	series := Gather(s, readings)
	l := Life{Code: TooFew, Series: series, Limit: s.limit(), Hours: s.Hours}
	if n := min(len(s.HeatHours), LastHeats); n > 0 {
		if mean := stat.Mean(s.HeatHours[len(s.HeatHours)-n:], nil); mean > 0 && !math.IsInf(mean, 0) {
			l.Melt = &mean
		}
	}
	l.LimitOhms = series.New * (1 + l.Limit)
	counted := slices.DeleteFunc(slices.Clone(series.Points), func(p Point) bool { return p.LeftOut })
	if len(counted) > 0 {
		l.follow(s, l.divide(s, counted))
	}
	l.convert(s)
	return l
}

// stretch is a run of readings without a break, with its robust line; straight
// is false when they have the same hours.
type stretch struct {
	points   []Point
	line     robust
	straight bool
}

// divide breaks the readings at steps and repairs and gives the newest stretch.
func (l *Life) divide(s Set, counted []Point) stretch {
	found, at := jumps(counted, s.Repairs)
	l.Jumps = found
	for _, j := range found {
		if j.Size.High < 0 {
			l.LimitOhms *= max(1+j.Share, 1.0/Far) // less would have been refused
		}
	}
	var now stretch
	start, longest := 0, LeastReadings
	for _, end := range append(at, len(counted)) {
		now = stretch{points: counted[start:end]}
		now.line, now.straight = theilSen(xy(now.points))
		if n := end - start; now.straight && n >= longest {
			rise := now.line.slope / l.Series.New
			l.Rise, longest = &rise, n
		}
		start = end
	}
	return now
}

// follow makes the forecast from the newest stretch, or says why there is none.
func (l *Life) follow(s Set, now stretch) {
	first, last := now.points[0], now.points[len(now.points)-1]
	l.From, l.LastRead, l.Readings = first.Hours, last.Hours, len(now.points)
	l.Hours = max(l.Hours, last.Hours)
	l.Outliers = now.outliers()
	base := l.LimitOhms / (1 + l.Limit)
	doubt := math.Hypot(math.Hypot(last.U, repeats*last.Ohms), last.Shared*last.Ohms)
	risen := within(last.Ohms/base-1, z95*doubt/base)
	l.Risen = &risen
	several := now.straight && first.Heats < last.Heats
	if len(now.points) >= LeastReadings && several {
		l.Line = now.fit(l.Series.New)
	}
	switch {
	case l.Line != nil:
		l.foresee(newModel(now, l.Series, *l.Line, s.Before), seeded(now.points, l.LimitOhms), s.Before != nil)
	case risen.Low >= l.Limit:
		l.Code = Past
	case len(now.points) >= LeastReadings:
		l.Code = OneMelt
	}
}

// fit lays the straight line, nil when the hours lie too close together for one.
// Coarse readings weigh less, by how well the best of them repeats.
func (now stretch) fit(newOhms float64) *Line {
	x, y := xy(now.points)
	best, w := math.Inf(1), make([]float64, len(x))
	for i, p := range now.points {
		w[i] = 1 / (sq(p.U) + sq(repeats*newOhms))
		best = min(best, p.U)
	}
	floats.Scale(1/floats.Max(w), w)
	line, err := fitLine(x, y, w, best)
	if err != nil {
		return nil
	}
	return &line
}
