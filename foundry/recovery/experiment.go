package recovery

import "math"

// Experiment is a melt of one source alone and what it would teach.
type Experiment struct {
	Source    int64   `json:"source"`
	Kilograms float64 `json:"kilograms"`
	Widest    int64   `json:"widest"`     // the source whose range it is meant to shrink
	SDBefore  float64 `json:"sd_before"`  // standard deviation of that one's metal recovery now
	SDAfter   float64 `json:"sd_after"`   // and after the melt, whatever it yields
	OwnBefore float64 `json:"own_before"` // the same of the source that is melted
	OwnAfter  float64 `json:"own_after"`
}

// Experiments are all sources that could be melted alone, the most telling
// first: the one that leaves the least of the widest range.
func (e *Estimates) Experiments() []Experiment {
	all := make([]int, 0, len(e.sources))
	for j := range e.sources {
		all = append(all, j)
	}
	return e.experiments(all)
}

// best is the most telling experiment for a set of sources.
func (e *Estimates) best(members []int) *Experiment {
	if list := e.experiments(members); len(list) > 0 {
		return &list[0]
	}
	return nil
}

// experiments tries each member alone for the widest of the members.
func (e *Estimates) experiments(members []int) []Experiment {
	widest, width := -1, 0.0
	for _, j := range members {
		if w := e.Sources[j].Metal.Width(); !e.sources[j].Ended && w > width {
			widest, width = j, w
		}
	}
	if widest < 0 {
		return nil
	}
	kg := e.portion()
	var list []Experiment
	for _, j := range members {
		if e.sources[j].Ended {
			continue
		}
		list = append(list, Experiment{
			Source: e.sources[j].ID, Kilograms: kg, Widest: e.sources[widest].ID,
			SDBefore: e.Sources[widest].Metal.SD, SDAfter: e.after(widest, j, kg),
			OwnBefore: e.Sources[j].Metal.SD, OwnAfter: e.after(j, j, kg),
		})
	}
	sortBy(list, func(x Experiment) float64 { return x.SDAfter })
	return list
}

// After is the standard deviation that source b's metal recovery would have
// after one more melt of so many kilograms of source a alone. It does not
// depend on what that melt yields as long as κ and scatter are not learnt from
// it.
func (e *Estimates) After(a, b int64, kilograms float64) (sd float64, ok bool) {
	i, known := e.index[a]
	j, also := e.index[b]
	if !known || !also || kilograms <= 0 {
		return 0, false
	}
	return e.after(j, i, kilograms), true
}

// after takes C_bb − C_ab²/(v + C_aa) in each component.
func (e *Estimates) after(b, a int, kg float64) float64 {
	mean, variance := e.Sources[b].Metal.Mean, 0.0
	more := e.unrest.metal.with([]share{{a, 1}}, sq(e.weighing/kg))
	for _, c := range e.metal {
		n := len(c.mean)
		v := more(c)
		left := c.cov[b*n+b] - sq(c.cov[a*n+b])/(v+c.cov[a*n+a])
		variance += c.weight * (left + sq(c.mean[b]-mean))
	}
	return math.Sqrt(variance)
}

// portion is how much to melt alone: half of a usual charge, and enough that
// the scales add less than a tenth to the scatter of a melt; to the next half
// kilogram.
func (e *Estimates) portion() float64 {
	kg := max(e.fill/2, e.weighing/(math.Sqrt(1.1*1.1-1)*max(e.Metal.Scatter.Middle, minPhi)))
	return max(0.5, math.Round(2*kg)/2)
}
