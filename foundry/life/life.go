// Package life says how long crucibles and other kit that wears out last, from
// the pieces that a shop has worn out and those it still uses. A piece that is
// still in service, or that ended by accident, has not worn out yet: it says
// that its life is longer than what it did, and is counted so (right-censored).
//
// What a piece did may be counted in heats, kilograms or hours hot; everything
// is in the unit that the caller chose, and scales with it. Every figure comes
// with its 90 % range, or with the reason why there is none, and with how many
// pieces it rests on. Nothing is drawn at random and no clock is read.
//
// It knows nothing of what a crack means: a cracked crucible is retired,
// whatever these figures say.
package life

import (
	"math"
	"slices"
)

// Unit is what a life is counted in.
type Unit string

// What a life may be counted in.
const (
	Heats     Unit = "heats"
	Kilograms Unit = "kg"
	HoursHot  Unit = "hours_hot"
)

// End says how the life of a piece stands.
type End string

// How the life of a piece stands. Only WornOut is an end by wear.
const (
	InService End = "in_service"
	WornOut   End = "worn_out"
	Accident  End = "accident"
	Otherwise End = "otherwise" // sold, lent for good, swapped for another size
)

// Piece is one piece of kit of a kind that is compared with its like.
type Piece struct {
	ID  int64
	Age float64 // what it has done since new: 0, or LeastAge … LongestAge
	End End
}

// The smallest age but 0 and the largest that are believed, in any unit.
const (
	LeastAge   = 1e-6
	LongestAge = 1e9
)

// Range is nine chances in ten and the middle of them: even chances below and
// above it.
type Range struct {
	Low    float64 `json:"low"` // 5 %
	Middle float64 `json:"middle"`
	High   float64 `json:"high"` // 95 %
}

// Basis is what the figures rest on.
type Basis string

// What the figures rest on, by how many pieces wore out.
const (
	Nothing  Basis = "nothing"  // none: there is a lower bound at most
	Believed Basis = "believed" // none: the expected life that a person gave
	Assumed  Basis = "assumed"  // a few: mainly the assumed shape
	Learned  Basis = "learned"  // the shop's own pieces, with some help from it
	Fitted   Basis = "fitted"   // the shop's own pieces
)

// How many pieces must have worn out to rest on the shop's own, with and
// without the help of the assumed shape.
const (
	LeastLearned = 5
	LeastFitted  = 20
)

// Life is what is known of the life of one kind of kit.
type Life struct {
	Unit      Unit  `json:"unit"`
	WornOut   int   `json:"worn_out"`
	InService int   `json:"in_service"`
	Otherwise int   `json:"otherwise"` // ended, by accident or otherwise
	Basis     Basis `json:"basis"`
	// Expected is the life that a person expects, 0 when not said. It counts
	// only while nothing has worn out.
	Expected float64 `json:"expected,omitempty"`
	New      *Range  `json:"new"`   // life of a new piece; nil when Basis is Nothing
	Shape    *Range  `json:"shape"` // of the Weibull curve: above 1, the old go sooner
	// Bound is what half of such pieces last at least, at 95 %. Only while none
	// has worn out and some have been used.
	Bound *float64     `json:"bound"`
	Curve *KaplanMeier `json:"curve"` // nil when nothing has worn out
	Fit   *WeibullFit  `json:"fit"`   // nil below LeastFitted, and where there is none

	longest float64 // age on record or life expected
	post    *posterior
}

// Learn works out the life of a kind of kit from all pieces of it. expected is
// the life that a person expects of one, 0 when not said. The error is a
// *Refusal that names the first piece in the list that cannot be.
//
// With n pieces it takes some 140·n exponentials and memory for 3,200 numbers.
func Learn(pieces []Piece, unit Unit, expected float64) (*Life, error) {
	if !isAge(expected) {
		return nil, &Refusal{Code: BadExpected, Value: expected}
	}
	l := &Life{Unit: unit, Expected: expected, longest: expected}
	for _, p := range pieces {
		if r := p.refuse(); r != nil {
			return nil, r
		}
		l.count(p)
	}
	s := sampleOf(pieces)
	l.Basis = l.basis()
	if l.WornOut == 0 {
		l.Bound = s.leastMedian()
	} else {
		k := EstimateCurve(pieces)
		l.Curve = &k
	}
	if l.Basis == Fitted {
		if f, err := s.maximize(); err == nil {
			l.Fit = &f
		}
	}
	if l.Basis == Nothing {
		return l, nil
	}
	l.post = s.learn(expected)
	fresh, shape := l.post.remaining(0), l.post.shapes()
	l.New, l.Shape = &fresh, &shape
	return l, nil
}

func (l *Life) count(p Piece) {
	l.longest = max(l.longest, p.Age)
	switch p.End {
	case WornOut:
		l.WornOut++
	case InService:
		l.InService++
	default:
		l.Otherwise++
	}
}

func (l *Life) basis() Basis {
	switch {
	case l.WornOut >= LeastFitted:
		return Fitted
	case l.WornOut >= LeastLearned:
		return Learned
	case l.WornOut > 0:
		return Assumed
	case l.Expected > 0:
		return Believed
	}
	return Nothing
}

// sample is the ages of pieces as logarithms, less the logarithm of their
// geometric mean: powers of them then stay within what a float can hold.
type sample struct {
	logs   []float64 // of all pieces that did anything, ascending
	failed int       // how many wore out
	sum    float64   // of the logs of those that did
	unit   float64   // log of the geometric mean
}

// sampleOf takes pieces that are not refused. Those that did nothing yet say
// nothing.
func sampleOf(pieces []Piece) *sample {
	s := &sample{}
	var worn []float64
	for _, p := range pieces {
		if p.Age == 0 {
			continue
		}
		s.logs = append(s.logs, math.Log(p.Age))
		if p.End == WornOut {
			worn = append(worn, math.Log(p.Age))
		}
	}
	// In order, so that the order in which pieces are given changes no digit.
	slices.Sort(s.logs)
	slices.Sort(worn)
	for _, x := range s.logs {
		s.unit += x / float64(len(s.logs))
	}
	for i := range s.logs {
		s.logs[i] -= s.unit
	}
	for _, x := range worn {
		s.sum += x - s.unit
	}
	s.failed = len(worn)
	return s
}

// logPowers is ln Σ t^b, −∞ when there is no age, and the mean of ln t weighed
// by t^b.
func (s *sample) logPowers(b float64) (sum, mean float64) {
	if len(s.logs) == 0 {
		return math.Inf(-1), 0
	}
	top := s.logs[len(s.logs)-1]
	for _, x := range s.logs {
		w := math.Exp(b * (x - top))
		sum, mean = sum+w, mean+w*x
	}
	return b*top + math.Log(sum), mean / sum
}
