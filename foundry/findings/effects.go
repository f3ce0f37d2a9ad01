package findings

import (
	"math"
	"slices"
	"sync"

	"drosswise/foundry/recovery"
)

// Outcome is what a practice may change.
type Outcome string

// What a practice may change, as a share of the charge.
const (
	Metal Outcome = "metal"
	Dross Outcome = "dross"
)

// Effect says what a practice does to an outcome, like compared with like: what
// was in the charge and the other practices are allowed for.
type Effect struct {
	Practice Practice `json:"practice"`
	Kind     string   `json:"kind,omitempty"` // of flux
	Outcome  Outcome  `json:"outcome"`
	Code     Code     `json:"code"`
	// Range is the change when the whole charge is treated so instead of not at
	// all, or for HotterBy degrees; nil when there are too few melts.
	Range   *recovery.Range `json:"range"`
	Up      float64         `json:"up"`   // chance that the outcome goes up
	With    int             `json:"with"` // melts; hotter and colder than the middle for Hotter
	Without int             `json:"without"`
	Left    int             `json:"left"` // melts that do not say
	// Information is the standard deviation of the effect over what it was
	// before any melt: near 1 the melts say nothing of it.
	Information float64 `json:"information"`
	Ties        []Tie   `json:"ties,omitempty"`
	// Twins are practices that nearly always went with this one, so that only
	// what they do together is known.
	Twins []Twin `json:"twins,omitempty"`
}

// tells is the Information above which an effect is not called seen or unseen.
const tells = 0.8

// Effects works out every practice's effect on metal and on dross from the
// melts that e has read and that are given with how they were worked. All
// practices and all sources are fitted together, so that a practice is not
// credited with the scrap that it was used on. A melt that does not say how
// one practice was is taken as usual in that one.
//
// It takes time in n·k² (some 40 to 90 passes over n melts with k sources and
// practices each) and p³ for p sources.
func Effects(e *recovery.Estimates, melts []Melt) []Effect {
	all := columns(melts)
	blends := make([][]part, len(melts))
	for i, m := range melts {
		blends[i] = blend(m.Charges)
	}
	var metal, dross []Effect
	var both sync.WaitGroup // they share nothing that is written
	both.Go(func() { metal = table{e, melts, blends, all, Metal}.effects() })
	both.Go(func() { dross = table{e, melts, blends, all, Dross}.effects() })
	both.Wait()
	return append(metal, dross...)
}

// part is a source's share of a charge.
type part struct {
	source int64
	share  float64
}

// blend is what a charge was made of, of what is known to be metal, by source.
func blend(charges []recovery.Charge) []part {
	var parts []part
	sum := 0.0
	for _, c := range charges {
		kg := max(c.Kilograms, 0)
		if c.AsFound && c.Ready > 0 {
			kg *= min(c.Ready, 1)
		}
		sum += kg
		if k := slices.IndexFunc(parts, func(p part) bool { return p.source == c.Source }); k >= 0 {
			parts[k].share += kg
		} else {
			parts = append(parts, part{c.Source, kg})
		}
	}
	if !(sum > 0) {
		return nil
	}
	for k := range parts {
		parts[k].share /= sum
	}
	return parts
}

// table is what one outcome's effects are worked out from.
type table struct {
	e       *recovery.Estimates
	melts   []Melt
	blends  [][]part
	columns []column
	outcome Outcome
}

func (t table) effects() []Effect {
	held, rows := t.held()
	m, first := t.model(held, rows)
	mixture := m.learn()
	var list []Effect
	for k, c := range t.columns {
		f := Effect{Practice: c.practice, Kind: c.kind, Outcome: t.outcome, Code: TooFew}
		f.With, f.Without = c.sides(rows)
		f.Left = len(rows) - f.With - f.Without
		f.Ties = c.ties(rows, t.blends)
		f.Twins = c.twins(k, t.columns, rows)
		if min(f.With, f.Without) >= LeastMelts && mixture != nil {
			f.judge(one(mixture, first+k, len(m.mean)), c.sd)
		}
		list = append(list, f)
	}
	return list
}

