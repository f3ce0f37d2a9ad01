package main

import (
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"runtime/debug"
	"sync"
	"time"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/curve"
	"drosswise/foundry/melt"
	"drosswise/store"
	"drosswise/views"
)

// curves makes what the readings of melts come to beside the pages, a little
// after readings came, so that a page finds it ready.
type curves struct {
	store *store.Store
	log   *slog.Logger

	mu     sync.Mutex
	wanted map[int64]bool // melts
	busy   chan struct{}  // closed when nothing is being made; nil when nothing is
	cancel func()
}

// A curve is made of all of a melt's readings, so it is not made for each batch:
// readings come for curvesEvery before they are in it, and for curvesShare times
// as long as the last one took, so that a logger that catches up is not held up.
const (
	curvesEvery = 500 * time.Millisecond
	curvesShare = 10
)

// want has the report of a melt made soon.
func (c *curves) want(meltID int64) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.wanted == nil {
		return // ended
	}
	c.wanted[meltID] = true
	if c.busy != nil {
		return
	}
	var ctx context.Context
	ctx, c.cancel = context.WithCancel(context.Background())
	c.busy = make(chan struct{})
	go c.make(ctx, c.busy)
}

// make makes what is wanted until nothing is.
func (c *curves) make(ctx context.Context, done chan struct{}) {
	defer close(done)
	var took time.Duration
	for {
		select {
		case <-time.After(max(curvesEvery, curvesShare*took)):
		case <-ctx.Done():
		}
		c.mu.Lock()
		wanted := c.wanted
		if len(wanted) == 0 || ctx.Err() != nil {
			c.busy = nil
			c.cancel()
			c.mu.Unlock()
			return
		}
		c.wanted = map[int64]bool{}
		c.mu.Unlock()
		began := time.Now()
		for id := range wanted {
			if err := c.one(ctx, id); err != nil && ctx.Err() == nil {
				c.log.Error("curve", "melt", id, "err", err)
			}
		}
		took = time.Since(began)
	}
}

// one makes the report of a melt; a panic in that is an error.
func (c *curves) one(ctx context.Context, id int64) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("%v\n%s", p, debug.Stack())
		}
	}()
	_, err = c.store.MakeCurve(ctx, id)
	return err
}

// end stops what is being made and waits for it.
func (c *curves) end() {
	c.mu.Lock()
	c.wanted = nil
	busy, cancel := c.busy, c.cancel
	c.mu.Unlock()
	if busy != nil {
		cancel()
		<-busy
	}
}

// curveOf gives what the readings of a melt come to, with all series, and whether
// more has come since: then it is made anew. Only a report that was never made is
// waited for.
func (a *app) curveOf(ctx context.Context, meltID int64) (r curve.Report, all []store.Series, old bool, err error) {
	r, all, made, old, err := a.store.Curve(ctx, meltID)
	if err != nil || len(all) == 0 {
		return r, all, false, err
	}
	if !made {
		r, err = a.store.MakeCurve(ctx, meltID)
	}
	if old {
		a.curves.want(meltID)
	}
	return r, all, old, err
}

// curvesOf fills in what the page of a melt shows of its readings.
func (a *app) curvesOf(ctx context.Context, v visit, page *views.Melt) error {
	report, all, old, err := a.curveOf(ctx, page.Heading.ID)
	if err != nil || len(all) == 0 {
		return err
	}
	page.Curves = &views.Curves{Report: report, Old: old, NewKeys: newKey}
	for _, s := range all {
		shown := views.Series{ID: s.ID, Channel: s.Channel, Name: s.Name, Count: s.Samples, Shift: s.Shift}
		if k := s.Strike; k != nil {
			shown.Struck = &views.Struck{Reason: k.Reason, Who: page.Names.People[k.By], When: v.style.DateTime(k.At)}
		}
		page.Curves.Series = append(page.Curves.Series, shown)
	}
	return nil
}

func strikeSeries(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.markSeries(w, r, v, true)
}

func liftSeries(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.markSeries(w, r, v, false)
}

// markSeries strikes a series from the melt's page, or puts it back. The page
// then shows the curves without it, so the report is made first.
func (a *app) markSeries(w http.ResponseWriter, r *http.Request, v visit, struck bool) error {
	m, err := readMark(r, v, struck)
	if err != nil {
		return err
	}
	if err := a.strikeSeries(r.Context(), v, codeOf(r), pathID(chi.URLParam(r, "id")), m); err != nil {
		return err
	}
	a.flash(r, markedSentence(struck))
	return seeOther(w, r, "/melts/"+string(codeOf(r)))
}

// strikeSeries marks a series and makes the report of its melt anew.
func (a *app) strikeSeries(ctx context.Context, v visit, code melt.Code, id int64, m store.Mark) error {
	h, err := a.store.Heading(ctx, code)
	if err != nil {
		return err
	}
	if err := a.store.StrikeSeries(ctx, v.person.ID, code, id, m); err != nil {
		return err
	}
	_, err = a.store.MakeCurve(ctx, h.ID)
	return err
}
