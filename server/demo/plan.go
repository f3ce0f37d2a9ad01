package demo

import (
	"maps"
	"math/rand/v2"
	"slices"
	"time"

	"drosswise/foundry/melt"
)

// session is one day or evening at a furnace.
type session struct {
	start   time.Time // on the shop's clock
	crew    int
	furnace *furnace
	heats   []plannedHeat
}

// plannedHeat is a melt that is to be made.
type plannedHeat struct {
	n      int   // among those of its furnace that melted something, from 1
	mix    []int // scrap, in the order of charging
	target melt.Target
	mishap Mishap
}

// The demo's calendar. The last day is a constant: what the demo shows does
// not depend on when it is made.
const (
	yardHeats  = 140
	benchHeats = 8
)

func firstDay(zone *time.Location) time.Time {
	return time.Date(2024, time.November, 23, 0, 0, 0, 0, zone) // a Saturday
}

func lastDay(zone *time.Location) time.Time {
	return time.Date(2026, time.November, 21, 0, 0, 0, 0, zone)
}

// deck is what the yard furnace melts and how often.
var deck = []struct {
	times  int
	target melt.Target
	mix    []int
}{
	{20, melt.Ingots, []int{Rims}}, {15, melt.Ingots, []int{Cranks}}, {12, melt.Ingots, []int{Frames}}, {9, melt.Ingots, []int{Brakes}},
	{12, melt.Ingots, []int{Cans}}, {4, melt.Ingots, []int{Swarf}}, {5, melt.Ingots, []int{Sprues}}, {7, melt.Ingots, []int{Offcuts}},
	{12, melt.Ingots, []int{Rims, Cranks}}, {9, melt.Ingots, []int{Frames, Rims}}, {8, melt.Ingots, []int{Brakes, Cranks}},
	{8, melt.Ingots, []int{Sprues, Swarf}}, {5, melt.Ingots, []int{Offcuts, Sprues}}, {6, melt.Ingots, []int{Rims, Cans}},
	{8, melt.Casting, []int{Ingots}},
}

// planSessions lays out all sessions but the last evening's, in order of time.
func planSessions(zone *time.Location) []session {
	r := rand.New(rand.NewPCG(seed, 0))
	sessions, free := days(r, zone)
	heats := dealt(r)
	for i := range sessions {
		mine := len(sessions[i].heats)
		sessions[i].heats, heats = heats[:mine], heats[mine:]
	}
	sessions = append(sessions, benchSessions(free)...)
	slices.SortStableFunc(sessions, func(a, b session) int { return a.start.Compare(b.start) })
	return sessions
}

// days chooses days for the yard furnace with as many heats as are to be
// made, and gives Wednesdays on which the yard is free.
func days(r *rand.Rand, zone *time.Location) (sessions []session, free []time.Time) {
	sum, last := 0, lastDay(zone)
	for day := firstDay(zone); day.Before(last); day = day.AddDate(0, 0, 1) {
		saturday := day.Weekday() == time.Saturday
		if !saturday && day.Weekday() != time.Wednesday || closed(day) {
			continue
		}
		melts := day.Equal(firstDay(zone)) || last.Sub(day) < 5*24*time.Hour || r.Float64() < map[bool]float64{true: 0.58, false: 0.42}[saturday]
		switch {
		case melts && saturday:
			s := session{start: day.Add(10 * time.Hour), crew: SaturdayCrew, furnace: &yardFurnace, heats: make([]plannedHeat, 1+r.IntN(3))}
			sessions, sum = append(sessions, s), sum+len(s.heats)
		case melts:
			sessions, sum = append(sessions, session{start: day.Add(18*time.Hour + 15*time.Minute), crew: EveningCrew, furnace: &yardFurnace, heats: make([]plannedHeat, 1)}), sum+1
		case !saturday:
			free = append(free, day.Add(18*time.Hour+30*time.Minute))
		}
	}
	for sum != yardHeats {
		s := &sessions[r.IntN(len(sessions))]
		switch n := len(s.heats); {
		case s.crew != SaturdayCrew:
		case sum < yardHeats && n < 3:
			s.heats, sum = make([]plannedHeat, n+1), sum+1
		case sum > yardHeats && n > 1:
			s.heats, sum = make([]plannedHeat, n-1), sum-1
		}
	}
	return sessions, free
}

