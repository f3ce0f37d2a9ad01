package copies

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"time"

	sqlite "modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"drosswise/store"
)

// Failure is a try that made no copy.
type Failure struct {
	At  time.Time `json:"at"`
	Why string    `json:"why"` // a sentence for a person
}

// failureName is the file beside the data that remembers a failure until a copy
// is made: a program that was started anew must not look as if all were well.
const failureName = "copy-failed.json"

// Failed is the last try if it made no copy, nil when it did.
func (f *Folder) Failed() *Failure {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.failed
}

// note remembers how a try went. Where even that finds no room it is remembered
// while the program runs.
func (f *Folder) note(at time.Time, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	path := filepath.Join(f.from, failureName)
	if err == nil {
		f.failed = nil
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			f.log.Warn("a failure stays noted that is over", "err", err)
		}
		return
	}
	f.failed = &Failure{at, Why(err)}
	body, err := json.Marshal(f.failed)
	if err == nil {
		err = os.WriteFile(path, body, 0o600)
	}
	if err != nil {
		f.log.Warn("a failure is not noted", "err", err)
	}
}

// readFailure is what an earlier run noted, nil where it noted nothing or what
// it wrote was cut off.
func (f *Folder) readFailure() *Failure {
	body, err := os.ReadFile(filepath.Join(f.from, failureName))
	if err != nil {
		return nil
	}
	failed := new(Failure)
	if err := json.Unmarshal(body, failed); err != nil {
		return nil
	}
	return failed
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
