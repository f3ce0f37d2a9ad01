package main

import (
	"maps"
	"math/rand/v2"
	"slices"
	"time"

	"drosswise/foundry/melt"
)

// demoSession is one day or evening at a furnace.
type demoSession struct {
	start   time.Time // on the shop's clock
	crew    int
	furnace *demoFurnace
	heats   []demoHeat
}

// demoHeat is a melt that is to be made.
type demoHeat struct {
	n      int   // among those of its furnace that melted something, from 1
	mix    []int // scrap, in the order of charging
	target melt.Target
	mishap demoMishap
}

// The demo's calendar. The last day is a constant: what the demo shows does
// not depend on when it is made.
const (
	demoYardHeats  = 140
	demoBenchHeats = 8
)

func demoFirstDay(zone *time.Location) time.Time {
	return time.Date(2024, time.November, 23, 0, 0, 0, 0, zone) // a Saturday
}

func demoLastDay(zone *time.Location) time.Time {
	return time.Date(2026, time.November, 21, 0, 0, 0, 0, zone)
}

// demoDeck is what the yard furnace melts and how often.
var demoDeck = []struct {
	times  int
	target melt.Target
	mix    []int
}{
	{20, melt.Ingots, []int{demoRims}}, {15, melt.Ingots, []int{demoCranks}}, {12, melt.Ingots, []int{demoFrames}}, {9, melt.Ingots, []int{demoBrakes}},
	{12, melt.Ingots, []int{demoCans}}, {4, melt.Ingots, []int{demoSwarf}}, {5, melt.Ingots, []int{demoSprues}}, {7, melt.Ingots, []int{demoOffcuts}},
	{12, melt.Ingots, []int{demoRims, demoCranks}}, {9, melt.Ingots, []int{demoFrames, demoRims}}, {8, melt.Ingots, []int{demoBrakes, demoCranks}},
	{8, melt.Ingots, []int{demoSprues, demoSwarf}}, {5, melt.Ingots, []int{demoOffcuts, demoSprues}}, {6, melt.Ingots, []int{demoRims, demoCans}},
	{8, melt.Casting, []int{demoIngots}},
}

// planDemo lays out all sessions but the last evening's, in order of time.
func planDemo(zone *time.Location) []demoSession {
	r := rand.New(rand.NewPCG(demoSeed, 0))
	sessions, free := demoDays(r, zone)
	heats := demoDealt(r)
	for i := range sessions {
		mine := len(sessions[i].heats)
		sessions[i].heats, heats = heats[:mine], heats[mine:]
	}
	sessions = append(sessions, demoBenchSessions(free)...)
	slices.SortStableFunc(sessions, func(a, b demoSession) int { return a.start.Compare(b.start) })
	return sessions
}

// demoDays chooses days for the yard furnace with as many heats as are to be
// made, and gives Wednesdays on which the yard is free.
func demoDays(r *rand.Rand, zone *time.Location) (sessions []demoSession, free []time.Time) {
	sum, last := 0, demoLastDay(zone)
	for day := demoFirstDay(zone); day.Before(last); day = day.AddDate(0, 0, 1) {
		saturday := day.Weekday() == time.Saturday
		if !saturday && day.Weekday() != time.Wednesday || demoClosed(day) {
			continue
		}
		melts := day.Equal(demoFirstDay(zone)) || last.Sub(day) < 5*24*time.Hour || r.Float64() < map[bool]float64{true: 0.58, false: 0.42}[saturday]
		switch {
		case melts && saturday:
			s := demoSession{start: day.Add(10 * time.Hour), crew: demoSaturday, furnace: &demoYard, heats: make([]demoHeat, 1+r.IntN(3))}
			sessions, sum = append(sessions, s), sum+len(s.heats)
		case melts:
			sessions, sum = append(sessions, demoSession{start: day.Add(18*time.Hour + 15*time.Minute), crew: demoEvening, furnace: &demoYard, heats: make([]demoHeat, 1)}), sum+1
		case !saturday:
			free = append(free, day.Add(18*time.Hour+30*time.Minute))
		}
	}
	for sum != demoYardHeats {
		s := &sessions[r.IntN(len(sessions))]
		switch n := len(s.heats); {
		case s.crew != demoSaturday:
		case sum < demoYardHeats && n < 3:
			s.heats, sum = make([]demoHeat, n+1), sum+1
		case sum > demoYardHeats && n > 1:
			s.heats, sum = make([]demoHeat, n-1), sum-1
		}
	}
	return sessions, free
}

