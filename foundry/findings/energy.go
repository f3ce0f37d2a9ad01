package findings

import (
	"math"
	"slices"

	"drosswise/foundry/recovery"
)

// Energy says what melting takes: a fixed part for heating a cold furnace, a
// part for each kilogram and a part for each hour with power on.
type Energy struct {
	Melts int `json:"melts"` // that say energy, charge, hours and how warm they started
	First int `json:"first"` // of these from cold
	Next  int `json:"next"`
	Left  int `json:"left"` // closed melts that lack one of these
	// PerKilogram is kWh a kilogram charged, all kWh over all kilograms, with
	// the least and the most that one melt took.
	PerKilogram Pooled     `json:"kwh_per_kg_charged"`
	Fit         *EnergyFit `json:"fit"` // nil below LeastForEnergy melts
}

// LeastForEnergy is how many melts there must be to split the energy.
const LeastForEnergy = 6

// EnergyFit is kWh = Start·(cold) + PerKilogram·kg + PerHour·hours.
type EnergyFit struct {
	Start       recovery.Range `json:"start"`       // kWh a cold start takes
	PerKilogram recovery.Range `json:"per_kg"`      // kWh
	PerHour     recovery.Range `json:"per_hour"`    // kWh
	Scatter     recovery.Range `json:"scatter"`     // kWh, melt to melt
	Charge      float64        `json:"charge"`      // kg of the usual melt, which the next three are for
	FirstHeat   recovery.Range `json:"first_heat"`  // kWh, with the hours that first heats usually take
	NextHeat    recovery.Range `json:"next_heat"`   // kWh, with the hours that next heats usually take
	Difference  recovery.Range `json:"difference"`  // the first less the next
	Code        Code           `json:"code"`        // whether the next heats take less: Helps when they do
	Unbelieved  bool           `json:"unbelieved"`  // PerKilogram is below what the metal alone takes
	Information float64        `json:"information"` // of Start, as Effect's
	Misread     []int64        `json:"misread"`     // melts whose meter may have been misread
}

// Priors of the energy of a furnace of 5 kW. Judgement: weak beside a dozen
// melts. Start and hours go with the rated power.
var (
	startPrior = recovery.Belief{Mean: 2, SD: 2}       // kWh
	massPrior  = recovery.Belief{Mean: 0.42, SD: 0.12} // kWh/kg
	hoursPrior = recovery.Belief{Mean: 1.2, SD: 0.8}   // kWh/h
)

const (
	// leastBelieved is the kWh a kilogram that is not believed: aluminium takes
	// 0.309 kWh/kg from 20 to 700 °C (NIST-JANAF heat content), and a tenth is
	// left for charges that were warm already.
	leastBelieved = 0.28
	// misread is the externally studentised residual from which a meter is
	// doubted. Judgement.
	misread = 3.5
)

// Electricity splits the energy of the melts. rated is the furnace's power in
// kW, 0 when not known (5 is taken).
func Electricity(melts []Melt, rated float64) Energy {
	if !(rated > 0) {
		rated = 5
	}
	var e Energy
	var rows []heat
	var kwh, kg []float64
	for _, m := range melts {
		h, ok := m.heat()
		if !ok {
			e.Left++
			continue
		}
		rows, kwh, kg = append(rows, h), append(kwh, h.kwh), append(kg, h.kg)
		if h.first {
			e.First++
		} else {
			e.Next++
		}
	}
	e.Melts = len(rows)
	e.PerKilogram = pool(kwh, kg)
	e.PerKilogram.Left = e.Left
	if e.Melts >= LeastForEnergy {
		e.Fit = fitEnergy(rows, rated/5, min(e.First, e.Next))
	}
	return e
}

// heat is a melt as its energy is explained.
type heat struct {
	id                   int64
	cold, kg, hours, kwh float64
	first                bool
}

func (m Melt) heat() (h heat, ok bool) {
	if m.Cold == nil || m.Charged == nil || m.Hours == nil || m.Energy == nil {
		return heat{}, false
	}
	h = heat{m.ID, *m.Cold, *m.Charged, *m.Hours, *m.Energy, *m.Cold >= 0.5}
	for _, x := range []float64{h.cold, h.kg, h.hours, h.kwh} {
		if !(x >= 0) || math.IsInf(x, 0) {
			return heat{}, false
		}
	}
	return h, h.kg > 0 && h.kwh > 0
}

