package wear

import "math"

// Rate is how fast earlier element sets aged, as a belief about the next one:
// a normal curve of the rise per hour hot, as a share of the ohms new.
type Rate struct {
	Mean float64 `json:"mean"`
	SD   float64 `json:"sd"`
	Sets int     `json:"sets"`
}

// alike is how much sets of one shop are taken to differ before two of them
// were seen, as a share of their mean rate, and weighed as this many sets. Lives
// of 20 to 400 firings and more are told of kilns: common practice, no source.
const (
	alikeShare = 0.5
	alikeSets  = 2.0
)

// Learn makes the belief out of the lives of earlier sets: those with enough
// readings for a trend, and whose ohms did not fall, which no wire does. ok is
// false without any. Readings of different sets are never laid in one line; only
// their slopes meet here.
func Learn(earlier []Life) (r Rate, ok bool) {
	var rates []float64
	for _, l := range earlier {
		if l.Rise != nil && l.Code != Falling {
			rates = append(rates, *l.Rise)
			r.Mean += *l.Rise
		}
	}
	n := float64(len(rates))
	if n == 0 {
		return r, false
	}
	r.Sets, r.Mean = len(rates), r.Mean/n
	squares := alikeSets * sq(alikeShare*r.Mean)
	for _, x := range rates {
		squares += sq(x - r.Mean)
	}
	r.SD = math.Sqrt(squares / (n - 1 + alikeSets) * (1 + 1/n))
	return r, r.SD > 0
}

// Hours is how long a new set takes to rise by a share, if it ages as the
// earlier ones did: nine in ten, the late end open where a rate of nothing
// cannot be ruled out.
func (r Rate) Hours(rise float64) Left {
	at := func(rate float64) *float64 {
		if !(rate > 0) {
			return nil
		}
		h := rise / rate
		return &h
	}
	return Left{Early: at(r.Mean + z95*r.SD), Middle: at(r.Mean), Late: at(r.Mean - z95*r.SD)}
}
