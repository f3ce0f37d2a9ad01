package curve

import "drosswise/foundry/quantity"

// Thin leaves of a series what can be seen on so many pixels: of each pixel's
// readings the first, the least, the greatest and the last, so that no spike and
// no gap is lost.
func Thin(all []Sample, from, to quantity.Moment, pixels int) []Sample {
	if to <= from || pixels < 1 {
		return all
	}
	pixel := func(x Sample) int64 { return int64(x.At-from) * int64(pixels) / int64(to-from+1) }
	var kept []Sample
	for i := 0; i < len(all); {
		first, low, high := i, i, i
		for i++; i < len(all) && pixel(all[i]) == pixel(all[first]); i++ {
			if all[i].Value < all[low].Value {
				low = i
			}
			if all[i].Value > all[high].Value {
				high = i
			}
		}
		last := first - 1
		for _, n := range []int{first, min(low, high), max(low, high), i - 1} {
			if n > last {
				kept, last = append(kept, all[n]), n
			}
		}
	}
	return kept
}
