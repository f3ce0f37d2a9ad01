// Package gum carries standard uncertainties through arithmetic, as the Guide
// to the Expression of Uncertainty in Measurement (JCGM 100:2008, 5.1 and 5.2)
// says: every measured quantity is an independent source of doubt, and a
// result remembers how much it leans on each. A reading that is used twice is
// therefore counted once, with the sum of its effects: correlation comes out
// of the bookkeeping and is never guessed.
//
// Propagation is of first order. It refuses to know what the quantities are.
package gum

import "math"

// Value is a number with its standard uncertainty. The zero Value is an exact
// zero.
type Value struct {
	X     float64 // best estimate
	leans []lean  // sorted by source, so that sums come out the same every time
}

// lean is the effect on a value of one standard uncertainty of a source.
type lean struct {
	source string
	effect float64
}

// Exact is a number without doubt.
func Exact(x float64) Value { return Value{X: x} }

// Measured is a number with the standard uncertainty u (same unit, not
// negative). Values made with the same source are fully correlated; a source
// must not be used for two different readings.
func Measured(source string, x, u float64) Value {
	if u == 0 {
		return Exact(x)
	}
	return Value{X: x, leans: []lean{{source, u}}}
}

// U is the standard uncertainty of v: the root of the sum of squares of its
// effects (JCGM 100:2008, eq. 10).
func (v Value) U() float64 {
	var sum float64
	for _, l := range v.leans {
		sum += l.effect * l.effect
	}
	return math.Sqrt(sum)
}

// Plus is v + w.
func (v Value) Plus(w Value) Value { return combine(v.X+w.X, v, 1, w, 1) }

// Minus is v − w.
func (v Value) Minus(w Value) Value { return combine(v.X-w.X, v, 1, w, -1) }

// Times is v · w.
func (v Value) Times(w Value) Value { return combine(v.X*w.X, v, w.X, w, v.X) }

// Over is v ÷ w. It is not a number when w is zero: ask first.
func (v Value) Over(w Value) Value {
	return combine(v.X/w.X, v, 1/w.X, w, -v.X/(w.X*w.X))
}

// Scaled is k · v for an exact k.
func (v Value) Scaled(k float64) Value { return combine(k*v.X, v, k, Value{}, 0) }

// Resolution is the standard uncertainty of one reading on an instrument that
// shows steps of d: a rectangular distribution of width d (JCGM 100:2008,
// F.2.2.1), d/√12.
func Resolution(d float64) float64 { return d / math.Sqrt(12) }

// Limits is the standard uncertainty of a quantity known to lie within ±a with
// nothing said of where: a/√3 (JCGM 100:2008, 4.3.7).
func Limits(a float64) float64 { return a / math.Sqrt(3) }

// combine makes the value x whose effects are kv·v and kw·w, source by source.
func combine(x float64, v Value, kv float64, w Value, kw float64) Value {
	leans := make([]lean, 0, len(v.leans)+len(w.leans))
	both(v.leans, w.leans, func(source string, ev, ew float64) {
		leans = append(leans, lean{source, kv*ev + kw*ew})
	})
	return Value{X: x, leans: leans}
}

// both walks two sorted lists of leans together, once for each source in
// either; a source that a list lacks has no effect there.
func both(a, b []lean, visit func(source string, ea, eb float64)) {
	for len(a) > 0 || len(b) > 0 {
		switch {
		case len(b) == 0 || len(a) > 0 && a[0].source < b[0].source:
			visit(a[0].source, a[0].effect, 0)
			a = a[1:]
		case len(a) == 0 || b[0].source < a[0].source:
			visit(b[0].source, 0, b[0].effect)
			b = b[1:]
		default:
			visit(a[0].source, a[0].effect, b[0].effect)
			a, b = a[1:], b[1:]
		}
	}
}
