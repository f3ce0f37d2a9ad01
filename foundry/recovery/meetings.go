package recovery

import (
	"math"
	"slices"
)

// meetings say how often sources were charged together.
type meetings struct {
	sources int
	melts   []int // with both, p×p; with the source, on the diagonal
}

func (e *Estimates) meetings() *meetings {
	n := len(e.Sources)
	m := &meetings{sources: n, melts: make([]int, n*n)}
	for _, r := range e.rows {
		charged := e.charged(r)
		for _, a := range charged {
			for _, b := range charged {
				m.melts[a.source*n+b.source]++
			}
		}
	}
	return m
}

// charged are the kilograms of each source that were charged in a melt.
func (e *Estimates) charged(r row) (list []share) {
	for _, c := range e.shop.Melts[r.melt].Charges {
		if c.Kilograms > 0 {
			list = add(list, e.index[c.Source], c.Kilograms)
		}
	}
	return list
}

// neverApart reports whether both were charged, and never one without the other.
func (m *meetings) neverApart(j, k int) bool {
	both := m.melts[j*m.sources+k]
	return both > 0 && both == m.melts[j*m.sources+j] && both == m.melts[k*m.sources+k]
}

// neverApart lists the pairs of sources that were never charged apart.
func (e *Estimates) neverApart(m *meetings) (pairs [][2]int) {
	for j := range e.Sources {
		for k := range j {
			if m.neverApart(k, j) {
				pairs = append(pairs, [2]int{k, j})
			}
		}
	}
	return pairs
}

// A ratio this far from the usual one is another ratio; so few melts with
// another ratio, as a share of all, do not count: what one odd melt tells is
// one mistyped mass away from nothing.
const (
	otherRatio = 0.25
	oddMelts   = 0.1
)

// oneRatio picks the pairs that were nearly always charged in one ratio, by the
// melts that fit.
func (e *Estimates) oneRatio(pairs [][2]int) map[[2]int]bool {
	ratios := map[[2]int][]float64{}
	part := make([]float64, len(e.Sources))
	for i, r := range e.rows {
		if len(pairs) == 0 || e.Melts[i].Suspect {
			continue
		}
		charged := e.charged(r)
		for _, s := range charged {
			part[s.source] = s.part
		}
		for _, pair := range pairs {
			if a, b := part[pair[0]], part[pair[1]]; a > 0 && b > 0 {
				ratios[pair] = append(ratios[pair], a/b)
			}
		}
		for _, s := range charged {
			part[s.source] = 0
		}
	}
	one := map[[2]int]bool{}
	for pair, list := range ratios {
		usual, all := median(list, 1), len(list)
		other := len(slices.DeleteFunc(list, func(x float64) bool { return math.Abs(x/usual-1) <= otherRatio }))
		one[pair] = float64(other) <= max(1, oddMelts*float64(all))
	}
	return one
}
