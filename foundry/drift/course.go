package drift

import (
	"drosswise/foundry/findings"
	"drosswise/foundry/gum"
)

// Kind is what is watched.
type Kind string

// What is watched.
const (
	OfEnergy Kind = "energy" // kWh of a melt
	OfTime   Kind = "time"   // hours from power on to all molten
)

// Stage is how much the melts of the present baseline allow.
type Stage string

// Stages.
const (
	TooFew   Stage = "too_few"  // the mean, the least and the most only
	Modelled Stage = "modelled" // what a melt should take, but no chart yet
	Charting Stage = "charting"
)

// Course is what a furnace takes, melt after melt.
type Course struct {
	Kind  Kind  `json:"kind"`
	Stage Stage `json:"stage"`
	Melts int   `json:"melts"` // that say what is needed
	Left  int   `json:"left"`  // that do not
	// PerKilogram is kWh or hours for a kilogram charged over the present
	// baseline, all over all, with the least and the most that one melt took.
	PerKilogram findings.Pooled  `json:"per_kg"`
	Split       *findings.Energy `json:"split"` // of OfEnergy, over the present baseline
	Charted
}

// Energy watches the kWh of a furnace's melts, given in order of time:
// kWh = start·(cold) + per kilogram·kg + per hour·hours. A low supply shows in
// the hours, so the volts need no place of their own here.
func Energy(melts []Melt, s Settings) Course {
	rows, kept := rowsOf(melts, func(m Melt) ([]float64, *float64) {
		if !said(m.Cold, m.Charged, m.Hours) {
			return nil, nil
		}
		return []float64{*m.Cold, *m.Charged, *m.Hours}, m.Energy
	})
	step := given(s.Step)
	if step == 0 {
		step = 0.01
	}
	c := course(OfEnergy, melts, rows, s, step)
	var base []findings.Melt
	for _, m := range baseline(kept, c.Baseline) {
		base = append(base, findings.Melt{ID: m.ID, Code: m.Code, Charged: m.Charged, Energy: m.Energy, Hours: m.Hours, Cold: m.Cold})
	}
	split := findings.Electricity(base, given(s.Power))
	c.Split, c.PerKilogram = &split, split.PerKilogram
	return c
}

// Time watches the hours from power on to all molten: each of a cold start, a
// kilogram and a melt takes its share at the rule's volts, and (V₀/V)² times as
// long at others (V²/R; the loss through the wall meanwhile is left out).
func Time(melts []Melt, s Settings) Course {
	volts := rule(melts, s)
	rows, kept := rowsOf(melts, func(m Melt) ([]float64, *float64) {
		if !said(m.Cold, m.Charged) {
			return nil, nil
		}
		slower := 1 / m.supply(volts)
		return []float64{*m.Cold * slower, *m.Charged * slower, slower}, m.Molten
	})
	const minute = 1.0 / 60
	c := course(OfTime, melts, rows, s, minute)
	c.PerKilogram = perKilogram(baseline(kept, c.Baseline))
	return c
}

// rowsOf gives the rows of the melts that say x and y, and these melts.
func rowsOf(melts []Melt, of func(Melt) (x []float64, y *float64)) (rows []Row, kept []Melt) {
	renewed := false // before a melt that was left out, too
	for _, m := range melts {
		renewed = renewed || m.Renewed
		x, y := of(m)
		if x == nil || !said(y) || *y == 0 || *m.Charged == 0 {
			continue
		}
		rows = append(rows, Row{ID: m.ID, Code: m.Code, X: x, Y: *y, Reset: renewed})
		kept = append(kept, m)
		renewed = false
	}
	return rows, kept
}

// course charts rows whose y is read in steps.
func course(kind Kind, melts []Melt, rows []Row, s Settings, step float64) Course {
	c := Course{Kind: kind, Melts: len(rows), Left: len(melts) - len(rows), Stage: TooFew}
	c.Charted = Watch(rows, s.Closed, gum.Resolution(step))
	switch n := len(c.Baseline); {
	case n >= LeastForChart:
		c.Stage = Charting
	case n >= findings.LeastForEnergy:
		c.Stage = Modelled
	}
	return c
}

// baseline picks melts by their ids, which come in the same order.
func baseline(melts []Melt, ids []int64) (base []Melt) {
	for _, m := range melts {
		if len(ids) > 0 && m.ID == ids[0] {
			base, ids = append(base, m), ids[1:]
		}
	}
	return base
}

// perKilogram is the time of melts for a kilogram.
func perKilogram(melts []Melt) (p findings.Pooled) {
	hours, kg := 0.0, 0.0
	for _, m := range melts {
		each := *m.Molten / *m.Charged
		if p.Melts++; p.Melts == 1 {
			p.Low, p.High = each, each
		}
		p.Low, p.High = min(p.Low, each), max(p.High, each)
		hours, kg = hours+*m.Molten, kg+*m.Charged
	}
	if kg > 0 {
		mean := hours / kg
		p.Value = &mean
	}
	return p
}
