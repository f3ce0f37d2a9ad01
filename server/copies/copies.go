// Package copies keeps copies of the whole shop in a folder: one a day, fewer
// of those that are older. The folder is all it knows; whoever puts a copy in
// or takes one out needs to tell nobody.
package copies

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"drosswise/store"
)

// Copy is a file in the folder that is named as a copy.
type Copy struct {
	Name  string
	At    time.Time
	Bytes int64
	Short bool // cut short since it was made, as by a stick pulled out
}

// Good are the copies that count at a moment: whole ones that were made by then.
// One of a later day was made while the clock was wrong, and nobody knows when.
func Good(all []Copy, now time.Time) []Copy {
	return slices.DeleteFunc(slices.Clone(all), func(c Copy) bool { return c.Short || c.Ahead(now) })
}

// Ahead reports whether the copy is dated later than now, beyond what a clock
// that was put right a little explains.
func (c Copy) Ahead(now time.Time) bool { return c.At.Sub(now) > 10*time.Minute }

// named is how the files of copies are called, by the time in UTC.
const named = "drosswise-20060102-150405.db"

// Folder is where the copies of a shop are kept.
type Folder struct {
	from, dir string
	log       *slog.Logger

	one    sync.Mutex // makes copies one after the other
	mu     sync.Mutex
	failed *Failure // the last try, nil when it went well or none was made
}

// In makes a folder for the copies of the shop whose data are in from. The
// folder itself is made with the first copy.
func In(dir, from string, log *slog.Logger) *Folder {
	f := &Folder{from: from, dir: dir, log: log}
	f.failed = f.readFailure()
	return f
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
		all = append(all, Copy{Name: e.Name(), At: at, Bytes: info.Size(), Short: f.short(e.Name(), info.Size())})
	}
	slices.SortFunc(all, func(a, b Copy) int { return b.At.Compare(a.At) })
	return all, nil
}

// short reports whether a copy has less in it than its head says: 16 and 28 bytes
// into it stand the size of a page and how many there are (SQLite, Database File
// Format, 1.3.2 and 1.3.8, 2024).
func (f *Folder) short(name string, size int64) bool {
	file, err := os.Open(filepath.Join(f.dir, name))
	if err != nil {
		return true
	}
	defer file.Close()
	head := make([]byte, 32)
	if _, err := io.ReadFull(file, head); err != nil {
		return true
	}
	page := int64(binary.BigEndian.Uint16(head[16:]))
	if page == 1 {
		page = 65536
	}
	return size < page*int64(binary.BigEndian.Uint32(head[28:]))
}

// Make makes a copy, and only once that is whole takes out those that Spare
// names. zone is that of the shop's days.
func (f *Folder) Make(ctx context.Context, now time.Time, zone *time.Location) (err error) {
	f.one.Lock()
	defer f.one.Unlock()
	defer func() { f.note(now, err) }()
	if err := os.MkdirAll(f.dir, 0o700); err != nil {
		return fmt.Errorf("make the folder of copies: %w", err)
	}
	if err := f.clear(); err != nil {
		return err
	}
	name := now.UTC().Format(named)
	if err := store.Backup(ctx, f.from, filepath.Join(f.dir, name)); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	all, err := f.List()
	if err != nil {
		return err
	}
	for _, c := range Spare(Good(all, now), zone) {
		if err := os.Remove(filepath.Join(f.dir, c.Name)); err != nil {
			return fmt.Errorf("take an old copy out: %w", err)
		}
	}
	return nil
}

// clear takes out what a try left that was killed.
func (f *Folder) clear() error {
	entries, err := os.ReadDir(f.dir)
	if err != nil {
		return fmt.Errorf("read the folder of copies: %w", err)
	}
	for _, e := range entries {
		base, _, left := strings.Cut(e.Name(), store.Unfinished)
		if _, err := time.Parse(named, base); !left || err != nil {
			continue
		}
		if err := os.Remove(filepath.Join(f.dir, e.Name())); err != nil {
			return fmt.Errorf("take out what a killed try left: %w", err)
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
		if err == nil && (!Due(Good(all, now), now, in) || f.Failed() != nil && now.Sub(tried) < again) {
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

// Due reports whether none of these copies was made since the last quiet hour. A machine
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
