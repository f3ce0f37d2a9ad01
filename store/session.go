package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"time"

	"drosswise/foundry/quantity"
)

// How long a sign-in lasts: at most so long, and so long without a visit.
const (
	SignInLasts = 90 * 24 * time.Hour
	SignInIdle  = 30 * 24 * time.Hour
)

// seenEvery is how often it is noted that a sign-in is in use, so that looking
// at pages writes next to nothing.
const seenEvery = quantity.Moment(quantity.Hour)

// SignIn is one device on which a person is signed in.
type SignIn struct {
	ID       int64
	Device   string // such as "Firefox on Android"
	At, Seen quantity.Moment
}

// SignIn notes that a person has signed in. Sessions that have expired are
// cleared away on the occasion. It returns ErrNotFound for an ended account.
func (s *Store) SignIn(ctx context.Context, id int64, device string) (signin int64, err error) {
	err = s.change(ctx, id, func(t *tx) error {
		if _, err := t.ExecContext(ctx, "DELETE FROM session WHERE expires_at < ?", t.now); err != nil {
			return fmt.Errorf("clear sessions: %w", err)
		}
		r, err := t.ExecContext(ctx, `INSERT INTO signin (person_id, device, created_at, seen_at)
			SELECT id, ?, ?, ? FROM person WHERE id = ? AND ended_at IS NULL`, device, t.now, t.now, id)
		if err != nil {
			return fmt.Errorf("sign in: %w", err)
		}
		if n, err := r.RowsAffected(); err != nil || n == 0 {
			return errors.Join(err, fmt.Errorf("person %d: %w", id, ErrNotFound))
		}
		signin, err = r.LastInsertId()
		return err
	})
	return signin, err
}

// openSignIn is what a sign-in must be to count, with what alive gives.
const openSignIn = ` s.ended_at IS NULL AND s.created_at > ? AND s.seen_at > ?`

func alive(now quantity.Moment) (created, seen quantity.Moment) {
	return now - quantity.Moment(SignInLasts.Milliseconds()), now - quantity.Moment(SignInIdle.Milliseconds())
}

// Who gives the person behind a sign-in. It returns ErrNotFound when the
// sign-in or the account has ended. Due says that it is time to note that the
// sign-in is in use; see Seen.
func (s *Store) Who(ctx context.Context, signin int64) (p Person, due bool, err error) {
	var seen quantity.Moment
	now := s.Now()
	created, idle := alive(now)
	err = s.read.QueryRowContext(ctx, `
		SELECT p.id, p.name, p.role, p.theme, p.hand, p.pad, p.created_at, s.seen_at FROM signin s JOIN person p ON p.id = s.person_id
		WHERE s.id = ? AND p.ended_at IS NULL AND`+openSignIn, signin, created, idle).
		Scan(&p.ID, &p.Name, &p.Role, &p.Theme, &p.Hand, &p.Pad, &p.Since, &seen)
	if err := found("sign-in", err); err != nil {
		return Person{}, false, err
	}
	return p, now-seen >= seenEvery, nil
}

// Seen notes that a sign-in is in use. Of several requests at once only the
// first has something to note.
func (s *Store) Seen(ctx context.Context, signin int64) error {
	now := s.Now()
	_, err := s.write.ExecContext(ctx, "UPDATE signin SET seen_at = ? WHERE id = ? AND seen_at <= ?", now, signin, now-seenEvery)
	if err != nil {
		return fmt.Errorf("note sign-in: %w", err)
	}
	return nil
}

func scanSignIn(rows *sql.Rows) (SignIn, error) {
	var v SignIn
	err := rows.Scan(&v.ID, &v.Device, &v.At, &v.Seen)
	return v, err
}

// SignIns lists where a person is signed in, the last used first.
func (s *Store) SignIns(ctx context.Context, id int64) ([]SignIn, error) {
	created, idle := alive(s.Now())
	all, err := collect(ctx, s.read, scanSignIn, "SELECT s.id, s.device, s.created_at, s.seen_at FROM signin s WHERE s.person_id = ? AND"+openSignIn+
		" ORDER BY s.seen_at DESC, s.id DESC", id, created, idle)
	if err != nil {
		return nil, fmt.Errorf("sign-ins: %w", err)
	}
	return all, nil
}

// EndSignIn signs a person out on one device. It returns ErrNotFound for a
// sign-in that is somebody else's.
func (s *Store) EndSignIn(ctx context.Context, id, signin int64) error {
	return s.change(ctx, id, func(t *tx) error {
		r, err := t.ExecContext(ctx, "UPDATE signin SET ended_at = coalesce(ended_at, ?) WHERE id = ? AND person_id = ?", t.now, signin, id)
		if err != nil {
			return fmt.Errorf("end sign-in: %w", err)
		}
		if n, err := r.RowsAffected(); err != nil || n == 0 {
			return errors.Join(err, fmt.Errorf("sign-in %d: %w", signin, ErrNotFound))
		}
		return nil
	})
}

// endSignIns ends all sign-ins of a person but one.
func (t *tx) endSignIns(ctx context.Context, id, keep int64) error {
	_, err := t.ExecContext(ctx, "UPDATE signin SET ended_at = ? WHERE person_id = ? AND ended_at IS NULL AND id <> ?", t.now, id, keep)
	if err != nil {
		return fmt.Errorf("end sign-ins: %w", err)
	}
	return nil
}

// Sessions keeps what the cookies of browsers stand for: it is the scs.CtxStore
// of the shop. It reads beside the writer, and the tokens it is handed are
// hashes already.
type Sessions struct{ s *Store }

// Sessions gives the keeper of the sessions.
func (s *Store) Sessions() Sessions { return Sessions{s} }

// FindCtx gives a session's content; found is false where it has expired.
func (k Sessions) FindCtx(ctx context.Context, token string) (content []byte, found bool, err error) {
	err = k.s.read.QueryRowContext(ctx, "SELECT data FROM session WHERE token = ? AND expires_at > ?", token, k.s.Now()).Scan(&content)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, false, nil
	}
	if err != nil {
		return nil, false, fmt.Errorf("find session: %w", err)
	}
	return content, true, nil
}

// CommitCtx keeps a session. Its expiry is by the machine's clock, as scs
// reads it; what is kept is by the store's.
func (k Sessions) CommitCtx(ctx context.Context, token string, content []byte, expiry time.Time) error {
	expires := k.s.Now() + quantity.Moment(time.Until(expiry).Milliseconds())
	_, err := k.s.write.ExecContext(ctx, `INSERT INTO session (token, data, expires_at) VALUES (?,?,?)
		ON CONFLICT (token) DO UPDATE SET data = excluded.data, expires_at = excluded.expires_at`, token, content, expires)
	if err != nil {
		return fmt.Errorf("keep session: %w", err)
	}
	return nil
}

// DeleteCtx forgets a session.
func (k Sessions) DeleteCtx(ctx context.Context, token string) error {
	if _, err := k.s.write.ExecContext(ctx, "DELETE FROM session WHERE token = ?", token); err != nil {
		return fmt.Errorf("forget session: %w", err)
	}
	return nil
}

// Find, Commit and Delete are what scs asks for where it has no context.
func (k Sessions) Find(token string) (content []byte, found bool, err error) {
	return k.FindCtx(context.Background(), token)
}

// Commit is CommitCtx without a context.
func (k Sessions) Commit(token string, content []byte, expiry time.Time) error {
	return k.CommitCtx(context.Background(), token, content, expiry)
}

// Delete is DeleteCtx without a context.
func (k Sessions) Delete(token string) error { return k.DeleteCtx(context.Background(), token) }
