package main

import (
	"context"
	"fmt"
	"log/slog"
	"runtime/debug"
	"sync"
	"time"
)

// beside keeps something that is worked out beside the pages, from all melts
// or all kit. No page waits for it: while the records have changed, the last
// one is shown with its time and a new one is made.
type beside[T any] struct {
	what    string
	work    func(context.Context) (*T, error)
	changes func() uint64 // counts the changes to what it is made from
	log     *slog.Logger

	mu     sync.Mutex
	last   *T
	from   uint64        // changes that last was made at
	making chan struct{} // closed when the one being made is there; nil when none is
	cancel func()        // stops the one being made
	ended  bool          // no more is to be made
}

// firstWait is how long the very first page after a start waits for the very
// first one, which a shop of a few hundred melts has sooner.
const firstWait = 200 * time.Millisecond

// latest gives the last one, nil while there is none yet; old says that a newer
// one is being made.
func (b *beside[T]) latest(ctx context.Context) (last *T, old bool) {
	b.mu.Lock()
	last, old = b.last, b.last == nil || b.from != b.changes()
	if old && b.making == nil && !b.ended {
		var making context.Context
		making, b.cancel = context.WithCancel(context.Background())
		b.making = make(chan struct{})
		go b.make(making, b.making)
	}
	making := b.making
	b.mu.Unlock()
	if last != nil {
		return last, old
	}
	select {
	case <-making:
	case <-time.After(firstWait):
	case <-ctx.Done():
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.last, b.last == nil
}

// end stops what is being made and waits for it to stop, so that the store can
// be closed. Nothing is made after that.
func (b *beside[T]) end() {
	b.mu.Lock()
	b.ended = true
	making, cancel := b.making, b.cancel
	b.mu.Unlock()
	if making != nil {
		cancel()
		<-making
	}
}

// make makes one and keeps it.
func (b *beside[T]) make(ctx context.Context, done chan struct{}) {
	defer close(done)
	defer b.cancel()
	from := b.changes()
	made, err := b.worked(ctx)
	if err != nil && ctx.Err() == nil {
		b.log.Error(b.what, "err", err)
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.making = nil
	if made != nil {
		b.last, b.from = made, from
	}
}

// worked does the work; a panic in it is an error and not the end of the
// server.
func (b *beside[T]) worked(ctx context.Context) (made *T, err error) {
	defer func() {
		if p := recover(); p != nil {
			made, err = nil, fmt.Errorf("panic: %v\n%s", p, debug.Stack())
		}
	}()
	return b.work(ctx)
}
