package life

import (
	"cmp"
	"math"
	"slices"
)

// Reading is the weight or the wall of a piece, cold, clean and dry, at an age.
type Reading struct {
	Age   float64 // 0 … LongestAge; 0 for a new piece
	Value float64 // g or mm, above 0
}

// Direction is where readings go.
type Direction string

// Where readings go.
const (
	TooFew  Direction = "too_few" // readings, or ages among them
	NoTrend Direction = "none"    // the 90 % range of the loss holds zero
	Losing  Direction = "losing"
	Gaining Direction = "gaining"
)

// Trend is what weight or wall does with age. It says how fast it went over the
// time of the readings, and not when it may come to a limit: wear speeds up, and
// a straight line drawn on does not show it.
type Trend struct {
	Readings  int       `json:"readings"`
	Direction Direction `json:"direction"`
	// Loss is what is lost per heat (kilogram, hour hot), below 0 when gained;
	// nil with TooFew.
	Loss *Range `json:"loss"`
	// Lost is what the last reading has less than the first one new, Share the
	// same as a share of new; nil without a reading at age 0 and a later one.
	Lost  *Range `json:"lost"`
	Share *Range `json:"share"`
	// ScaleOnly reports that Lost holds only what the scale or caliper leaves
	// open, since the readings are too few to show how they scatter.
	ScaleOnly bool `json:"scale_only"`
	// Suspects are the readings, by their place in the list given, that do not
	// fit the others; Without is Loss when they are left out.
	Suspects []int  `json:"suspects,omitempty"`
	Without  *Range `json:"without,omitempty"`
}

// What a trend needs: readings, and different ages among them.
const (
	LeastReadings = 4
	leastAges     = 3
)

// TrendOf fits the readings of one piece; resolution is how finely they were
// read, in their unit and above 0. Readings of a piece that was repaired or
// glazed anew belong to the time since. The error is a *Refusal, and then
// nothing was fitted.
func TrendOf(readings []Reading, resolution float64) (Trend, error) {
	if !(resolution >= LeastAge && resolution <= LongestAge) {
		return Trend{}, &Refusal{Code: BadResolution, Value: resolution}
	}
	for _, r := range readings {
		if !isAge(r.Age) {
			return Trend{}, &Refusal{Code: BadAge, Value: r.Age}
		}
		if !(r.Value >= LeastAge && r.Value <= LongestAge) {
			return Trend{}, &Refusal{Code: BadReading, Value: r.Value}
		}
	}
	t := Trend{Readings: len(readings), Direction: TooFew}
	d, ok := driftOf(readings, resolution)
	if ok {
		loss := d.loss()
		t.Loss, t.Direction = &loss, loss.direction()
		t.suspect(readings, resolution)
	}
	t.lose(readings, d, ok, resolution)
	return t, nil
}

func (r Range) direction() Direction {
	switch {
	case r.Low > 0:
		return Losing
	case r.High < 0:
		return Gaining
	}
	return NoTrend
}

// lose works out what was lost from new to the last reading. Both are single
// readings, each with the scatter of one.
func (t *Trend) lose(readings []Reading, d drift, fitted bool, resolution float64) {
	if len(readings) < 2 {
		return
	}
	sorted := slices.Clone(readings)
	slices.SortStableFunc(sorted, func(a, b Reading) int { return cmp.Compare(a.Age, b.Age) })
	fresh, last := sorted[0], sorted[len(sorted)-1]
	if fresh.Age > 0 || last.Age == 0 {
		return
	}
	wide := normal95 * resolution / math.Sqrt(12)
	if fitted {
		wide = d.student.Quantile(0.95) * d.scatter
	}
	t.ScaleOnly = !fitted
	wide *= math.Sqrt2
	lost := fresh.Value - last.Value
	t.Lost = &Range{lost - wide, lost, lost + wide}
	t.Share = &Range{t.Lost.Low / fresh.Value, lost / fresh.Value, t.Lost.High / fresh.Value}
}
