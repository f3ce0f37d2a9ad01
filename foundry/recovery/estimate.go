package recovery

import (
	"math"
	"slices"
	"sync"
)

// Estimates are what the melts tell of the sources, with all that it rests on.
type Estimates struct {
	Sources  []SourceEstimate `json:"sources"` // in the order they were given in
	Groups   []Group          `json:"groups"`  // that cannot be told apart yet
	Melts    []MeltFit        `json:"melts"`   // the oldest first
	Out      []Out            `json:"out"`     // melts that could not be read
	Metal    Model            `json:"metal"`
	Dross    Model            `json:"dross"`
	Ranked   bool             `json:"ranked"` // false below MinMelts: show each melt's own yield only
	HalfLife float64          `json:"half_life_days,omitempty"`

	shop     Shop
	sources  []Source
	index    map[int64]int // of sources, by ID
	rows     []row
	weighing float64 // what one charge's weighings usually leave open, kg
	fill     float64 // the usual charge, kg
	metal    []component
	dross    []component
	problem  *problem // of the metal
	unrest   struct{ metal, dross unrest }
	top      hyper // where its posterior is highest
}

// MinMelts is how many melts there must be before sources are ranked.
const MinMelts = 3

// Model is what was learnt of the shop as a whole.
type Model struct {
	Melts   int     `json:"melts"`
	Scatter Range   `json:"scatter"` // melt to melt, beyond the scales, of a melt with the usual scatter
	Spread  float64 `json:"spread"`  // κ: how much sources differ from their priors, 1 is as much as the priors' SD says
	Shift   float64 `json:"shift"`   // μ: how the whole shop differs from the priors, in their SD
}

// SourceEstimate is what one source gives.
type SourceEstimate struct {
	Source    int64    `json:"source"`
	Metal     Figure   `json:"metal"`
	Dross     Figure   `json:"dross"`
	Melts     int      `json:"melts"` // it was charged in
	Alone     int      `json:"alone"` // of these with nothing else
	Kilograms float64  `json:"kilograms"`
	Heels     int      `json:"heels"` // melts it was in only as part of the heel
	Separable bool     `json:"separable"`
	Reasons   []Reason `json:"reasons"` // the gravest first
}

// Figure is a share with its range and what it came from.
type Figure struct {
	Range
	Mean        float64 `json:"mean"` // of the mixture before it is cut to 0 … 1
	SD          float64 `json:"sd"`
	Prior       Belief  `json:"prior"`
	OwnPrior    bool    `json:"own_prior"`   // a person set it
	Fresh       float64 `json:"fresh"`       // sd it would have, had the source never been charged
	Information float64 `json:"information"` // sd / fresh: near 1 the melts say nothing of this source
	Scatter     float64 `json:"scatter"`     // sd from melt to melt of this source alone, beyond the scales
	Effective   float64 `json:"effective"`   // how many melts of it alone would tell as much
}

// Estimate works the sources out. With n melts of at most k sources each and p
// sources it takes time in n·k² (some 150 to 250 passes over the melts) and in p³
// (some 100 to 500 systems of p equations, fewer the more sources there are),
// and memory in n·k + p² (some 10 to 250 matrices of p×p).
func Estimate(shop Shop, set Settings) *Estimates {
	e := &Estimates{shop: shop, sources: shop.Sources, index: map[int64]int{}, Groups: []Group{}}
	e.HalfLife = set.HalfLife.Hours() / 24
	for i, s := range shop.Sources {
		e.index[s.ID] = i
	}
	e.rows, e.Out = shop.table()
	e.habits()
	metal, dross, rest := e.pose(metalPick, set), e.pose(drossPick, set), e.pose(restPick, set)
	e.problem = metal
	e.unrest.metal, e.unrest.dross = metal.unrest, dross.unrest
	e.Ranked = metal.melts() >= MinMelts
	if len(shop.Sources) > 0 {
		// Two melts can accuse each other, and neither is the judge.
		e.learn(metal, dross, rest, set.Trusting || len(e.rows) < MinMelts)
	}
	e.count()
	for j := range e.Sources {
		e.Sources[j].Metal = e.figure(metal, e.metal, j)
		e.Sources[j].Dross = e.figure(dross, e.dross, j)
	}
	e.hold(metal, dross, rest)
	e.separate(metal)
	return e
}

func (e *Estimates) pose(k pick, set Settings) *problem {
	return k.pose(e.sources, e.rows, set.HalfLife)
}

