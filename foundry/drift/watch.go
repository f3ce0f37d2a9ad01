package drift

import "drosswise/foundry/recovery"

// The charts, as their run lengths were found to suit: on average 371 (EWMA)
// and 465 (CUSUM) melts between false alarms, some ten melts to a rise of one
// standard deviation (Lucas and Saccucci 1990; recomputed).
const (
	lambda, width = 0.2, 2.86
	slack, bound  = 0.5, 5
	// lone is the |Q| from which a single melt is doubted. A value beyond it
	// enters the charts as this much, so that one misread meter alone cannot
	// pass for a change that stays.
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
	// Renewed closes an alarm by itself when a part is renewed after it.
	Renewed Close = "renewed"
)

// Sign is what raised an alarm.
type Sign string

// Signs, the strongest claim first.
const (
	ByEWMA  Sign = "ewma"
	ByCUSUM Sign = "cusum"
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
	Open     bool     `json:"open"`     // an alarm was open after it
	Baseline int      `json:"baseline"` // melts that the expectation rests on
}

// Alarm is a change that was noticed.
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

// Charted is a series of melts with its chart.
type Charted struct {
	Points   []Point `json:"points"`
	Alarms   []Alarm `json:"alarms"`
	Baseline []int64 `json:"baseline"` // melts that the present expectation rests on
	Misread  []int64 `json:"misread"`  // of these, the ones that do not fit the others
}

// Open is the alarm that is still open, nil when there is none.
func (c Charted) Open() *Alarm {
	if n := len(c.Alarms); n > 0 && c.Alarms[n-1].Close == "" {
		return &c.Alarms[n-1]
	}
	return nil
}

// Watch charts rows in order of time. closed says how alarms were closed, by
// the melt that raised them; an entry for a melt that raises none does nothing.
// least is the smallest scatter that is believed, in units of Y. All rows have
// the same number of columns; rows with numbers that cannot be worked with are
// left out. While an alarm is open nothing more is learnt: a change that were
// taken into the expectation would hide itself.
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
	w.settle()
	w.out.Baseline, w.out.Misread = w.doubts()
	return w.out
}

// watch is a chart on its way through the melts.
type watch struct {
	least  float64
	closed map[int64]Close
	out    Charted

	fit   *Fit
	base  []Row // what fit has taken up
	ewma  EWMA
	cusum CUSUM
	open  *Alarm // in out.Alarms
}

// begin starts a new baseline.
func (w *watch) begin(r Row) {
	if w.open != nil {
		w.open.Close = Renewed
		w.settle()
	}
	w.relearn(len(r.X), nil)
}

// relearn takes up rows afresh and clears the charts.
func (w *watch) relearn(columns int, rows []Row) {
	w.fit, w.base, w.open = NewFit(columns), nil, nil
	w.ewma, w.cusum = EWMA{Lambda: lambda, L: width}, CUSUM{K: slack, H: bound}
	for _, r := range rows {
		w.learn(r)
	}
}

func (w *watch) learn(r Row) {
	w.fit.Add(r.X, r.Y)
	w.base = append(w.base, r)
}

// take puts the next row on the chart and then learns from it, or not.
func (w *watch) take(r Row) {
	p := w.point(r)
	switch {
	case w.open != nil:
		w.follow(r, p)
	case len(p.Signs) > 0:
		w.raise(r, p)
	default:
		w.learn(r)
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
	held := min(max(q, -lone), lone)
	p.EWMA, p.Limit = w.ewma.Add(held)
	w.cusum.Add(held)
	p.High, p.Low = w.cusum.High, w.cusum.Low
	if p.EWMA > p.Limit || p.EWMA < -p.Limit {
		p.Signs = append(p.Signs, ByEWMA)
	}
	if p.High > bound || p.Low > bound {
		p.Signs = append(p.Signs, ByCUSUM)
	}
	if q > lone || q < -lone {
		p.Signs = append(p.Signs, ByOne)
	}
	return p
}

// doubts lists the baseline and its melts that do not fit the others.
func (w *watch) doubts() (base, misread []int64) {
	base, misread = []int64{}, []int64{}
	for _, r := range w.base {
		base = append(base, r.ID)
		if t, ok := w.fit.Studentised(r.X, r.Y); ok && (t > lone || t < -lone) {
			misread = append(misread, r.ID)
		}
	}
	return base, misread
}
