package wear

import (
	"encoding/binary"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// The draws of paths: how many, how far ahead in spans, and in how fine steps.
// What happens within a step is settled by the Brownian bridge.
const (
	draws   = 800
	ahead   = 6
	perSpan = 20
	stride  = 1.0 / perSpan
)

// path is how one draw goes on after the last reading.
type path struct {
	level, slope, bend float64
	walk               float64 // variance per span
}

// draw takes paths from the posterior, as many from each cell as its weight
// calls for.
func draw(cells []*cell, weights []float64, rng *rand.Rand) []path {
	paths := make([]path, 0, draws)
	edge, upTo := rng.Float64(), 0.0
	for i, c := range cells {
		upTo += weights[i] * draws
		for ; edge < upTo && len(paths) < draws; edge++ {
			paths = append(paths, c.draw(rng))
		}
	}
	return paths
}

// draw takes one path from a cell: coefficients by b = mean + U⁻¹z, with U'U the
// precision, and the walk at the last reading given them.
func (c *cell) draw(rng *rand.Rand) path {
	n := len(c.mean)
	z := mat.NewVecDense(n, nil)
	for i := range n {
		z.SetVec(i, rng.NormFloat64())
	}
	// A precision that is singular was left out, so this has an answer.
	_ = z.SolveVec(&c.root, z)
	var b [terms]float64
	now := c.wander + math.Sqrt(c.wanderVar)*rng.NormFloat64()
	for i := range n {
		b[i] = c.mean[i] + z.AtVec(i)
		now -= c.pulls[i] * b[i]
	}
	return path{level: b[level] + now, slope: b[slope], bend: b[bend], walk: c.walk}
}

// crosses is the first u, in spans after the last reading, at which the path
// reaches y; +Inf when it does not within `ahead` spans. A path that is there
// already crosses at 0.
func (p path) crosses(y float64, rng *rand.Rand) float64 {
	variance := p.walk * stride
	sd := math.Sqrt(variance)
	gap, walked := y-p.level, 0.0
	if gap <= 0 {
		return 0
	}
	for k := 1; k <= ahead*perSpan; k++ {
		u := float64(k) * stride
		if sd > 0 {
			walked += sd * rng.NormFloat64()
		}
		next := y - p.level - p.slope*u - p.bend*u*u - walked
		if next <= 0 {
			return u - stride*(1-gap/(gap-next))
		}
		// The chance that a Brownian bridge between two gaps touches zero.
		if sd > 0 && gap*next < 15*variance && rng.Float64() < math.Exp(-2*gap*next/variance) {
			return u - stride/2
		}
		gap = next
	}
	return math.Inf(1)
}

// seeded gives the random numbers that belong to these readings and no others.
func seeded(points []Point, limit float64) *rand.Rand {
	h := fnv.New128a()
	add := func(x float64) {
		var b [8]byte
		binary.LittleEndian.PutUint64(b[:], math.Float64bits(x))
		h.Write(b[:])
	}
	add(limit)
	for _, p := range points {
		add(p.Hours)
		add(p.Ohms)
		add(p.U)
	}
	sum := h.Sum(nil)
	return rand.New(rand.NewPCG(binary.LittleEndian.Uint64(sum), binary.LittleEndian.Uint64(sum[8:])))
}

// told is what the paths say.
type told struct {
	crossings []float64 // spans after the last reading, sorted; +Inf for beyond sight
	levels    []float64 // Ω at the last reading, sorted
	// faster and slower are the shares of paths whose ageing speeds up or slows down.
	faster, slower float64
}

// foresee draws paths and looks when they reach the limit in Ω.
func (m *model) foresee(limit float64, rng *rand.Rand) (t told) {
	cells, weights := m.learn()
	paths := draw(cells, weights, rng)
	for _, p := range paths {
		t.crossings = append(t.crossings, p.crosses(limit-m.base, rng))
		t.levels = append(t.levels, m.base+p.level)
		switch {
		case p.bend > 0:
			t.faster += 1 / float64(len(paths))
		case p.bend < 0:
			t.slower += 1 / float64(len(paths))
		}
	}
	slices.Sort(t.crossings)
	slices.Sort(t.levels)
	return t
}
