package life

import "math"

// bracket is where ln scale may lie at a shape b, given ln Σ t^b. When pieces
// wore out, r·(scale^−b)·Σ t^b is near 1 and falls off within 30 units of
// 1/b; when none did, the expected life and the pieces in service pull at it.
func (b belief) bracket(shape, powers float64) (low, high float64) {
	if b.failed > 0 {
		likeliest := (powers - math.Log(float64(b.failed))) / shape
		return likeliest - 5/shape, likeliest + 25/shape
	}
	pulled := max(b.expected, powers/shape) + shape*sq(scaleLog)
	return b.expected - widest*scaleLog, pulled + widest*scaleLog
}

// extent narrows low … high down to where f, a log density, is not negligible
// against its top. It scans three times, each within what the last one left
// and a node beyond, so that a peak much narrower than the first scan's steps
// is found too.
func extent(f func(float64) float64, low, high float64) (float64, float64) {
	var values [scanNodes]float64
	for range 3 {
		step := (high - low) / (scanNodes - 1)
		top := math.Inf(-1)
		for i := range values {
			values[i] = f(low + step*float64(i))
			top = max(top, values[i])
		}
		first, last := -1, 0
		for i, v := range values {
			if v >= top-negligible {
				if first < 0 {
					first = i
				}
				last = i
			}
		}
		low, high = low+step*float64(max(first-1, 0)), low+step*float64(min(last+1, scanNodes-1))
	}
	return low, high
}

// weigh turns logs into weights that sum to 1, in place, and gives the log of
// what they summed to.
func weigh(logs []float64) float64 {
	top := math.Inf(-1)
	for _, x := range logs {
		top = max(top, x)
	}
	sum := 0.0
	for i, x := range logs {
		logs[i] = math.Exp(x - top)
		sum += logs[i]
	}
	for i := range logs {
		logs[i] /= sum
	}
	return top + math.Log(sum)
}
