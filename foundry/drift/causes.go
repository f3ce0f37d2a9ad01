package drift

import (
	"cmp"
	"slices"
)

// Finding is what the records say of a cause.
type Finding string

// Findings, in the order in which causes are listed.
const (
	Supports Finding = "supports" // the 90 % range of the change lies on its side
	Noted    Finding = "noted"    // somebody wrote it down; there is no figure
	Unknown  Finding = "unknown"  // nothing, or too little, was written down
	NotSeen  Finding = "not_seen" // the range holds no change
	Against  Finding = "against"  // it went the other way, or was checked and found within its ±
)

var order = []Finding{Supports, Noted, Unknown, NotSeen, Against}

// Likely is a cause and its evidence. It is a hint where to look first and
// proves nothing: a clue without any bearing supports by chance once in twenty
// times, and eight are asked.
type Likely struct {
	Cause      Cause       `json:"cause"`
	Clue       string      `json:"clue"` // what was read
	Finding    Finding     `json:"finding"`
	Shift      *Shift      `json:"shift"`      // nil where there is no figure
	Instrument *Instrument `json:"instrument"` // of meter, scale and probe
	chance     float64     // of a support that comes about by itself
}

// window is how many melts before the change, and since, are compared: what
// happened long before has no bearing.
const window = 20

// Causes lists what may have made the change of an alarm, the best supported
// first. melts are those that the course was made of.
func Causes(melts []Melt, c Course, a Alarm, s Settings, tools Tools) []Likely {
	before, since := nearby(melts, a)
	volts := rule(melts, s)
	list := []Likely{}
	for _, clue := range clues {
		sign := way(clue.energy, clue.time, c.Kind, a.Up)
		if sign == 0 {
			continue
		}
		l := clue.judge(before, since, volts, sign)
		if clue.cause == Supply && c.Kind == OfTime && l.Shift != nil {
			continue // the time is corrected for volts that are known
		}
		list = append(list, l)
	}
	for _, check := range checks {
		if sign := way(check.energy, check.time, c.Kind, a.Up); sign != 0 {
			list = append(list, check.judge(tools, sign, since))
		}
	}
	list = noteLining(list, since)
	slices.SortStableFunc(list, func(x, y Likely) int {
		if d := cmp.Compare(slices.Index(order, x.Finding), slices.Index(order, y.Finding)); d != 0 {
			return d
		}
		return cmp.Compare(x.chance, y.chance)
	})
	return list
}

// nearby gives the melts just before the change and the first ones since.
func nearby(melts []Melt, a Alarm) (before, since []Melt) {
	ids := func(rows []Row) (ids []int64) {
		for _, r := range rows {
			ids = append(ids, r.ID)
		}
		return ids
	}
	before, since = baseline(melts, ids(a.before)), baseline(melts, ids(a.since))
	return before[max(0, len(before)-window):], since[:min(len(since), window)]
}

func (c clue) judge(before, since []Melt, volts float64, sign int) Likely {
	l := Likely{Cause: c.cause, Clue: c.name, Finding: Unknown}
	l.Shift = shift(c.readings(before, volts), c.readings(since, volts), c.step)
	if l.Shift == nil {
		return l
	}
	low, high := l.Shift.Change.Low*float64(sign), l.Shift.Change.High*float64(sign)
	if sign < 0 {
		low, high = high, low
	}
	switch {
	case low > 0:
		l.Finding, l.chance = Supports, l.Shift.chance(sign)
	case high < 0:
		l.Finding = Against
	default:
		l.Finding = NotSeen
	}
	return l
}

// judge asks the last check of an instrument, unless it came before the change.
func (c check) judge(tools Tools, sign int, since []Melt) Likely {
	l := Likely{Cause: c.cause, Clue: "check", Finding: Unknown, Instrument: c.of(tools)}
	last, ok := l.Instrument.last()
	if !ok || len(since) == 0 {
		return l
	}
	switch {
	case last.At < since[0].Started:
	case last.Verdict == Within:
		l.Finding = Against
	case last.Verdict == Beyond && last.Error.Middle*float64(sign) > 0:
		l.Finding, l.chance = Supports, last.chance
	case last.Verdict == Beyond:
		l.Finding = Against
	}
	return l
}

// noteLining turns an unknown lining into a noted one when a melt since the
// change says so.
func noteLining(list []Likely, since []Melt) []Likely {
	if !slices.ContainsFunc(since, func(m Melt) bool { return m.LiningNoted }) {
		return list
	}
	for i := range list {
		if list[i].Cause == Lining && list[i].Finding != Supports {
			list[i].Finding = Noted
		}
	}
	return list
}
