package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"fmt"

	"drosswise/foundry/logfile"
	"drosswise/foundry/notebook"
	"drosswise/foundry/quantity"
)

// Upload is a file that waits to be matched: of old notes, or of a logger.
type Upload struct {
	Key       string // made from what stands in it: the same file has the same key
	At        quantity.Moment
	By        int64
	File      string // its name
	Melt      int64  // whose readings are in it, 0 for old notes
	Delimiter string // the one chosen, "" to find it out
	Body      []byte // not read by lists
	matched   string
}

// Match is how far somebody has come with matching a file of old notes, nil
// while nobody has.
func (u Upload) Match() (*notebook.Match, error) { return matchOf[notebook.Match](u.matched) }

// LogMatch is how far somebody has come with matching a logger's file, nil while
// nobody has.
func (u Upload) LogMatch() (*logfile.Match, error) { return matchOf[logfile.Match](u.matched) }

func matchOf[M any](body string) (*M, error) {
	if body == "" {
		return nil, nil
	}
	m := new(M)
	return m, json.Unmarshal([]byte(body), m)
}

// How many files wait, and how long.
const (
	mostUploads = 20
	uploadStays = 30 * 24 * quantity.Hour
)

// AddUpload keeps a file to be matched and gives its key. meltID says whose
// readings are in it, 0 that it is of old notes. The same file is kept once.
// Those that waited too long, and the oldest of too many, are forgotten.
func (s *Store) AddUpload(ctx context.Context, by, meltID int64, file string, body []byte) (key string, err error) {
	hash := sha256.New()
	if hash.Write(body); meltID != 0 {
		fmt.Fprintf(hash, "melt %d", meltID)
	}
	key = hex.EncodeToString(hash.Sum(nil)[:16])
	err = s.change(ctx, by, func(t *tx) error {
		_, err := t.ExecContext(ctx, `INSERT INTO upload (key, at, person_id, file, melt_id, body) VALUES (?,?,?,?,?,?)
			ON CONFLICT (key) DO UPDATE SET at = excluded.at, person_id = excluded.person_id, file = excluded.file`, key, t.now, by, file, orNull(meltID), body)
		if err != nil {
			return fmt.Errorf("keep file: %w", err)
		}
		_, err = t.ExecContext(ctx, "DELETE FROM upload WHERE at < ? OR id NOT IN (SELECT id FROM upload ORDER BY at DESC, id DESC LIMIT ?)",
			t.now-quantity.Moment(uploadStays), mostUploads)
		if err != nil {
			return fmt.Errorf("forget files: %w", err)
		}
		return nil
	})
	return key, err
}

// MatchUpload keeps how far somebody has come with matching a file; match is of
// the type that its kind of file has.
func (s *Store) MatchUpload(ctx context.Context, by int64, key, delimiter string, match any) error {
	body, err := json.Marshal(match)
	if err != nil {
		return err
	}
	return s.change(ctx, by, func(t *tx) error {
		r, err := t.ExecContext(ctx, "UPDATE upload SET delimiter = ?, matched = ? WHERE key = ?", delimiter, string(body), key)
		if err != nil {
			return fmt.Errorf("match file: %w", err)
		}
		if n, err := r.RowsAffected(); err != nil || n == 0 {
			return fmt.Errorf("file %s: %w", key, ErrNotFound)
		}
		return nil
	})
}

// Upload reads a file that waits. It returns ErrNotFound for one that is
// forgotten.
func (s *Store) Upload(ctx context.Context, key string) (u Upload, err error) {
	var meltID sql.NullInt64
	err = s.read.QueryRowContext(ctx, "SELECT key, at, person_id, file, melt_id, delimiter, matched, body FROM upload WHERE key = ?", key).
		Scan(&u.Key, &u.At, &u.By, &u.File, &meltID, &u.Delimiter, &u.matched, &u.Body)
	u.Melt = meltID.Int64
	return u, found("file", err)
}

// Uploads lists the files that wait, of a melt's readings or, for 0, of old
// notes, the newest first.
func (s *Store) Uploads(ctx context.Context, meltID int64) ([]Upload, error) {
	all, err := collect(ctx, s.read, func(rows *sql.Rows) (u Upload, err error) {
		err = rows.Scan(&u.Key, &u.At, &u.By, &u.File)
		return u, err
	}, "SELECT key, at, person_id, file FROM upload WHERE melt_id IS ? ORDER BY at DESC, id DESC", orNull(meltID))
	if err != nil {
		return nil, fmt.Errorf("files: %w", err)
	}
	return all, nil
}

// The tables that hold matches by the columns they are of.
const (
	oldNotesMatches = "import_match"
	logFileMatches  = "log_match"
)

// RememberedMatch is how a table of old notes with these columns was matched
// last, nil when there was none.
func (s *Store) RememberedMatch(ctx context.Context, columns []string) (*notebook.Match, error) {
	return remembered[notebook.Match](ctx, s.read, oldNotesMatches, columns)
}

// RememberedLogMatch is how a logger's table with these columns was matched last,
// nil when there was none.
func (s *Store) RememberedLogMatch(ctx context.Context, columns []string) (*logfile.Match, error) {
	return remembered[logfile.Match](ctx, s.read, logFileMatches, columns)
}

// RememberLogMatch keeps a match for the next file with the same columns.
func (s *Store) RememberLogMatch(ctx context.Context, by int64, columns []string, m logfile.Match) error {
	return s.change(ctx, by, func(t *tx) error { return t.rememberMatch(ctx, logFileMatches, columns, m.Kept()) })
}

func remembered[M any](ctx context.Context, q querier, in string, columns []string) (*M, error) {
	names, err := json.Marshal(columns)
	if err != nil {
		return nil, err
	}
	bodies, err := collect(ctx, q, func(rows *sql.Rows) (body string, err error) {
		err = rows.Scan(&body)
		return body, err
	}, "SELECT body FROM "+in+" WHERE columns = ?", string(names))
	if err != nil || len(bodies) == 0 {
		return nil, err
	}
	return matchOf[M](bodies[0])
}

// rememberMatch keeps a match for the next table with the same columns.
func (t *tx) rememberMatch(ctx context.Context, in string, columns []string, match any) error {
	names, err := json.Marshal(columns)
	if err != nil {
		return err
	}
	body, err := json.Marshal(match)
	if err != nil {
		return err
	}
	_, err = t.ExecContext(ctx, "INSERT OR REPLACE INTO "+in+" (columns, body, at, person_id) VALUES (?,?,?,?)", string(names), string(body), t.now, t.by)
	if err != nil {
		return fmt.Errorf("remember match: %w", err)
	}
	return nil
}
