// Package demo makes the demo shop: two years of melts of a bicycle workshop
// that does not exist, with the mishaps that real logs have. All its data are
// invented, and come from a fixed seed: the shop is the same each time, on
// whichever day and machine it is made. The truth behind its melts is kept
// beside it, so that figures worked out from the lines can be held against
// what made them.
package demo

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"drosswise/store"
)

// Password lets everybody of the demo in. It stands in this file for all the
// world to read: it protects nothing.
const Password = "crank arm and crucible"

// Make makes the demo shop in a folder that holds none, and gives the truth
// behind its closed melts. The hash is that of Password, as the shop keeps it.
// When Make fails it leaves no half shop behind.
func Make(ctx context.Context, dir, hash string) (melts []*Melt, err error) {
	file := filepath.Join(dir, store.FileName)
	switch _, err := os.Stat(file); {
	case err == nil:
		return nil, fmt.Errorf("there is a shop in %s already. The demo goes only where there is none: choose another folder with -data", dir)
	case !errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("look into %s: %w", dir, err)
	}
	clock := &stoppedClock{}
	st, err := store.Open(ctx, dir, clock.time)
	if err != nil {
		return nil, err
	}
	melts, err = write(ctx, st, clock, hash)
	if err = errors.Join(err, st.Close()); err != nil {
		for _, end := range []string{"", "-wal", "-shm"} {
			os.Remove(file + end)
		}
		return nil, err
	}
	return melts, nil
}
