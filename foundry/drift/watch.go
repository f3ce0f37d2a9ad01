package drift

import "math"

// The charts, as their run lengths were found to suit: on average 371 (EWMA)
// and 465 (CUSUM) melts between false alarms, some ten melts to a rise of one
// standard deviation (Lucas and Saccucci 1990; recomputed).
const (
	lambda, width = 0.2, 2.86
	slack, bound  = 0.5, 5
	// lone is the |Q| from which a single melt is doubted. It is neither learnt
	// from nor charted, so that a misread meter can neither spoil the expectation
	// nor pass for a change that stays. Two in a row the same way are a change.
	lone = 3.5
)

// Row is one melt as a chart takes it: y is explained by x.
type Row struct {
	ID    int64
	Code  string // as people call the melt, such as A26-041
	X     []float64
	Y     float64
	Reset bool // something was renewed before it: the baseline begins here
}

// Close is how a person closed an alarm.
type Close string

// Ways to close an alarm.
const (
	RealChange Close = "real_change" // a new baseline from the first changed melt on
	OneOff     Close = "one_off"     // those melts are left out and the baseline goes on
	// Renewed closes an alarm by itself when a part is renewed after it, Joined one
	// of a lone melt that proved to belong to a change.
	Renewed Close = "renewed"
	Joined  Close = "joined"
)

// Sign is what raised an alarm.
type Sign string

// Signs, the strongest claim first.
const (
	ByEWMA  Sign = "ewma"
	ByCUSUM Sign = "cusum"
	ByTwo   Sign = "two"    // two lone melts in a row
	ByOne   Sign = "single" // one melt by itself, not a change that stays
)

// Point is one melt on the chart.
type Point struct {
	ID       int64    `json:"id"`
	Code     string   `json:"code"`
	Y        float64  `json:"y"`
	Expected *float64 `json:"expected"` // nil where the melts before cannot tell
	Q        *float64 `json:"q"`        // standardised one-step residual; nil below LeastForChart melts
	EWMA     float64  `json:"ewma"`
	Limit    float64  `json:"ewma_limit"` // either way; 0 where there is no chart
	High     float64  `json:"cusum_high"`
	Low      float64  `json:"cusum_low"` // counted downwards, not negative
	Signs    []Sign   `json:"signs"`
	Open     bool     `json:"open"`     // a change was open after it
	Baseline int      `json:"baseline"` // melts that the expectation rests on
}

// Charted is a series of melts with its chart.
type Charted struct {
	Points   []Point `json:"points"`
	Alarms   []Alarm `json:"alarms"`
	Baseline []int64 `json:"baseline"` // melts that the present expectation rests on
	Misread  []int64 `json:"misread"`  // of these, the ones that do not fit the others
}

// Open is the change that is still open, nil when there is none.
func (c Charted) Open() *Alarm {
	if n := len(c.Alarms); n > 0 && c.Alarms[n-1].Close == "" && c.Alarms[n-1].Sign != ByOne {
		return &c.Alarms[n-1]
	}
	return nil
}

// Lone are the alarms of single melts that are still open.
func (c Charted) Lone() (list []Alarm) {
	for _, a := range c.Alarms {
		if a.Close == "" && a.Sign == ByOne {
			list = append(list, a)
		}
	}
	return list
}

// Watch charts rows in order of time. closed says how alarms were closed, by
// the melt that raised them; an entry for a melt that raises none does nothing.
// least is the smallest scatter that is believed, in units of Y. All rows have
// the same number of columns; rows with numbers that cannot be worked with are
// left out. While a change is open nothing more is learnt: taken into the
// expectation it would hide itself. A lone melt stops nothing.
func Watch(rows []Row, closed map[int64]Close, least float64) Charted {
	w := watch{least: least, closed: closed, out: Charted{Points: []Point{}, Alarms: []Alarm{}}}
	for _, r := range rows {
		if !sound(r.Y) || !sound(r.X...) {
			continue
		}
		if w.fit == nil || r.Reset {
			w.begin(r)
		}
		w.take(r)
	}
	w.finish()
	return w.out
}