// demoClosed says whether the workshop is closed: two weeks at the turn of the
// year and three in August.
func demoClosed(day time.Time) bool {
	return day.Month() == time.December && day.Day() > 19 || day.Month() == time.January && day.Day() < 4 ||
		day.Month() == time.August && day.Day() < 22
}

// demoDealt shuffles the deck and sees to it that each mishap meets a melt that
// it can happen in, and that ingots are there before they are melted again.
func demoDealt(r *rand.Rand) []demoHeat {
	var heats []demoHeat
	for _, card := range demoDeck {
		for range card.times {
			heats = append(heats, demoHeat{mix: card.mix, target: card.target})
		}
	}
	r.Shuffle(len(heats), func(i, j int) { heats[i], heats[j] = heats[j], heats[i] })
	fits := map[demoMishap]func(demoHeat) bool{
		demoAsFound:  func(h demoHeat) bool { return slices.Equal(h.mix, []int{demoBrakes, demoCranks}) },
		demoWrongBin: func(h demoHeat) bool { return slices.Equal(h.mix, []int{demoRims}) },
		demoMistyped: func(h demoHeat) bool { return slices.Equal(h.mix, []int{demoRims}) },
		demoTenfold:  func(h demoHeat) bool { return slices.Equal(h.mix, []int{demoCranks}) },
		demoNoIngots: func(h demoHeat) bool { return h.target == melt.Ingots },
	}
	fixed := map[int]bool{}
	for _, n := range sortedKeys(demoMishaps) {
		heats[n-1].mishap = demoMishaps[n]
		if fit := fits[demoMishaps[n]]; fit != nil {
			demoSwap(heats, n-1, fixed, fit)
		}
		fixed[n-1] = true
	}
	for i := range 20 {
		demoSwap(heats, i, fixed, func(h demoHeat) bool { return h.target != melt.Casting })
	}
	for i := range heats {
		heats[i].n = i + 1
	}
	return heats
}

// demoSwap puts at a place what fits there, from the nearest later place that
// is free; mishaps stay where they are.
func demoSwap(heats []demoHeat, i int, fixed map[int]bool, fit func(demoHeat) bool) {
	for j := range heats {
		k := (i + j) % len(heats)
		if fit(heats[k]) && (j == 0 || !fixed[k]) {
			heats[i].mix, heats[k].mix = heats[k].mix, heats[i].mix
			heats[i].target, heats[k].target = heats[k].target, heats[i].target
			return
		}
	}
}

// demoBenchSessions spreads the small furnace's melts over the evenings on
// which the yard is free, from the day it was bought.
func demoBenchSessions(free []time.Time) []demoSession {
	from := demoBenchBought(free[0].Location())
	free = slices.DeleteFunc(free, func(t time.Time) bool { return t.Before(from) })
	var sessions []demoSession
	for i := range demoBenchHeats {
		h := demoHeat{n: i + 1, mix: []int{demoIngots}, target: melt.Casting}
		if i == 0 || i == 4 {
			h.mix, h.target = []int{demoCranks}, melt.Trial
		}
		sessions = append(sessions, demoSession{start: free[i*len(free)/demoBenchHeats], crew: demoEvening, furnace: &demoBench, heats: []demoHeat{h}})
	}
	return sessions
}

func demoBenchBought(zone *time.Location) time.Time {
	return time.Date(2026, time.February, 28, 15, 0, 0, 0, zone)
}

// sortedKeys gives a map's keys in order, so that what is made from them is
// the same each time.
func sortedKeys[V any](m map[int]V) []int { return slices.Sorted(maps.Keys(m)) }
