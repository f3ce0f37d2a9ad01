package recovery

import "drosswise/foundry/quantity"

// Point is what was known of a source after some melts.
type Point struct {
	At    quantity.Moment `json:"at"`
	Melts int             `json:"melts"` // of all melts, so far
	Own   int             `json:"own"`   // with this source
	Metal Range           `json:"metal"`
}

// History shows how the estimate of a source's metal recovery came about: its
// range after each melt that it was charged in, or after at most so many of
// them, evenly chosen with the last. Scatter, spread and suspicion are taken as
// they are known now, so that only the melts make the difference. It costs one
// pass over the melts and one p×p system a point.
func (e *Estimates) History(source int64, points int) []Point {
	j, known := e.index[source]
	if !known || len(e.metal) == 0 || points < 1 {
		return nil
	}
	p := e.problem
	own := p.meltsOf(j)
	s := p.empty(e.top.phi())
	var list []Point
	next := 0
	for k := 1; k <= min(points, len(own)); k++ {
		at := k*len(own)/min(points, len(own)) - 1
		for ; next <= own[at]; next++ {
			p.add(s, next)
		}
		post, ok := p.solve(s, e.top.kappa())
		if !ok {
			return list
		}
		p.invert(post)
		c := p.component(post, 1, e.top.kappa(), s.phi)
		list = append(list, Point{
			At: e.rows[p.rows[own[at]]].at, Melts: next, Own: at + 1,
			Metal: linear([]component{c}, []share{{j, 1}}, nil).within(0, 1),
		})
	}
	return list
}

// meltsOf lists the melts of the problem that source j is in.
func (p *problem) meltsOf(j int) (melts []int) {
	for i := range p.y {
		source, _ := p.parts(i)
		for _, s := range source {
			if int(s) == j {
				melts = append(melts, i)
			}
		}
	}
	return melts
}
