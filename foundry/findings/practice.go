package findings

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// Practice is a way of working that may or may not pay.
type Practice string

// The ways of working that are asked about.
const (
	Drying     Practice = "drying"
	Preheating Practice = "preheating"
	HotMetal   Practice = "hot_metal" // charging into liquid or red-hot metal
	Heel       Practice = "heel"      // starting on liquid left from the melt before
	WithFlux   Practice = "flux"      // one Effect for each kind
	Hotter     Practice = "hotter"    // pouring 10 °C hotter
)

// HotterBy is the step that Hotter speaks of, °C.
const HotterBy = 10

// What is believed of an effect beforehand: most likely none, with this
// standard deviation. Five points for the whole charge, one point for ten
// degrees: wide beside the one to three points that such things are said to
// move, so that a dozen melts count for more. Judgement.
const (
	effectSD = 0.05
	hotterSD = 0.01
)

// column is a practice as the melts show it.
type column struct {
	practice Practice
	kind     string
	sd       float64
	value    []float64 // of each melt
	known    []bool
	with     []bool // which side the melt counts on
}

// columns are all practices that any melt could tell of, in a fixed order.
func columns(melts []Melt) []column {
	share := func(get func(Melt) *float64) func(Melt) (float64, bool) {
		return func(m Melt) (float64, bool) { return value(get(m)) }
	}
	all := []column{
		read(Drying, melts, share(func(m Melt) *float64 { return m.Dried })),
		read(Preheating, melts, share(func(m Melt) *float64 { return m.Preheated })),
		read(HotMetal, melts, share(func(m Melt) *float64 { return m.IntoHot })),
		read(Heel, melts, func(m Melt) (float64, bool) {
			kg, known := value(m.HeelIn)
			if kg > 0 {
				kg = 1
			}
			return kg, known
		}),
	}
	for _, kind := range fluxes(melts) {
		c := read(WithFlux, melts, func(m Melt) (float64, bool) {
			if slices.ContainsFunc(m.Flux, func(f Flux) bool { return f.Kind == kind }) {
				return 1, true
			}
			return 0, !m.FluxOpen
		})
		c.kind = kind
		all = append(all, c)
	}
	hot := read(Hotter, melts, func(m Melt) (float64, bool) {
		t, known := value(m.Pour)
		return t / HotterBy, known
	})
	hot.sd = hotterSD
	return append(all, hot.halved())
}

func value(x *float64) (float64, bool) {
	if x == nil {
		return 0, false
	}
	return *x, true
}

// read makes a column; a melt counts as with the practice from half the charge
// on.
func read(p Practice, melts []Melt, get func(Melt) (float64, bool)) column {
	n := len(melts)
	c := column{practice: p, sd: effectSD, value: make([]float64, n), known: make([]bool, n), with: make([]bool, n)}
	for i, m := range melts {
		c.value[i], c.known[i] = get(m)
		c.with[i] = c.known[i] && c.value[i] >= 0.5
	}
	return c
}

// halved sets the sides of a column of degrees: hotter than the middle or not.
func (c column) halved() column {
	var all []float64
	for i, v := range c.value {
		if c.known[i] {
			all = append(all, v)
		}
	}
	if len(all) == 0 {
		return c
	}
	slices.Sort(all)
	middle := all[len(all)/2]
	if all[0] == middle { // more than half at the coldest
		middle = all[len(all)-1]
	}
	for i, v := range c.value {
		c.with[i] = c.known[i] && v >= middle && middle > all[0]
	}
	return c
}

// fluxes are the kinds that were used, in order.
func fluxes(melts []Melt) []string {
	var kinds []string
	for _, m := range melts {
		for _, f := range m.Flux {
			if !slices.Contains(kinds, f.Kind) {
				kinds = append(kinds, f.Kind)
			}
		}
	}
	slices.Sort(kinds)
	return kinds
}

// middle is the mean of a column over the melts that know it.
func (c column) middle(rows []int) float64 {
	sum, n := 0.0, 0.0
	for _, i := range rows {
		if c.known[i] {
			sum, n = sum+c.value[i], n+1
		}
	}
	if n == 0 {
		return 0
	}
	return sum / n
}

// sides counts the melts with and without.
func (c column) sides(rows []int) (with, without int) {
	for _, i := range rows {
		switch {
		case !c.known[i]:
		case c.with[i]:
			with++
		default:
			without++
		}
	}
	return with, without
}

// Tie is a source that a practice was always used with.
type Tie struct {
	Source int64 `json:"source"`
	// Apart is true when the source was charged without the practice too: then
	// the effect is known, but of this source only. When it is false, nobody
	// can tell the practice from the source.
	Apart bool `json:"apart"`
}

// tied is the share of a charge from which a source counts as being in it.
const tied = 0.1

// ties are the sources in every melt with the practice, but not in all melts.
func (c column) ties(rows []int, blends [][]part) []Tie {
	k := slices.IndexFunc(rows, func(i int) bool { return c.with[i] })
	if k < 0 {
		return nil
	}
	var all []Tie
	for _, s := range blends[rows[k]] { // any other is missing here already
		missing, without, elsewhere := false, false, false
		for _, i := range rows {
			in := slices.ContainsFunc(blends[i], func(p part) bool { return p.source == s.source && p.share >= tied })
			switch {
			case !c.known[i]:
			case c.with[i]:
				missing = missing || !in
			case in:
				without = true
			default:
				elsewhere = true
			}
		}
		if !missing && elsewhere {
			all = append(all, Tie{s.source, without})
		}
	}
	return all
}

// Twin is a practice that nearly always went with another.
type Twin struct {
	Practice Practice `json:"practice"`
	Kind     string   `json:"kind,omitempty"` // of flux
}

// together is the correlation from which two practices cannot be told apart.
// Judgement.
const together = 0.95

// twins are the other columns that this one, number k, goes with.
func (c column) twins(k int, all []column, rows []int) []Twin {
	var list []Twin
	for i, other := range all {
		if i != k && math.Abs(c.correlation(other, rows)) > together {
			list = append(list, Twin{other.practice, other.kind})
		}
	}
	return list
}

// correlation is that of two columns over the melts that know both, 0 where
// one of them never changes.
func (c column) correlation(other column, rows []int) float64 {
	var x, y []float64
	for _, i := range rows {
		if c.known[i] && other.known[i] {
			x, y = append(x, c.value[i]), append(y, other.value[i])
		}
	}
	if len(x) < 2 {
		return 0
	}
	if r := stat.Correlation(x, y, nil); !math.IsNaN(r) {
		return r
	}
	return 0
}
