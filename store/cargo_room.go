package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// inTheMaking is how the name of the folder begins in which a shop that comes in
// is made, inside the folder of the data.
const inTheMaking = "import-"

// makingRoom makes a folder for the shop in the making, and holds it, so that
// others know that it is in use. leave takes it away, and what was made for it:
// the folder of the data too, if it was not there and nothing is in it.
func makingRoom(ctx context.Context, dir string) (making string, leave func() error, err error) {
	made, err := madeFolders(dir)
	if err != nil {
		return "", nil, err
	}
	unmake := func() error {
		for _, folder := range made { // the innermost first
			if os.Remove(folder) != nil {
				return nil // something is in it by now
			}
		}
		return nil
	}
	clearMaking(ctx, dir)
	// Somebody who clears up may have taken the folder before it was held.
	for range 5 {
		if making, err = os.MkdirTemp(dir, inTheMaking); err != nil {
			break
		}
		var release func() error
		if release, err = Hold(ctx, making); err != nil {
			err = errors.Join(err, os.RemoveAll(making))
			continue
		}
		if _, err = os.Stat(filepath.Join(making, heldName)); err == nil {
			return making, func() error { return errors.Join(release(), os.RemoveAll(making), unmake()) }, nil
		}
		err = errors.Join(err, release())
	}
	return "", nil, errors.Join(fmt.Errorf("make room: %w", err), unmake())
}

// madeFolders makes a folder and those around it, and lists which of them were
// not there, the innermost first.
func madeFolders(dir string) (made []string, err error) {
	for at := filepath.Clean(dir); ; at = filepath.Dir(at) {
		if _, err := os.Stat(at); !errors.Is(err, fs.ErrNotExist) {
			break
		}
		made = append(made, at)
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, fmt.Errorf("make data folder: %w", err)
	}
	return made, nil
}

// clearMaking takes away what imports left in a folder that were killed. One that
// is still being made is held, and stays. What cannot be taken away does no harm,
// and is tried again the next time.
func clearMaking(ctx context.Context, dir string) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return
	}
	for _, e := range entries {
		old := filepath.Join(dir, e.Name())
		if !e.IsDir() || !isMaking.MatchString(e.Name()) || !holdsOnlyAShop(old) {
			continue
		}
		release, err := Hold(ctx, old)
		if err != nil {
			continue
		}
		if errors.Is(unused(ctx, filepath.Join(old, FileName)), ErrInUse) {
			_ = release()
			continue
		}
		_ = os.RemoveAll(old)
		_ = release()
		_ = os.RemoveAll(old) // where a file that is open cannot be removed
	}
}

// isMaking is how folders of makingRoom are called.
var isMaking = regexp.MustCompile("^" + inTheMaking + "[0-9]+$")

// holdsOnlyAShop reports whether nothing is in a folder but what an import puts
// there: a folder of somebody's own is never taken away.
func holdsOnlyAShop(dir string) bool {
	entries, err := os.ReadDir(dir)
	return err == nil && !slices.ContainsFunc(entries, func(e fs.DirEntry) bool {
		return !strings.HasPrefix(e.Name(), FileName) && !strings.HasPrefix(e.Name(), heldName)
	})
}
