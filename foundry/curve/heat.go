package curve

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"drosswise/foundry/quantity"
)

// Rate is how fast it got hot over ten minutes.
type Rate struct {
	At            quantity.Moment // where they begin
	KelvinPerHour float64
}

// rateOver is the time over which a rate is told.
const rateOver = 10 * quantity.Minute

// Fastest is the fastest heating over ten minutes without a gap.
func (k Course) Fastest() (r Rate, ok bool) {
	j, broken := 0, 0
	for i := range k.Samples {
		for j+1 < len(k.Samples) && k.Samples[j].At.Since(k.Samples[i].At) < rateOver {
			j++
			if k.gapped(j) {
				broken = j
			}
		}
		span := k.Samples[j].At.Since(k.Samples[i].At)
		if span < rateOver || broken > i {
			continue
		}
		rate := Temperature.Plain(k.Samples[j].Value-k.Samples[i].Value) / span.Hours()
		if rate > 0 && (!ok || rate > r.KelvinPerHour) {
			r, ok = Rate{k.Samples[i].At, rate}, true
		}
	}
	return r, ok
}

// Stay is the time spent above a temperature.
type Stay struct {
	Above quantity.Temperature
	Span  quantity.Span
}

// Above is how long it was hotter than that, with straight lines from reading to
// reading; gaps count nothing.
func (k Course) Above(t quantity.Temperature) quantity.Span {
	ms, line := 0.0, float64(t)
	for i := 1; i < len(k.Samples); i++ {
		if k.gapped(i) {
			continue
		}
		a, b := float64(k.Samples[i-1].Value), float64(k.Samples[i].Value)
		dt := float64(k.Samples[i].At - k.Samples[i-1].At)
		switch {
		case a >= line && b >= line:
			ms += dt
		case a >= line || b >= line:
			ms += dt * (math.Max(a, b) - line) / math.Abs(b-a)
		}
	}
	return quantity.Span(math.Round(ms))
}

// Stays are the times above 600 °C and every hundred degrees beyond, as far as
// it got: what wears pots and wire.
func (k Course) Stays() (all []Stay) {
	for t := 600 * quantity.Celsius; ; t += 100 * quantity.Celsius {
		span := k.Above(t)
		if span == 0 || len(all) > 20 {
			return all
		}
		all = append(all, Stay{t, span})
	}
}

// Plateau is where the temperature stood while metal melted or froze.
type Plateau struct {
	From, To quantity.Moment
	Temp     quantity.Temperature
	Falling  bool // it froze
}

// What a plateau is: at least three minutes within a band of three degrees, on
// the way from well below to well above, or down, in the range in which
// aluminium and its alloys melt and what is near it. A furnace that holds its set
// point is no plateau, since it does not go on. Common practice, no source.
const (
	plateauLeast = 3 * quantity.Minute
	plateauBand  = 3_00
	plateauCold  = 400_00
	plateauHot   = 1000_00
)

// stretch is a run of readings by their places.
type stretch struct{ from, to int }

// Plateaus finds where the temperature stood, the longest three, in the order of
// time.
func (k Course) Plateaus() []Plateau {
	band := int64(plateauBand + 6*k.noise())
	var found []stretch
	var low, high []int // places whose values only rise, and only fall
	start := 0
	for j := range k.Samples {
		if j > 0 && k.gapped(j) {
			start, low, high = j, low[:0], high[:0]
		}
		v, before := k.Samples[j].Value, start
		for len(low) > 0 && k.Samples[low[len(low)-1]].Value >= v {
			low = low[:len(low)-1]
		}
		for len(high) > 0 && k.Samples[high[len(high)-1]].Value <= v {
			high = high[:len(high)-1]
		}
		low, high = append(low, j), append(high, j)
		for k.Samples[high[0]].Value-k.Samples[low[0]].Value > band {
			start++
			if low[0] < start {
				low = low[1:]
			}
			if high[0] < start {
				high = high[1:]
			}
		}
		if s := (stretch{before, j - 1}); start > before && k.stands(s, float64(2*band)) {
			found = append(found, s)
		}
	}
	length := func(s stretch) quantity.Span { return k.Samples[s.to].At.Since(k.Samples[s.from].At) }
	// Of stretches that overlap the longest is meant.
	slices.SortFunc(found, func(a, b stretch) int { return cmp.Compare(length(b), length(a)) })
	var kept []stretch
	for _, s := range found {
		if len(kept) < 3 && !slices.ContainsFunc(kept, func(q stretch) bool { return s.from <= q.to && q.from <= s.to }) {
			kept = append(kept, s)
		}
	}
	slices.SortFunc(kept, func(a, b stretch) int { return a.from - b.from })
	var all []Plateau
	for _, s := range kept {
		all = append(all, k.plateau(s))
	}
	return all
}

// stands reports whether a stretch is long enough, in the range of metals that
// are melted here, and on the way from one side to the other.
func (k Course) stands(s stretch, far float64) bool {
	if s.to <= s.from {
		return false
	}
	a, b := k.Samples[s.from].At, k.Samples[s.to].At
	length := b.Since(a)
	if length < plateauLeast {
		return false
	}
	here := k.Samples[(s.from+s.to)/2].Value
	if here < plateauCold || here > plateauHot {
		return false
	}
	// What it was half as long before and after, ten minutes at most.
	way := quantity.Moment(min(max(length/2, 2*quantity.Minute), 10*quantity.Minute))
	before, ok1 := k.at(a - way)
	after, ok2 := k.at(b + way)
	if !ok1 || !ok2 {
		return false
	}
	rise, on := float64(here)-before, after-float64(here)
	return rise > far && on > far || rise < -far && on < -far
}

// plateau is the stretch as a plateau: its temperature is the median.
func (k Course) plateau(s stretch) Plateau {
	values := make([]int64, 0, s.to-s.from+1)
	for _, x := range k.Samples[s.from : s.to+1] {
		values = append(values, x.Value)
	}
	slices.Sort(values)
	p := Plateau{From: k.Samples[s.from].At, To: k.Samples[s.to].At, Temp: quantity.Temperature(values[len(values)/2])}
	before, _ := k.at(p.From - quantity.Moment(2*quantity.Minute))
	p.Falling = before > float64(p.Temp)
	return p
}

// at is the temperature at a time, ok where there are readings around it.
func (k Course) at(when quantity.Moment) (v float64, ok bool) {
	i := sort.Search(len(k.Samples), func(i int) bool { return k.Samples[i].At > when }) - 1
	if i < 0 || i+1 >= len(k.Samples) || k.gapped(i+1) {
		return 0, false
	}
	return between(k.Samples, i, when), true
}

// noise is the scatter of a course from one reading to the next as a standard
// deviation, from the median second difference, which heating leaves alone: of
// independent readings it has six times the variance of one.
func (k Course) noise() float64 {
	var all []float64
	for i := 2; i < len(k.Samples); i++ {
		all = append(all, math.Abs(float64(k.Samples[i].Value-2*k.Samples[i-1].Value+k.Samples[i-2].Value)))
	}
	if len(all) == 0 {
		return 0
	}
	slices.Sort(all)
	return 1.4826 * all[len(all)/2] / math.Sqrt(6)
}