// learn works the three problems out: what does not add up first, since the
// other two take its warnings.
func (e *Estimates) learn(metal, dross, rest *problem, trusting bool) {
	if !trusting {
		rest.finish(rest.settle(rest.foothold(), false))
		rest.warn(metal, len(e.rows))
		rest.warn(dross, len(e.rows))
	}
	var both sync.WaitGroup // they share nothing
	both.Go(func() { e.Metal, e.metal, e.top = metal.learn(trusting) })
	both.Go(func() { e.Dross, e.dross, _ = dross.learn(trusting) })
	both.Wait()
}

// learn runs a problem from start to end.
func (p *problem) learn(trusting bool) (Model, []component, hyper) {
	top := p.settle(p.foothold(), trusting)
	p.finish(top)
	mixture := p.grid(top)
	m := Model{Melts: p.melts()}
	phi := make([][2]float64, 0, len(mixture))
	usual := math.Sqrt(median(slices.Clone(p.times), 1))
	for _, c := range mixture {
		m.Spread += c.weight * c.kappa
		m.Shift += c.weight * c.shift
		phi = append(phi, [2]float64{c.phi * usual, c.weight})
	}
	m.Spread, m.Shift = m.Spread/p.usual.unit(), m.Shift/p.usual.unit()
	m.Scatter = steps(phi)
	return m, mixture, top.at
}

// steps is the range of values that have weights.
func steps(values [][2]float64) Range {
	slices.SortFunc(values, func(a, b [2]float64) int {
		if a[0] < b[0] {
			return -1
		}
		return 1
	})
	at := func(q float64) float64 {
		sum := 0.0
		for _, v := range values {
			if sum += v[1]; sum >= q {
				return v[0]
			}
		}
		return 0
	}
	return Range{at(0.05), at(0.5), at(0.95)}
}

// places says where in the problem each row is, −1 for nowhere.
func (p *problem) places(rows int) []int32 {
	at := make([]int32, rows)
	for i := range at {
		at[i] = -1
	}
	for i, r := range p.rows {
		at[r] = int32(i)
	}
	return at
}

// habits finds the usual charge and the usual doubt of its weighings.
func (e *Estimates) habits() {
	var fills, doubts []float64
	for _, r := range e.rows {
		fills = append(fills, r.net)
		if !math.IsNaN(r.metal) {
			doubts = append(doubts, math.Sqrt(r.metalVar)*r.net)
		}
	}
	e.fill, e.weighing = median(fills, 3), median(doubts, 0.005)
}

// median of values, or what to take when there are none.
func median(values []float64, none float64) float64 {
	if len(values) == 0 {
		return none
	}
	slices.Sort(values)
	return values[len(values)/2]
}

// count says in how many melts each source was.
func (e *Estimates) count() {
	e.Sources = make([]SourceEstimate, len(e.sources))
	for j, s := range e.sources {
		e.Sources[j].Source = s.ID
	}
	for _, r := range e.rows {
		charged := e.charged(r)
		for _, c := range charged {
			e.Sources[c.source].Melts++
			e.Sources[c.source].Kilograms += c.part
			if len(charged) == 1 {
				e.Sources[c.source].Alone++
			}
		}
		for _, s := range r.shares {
			if _, own := slices.BinarySearchFunc(charged, s.source, bySource); !own {
				e.Sources[s.source].Heels++
			}
		}
	}
}

// figure reads one source's figure off the mixture.
func (e *Estimates) figure(p *problem, mixture []component, j int) Figure {
	k := linear(mixture, []share{{j, 1}}, nil)
	f := Figure{Range: k.within(0, 1), Prior: Belief{p.mid[j], p.scale[j] * p.usual.unit()}}
	if p.fixed[j] > 0 {
		f.Prior.SD, f.OwnPrior = math.Sqrt(p.fixed[j]), true
	}
	f.Mean, f.SD = k.moments()
	var fresh, scatter float64
	for _, c := range mixture {
		fresh += c.weight * (sq(c.kappa) + c.shiftVar) * sq(p.scale[j])
		scatter += c.weight * sq(c.phi) * p.unrest.times([]share{{j, 1}})
	}
	if p.fixed[j] > 0 {
		fresh = p.fixed[j]
	}
	f.Fresh, f.Scatter = math.Sqrt(fresh), math.Sqrt(scatter)
	if f.Fresh > 0 && f.SD > 0 {
		f.Information = min(f.SD/f.Fresh, 1)
		f.Effective = max(0, (scatter+sq(e.weighing/e.fill))*(1/sq(f.SD)-1/fresh))
	}
	return f
}
