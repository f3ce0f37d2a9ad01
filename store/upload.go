package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"fmt"

	"drosswise/foundry/notebook"
	"drosswise/foundry/quantity"
)

// Upload is a file of old notes that waits to be matched.
type Upload struct {
	Key       string // made from what stands in it: the same file has the same key
	At        quantity.Moment
	By        int64
	File      string          // its name
	Delimiter string          // the one chosen, "" to find it out
	Match     *notebook.Match // nil while nobody has matched it
	Body      []byte          // not read by lists
}

// How many files wait, and how long.
const (
	mostUploads = 20
	uploadStays = 30 * 24 * quantity.Hour
)

// AddUpload keeps a file to be matched and gives its key. The same file is kept
// once. Those that waited too long, and the oldest of too many, are forgotten.
func (s *Store) AddUpload(ctx context.Context, by int64, file string, body []byte) (key string, err error) {
	sum := sha256.Sum256(body)
	key = hex.EncodeToString(sum[:16])
	err = s.change(ctx, by, func(t *tx) error {
		_, err := t.ExecContext(ctx, `INSERT INTO upload (key, at, person_id, file, body) VALUES (?,?,?,?,?)
			ON CONFLICT (key) DO UPDATE SET at = excluded.at, person_id = excluded.person_id, file = excluded.file`, key, t.now, by, file, body)
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

// MatchUpload keeps how far somebody has come with matching a file.
func (s *Store) MatchUpload(ctx context.Context, by int64, key, delimiter string, m *notebook.Match) error {
	var body []byte
	if m != nil {
		var err error
		if body, err = json.Marshal(m); err != nil {
			return err
		}
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
	var matched string
	err = s.read.QueryRowContext(ctx, "SELECT key, at, person_id, file, delimiter, matched, body FROM upload WHERE key = ?", key).
		Scan(&u.Key, &u.At, &u.By, &u.File, &u.Delimiter, &matched, &u.Body)
	if err != nil {
		return u, found("file", err)
	}
	if matched != "" {
		err = json.Unmarshal([]byte(matched), &u.Match)
	}
	return u, err
}

// Uploads lists the files that wait, the newest first.
func (s *Store) Uploads(ctx context.Context) ([]Upload, error) {
	all, err := collect(ctx, s.read, func(rows *sql.Rows) (u Upload, err error) {
		err = rows.Scan(&u.Key, &u.At, &u.By, &u.File)
		return u, err
	}, "SELECT key, at, person_id, file FROM upload ORDER BY at DESC, id DESC")
	if err != nil {
		return nil, fmt.Errorf("files: %w", err)
	}
	return all, nil
}

// RememberedMatch is how a table with these columns was matched last, nil when
// there was none.
func (s *Store) RememberedMatch(ctx context.Context, columns []string) (*notebook.Match, error) {
	names, err := json.Marshal(columns)
	if err != nil {
		return nil, err
	}
	bodies, err := collect(ctx, s.read, func(rows *sql.Rows) (b []byte, err error) {
		err = rows.Scan(&b)
		return b, err
	}, "SELECT body FROM import_match WHERE columns = ?", string(names))
	if err != nil || len(bodies) == 0 {
		return nil, err
	}
	var m notebook.Match
	return &m, json.Unmarshal(bodies[0], &m)
}

// rememberMatch keeps a match for the next table with the same columns.
func (t *tx) rememberMatch(ctx context.Context, columns []string, m notebook.Match) error {
	names, err := json.Marshal(columns)
	if err != nil {
		return err
	}
	body, err := json.Marshal(m)
	if err != nil {
		return err
	}
	_, err = t.ExecContext(ctx, "INSERT OR REPLACE INTO import_match (columns, body, at, person_id) VALUES (?,?,?,?)", string(names), string(body), t.now, t.by)
	if err != nil {
		return fmt.Errorf("remember match: %w", err)
	}
	return nil
}
