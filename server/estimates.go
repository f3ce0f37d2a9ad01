package main

import (
	"context"
	"log/slog"
	"sync"
	"time"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/store"
)

// estimates keeps what all melts together say of each source. No page waits
// for it: while melts have changed, the last estimate is shown with its time
// and a new one is made beside.
type estimates struct {
	store *store.Store
	log   *slog.Logger

	mu     sync.Mutex
	last   *estimated
	making chan struct{} // closed when the one being made is there; nil when none is
}

// estimated is an estimate and what it was made from.
type estimated struct {
	*recovery.Estimates
	found
	At      quantity.Moment
	batches map[int64]recovery.BatchFit // deliveries against all other melts, by delivery
	changes uint64

	histories sync.Map // of *history, by source
}

// history is how an estimate came about, once it is worked out.
type history struct {
	done   chan struct{}
	points []recovery.Point
}

// history is how the estimate of a source came about. It is worked out when it
// is first asked for, since it reads all melts; a page waits for that as little
// as for a first estimate, and then shows none.
func (e *estimated) history(source int64) []recovery.Point {
	kept, had := e.histories.LoadOrStore(source, &history{done: make(chan struct{})})
	h := kept.(*history)
	if !had {
		go func() {
			h.points = e.History(source, pointsShown)
			close(h.done)
		}()
	}
	select {
	case <-h.done:
		return h.points
	case <-time.After(firstWait):
		return nil
	}
}

// firstWait is how long the very first page after a start waits for the very
// first estimate, which a shop of a few hundred melts has sooner.
const firstWait = 200 * time.Millisecond

// latest gives the last estimate, nil while there is none yet; old says that
// a newer one is being made.
func (e *estimates) latest(ctx context.Context) (est *estimated, old bool) {
	e.mu.Lock()
	est, old = e.last, e.last == nil || e.last.changes != e.store.Changes()
	if old && e.making == nil {
		e.making = make(chan struct{})
		go e.make(e.making)
	}
	making := e.making
	e.mu.Unlock()
	if est != nil {
		return est, old
	}
	select {
	case <-making:
	case <-time.After(firstWait):
	case <-ctx.Done():
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.last, e.last == nil
}

// make makes an estimate and keeps it.
func (e *estimates) make(done chan struct{}) {
	defer close(done)
	made, err := e.estimate(context.Background())
	if err != nil {
		e.log.Error("estimate", "err", err)
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	e.making = nil
	if made != nil {
		e.last = made
	}
}

// estimate works out all that is read from all melts together.
func (e *estimates) estimate(ctx context.Context) (*estimated, error) {
	made := &estimated{At: e.store.Now(), changes: e.store.Changes(), batches: map[int64]recovery.BatchFit{}}
	shop, melts, err := e.store.Melted(ctx)
	if err != nil {
		return nil, err
	}
	lots, err := e.store.Batches(ctx)
	if err != nil {
		return nil, err
	}
	kits, err := e.store.Kit(ctx)
	if err != nil {
		return nil, err
	}
	settings, err := e.store.Shop(ctx)
	if err != nil {
		return nil, err
	}
	made.Estimates = recovery.Estimate(shop, recovery.Settings{})
	for _, fit := range made.Batches(lots) {
		made.batches[fit.ID] = fit
	}
	made.found = find(made.Estimates, melts, kits, settings.Style().Zone)
	return made, nil
}
