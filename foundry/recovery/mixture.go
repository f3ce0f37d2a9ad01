package recovery

import "math"

// curve is a mixture of normal curves of one number.
type curve struct{ weight, mean, sd []float64 }

// linear is the curve of Σ a_j r_j over the mixture; more is variance that is
// added to each curve.
func linear(mixture []component, a []share, more func(c component) float64) curve {
	k := curve{make([]float64, 0, len(mixture)), make([]float64, 0, len(mixture)), make([]float64, 0, len(mixture))}
	for _, c := range mixture {
		n := len(c.mean)
		var mean, variance float64
		for _, s := range a {
			mean += s.part * c.mean[s.source]
			for _, t := range a {
				variance += s.part * t.part * c.cov[s.source*n+t.source]
			}
		}
		if more != nil {
			variance += more(c)
		}
		k.weight, k.mean, k.sd = append(k.weight, c.weight), append(k.mean, mean), append(k.sd, math.Sqrt(max(variance, 0)))
	}
	return k
}

// below is the chance of a number below x.
func (k curve) below(x float64) float64 {
	sum := 0.0
	for i, w := range k.weight {
		if k.sd[i] == 0 {
			if x > k.mean[i] {
				sum += w
			}
			continue
		}
		sum += w * normal((x-k.mean[i])/k.sd[i])
	}
	return sum
}

// normal is Φ.
func normal(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }

// moments are mean and sd of the mixture, nothing cut off.
func (k curve) moments() (mean, sd float64) {
	for i, w := range k.weight {
		mean += w * k.mean[i]
	}
	variance := 0.0
	for i, w := range k.weight {
		variance += w * (sq(k.sd[i]) + sq(k.mean[i]-mean))
	}
	return mean, math.Sqrt(variance)
}

// quantile finds the number below which lies the share q of what is between
// low and high, by bisection.
func (k curve) quantile(q, low, high float64) float64 {
	bottom, top := k.below(low), k.below(high)
	if !(top > bottom) { // all of it lies outside: the nearer end
		if mean, _ := k.moments(); mean >= high {
			return high
		}
		return low
	}
	want := bottom + q*(top-bottom)
	low, high = k.bracket(want, low, high)
	for range 50 {
		middle := (low + high) / 2
		if k.below(middle) < want {
			low = middle
		} else {
			high = middle
		}
		if high-low < 1e-6 {
			break
		}
	}
	return (low + high) / 2
}

// bracket narrows low … high where most of the mixture is known to lie.
func (k curve) bracket(want, low, high float64) (float64, float64) {
	mean, sd := k.moments()
	if x := mean - 3*sd; x > low && x < high && k.below(x) < want {
		low = x
	}
	if x := mean + 3*sd; x < high && x > low && k.below(x) > want {
		high = x
	}
	return low, high
}

// Range is a figure with the range that holds it nine times in ten.
type Range struct {
	Low    float64 `json:"low"` // 5 %
	Middle float64 `json:"middle"`
	High   float64 `json:"high"` // 95 %
}

// Width is how wide the range is.
func (r Range) Width() float64 { return r.High - r.Low }

// within gives the middle and the 90 % range of the curve cut to low … high.
func (k curve) within(low, high float64) Range {
	return Range{k.quantile(0.05, low, high), k.quantile(0.5, low, high), k.quantile(0.95, low, high)}
}