// energyModel has the columns start, kilograms and hours. scale is the
// furnace's power over 5 kW.
func energyModel(heats []heat, scale float64) *model {
	mean := 0.0
	for _, h := range heats {
		mean += h.kwh / float64(len(heats))
	}
	m := &model{
		mean:    []float64{startPrior.Mean * scale, massPrior.Mean, hoursPrior.Mean * scale},
		sd:      []float64{startPrior.SD * scale, massPrior.SD, hoursPrior.SD * scale},
		scatter: 0.04 * mean, widely: 1, // a meter and a lid leave some per cent open; judgement
		slip: 0.5 * mean,
	}
	for _, h := range heats {
		r := row{y: h.kwh, chance: mistake}
		r.add(0, h.cold)
		r.add(1, h.kg)
		r.add(2, h.hours)
		m.rows = append(m.rows, r)
	}
	return m
}

// fitEnergy fits the model; side is the number of melts on the smaller side.
func fitEnergy(heats []heat, scale float64, side int) *EnergyFit {
	m := energyModel(heats, scale)
	wrong := m.studentised()
	mixture := m.learn()
	if mixture == nil {
		return nil
	}
	f := &EnergyFit{Misread: []int64{}, Code: TooFew}
	for i, h := range heats {
		if math.Abs(wrong[i]) > misread || m.rows[i].suspect > 0.5 {
			f.Misread = append(f.Misread, h.id)
		}
	}
	start := one(mixture, 0, 3)
	_, sd := start.moments()
	f.Information = min(sd/m.sd[0], 1)
	f.Start, f.PerKilogram, f.PerHour = start.span(0), one(mixture, 1, 3).span(0), one(mixture, 2, 3).span(0)
	f.Unbelieved = f.PerKilogram.Middle < leastBelieved
	f.Scatter = steps(mixture)
	f.usual(heats, mixture)
	if side >= LeastMelts {
		f.Code = f.difference()
	}
	return f
}

// usual compares a first heat with a next one of the same charge.
func (f *EnergyFit) usual(heats []heat, mixture []component) {
	var kg, first, next []float64
	for _, h := range heats {
		kg = append(kg, h.kg)
		if h.first {
			first = append(first, h.hours)
		} else {
			next = append(next, h.hours)
		}
	}
	f.Charge = median(kg)
	firstHours, nextHours := median(first), median(next)
	switch { // a side without melts takes the other's hours
	case len(first) == 0:
		firstHours = nextHours
	case len(next) == 0:
		nextHours = firstHours
	}
	f.FirstHeat = linear(mixture, []float64{1, f.Charge, firstHours}).span(0)
	f.NextHeat = linear(mixture, []float64{0, f.Charge, nextHours}).span(0)
	f.Difference = linear(mixture, []float64{1, 0, firstHours - nextHours}).span(anywhere)
}

func (f *EnergyFit) difference() Code {
	switch {
	case f.Difference.Low > 0:
		return Helps
	case f.Difference.High < 0:
		return Costs
	case f.Information > tells:
		return CannotTell
	}
	return NoDifference
}

// steps is the 90 % range of s over the grid.
func steps(mixture []component) recovery.Range {
	at := func(q float64) float64 {
		sum := 0.0
		for _, c := range mixture { // s rises
			if sum += c.weight; sum >= q {
				return c.s
			}
		}
		return mixture[len(mixture)-1].s
	}
	return recovery.Range{Low: at(0.05), Middle: at(0.5), High: at(0.95)}
}

// median of values, 0 without any.
func median(values []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(values))
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// studentised are the externally studentised residuals of a plain fit,
// t_i = e_i / (s_(i) √(1−h_i)) with s_(i) from the fit without melt i (Cook and
// Weisberg 1982, section 2.2.1); zero where they cannot be had.
func (m *model) studentised() []float64 {
	n, p := len(m.rows), len(m.mean)
	t := make([]float64, n)
	if n <= p+1 {
		return t
	}
	s := m.start()
	f, ok := m.solve(s)
	if s == 0 || !ok {
		return t
	}
	cov := m.cov(f)
	rss := 0.0
	for i := range m.rows {
		e := m.rows[i].residual(f.mean)
		rss += e * e
	}
	for i := range m.rows {
		r := &m.rows[i]
		e, rest := r.residual(f.mean), 1-r.spread(cov, p)/(s*s)
		if left := (rss - e*e/rest) / float64(n-p-1); rest > 1e-9 && left > 0 {
			t[i] = e / math.Sqrt(left*rest)
		}
	}
	return t
}
