package wear

import (
	"cmp"
	"slices"
)

// Series are the readings of a set on one basis, by hours hot.
type Series struct {
	Points []Point `json:"points"`
	// Apart are readings on another basis, which cannot be laid beside these: the
	// wire has no table to bring hot ohms back to cold ones. They are not used.
	Apart   []Point   `json:"apart,omitempty"`
	Hot     bool      `json:"hot"` // the basis is ohms as they are hot
	Refused []Refusal `json:"refused,omitempty"`
	// New is what the rise is counted from, in Ω on the basis: new and cold as
	// written, or else the first reading (FromFirst). 0 without either.
	New       float64 `json:"new"`
	FromFirst bool    `json:"from_first"`
	newWay    Way
}

// Gather brings readings to one basis. What cannot be counted is refused and
// changes nothing.
func Gather(s Set, readings []Reading) Series {
	var series Series
	var cold, hot []Point
	expected := known(s, readings)
	for _, r := range readings {
		if faults := r.Check(s, expected); len(faults) > 0 {
			series.Refused = append(series.Refused, faults...)
			continue
		}
		if p, brought := r.point(s); brought {
			cold = append(cold, p)
		} else {
			hot = append(hot, p)
		}
	}
	series.Points, series.Apart = cold, hot
	if len(hot) > len(cold) {
		series.Points, series.Apart, series.Hot = hot, cold, true
	}
	for _, list := range [][]Point{series.Points, series.Apart} {
		slices.SortFunc(list, inOrder)
	}
	slices.SortStableFunc(series.Refused, func(a, b Refusal) int {
		return cmp.Or(cmp.Compare(a.ID, b.ID), cmp.Compare(a.Field, b.Field), cmp.Compare(a.Fault, b.Fault))
	})
	series.count(s)
	return series
}

// inOrder is by hours, and then by all that tells readings apart, so that the
// order they came in does not matter.
func inOrder(a, b Point) int {
	return cmp.Or(cmp.Compare(a.Hours, b.Hours), cmp.Compare(a.ID, b.ID), cmp.Compare(a.Ohms, b.Ohms), cmp.Compare(a.U, b.U))
}

// count settles what the rise is counted from.
func (series *Series) count(s Set) {
	if s.New != nil && *s.New > 0 && !series.Hot {
		series.New, series.newWay = s.New.Ohms(), Cold
		return
	}
	for _, p := range series.Points {
		if !p.LeftOut {
			series.New, series.newWay, series.FromFirst = p.Ohms, p.Way, true
			return
		}
	}
}

// known are the ohms that the set should have, more or less: new as written, or
// as built of its wire, or the middle of three readings or more. 0 when nobody
// can say.
func known(s Set, readings []Reading) float64 {
	switch {
	case s.New != nil && *s.New > 0:
		return s.New.Ohms()
	case s.Built != nil && *s.Built > 0:
		return s.Built.Ohms()
	}
	var all []float64
	for _, r := range readings {
		if len(r.Check(s, 0)) == 0 {
			p, _ := r.point(s)
			all = append(all, p.Ohms)
		}
	}
	if len(all) < 3 {
		return 0
	}
	return median(all)
}

// shared is the doubt of the wire's table, as a share, that readings of the two
// ways have between them.
func (series Series) shared() float64 {
	widest := 0.0
	for _, p := range series.Points {
		widest = max(widest, p.Shared)
	}
	return widest
}
