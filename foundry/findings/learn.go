package findings

import "math"

// mistake is the chance that a melt's masses or meter were mistyped: two in a
// hundred. Judgement, as in recovery.
const mistake = 0.02

// component is the posterior of the coefficients for one s.
type component struct {
	weight, s float64
	mean, cov []float64
}

// gridHalf points on each side of the summit, gridStep apart in log s.
const (
	gridHalf = 8
	gridStep = 0.2
)

// learn finds the rows that do not fit and gives the posterior as a mixture
// over s. It is nil when there is no row or a number is not finite. It takes
// some 40 to 90 passes over the rows.
func (m *model) learn() []component {
	if len(m.rows) == 0 {
		return nil
	}
	s := m.start()
	for range 12 {
		if s = m.climb(s, 2); s == 0 {
			return nil
		}
		if m.doubt(s) < 0.01 {
			break
		}
	}
	return m.grid(m.climb(s, 20))
}

// start is the likeliest s on a coarse grid.
func (m *model) start() float64 {
	best, top := 0.0, math.Inf(-1)
	for k := -gridHalf; k <= gridHalf; k++ {
		s := m.scatter * math.Exp(float64(k)*2*gridStep)
		if f, ok := m.solve(s); ok && f.fits+m.believed(s) > top {
			best, top = s, f.fits+m.believed(s)
		}
	}
	return best
}

// climb takes steps of a quarter of the grid's towards the likeliest s; 0 when
// there is none.
func (m *model) climb(s float64, steps int) float64 {
	value := func(s float64) float64 {
		if f, ok := m.solve(s); ok {
			return f.fits + m.believed(s)
		}
		return math.Inf(-1)
	}
	here := value(s)
	if s == 0 || math.IsInf(here, -1) {
		return 0
	}
	step := math.Exp(gridStep / 4)
	if value(s/step) > here {
		step = 1 / step
	}
	for range steps {
		next := value(s * step)
		if next <= here {
			break
		}
		s, here = s*step, next
	}
	return s
}

// grid gives the mixture about the summit.
func (m *model) grid(summit float64) []component {
	if summit == 0 {
		return nil
	}
	var all []component
	logs, top := []float64{}, math.Inf(-1)
	for k := -gridHalf; k <= gridHalf; k++ {
		s := summit * math.Exp(float64(k)*gridStep)
		f, ok := m.solve(s)
		if !ok {
			continue
		}
		at := f.fits + m.believed(s)
		if at < top-12 { // a weight of some 1e-5
			continue
		}
		if cov := m.cov(f); cov != nil {
			all, logs, top = append(all, component{0, s, f.mean, cov}), append(logs, at), max(top, at)
		}
	}
	total := 0.0
	for i := range all {
		all[i].weight = math.Exp(logs[i] - top)
		total += all[i].weight
	}
	for i := range all {
		all[i].weight /= total
	}
	return all
}

// doubt updates the chance that each row is mistaken from its residual when it
// is left out of the fit, e/(1−h) with h its leverage (Cook and Weisberg 1982,
// section 2.2), and gives the largest change. Steps are halved, or two rows
// that accuse each other would swing.
func (m *model) doubt(s float64) float64 {
	f, ok := m.solve(s)
	if !ok {
		return 0
	}
	cov := m.cov(f)
	if cov == nil {
		return 0
	}
	most := 0.0
	for i := range m.rows {
		r := &m.rows[i]
		h := r.spread(cov, len(m.mean))
		rest := max(1-m.precision(r, s)*h, 1e-9)
		e, good := r.residual(f.mean)/rest, s*s+r.doubt+h/rest
		bad := good + m.slip*m.slip
		odds := math.Log(r.chance/(1-r.chance)) + (math.Log(good/bad)+e*e*(1/good-1/bad))/2
		is := 1 / (1 + math.Exp(-odds))
		change := (is - r.suspect) / 2
		switch r.suspect += change; {
		case r.suspect < 0.005:
			r.suspect = 0
		case math.Abs(change) < 0.01: // or the last per cent of a gross mistake would still pull
			r.suspect = is
		}
		most = max(most, math.Abs(change))
	}
	return most
}
