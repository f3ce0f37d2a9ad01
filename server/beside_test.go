package main

import (
	"bytes"
	"context"
	"log/slog"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A panic in work beside the pages is logged, and the next page has it tried
// again.
func TestBesideOutlivesAPanic(t *testing.T) {
	var log bytes.Buffer
	tries := 0
	b := &beside[int]{what: "estimate", changes: func() uint64 { return 1 }, log: slog.New(slog.NewTextHandler(&log, nil)), work: func(context.Context) (*int, error) {
		if tries++; tries == 1 {
			panic("no such scrap")
		}
		return &tries, nil
	}}
	last, old := b.latest(t.Context())
	assert.Nil(t, last)
	assert.True(t, old)
	require.Eventually(t, func() bool { last, _ = b.latest(t.Context()); return last != nil }, 5*time.Second, time.Millisecond)
	assert.Contains(t, log.String(), "no such scrap")
	assert.Contains(t, log.String(), "beside_test.go", "where it was is in the log")
}

// The store may be closed after end: what was being made has stopped, and
// nothing more is made.
func TestBesideEnds(t *testing.T) {
	var log bytes.Buffer
	began, stopped := make(chan struct{}), false
	b := &beside[int]{what: "estimate", changes: func() uint64 { return 1 }, log: slog.New(slog.NewTextHandler(&log, nil)), work: func(ctx context.Context) (*int, error) {
		close(began)
		<-ctx.Done()
		time.Sleep(20 * time.Millisecond)
		stopped = true
		return nil, ctx.Err()
	}}
	gone, leave := context.WithCancel(t.Context())
	leave()
	b.latest(gone)
	<-began
	b.end()
	assert.True(t, stopped)
	b.latest(gone) // would close began a second time
	b.end()
	assert.Empty(t, log.String(), "stopping is no fault")
}
