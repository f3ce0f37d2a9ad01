package drift

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"drosswise/foundry/recovery"
)

// Alarm is a change that was noticed, or a melt that stands alone.
type Alarm struct {
	ID         int64           `json:"id"` // the melt that raised it
	Code       string          `json:"code"`
	Sign       Sign            `json:"sign"`
	Up         bool            `json:"up"`
	ChangeID   int64           `json:"change_id"` // the first melt of the change, as estimated
	ChangeCode string          `json:"change_code"`
	Before     int             `json:"before"` // melts of the baseline
	Since      int             `json:"since"`  // melts from the change on, as far as they count
	Size       *recovery.Range `json:"size"`   // of Y for a melt; nil where the melts do not tell it
	Share      *recovery.Range `json:"share"`  // Size over what such a melt took before
	Later      int             `json:"later"`  // melts after the one that raised it
	Back       int             `json:"back"`   // of these, the ones that took what was expected
	Close      Close           `json:"close"`  // empty while it is open

	before, since []Row
}

// doubt raises the alarm of a lone melt.
func (w *watch) doubt(r Row, p Point) {
	a := Alarm{ID: r.ID, Code: r.Code, Sign: ByOne, Up: w.up(p), ChangeID: r.ID, ChangeCode: r.Code}
	a.before, a.since = w.learnt(len(w.trail)), []Row{r}
	a.Close = w.said(r.ID)
	w.out.Alarms = append(w.out.Alarms, a)
	if a.Close == RealChange {
		w.relearn(len(r.X), a.since)
		return
	}
	w.trail = append(w.trail, seen{r, *p.Q})
}

// raise opens a change at a row, and closes it at once where a person has said
// how.
func (w *watch) raise(r Row, p Point) {
	a := Alarm{ID: r.ID, Code: r.Code, Sign: p.Signs[0], Up: w.up(p), Close: w.said(r.ID)}
	cut := w.began(a)
	a.before = w.learnt(cut)
	for _, s := range w.trail[cut:] {
		if s.alone == 0 || s.alone > 0 == a.Up { // one that goes the other way is no part of it
			a.since = append(a.since, s.Row)
		}
	}
	a.since = append(a.since, r)
	a.ChangeID, a.ChangeCode = a.since[0].ID, a.since[0].Code
	w.join(a)
	w.out.Alarms = append(w.out.Alarms, a)
	switch a.Close {
	case RealChange:
		w.relearn(len(r.X), a.since)
	case OneOff:
		w.relearn(len(r.X), a.before)
	default:
		w.open = &w.out.Alarms[len(w.out.Alarms)-1]
	}
}

// began is the place on the trail where a change began: after the last melt at
// which the CUSUM of its direction was zero (Page 1954), or at the lone melt
// before.
func (w *watch) began(a Alarm) int {
	back := w.cusum.SinceLow - 1 // charted melts before the one that raised it
	switch {
	case a.Sign == ByTwo:
		return len(w.trail) - 1
	case a.Up:
		back = w.cusum.SinceHigh - 1
	}
	cut := len(w.trail)
	for ; cut > 0 && back > 0; cut-- {
		if w.trail[cut-1].alone == 0 {
			back--
		}
	}
	return cut
}

// said is how a person closed the alarm of a melt, empty when nobody did.
func (w *watch) said(id int64) Close {
	if how := w.closed[id]; how == RealChange || how == OneOff {
		return how
	}
	return ""
}

// learnt are the rows of the trail's first n melts that were learnt from.
func (w *watch) learnt(n int) (rows []Row) {
	for _, s := range w.trail[:n] {
		if s.alone == 0 {
			rows = append(rows, s.Row)
		}
	}
	return rows
}

// join closes the alarms of lone melts that belong to a change.
func (w *watch) join(change Alarm) {
	for i := range w.out.Alarms {
		a := &w.out.Alarms[i]
		belongs := slices.ContainsFunc(change.since, func(r Row) bool { return r.ID == a.ID })
		if belongs && a.Close == "" {
			a.Close = Joined
		}
	}
}

// up reports which way the signs of a point go.
func (w *watch) up(p Point) bool {
	switch p.Signs[0] {
	case ByEWMA:
		return p.EWMA > 0
	case ByCUSUM:
		return p.High > bound
	}
	return *p.Q > 0
}

// usual is the |Q| below which a later melt took what was expected: nine in ten
// do, without a change.
const usual = normal90

// follow counts the melts after the alarm, up to a renewal.
func (a *Alarm) follow(points []Point) {
	at := slices.IndexFunc(points, func(p Point) bool { return p.ID == a.ID })
	for _, p := range points[at+1:] {
		if p.Baseline == 0 {
			return
		}
		a.Later++
		if p.Q != nil && math.Abs(*p.Q) < usual {
			a.Back++
		}
	}
}

// size is the coefficient of a column that is 1 from the change on, in a fit of
// the melts before and since. The change was picked because it stood out, so
// right at the alarm a rise of one standard deviation comes out a third too
// large (in simulated histories); it settles with more melts.
func (a *Alarm) size(least float64) {
	a.Before, a.Since = len(a.before), len(a.since)
	columns := len(a.since[0].X)
	fit := NewFit(columns + 1)
	take := func(rows []Row, step float64) (mean float64) {
		for _, r := range rows {
			fit.Add(append(slices.Clone(r.X), step), r.Y)
			mean += r.Y / float64(len(rows))
		}
		return mean
	}
	take(a.before, 0)
	mean := take(a.since, 1)
	size, se, ok := fit.Coef(columns)
	if !ok {
		return
	}
	t := distuv.StudentsT{Sigma: 1, Nu: float64(fit.DF())}.Quantile(0.95) * max(se, least)
	a.Size = &recovery.Range{Low: size - t, Middle: size, High: size + t}
	if was := mean - size; was > 0 {
		a.Share = &recovery.Range{Low: (size - t) / was, Middle: size / was, High: (size + t) / was}
	}
}
