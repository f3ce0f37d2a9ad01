package element

import (
	"math"
)

// DefaultTolerance is how far two accounts of one reading may lie apart, as a
// share, before it is worth saying: 10 %, common practice, no source. Cold ohms
// beside hot amps differ by some 4 % for common wire, a kiln maker says.
const DefaultTolerance = 0.10

// Kind is what is the matter with a reading.
type Kind int

// The kinds of Fact.
const (
	// Disagrees: by Ohm's law the other readings give another value.
	Disagrees Kind = iota
	// UnitSlip: the value makes sense if it is a thousand times greater or
	// smaller, as when kΩ or mA were read and Ω or A written.
	UnitSlip
	// NotPositive: the value is zero or negative, which no reading on a
	// working element is.
	NotPositive
)

// Fact is one thing that cannot be right about some readings. Values are in Ω,
// V, A and W; ohms are as they were read, cold where Readings.Ct was given.
type Fact struct {
	Kind    Kind
	What    What
	Given   float64
	Derived float64 // what it should be by the others; 0 for NotPositive
	// From are the two readings that Derived comes from, for Disagrees, and
	// FromValues what they were.
	From       [2]What
	FromValues [2]float64
	// OddOneOut says that all four readings were taken and the other three agree.
	OddOneOut bool
	// Ct is the rise from cold to hot that was counted; 0 where none was.
	Ct float64
}

// Percent is by how much the given value is above (or below, negative) the
// derived one.
func (f Fact) Percent() float64 {
	if f.Derived == 0 {
		return 0
	}
	return (f.Given/f.Derived - 1) * 100
}

// Contradictions says what cannot be right about some readings: values that are
// not above zero, a likely slip of the unit, and otherwise every three readings
// that Ohm's law does not let stand together. Readings agree when none is more
// than the tolerance (a share; DefaultTolerance if not above zero) above or below what the
// others give. Two readings always agree, but a slip may show in them.
func Contradictions(r Readings, tolerance float64) []Fact {
	if !(tolerance > 0) {
		tolerance = DefaultTolerance
	}
	v := r.values()
	facts := v.takeOutNotPositive()
	if len(v.present()) < 2 {
		return facts.asRead(r.Ct)
	}
	odd := v.disagreements(tolerance)
	if len(odd) > 0 || !v.plausible() {
		if slip, ok := v.unitSlip(tolerance); ok {
			return append(facts, slip).asRead(r.Ct)
		}
	}
	return append(facts, odd...).asRead(r.Ct)
}

type factList []Fact

// takeOutNotPositive reports and forgets values that are zero or negative.
func (v *values) takeOutNotPositive() factList {
	var facts factList
	for _, w := range v.present() {
		if v[w] <= 0 {
			facts = append(facts, Fact{Kind: NotPositive, What: w, Given: v[w]})
			v[w] = math.NaN()
		}
	}
	return facts
}

// disagreements looks at every three readings that were taken. With four, one
// wrong reading spoils three of the four threes: the one that stands tells which.
func (v values) disagreements(tolerance float64) factList {
	var facts factList
	var standing []What // the reading left out of each three that agrees
	for _, left := range whats {
		three := v.without(left).present()
		if len(three) < 3 {
			continue
		}
		// The last of three is tested: watts before amps, the more derived.
		f := v.compare(three[2], three[0], three[1])
		if agree(f.Given, f.Derived, tolerance) {
			standing = append(standing, left)
			continue
		}
		facts = append(facts, f)
	}
	if len(facts) == 3 && len(standing) == 1 {
		others := v.without(standing[0]).present()
		f := v.compare(standing[0], others[0], others[1])
		f.OddOneOut = true
		return factList{f}
	}
	return facts
}

func (v values) without(w What) values {
	v[w] = math.NaN()
	return v
}

func (v values) compare(w, from, and What) Fact {
	return Fact{
		Kind: Disagrees, What: w, Given: v[w], Derived: v.derive(w, from, and),
		From: [2]What{from, and}, FromValues: [2]float64{v[from], v[and]},
	}
}

func agree(a, b, tolerance float64) bool { return max(a/b, b/a) <= 1+tolerance }

// asRead turns hot ohms back into the cold ones that were read.
func (list factList) asRead(ct float64) []Fact {
	if !(ct > 0) {
		return list
	}
	for i := range list {
		f := &list[i]
		f.Ct = ct
		if f.What == InOhms {
			f.Given, f.Derived = f.Given/ct, f.Derived/ct
		}
		for j, from := range f.From {
			if from == InOhms && f.Kind == Disagrees {
				f.FromValues[j] /= ct
			}
		}
	}
	return list
}
