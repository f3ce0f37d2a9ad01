package findings

import (
	"math"

	"drosswise/foundry/recovery"
)

// curve is a mixture of normal curves of one number.
type curve struct{ weight, mean, sd []float64 }

// linear is the curve of Σ a_j θ_j; a holds one number for each coefficient.
func linear(mixture []component, a []float64) curve {
	var k curve
	p := len(a)
	for _, c := range mixture {
		mean, variance := 0.0, 0.0
		for i, x := range a {
			if x == 0 {
				continue
			}
			mean += x * c.mean[i]
			for j, y := range a {
				variance += x * y * c.cov[i*p+j]
			}
		}
		k.weight, k.mean, k.sd = append(k.weight, c.weight), append(k.mean, mean), append(k.sd, math.Sqrt(max(variance, 0)))
	}
	return k
}

// one is the curve of one coefficient.
func one(mixture []component, j, p int) curve {
	a := make([]float64, p)
	a[j] = 1
	return linear(mixture, a)
}

// normal is Φ.
func normal(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }

// below is the chance of a number below x.
func (k curve) below(x float64) float64 {
	sum := 0.0
	for i, w := range k.weight {
		switch {
		case k.sd[i] > 0:
			sum += w * normal((x-k.mean[i])/k.sd[i])
		case x > k.mean[i]:
			sum += w
		}
	}
	return sum
}

// moments are mean and standard deviation.
func (k curve) moments() (mean, sd float64) {
	for i, w := range k.weight {
		mean += w * k.mean[i]
	}
	variance := 0.0
	for i, w := range k.weight {
		variance += w * (k.sd[i]*k.sd[i] + (k.mean[i]-mean)*(k.mean[i]-mean))
	}
	return mean, math.Sqrt(variance)
}

// quantile finds the number below which lies the share q of what is above
// floor, by bisection.
func (k curve) quantile(q, floor float64) float64 {
	mean, sd := k.moments()
	bottom := 0.0
	if !math.IsInf(floor, -1) {
		bottom = k.below(floor)
	}
	if bottom >= 1 {
		return floor
	}
	want := bottom + q*(1-bottom)
	low, high := max(floor, mean-40*sd), max(floor, mean)+40*sd
	for range 80 {
		middle := (low + high) / 2
		if k.below(middle) < want {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// span gives the middle and the 90 % range of the curve above floor.
func (k curve) span(floor float64) recovery.Range {
	return recovery.Range{Low: k.quantile(0.05, floor), Middle: k.quantile(0.5, floor), High: k.quantile(0.95, floor)}
}

// anywhere is no floor.
var anywhere = math.Inf(-1)

// above is the chance that a figure known by its 90 % range lies above x. The
// range says three points of its curve; between them and beyond, the normal
// score is taken as straight (a normal curve of two halves, as wide as each
// side of the range), so that the chance never contradicts the range shown.
func above(r recovery.Range, x float64) float64 {
	const z95 = 1.6448536269514722
	side := r.High - r.Middle
	if x < r.Middle {
		side = r.Middle - r.Low
	}
	switch {
	case side > 0:
		return normal(-z95 * (x - r.Middle) / side)
	case x < r.Middle:
		return 1
	case x > r.Middle:
		return 0
	}
	return 0.5
}
