package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"drosswise/store"
)

// demoPassword lets everybody of the demo in. It stands in this file for all
// the world to read: it protects nothing.
const demoPassword = "crank arm and crucible"

// demo fills a folder with a made-up shop and says where to go.
func demo(ctx context.Context, c console, args []string) error {
	fs := c.flags("demo", "fill an empty folder with a made-up shop: a bicycle workshop's melts of two years.")
	dir := fs.String("data", c.or("DROSSWISE_DATA", "demo"), "folder to fill; it must not hold a shop yet")
	if err := parse(fs, args); err != nil {
		return err
	}
	if _, err := makeDemo(ctx, *dir); err != nil {
		return err
	}
	fmt.Fprintf(c.out, `Two years of a made-up bicycle workshop are in %s.

Look at it:       drosswise serve -data %s
                  (from the source: go run ./server serve -data %s)
and open:         %s
Sign in as:       %s
with password:    %s

Everything in it is invented, and everybody knows this password: keep your own
records in another folder, and do not let the demo be reached from outside.
%s, %s and %s have the same password.
`, *dir, *dir, *dir, reachable("http://"+c.or("DROSSWISE_ADDR", "127.0.0.1:8372")), demoPeople[demoWorkshop].name, demoPassword,
		demoPeople[demoEvening].name, demoPeople[demoSaturday].name, demoPeople[demoVisitor].name)
	return nil
}

// makeDemo makes the demo shop in a folder that holds none, and gives the
// truth behind its melts. When it fails it leaves no half shop behind.
func makeDemo(ctx context.Context, dir string) (melts []*demoMelt, err error) {
	file := filepath.Join(dir, store.FileName)
	switch _, err := os.Stat(file); {
	case err == nil:
		return nil, fmt.Errorf("there is a shop in %s already. The demo goes only where there is none: choose another folder with -data", dir)
	case !errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("look into %s: %w", dir, err)
	}
	hash, err := hashPassword(ctx, demoPassword)
	if err != nil {
		return nil, err
	}
	clock := &demoClock{}
	st, err := store.Open(ctx, dir, clock.time)
	if err != nil {
		return nil, err
	}
	melts, err = writeDemo(ctx, st, clock, hash)
	if err = errors.Join(err, st.Close()); err != nil {
		for _, end := range []string{"", "-wal", "-shm"} {
			os.Remove(file + end)
		}
		return nil, err
	}
	return melts, nil
}
