package main

import (
	"context"
	"fmt"
	"net/http"
	"time"

	"drosswise/foundry/melt"
)

// How a watching phone hears of changes. A stream ends before the limits of a
// request's time; the browser asks anew, and by that a sign-in that ended is
// noticed.
const (
	streamLasts = 50 * time.Second
	lookEvery   = 200 * time.Millisecond
	beatEvery   = 10 * time.Second // what a phone does not hear of for longer is gone
	askAgain    = 500 * time.Millisecond
)

// live tells which version of a melt is the newest (store.Version): to a
// program at once, to a browser now, at every change, and now and then so that
// it knows the shop is there. While nothing changes
// a stream reads one counter in memory and no database.
func live(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	changes := a.store.ShownChanges()
	version, err := a.store.Version(r.Context(), codeOf(r))
	if err != nil {
		return err
	}
	if wantsJSON(r) {
		return a.answerJSON(w, map[string]string{"version": version})
	}
	ctx, cancel := context.WithTimeout(r.Context(), streamLasts)
	defer cancel()
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("X-Accel-Buffering", "no") // a proxy would hold back what is small
	for {
		fmt.Fprintf(w, "retry: %d\ndata: %s\n\n", askAgain.Milliseconds(), version)
		if err := http.NewResponseController(w).Flush(); err != nil {
			a.log.Debug("stream not taken", "err", err)
			return nil
		}
		if version, changes = a.newer(ctx, codeOf(r), version, changes); version == "" {
			return nil
		}
	}
}

// newer waits for another version of a melt, or for a beat; "" when the stream
// is to end.
func (a *app) newer(ctx context.Context, code melt.Code, version string, changes uint64) (string, uint64) {
	tick := time.NewTicker(lookEvery)
	defer tick.Stop()
	beat := time.After(beatEvery)
	for {
		select {
		case <-beat:
			return version, changes
		case <-ctx.Done():
			return "", 0
		case <-a.ending:
			return "", 0
		case <-tick.C:
		}
		now := a.store.ShownChanges()
		if now == changes {
			continue
		}
		changes = now
		latest, err := a.store.Version(ctx, code)
		if err != nil {
			if ctx.Err() == nil {
				a.log.Warn("version not read", "err", err)
			}
			return "", 0
		}
		if latest != version {
			return latest, changes
		}
	}
}
