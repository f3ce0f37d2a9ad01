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
	At      quantity.Moment
	batches map[int64]recovery.BatchFit // deliveries against all other melts, by delivery
	changes uint64
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
	changes, at := e.store.Changes(), e.store.Now()
	shop, err := e.store.Melted(context.Background())
	var lots []recovery.Batch
	if err == nil {
		lots, err = e.store.Batches(context.Background())
	}
	var made *estimated
	if err != nil {
		e.log.Error("estimate", "err", err)
	} else {
		made = &estimated{Estimates: recovery.Estimate(shop, recovery.Settings{}), At: at, changes: changes, batches: map[int64]recovery.BatchFit{}}
		for _, fit := range made.Batches(lots) {
			made.batches[fit.ID] = fit
		}
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	e.making = nil
	if made != nil {
		e.last = made
	}
}
