package main

import (
	"context"
	"fmt"
	"log/slog"
	"runtime/debug"
	"sync"
	"time"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/store"
)

// estimated is an estimate and what it was made from.
type estimated struct {
	*recovery.Estimates
	found
	At      quantity.Moment
	batches map[int64]recovery.BatchFit // deliveries against all other melts, by delivery

	histories sync.Map // of *history, by source
}

// history is how an estimate came about, once it is worked out.
type history struct {
	done   chan struct{}
	points []recovery.Point
}

// history is how the estimate of a source came about. It is worked out when it
// is first asked for, since it reads all melts; a page waits for that as little
// as for a first estimate, and then shows none. A panic in the work is logged.
func (e *estimated) history(source int64, log *slog.Logger) []recovery.Point {
	kept, had := e.histories.LoadOrStore(source, &history{done: make(chan struct{})})
	h := kept.(*history)
	if !had {
		go func() {
			defer close(h.done)
			defer func() {
				if p := recover(); p != nil {
					log.Error("history of an estimate", "source", source, "value", fmt.Sprint(p), "stack", string(debug.Stack()))
				}
			}()
			h.points = e.History(source, pointsShown)
		}()
	}
	select {
	case <-h.done:
		return h.points
	case <-time.After(firstWait):
		return nil
	}
}

// estimateAll works out all that is read from all melts together.
func estimateAll(ctx context.Context, st *store.Store) (*estimated, error) {
	made := &estimated{At: st.Now(), batches: map[int64]recovery.BatchFit{}}
	shop, melts, err := st.Melted(ctx)
	if err != nil {
		return nil, err
	}
	lots, err := st.Batches(ctx)
	if err != nil {
		return nil, err
	}
	kits, err := st.Kit(ctx)
	if err != nil {
		return nil, err
	}
	settings, err := st.Shop(ctx)
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