// watch is a chart on its way through the melts.
type watch struct {
	least  float64
	closed map[int64]Close
	out    Charted

	fit   *Fit
	trail []seen // the melts since the baseline began, until a change opened
	ewma  EWMA
	cusum CUSUM
	alone float64 // Q of the melt before when it was a lone one, or 0
	open  *Alarm  // the change in out.Alarms that is open
}

// seen is a melt on the trail. A lone one was neither learnt from nor charted;
// alone is its Q, and 0 for any other.
type seen struct {
	Row
	alone float64
}

// begin starts a new baseline.
func (w *watch) begin(r Row) {
	for i := range w.out.Alarms {
		if a := &w.out.Alarms[i]; a.Close == "" {
			a.Close = Renewed
		}
	}
	w.relearn(len(r.X), nil)
}

// relearn takes up rows afresh and clears the charts.
func (w *watch) relearn(columns int, rows []Row) {
	w.fit, w.trail, w.open, w.alone = NewFit(columns), nil, nil, 0
	w.ewma, w.cusum = EWMA{Lambda: lambda, L: width}, CUSUM{K: slack, H: bound}
	for _, r := range rows {
		w.learn(r)
	}
}

func (w *watch) learn(r Row) {
	w.fit.Add(r.X, r.Y)
	w.trail = append(w.trail, seen{Row: r})
}

// take puts the next row on the chart and then learns from it, or not.
func (w *watch) take(r Row) {
	p := w.point(r)
	switch {
	case w.open != nil:
		w.open.since = append(w.open.since, r)
	case len(p.Signs) == 0:
		w.learn(r)
	case p.Signs[0] == ByOne:
		w.doubt(r, p)
	default:
		w.raise(r, p)
	}
	p.Open = w.open != nil
	w.out.Points = append(w.out.Points, p)
}

// point judges a row by the rows before it.
func (w *watch) point(r Row) Point {
	p := Point{ID: r.ID, Code: r.Code, Y: r.Y, Baseline: w.fit.N(), Signs: []Sign{}}
	if y, _, ok := w.fit.Predict(r.X); ok {
		p.Expected = &y
	}
	if w.fit.N() < LeastForChart-1 {
		return p
	}
	q, ok := w.fit.Residual(r.X, r.Y, w.least)
	if !ok {
		return p
	}
	p.Q = &q
	w.chart(&p, q)
	p.EWMA, p.Limit = w.ewma.z, w.ewma.Limit(w.ewma.n)
	p.High, p.Low = w.cusum.High, w.cusum.Low
	return p
}

// chart moves the charts on and notes the signs of a point.
func (w *watch) chart(p *Point, q float64) {
	if math.Abs(q) > lone {
		sign := ByOne
		if w.alone*q > 0 {
			sign = ByTwo
		}
		p.Signs, w.alone = append(p.Signs, sign), q
		return
	}
	w.alone = 0
	z, limit := w.ewma.Add(q)
	w.cusum.Add(q)
	if math.Abs(z) > limit {
		p.Signs = append(p.Signs, ByEWMA)
	}
	if w.cusum.High > bound || w.cusum.Low > bound {
		p.Signs = append(p.Signs, ByCUSUM)
	}
}

// finish works out what is only known at the end.
func (w *watch) finish() {
	for i := range w.out.Alarms {
		a := &w.out.Alarms[i]
		a.size(w.least)
		a.follow(w.out.Points)
	}
	w.out.Baseline, w.out.Misread = []int64{}, []int64{}
	for _, r := range w.trail {
		if r.alone != 0 {
			continue
		}
		w.out.Baseline = append(w.out.Baseline, r.ID)
		if t, ok := w.fit.Studentised(r.X, r.Y); ok && (t > lone || t < -lone) {
			w.out.Misread = append(w.out.Misread, r.ID)
		}
	}
}
