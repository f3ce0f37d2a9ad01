package drift

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"drosswise/foundry/recovery"
)

// raise opens an alarm at a row, and closes it at once where a person has said
// how.
func (w *watch) raise(r Row, p Point) {
	a := Alarm{ID: r.ID, Code: r.Code, Sign: p.Signs[0], Up: w.up(p)}
	w.split(&a, r)
	w.out.Alarms = append(w.out.Alarms, a)
	w.open = &w.out.Alarms[len(w.out.Alarms)-1]
	how := w.closed[r.ID]
	if how != RealChange && how != OneOff {
		return
	}
	w.open.Close = how
	w.settle()
	rows := w.open.since
	if how == OneOff {
		rows = w.open.before
	}
	w.relearn(len(r.X), rows)
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

// split estimates where the change began: after the last melt at which the
// CUSUM of its direction was zero (Page 1954), or with the row itself when it
// stands alone.
func (w *watch) split(a *Alarm, r Row) {
	back := 0 // melts of the baseline that belong to the change
	if a.Sign != ByOne {
		back = w.cusum.SinceLow - 1
		if a.Up {
			back = w.cusum.SinceHigh - 1
		}
		back = min(max(back, 0), len(w.base))
	}
	cut := len(w.base) - back
	a.before = append([]Row(nil), w.base[:cut]...)
	a.since = append(append([]Row(nil), w.base[cut:]...), r)
	a.ChangeID, a.ChangeCode = a.since[0].ID, a.since[0].Code
}

// follow adds a row to the open alarm. A lone melt that is followed by a chart's
// sign the same way was the beginning of a change.
func (w *watch) follow(r Row, p Point) {
	a := w.open
	a.since = append(a.since, r)
	if a.Sign == ByOne && len(p.Signs) > 0 && p.Signs[0] != ByOne && w.up(p) == a.Up {
		a.Sign = p.Signs[0]
	}
	a.Later++
	if p.Q != nil && math.Abs(*p.Q) < usual {
		a.Back++
	}
}

// usual is the |Q| below which a melt under an open alarm took what was
// expected: nine in ten do, without a change.
const usual = normal90

// settle works out the size of the open alarm: the coefficient of a column that
// is 1 from the change on, in a fit of the melts before and since. Of a lone
// melt it is that melt's. The change was picked because it stood out, so right
// at the alarm a rise of one standard deviation comes out a third too large (in
// simulated histories); it settles with more melts.
func (w *watch) settle() {
	if w.open == nil {
		return
	}
	a := w.open
	a.Before, a.Since = len(a.before), len(a.since)
	if len(a.before) == 0 {
		return
	}
	columns := len(a.before[0].X)
	fit := NewFit(columns + 1)
	for _, r := range a.before {
		fit.Add(append(append([]float64(nil), r.X...), 0), r.Y)
	}
	mean := 0.0
	since := a.since
	if a.Sign == ByOne {
		since = since[:1]
	}
	for _, r := range since {
		fit.Add(append(append([]float64(nil), r.X...), 1), r.Y)
		mean += r.Y / float64(len(since))
	}
	size, se, ok := fit.Coef(columns)
	if !ok {
		return
	}
	t := distuv.StudentsT{Sigma: 1, Nu: float64(fit.DF())}.Quantile(0.95) * max(se, w.least)
	a.Size = &recovery.Range{Low: size - t, Middle: size, High: size + t}
	if was := mean - size; was > 0 {
		a.Share = &recovery.Range{Low: (size - t) / was, Middle: size / was, High: (size + t) / was}
	}
}
