// Package copies keeps copies of the whole shop in a folder: one a day, fewer
// of those that are older. The folder is all it knows; whoever puts a copy in
// or takes one out needs to tell nobody.
package copies

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"syscall"
	"time"

	sqlite "modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"drosswise/store"
)

// Copy is one that was made whole and read back.
type Copy struct {
	Name  string
	At    time.Time
	Bytes int64
}

// named is how the files of copies are called, by the time in UTC.
const named = "drosswise-20060102-150405.db"

// Folder is where the copies of a shop are kept.
type Folder struct {
	from, dir string
	log       *slog.Logger

	one    sync.Mutex // makes copies one after the other
	mu     sync.Mutex
	failed error // of the last try, nil when it went well or none was made
}

// In makes a folder for the copies of the shop whose data are in from. The
// folder itself is made with the first copy.
func In(dir, from string, log *slog.Logger) *Folder {
	return &Folder{from: from, dir: dir, log: log}
}

// Dir is where the copies are.
func (f *Folder) Dir() string { return f.dir }

// List gives the copies, the newest first.
func (f *Folder) List() ([]Copy, error) {
	entries, err := os.ReadDir(f.dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("read the folder of copies: %w", err)
	}
	var all []Copy
	for _, e := range entries {
		at, err := time.Parse(named, e.Name())
		if err != nil {
			continue
		}
		info, err := e.Info()
		if err != nil || !info.Mode().IsRegular() || info.Size() == 0 {
			continue // taken away meanwhile, or the place of one that is being made
		}
		all = append(all, Copy{Name: e.Name(), At: at, Bytes: info.Size()})
	}
	slices.SortFunc(all, func(a, b Copy) int { return b.At.Compare(a.At) })
	return all, nil
}

// Failed is why the last try to make a copy failed, nil when it did not.
func (f *Folder) Failed() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.failed
}

// Make makes a copy, and only once that is whole takes out those that Spare
// names. zone is that of the shop's days.
func (f *Folder) Make(ctx context.Context, now time.Time, zone *time.Location) (err error) {
	f.one.Lock()
	defer f.one.Unlock()
	defer func() {
		f.mu.Lock()
		f.failed = err
		f.mu.Unlock()
	}()
	if err := os.MkdirAll(f.dir, 0o700); err != nil {
		return fmt.Errorf("make the folder of copies: %w", err)
	}
	name := now.UTC().Format(named)
	if err := store.Backup(ctx, f.from, filepath.Join(f.dir, name)); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	all, err := f.List()
	if err != nil {
		return err
	}
	for _, c := range Spare(all, zone) {
		if err := os.Remove(filepath.Join(f.dir, c.Name)); err != nil {
			return fmt.Errorf("take an old copy out: %w", err)
		}
	}
	return nil
}

// Run makes a copy whenever one is due, until the context ends. A try that
// failed is made again an hour later.
func (f *Folder) Run(ctx context.Context, zone func(context.Context) (*time.Location, error)) {
	const look, again = time.Minute, time.Hour
	var tried time.Time
	for {
		select {
		case <-ctx.Done():
			return
		case <-time.After(look):
		}
		in, err := zone(ctx)
		if err != nil {
			f.log.Warn("no time zone for copies", "err", err)
			continue
		}
		all, err := f.List()
		now := time.Now()
		if err == nil && (!Due(all, now, in) || f.Failed() != nil && now.Sub(tried) < again) {
			continue
		}
		tried = now
		if err := f.Make(ctx, now, in); err != nil && ctx.Err() == nil {
			f.log.Error("no copy was made", "err", err)
		}
	}
}

// quiet is the hour of the day at which copies are made, when nobody melts.
const quiet = 3

// Due reports whether no copy was made since the last quiet hour. A machine
// that was off then makes it when it is on again.
func Due(all []Copy, now time.Time, zone *time.Location) bool {
	if len(all) == 0 {
		return true
	}
	here := now.In(zone)
	hour := time.Date(here.Year(), here.Month(), here.Day(), quiet, 0, 0, 0, zone)
	if hour.After(now) {
		hour = time.Date(here.Year(), here.Month(), here.Day()-1, quiet, 0, 0, 0, zone)
	}
	return all[0].At.Before(hour)
}

// How many copies stay: the newest of each of the last days, weeks and months
// that have any. common practice, no source.
const (
	Days   = 7
	Weeks  = 4
	Months = 12
)

// Spare names the copies, given the newest first, that are not the newest of
// one of the last days, weeks or months that have any.
func Spare(all []Copy, zone *time.Location) []Copy {
	keeps := map[string]bool{}
	for _, span := range []struct {
		most int
		of   func(time.Time) string
	}{
		{Days, func(t time.Time) string { return t.Format("2006-01-02") }},
		{Weeks, func(t time.Time) string { y, w := t.ISOWeek(); return fmt.Sprintf("%d-%d", y, w) }},
		{Months, func(t time.Time) string { return t.Format("2006-01") }},
	} {
		had := map[string]bool{}
		for _, c := range all {
			if of := span.of(c.At.In(zone)); !had[of] && len(had) < span.most {
				had[of], keeps[c.Name] = true, true
			}
		}
	}
	return slices.DeleteFunc(slices.Clone(all), func(c Copy) bool { return keeps[c.Name] })
}

// Why says to a person why no copy was made.
func Why(err error) string {
	var e *sqlite.Error
	switch {
	case errors.Is(err, store.ErrNoRoom):
		return "There is no room on the disk. Make room, or let the copies go to another disk with -copies."
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS), errors.As(err, &e) && e.Code()&0xff == sqlite3.SQLITE_READONLY:
		return "The folder may not be written. Let the program write there, or name another folder with -copies."
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, syscall.ENOTDIR):
		return "The folder is not there: perhaps its disk is not plugged in."
	}
	return "The program's log says why."
}
