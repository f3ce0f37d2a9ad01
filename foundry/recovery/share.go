package recovery

import "slices"

// share is a part of a whole that one source (by index) makes up.
type share struct {
	source int
	part   float64
}

func bySource(s share, source int) int { return s.source - source }

// add counts a part to a source, keeping the sources in rising order.
func add(list []share, source int, part float64) []share {
	i, found := slices.BinarySearchFunc(list, source, bySource)
	if found {
		list[i].part += part
		return list
	}
	return slices.Insert(list, i, share{source, part})
}

// merge is ka·a + kb·b.
func merge(a []share, ka float64, b []share, kb float64) []share {
	sum := make([]share, 0, len(a)+len(b))
	for _, s := range a {
		sum = append(sum, share{s.source, ka * s.part})
	}
	if kb == 0 {
		return sum
	}
	for _, s := range b {
		sum = add(sum, s.source, kb*s.part)
	}
	return sum
}

// A share of a heel below this is not followed further.
const heelLeast = 0.02

// trim drops what is hardly there and makes the rest one whole again.
func trim(blend []share) []share {
	kept, sum := blend[:0], 0.0
	for _, s := range blend {
		if s.part >= heelLeast {
			kept, sum = append(kept, s), sum+s.part
		}
	}
	for i := range kept {
		kept[i].part /= sum
	}
	return kept
}
