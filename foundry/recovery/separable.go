package recovery

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// ReasonCode says why a source's figure is to be read with care.
type ReasonCode string

// Why a figure is to be read with care, the gravest first.
const (
	NeverCharged ReasonCode = "never_charged" // the figure is the prior, moved by what the shop is like
	FewMelts     ReasonCode = "few_melts"     // fewer than MinMelts in the whole shop
	Together     ReasonCode = "together"      // hardly to be told from the sources in With
	ShopAverage  ReasonCode = "shop_average"  // its own melts say little: mostly prior and shop
	Rough        ReasonCode = "rough"         // its own melts say something
	NeverApart   ReasonCode = "never_apart"   // only the changing ratio tells it from those in With
)

// Reason is why, and with which other sources.
type Reason struct {
	Code ReasonCode `json:"code"`
	With []int64    `json:"with,omitempty"`
}

// How much of its doubt must be left for a source to be called an average, or
// rough (ratio of standard deviations), and how much of the variance for a
// direction to count as unknown: the melts then say less than was believed
// before.
const (
	averageAbove = 0.8
	roughAbove   = 0.5
	unknownAbove = 0.5
)

// Group is a set of sources of which only the blend is known.
type Group struct {
	Sources []Blend `json:"sources"`
	Metal   Range   `json:"metal"` // of the blend as it was charged
	Dross   Range   `json:"dross"`
	// Apart is false when none of them was ever charged without the others.
	Apart bool `json:"apart"`
	// Try is the single melt that would tell most.
	Try *Experiment `json:"try,omitempty"`
}

// Blend is a source's part of a blend.
type Blend struct {
	Source int64   `json:"source"`
	Part   float64 `json:"part"`
}

// separate fills in Groups, and the Reasons of every source.
func (e *Estimates) separate(p *problem) {
	meet := e.meetings()
	joined := e.confounded(p)
	never := e.neverApart(meet)
	oneRatio := e.oneRatio(never)
	for _, pair := range never {
		if e.vague(pair[0]) || e.vague(pair[1]) || oneRatio[pair] {
			joined = append(joined, pair)
		}
	}
	with := make([][]int64, len(e.Sources))
	for _, members := range connected(len(e.Sources), joined) {
		e.Groups = append(e.Groups, e.group(members, meet))
		for _, j := range members {
			for _, k := range members {
				if k != j {
					with[j] = append(with[j], e.Sources[k].Source)
				}
			}
		}
	}
	for j := range e.Sources {
		e.Sources[j].Reasons = e.reasons(j, with[j], never)
		e.Sources[j].Separable = len(with[j]) == 0 && e.Ranked && e.Sources[j].Metal.Information <= averageAbove
	}
}

func (e *Estimates) vague(j int) bool { return e.Sources[j].Metal.Information > roughAbove }

// confounded finds pairs of sources that the melts leave open against one
// another: directions in which the posterior keeps more than half of the
// variance that was believed, and which mix several sources.
func (e *Estimates) confounded(p *problem) (pairs [][2]int) {
	var vague []int
	for j, s := range e.Sources {
		if s.Melts > 0 && e.vague(j) {
			vague = append(vague, j)
		}
	}
	if len(vague) < 2 {
		return nil
	}
	cov := mat.NewSymDense(len(vague), nil)
	for _, c := range e.metal {
		n := len(c.mean)
		for a, j := range vague {
			for b, k := range vague[:a+1] {
				unit := e.unit(p, c, j) * e.unit(p, c, k)
				cov.SetSym(a, b, cov.At(a, b)+c.weight*c.cov[j*n+k]/unit)
			}
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(cov, true) {
		return nil
	}
	var vectors, open mat.Dense
	eigen.VectorsTo(&vectors)
	values := eigen.Values(nil)
	first, _ := slices.BinarySearch(values, unknownAbove)
	if first == len(values) {
		return nil
	}
	span := vectors.Slice(0, len(vague), first, len(vague))
	open.Mul(span, span.T()) // projects on what is unknown
	const strong = 0.15
	for a := range vague {
		for b := range a {
			if open.At(a, b) < -strong {
				pairs = append(pairs, [2]int{vague[b], vague[a]})
			}
		}
	}
	return pairs
}

// unit is the spread that source j alone is believed to have in a component.
func (e *Estimates) unit(p *problem, c component, j int) float64 {
	if p.fixed[j] > 0 {
		return e.Sources[j].Metal.Fresh
	}
	return p.scale[j] * c.kappa * math.Sqrt(p.loose[j])
}

// connected gives the sets that pairs join, of two or more, in rising order.
func connected(n int, pairs [][2]int) [][]int {
	root := make([]int, n)
	for i := range root {
		root[i] = i
	}
	find := func(i int) int {
		for root[i] != i {
			i = root[i]
		}
		return i
	}
	for _, p := range pairs {
		a, b := find(p[0]), find(p[1])
		root[max(a, b)] = min(a, b)
	}
	sets := make(map[int][]int)
	for i := range n {
		sets[find(i)] = append(sets[find(i)], i)
	}
	var list [][]int
	for i := range n {
		if len(sets[i]) > 1 {
			list = append(list, sets[i])
		}
	}
	return list
}

// group describes a set by its blend in the ratio charged.
func (e *Estimates) group(members []int, meet *meetings) Group {
	var g Group
	total := 0.0
	for _, j := range members {
		total += e.Sources[j].Kilograms
	}
	var blend []share
	for _, j := range members {
		part := e.Sources[j].Kilograms / total
		blend = append(blend, share{j, part})
		g.Sources = append(g.Sources, Blend{e.Sources[j].Source, part})
		for _, k := range members {
			g.Apart = g.Apart || j != k && !meet.neverApart(j, k)
		}
	}
	g.Metal = linear(e.metal, blend, nil).within(0, 1)
	g.Dross = linear(e.dross, blend, nil).within(0, 1)
	g.Try = e.best(members)
	return g
}

// reasons lists what is to be said of source j.
func (e *Estimates) reasons(j int, with []int64, never [][2]int) []Reason {
	s := e.Sources[j]
	list := []Reason{}
	add := func(code ReasonCode, with ...int64) { list = append(list, Reason{code, with}) }
	if s.Melts == 0 {
		add(NeverCharged)
	}
	if !e.Ranked {
		add(FewMelts)
	}
	if len(with) > 0 {
		add(Together, with...)
	}
	var partners []int64
	for _, pair := range never {
		for side, k := range pair {
			if k == j && !slices.Contains(with, e.Sources[pair[1-side]].Source) {
				partners = append(partners, e.Sources[pair[1-side]].Source)
			}
		}
	}
	switch i := s.Metal.Information; {
	case i > averageAbove && s.Melts > 0:
		add(ShopAverage)
	case i > roughAbove && s.Melts > 0:
		add(Rough)
	}
	if len(partners) > 0 {
		add(NeverApart, partners...)
	}
	return list
}
