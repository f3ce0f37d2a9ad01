package life

import "math"

// root finds where f crosses zero between a and b, at which it must have
// opposite signs, by Brent's method (Brent 1973, Algorithms for Minimization
// without Derivatives, chapter 4): secants and parabolas where they converge,
// halving where they do not.
func root(f func(float64) float64, a, b float64) float64 {
	fa, fb := f(a), f(b)
	c, fc := a, fa
	step := b - a
	last := step
	for range 200 {
		if (fb > 0) == (fc > 0) {
			c, fc = a, fa
			step = b - a
			last = step
		}
		if math.Abs(fc) < math.Abs(fb) {
			a, b, c = b, c, b
			fa, fb, fc = fb, fc, fb
		}
		near := 4*epsilon*math.Abs(b) + 1e-14
		half := (c - b) / 2
		if fb == 0 || math.Abs(half) <= near {
			break
		}
		if next, ok := interpolate(a, b, c, fa, fb, fc, last, near); ok {
			last, step = step, next
		} else {
			last, step = half, half
		}
		a, fa = b, fb
		if math.Abs(step) > near {
			b += step
		} else {
			b += math.Copysign(near, half)
		}
		fb = f(b)
	}
	return b
}

// interpolate gives the step from b of a parabola through three points, or of a
// secant where two fall together; ok is false when it would not close in.
func interpolate(a, b, c, fa, fb, fc, last, near float64) (step float64, ok bool) {
	if math.Abs(last) < near || math.Abs(fa) <= math.Abs(fb) {
		return 0, false
	}
	half, s := (c-b)/2, fb/fa
	p, q := 2*half*s, 1-s
	if a != c {
		t, r := fa/fc, fb/fc
		p = s * (2*half*t*(t-r) - (b-a)*(r-1))
		q = (t - 1) * (r - 1) * (s - 1)
	}
	if p > 0 {
		q = -q
	}
	p = math.Abs(p)
	if 2*p >= min(3*half*q-math.Abs(near*q), math.Abs(last*q)) {
		return 0, false
	}
	return p / q, true
}

const epsilon = 0x1p-52
