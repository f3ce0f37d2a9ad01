package findings

import (
	"math"
	"slices"
	"time"
)

// Pooled is a sum over a sum, such as all money over all kilograms: a melt
// counts by its size. It is an account of what was, so that it has no range to
// hold the truth; Low and High are the least and the most of one melt.
type Pooled struct {
	Value *float64 `json:"value"` // nil when no melt says it
	Low   float64  `json:"low"`
	High  float64  `json:"high"`
	Melts int      `json:"melts"`
	Left  int      `json:"left"` // melts that lack it
}

// pool is Σ top over Σ bottom. Melts with nothing below the line count above
// it: what a spoilt melt cost was spent for the others' metal.
func pool(top, bottom []float64) Pooled {
	p := Pooled{Melts: len(top)}
	var sum, over float64
	single := false
	for i, x := range top {
		sum, over = sum+x, over+bottom[i]
		if bottom[i] <= 0 {
			continue
		}
		y := x / bottom[i]
		if !single {
			p.Low, p.High, single = y, y, true
		}
		p.Low, p.High = min(p.Low, y), max(p.High, y)
	}
	if over > 0 {
		v := sum / over
		p.Value = &v
	}
	return p
}

// Period is what a kilogram took over some melts.
type Period struct {
	Month       string `json:"month,omitempty"` // such as 2026-11
	Melts       int    `json:"melts"`
	Cash        Pooled `json:"cash_per_kg"`         // of metal
	Opportunity Pooled `json:"opportunity_per_kg"`  // of metal
	Charged     Pooled `json:"kwh_per_kg_charged"`  // kWh
	Recovered   Pooled `json:"kwh_per_kg_of_metal"` // kWh
	Yield       Pooled `json:"yield"`
}

// Months sets out what a kilogram took in every month that had melts, the
// oldest first. zone tells where a month begins; nil is UTC.
func Months(melts []Melt, zone *time.Location) []Period {
	if zone == nil {
		zone = time.UTC
	}
	in := map[string][]Melt{}
	for _, m := range melts {
		month := m.Started.Time().In(zone).Format("2006-01")
		in[month] = append(in[month], m)
	}
	list := []Period{}
	for month, some := range in {
		p := period(some)
		p.Month = month
		list = append(list, p)
	}
	slices.SortFunc(list, func(a, b Period) int {
		if a.Month < b.Month {
			return -1
		}
		return 1
	})
	return list
}

// FirstAndNext sets out what a kilogram took in first heats, from cold, and in
// the ones after them. Melts that do not say how they started are in neither.
func FirstAndNext(melts []Melt) (first, next Period) {
	var cold, warm []Melt
	for _, m := range melts {
		switch is, known := m.first(); {
		case !known:
		case is:
			cold = append(cold, m)
		default:
			warm = append(warm, m)
		}
	}
	return period(cold), period(warm)
}

func period(melts []Melt) Period {
	charged := func(m Melt) *float64 { return m.Charged }
	recovered := func(m Melt) *float64 { return m.Recovered }
	energy := func(m Melt) *float64 { return m.Energy }
	return Period{
		Melts:       len(melts),
		Cash:        pooled(melts, func(m Melt) *float64 { return m.Cash }, recovered),
		Opportunity: pooled(melts, func(m Melt) *float64 { return m.Opportunity }, recovered),
		Charged:     pooled(melts, energy, charged),
		Recovered:   pooled(melts, energy, recovered),
		Yield:       pooled(melts, recovered, charged),
	}
}

// pooled is a sum over a sum of what the melts say; those that lack either are
// left.
func pooled(melts []Melt, top, bottom func(Melt) *float64) Pooled {
	var a, b []float64
	left := 0
	for _, m := range melts {
		x, y := top(m), bottom(m)
		if !sound(x) || !sound(y) {
			left++
			continue
		}
		a, b = append(a, *x), append(b, *y)
	}
	p := pool(a, b)
	p.Left = left
	return p
}

// sound reports whether a number was written down and is one.
func sound(x *float64) bool { return x != nil && !math.IsNaN(*x) && !math.IsInf(*x, 0) }