// judge fills in what the curve of the effect says.
func (f *Effect) judge(k curve, before float64) {
	r := k.span(anywhere)
	_, sd := k.moments()
	f.Range, f.Up, f.Information = &r, 1-k.below(0), min(sd/before, 1)
	good, bad := Helps, Costs
	if f.Outcome == Dross {
		good, bad = bad, good
	}
	switch {
	case r.Low > 0:
		f.Code = good
	case r.High < 0:
		f.Code = bad
	case f.Information > tells:
		f.Code = CannotTell
	default:
		f.Code = NoDifference
	}
}

// held finds the melts whose outcome is known.
func (t table) held() (held []*recovery.Held, rows []int) {
	of := make(map[int64]*recovery.Held, len(t.e.Melts))
	for _, m := range t.e.Melts {
		of[m.Melt] = m.Metal
		if t.outcome == Dross {
			of[m.Melt] = m.Dross
		}
	}
	for i, m := range t.melts {
		if h := of[m.ID]; h != nil && len(t.blends[i]) > 0 {
			held, rows = append(held, h), append(rows, i)
		}
	}
	return held, rows
}

// shopSD is how far the whole shop may lie from what is believed of its
// sources; weak.
const shopSD = 0.1

// model is y − Σ x_j m_j = shop + Σ x_j δ_j + Σ f_k β_k + e, with m_j the prior
// of source j, δ_j ~ N(0, (κ·sd_j)²) and κ as recovery learnt it. first is the
// column of the first practice.
func (t table) model(held []*recovery.Held, rows []int) (m *model, first int) {
	at, first := map[int64]int{}, 1+len(t.e.Sources)
	m = &model{widely: 0.8, slip: 0.25, scatter: 0.015, mean: make([]float64, first), sd: []float64{shopSD}}
	learnt := t.e.Metal
	if t.outcome == Dross {
		m.scatter, learnt = 0.012, t.e.Dross
	}
	var believed []float64 // mean of each source's prior
	for j, s := range t.e.Sources {
		at[s.Source] = 1 + j
		prior := s.Metal.Prior
		if t.outcome == Dross {
			prior = s.Dross.Prior
		}
		believed = append(believed, prior.Mean)
		if learnt.Spread > 0 {
			prior.SD *= learnt.Spread
		}
		m.sd = append(m.sd, prior.SD)
	}
	for k, i := range rows {
		r := row{y: held[k].Seen, chance: max(mistake, min(held[k].Mistyped, 1)/2)}
		r.add(0, 1)
		for _, s := range t.blends[i] {
			if j := at[s.source]; j > 0 {
				r.y -= s.share * believed[j-1]
				r.add(j, s.share)
			}
		}
		m.rows = append(m.rows, r)
	}
	m.unsure(held, learnt.Scatter.Middle)
	for k, c := range t.columns {
		m.sd, m.mean = append(m.sd, c.sd), append(m.mean, 0)
		middle := c.middle(rows)
		for l, i := range rows {
			if c.known[i] {
				m.rows[l].add(first+k, c.value[i]-middle)
			}
		}
	}
	return m, first
}

// unsure finds what a melt's outcome is in doubt by beside the scatter φ from
// melt to melt: recovery's standard deviation of the residual holds φ, this
// doubt (scales, attachments, water, spills, age) and how well the other melts
// know its sources, which the fit without practices gives.
func (m *model) unsure(held []*recovery.Held, phi float64) {
	if !(phi > 0) {
		return
	}
	f, ok := m.solve(phi)
	if !ok {
		return
	}
	cov := m.cov(f)
	if cov == nil {
		return
	}
	for i := range m.rows {
		r := &m.rows[i]
		h := r.spread(cov, len(m.mean))
		others := h / max(1-h/(phi*phi), 1e-9)
		r.doubt = max(0, held[i].SD*held[i].SD-others-phi*phi)
		if math.IsInf(r.doubt, 0) || math.IsNaN(r.doubt) {
			r.doubt = 0
		}
	}
}