// closed says whether the workshop is closed: two weeks at the turn of the
// year and three in August.
func closed(day time.Time) bool {
	return day.Month() == time.December && day.Day() > 19 || day.Month() == time.January && day.Day() < 4 ||
		day.Month() == time.August && day.Day() < 22
}

// dealt shuffles the deck and sees to it that each mishap meets a melt that
// it can happen in, and that ingots are there before they are melted again.
func dealt(r *rand.Rand) []plannedHeat {
	var heats []plannedHeat
	for _, card := range deck {
		for range card.times {
			heats = append(heats, plannedHeat{mix: card.mix, target: card.target})
		}
	}
	r.Shuffle(len(heats), func(i, j int) { heats[i], heats[j] = heats[j], heats[i] })
	fits := map[Mishap]func(plannedHeat) bool{
		AsFound:  func(h plannedHeat) bool { return slices.Equal(h.mix, []int{Brakes, Cranks}) },
		WrongBin: func(h plannedHeat) bool { return slices.Equal(h.mix, []int{Rims}) },
		Mistyped: func(h plannedHeat) bool { return slices.Equal(h.mix, []int{Rims}) },
		Tenfold:  func(h plannedHeat) bool { return slices.Equal(h.mix, []int{Cranks}) },
		NoIngots: func(h plannedHeat) bool { return h.target == melt.Ingots },
	}
	fixed := map[int]bool{}
	for _, n := range sortedKeys(mishaps) {
		heats[n-1].mishap = mishaps[n]
		if fit := fits[mishaps[n]]; fit != nil {
			swap(heats, n-1, fixed, fit)
		}
		fixed[n-1] = true
	}
	for i := range 20 {
		swap(heats, i, fixed, func(h plannedHeat) bool { return h.target != melt.Casting })
	}
	for i := range heats {
		heats[i].n = i + 1
	}
	return heats
}

// swap puts at a place what fits there, from the nearest later place that
// is free; mishaps stay where they are.
func swap(heats []plannedHeat, i int, fixed map[int]bool, fit func(plannedHeat) bool) {
	for j := range heats {
		k := (i + j) % len(heats)
		if fit(heats[k]) && (j == 0 || !fixed[k]) {
			heats[i].mix, heats[k].mix = heats[k].mix, heats[i].mix
			heats[i].target, heats[k].target = heats[k].target, heats[i].target
			return
		}
	}
}

// benchSessions spreads the small furnace's melts over the evenings on
// which the yard is free, from the day it was bought.
func benchSessions(free []time.Time) []session {
	from := benchBought(free[0].Location())
	free = slices.DeleteFunc(free, func(t time.Time) bool { return t.Before(from) })
	var sessions []session
	for i := range benchHeats {
		h := plannedHeat{n: i + 1, mix: []int{Ingots}, target: melt.Casting}
		if i == 0 || i == 4 {
			h.mix, h.target = []int{Cranks}, melt.Trial
		}
		sessions = append(sessions, session{start: free[i*len(free)/benchHeats], crew: EveningCrew, furnace: &benchFurnace, heats: []plannedHeat{h}})
	}
	return sessions
}

func benchBought(zone *time.Location) time.Time {
	return time.Date(2026, time.February, 28, 15, 0, 0, 0, zone)
}

// sortedKeys gives a map's keys in order, so that what is made from them is
// the same each time.
func sortedKeys[V any](m map[int]V) []int { return slices.Sorted(maps.Keys(m)) }
