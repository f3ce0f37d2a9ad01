package store

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"fmt"

	"drosswise/foundry/quantity"
)

// linkLasts is how long a link that lets somebody in can be used.
const linkLasts = quantity.Moment(7 * 24 * quantity.Hour)

// Invitation is a link that works once. Its token is kept only as a hash: who
// reads the database cannot use it.
type Invitation struct {
	Role    string
	Person  Person // whom it lets set a new password; zero for somebody new
	First   bool   // it sets the shop up and makes its first owner
	Expires quantity.Moment
}

// FirstLink makes the link that sets the shop up; earlier ones no longer work.
// It returns ErrConflict once there is an owner.
func (s *Store) FirstLink(ctx context.Context) (token string, expires quantity.Moment, err error) {
	err = s.change(ctx, 0, func(t *tx) error {
		owned, err := hasOwner(ctx, t)
		if err != nil {
			return err
		}
		if owned {
			return fmt.Errorf("there is an owner: %w", ErrConflict)
		}
		if _, err := t.ExecContext(ctx, "DELETE FROM invitation WHERE used_at IS NULL"); err != nil {
			return fmt.Errorf("withdraw links: %w", err)
		}
		token, expires, err = t.newLink(ctx, "owner", 0)
		return err
	})
	return token, expires, err
}

func hasOwner(ctx context.Context, q querier) (owned bool, err error) {
	err = q.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM person WHERE role = 'owner' AND ended_at IS NULL)").Scan(&owned)
	return owned, found("owner", err)
}

// Invite makes a link for somebody new. By is 0 for whoever runs the server.
func (s *Store) Invite(ctx context.Context, by int64, role string) (token string, expires quantity.Moment, err error) {
	err = s.change(ctx, by, func(t *tx) error {
		token, expires, err = t.newLink(ctx, role, 0)
		return err
	})
	return token, expires, err
}

// ResetLink makes a link with which a person sets a new password, and comes
// back where their account had ended; an earlier one no longer works.
func (s *Store) ResetLink(ctx context.Context, by, id int64) (token string, expires quantity.Moment, err error) {
	err = s.change(ctx, by, func(t *tx) error {
		p, err := person(ctx, t, id)
		if err != nil {
			return err
		}
		if _, err := t.ExecContext(ctx, "DELETE FROM invitation WHERE person_id = ? AND used_at IS NULL", id); err != nil {
			return fmt.Errorf("withdraw links: %w", err)
		}
		token, expires, err = t.newLink(ctx, p.Role, id)
		return err
	})
	return token, expires, err
}

func (t *tx) newLink(ctx context.Context, role string, person int64) (token string, expires quantity.Moment, err error) {
	token, expires = rand.Text(), t.now+linkLasts // at least 128 bits
	_, err = t.ExecContext(ctx, "INSERT INTO invitation (token_hash, role, person_id, created_by, created_at, expires_at) VALUES (?,?,?,?,?,?)",
		hashed(token), role, orNull(person), orNull(t.by), t.now, expires)
	if err != nil {
		return "", 0, fmt.Errorf("make link: %w", err)
	}
	return token, expires, nil
}

func hashed(token string) string {
	sum := sha256.Sum256([]byte(token))
	return hex.EncodeToString(sum[:])
}

// OpenLinks counts the links that somebody could still use.
func (s *Store) OpenLinks(ctx context.Context) (n int, err error) {
	err = s.read.QueryRowContext(ctx, "SELECT count(*) FROM invitation WHERE used_at IS NULL AND expires_at > ?", s.Now()).Scan(&n)
	return n, found("links", err)
}

// EndLinks withdraws all links that have not been used.
func (s *Store) EndLinks(ctx context.Context) error {
	if _, err := s.write.ExecContext(ctx, "DELETE FROM invitation WHERE used_at IS NULL"); err != nil {
		return fmt.Errorf("withdraw links: %w", err)
	}
	return nil
}

// Invitation reads what a link is for. It returns ErrNotFound for one that was
// used, withdrawn or replaced, has expired or was never made.
func (s *Store) Invitation(ctx context.Context, token string) (Invitation, error) {
	return invitation(ctx, s.read, token, s.Now())
}

func invitation(ctx context.Context, q querier, token string, now quantity.Moment) (Invitation, error) {
	var v Invitation
	var id sql.NullInt64
	err := q.QueryRowContext(ctx, "SELECT role, person_id, expires_at FROM invitation WHERE token_hash = ? AND used_at IS NULL AND expires_at > ?",
		hashed(token), now).Scan(&v.Role, &id, &v.Expires)
	if err := found("link", err); err != nil {
		return v, err
	}
	if id.Valid {
		v.Person, err = person(ctx, q, id.Int64)
		return v, err
	}
	if v.Role == "owner" {
		owned, err := hasOwner(ctx, q)
		v.First = !owned
		return v, err
	}
	return v, nil
}

// use marks a link as used, in the transaction of what it was used for.
func (t *tx) use(ctx context.Context, token string) (Invitation, error) {
	v, err := invitation(ctx, t, token, t.now)
	if err != nil {
		return v, err
	}
	if _, err := t.ExecContext(ctx, "UPDATE invitation SET used_at = ? WHERE token_hash = ?", t.now, hashed(token)); err != nil {
		return v, fmt.Errorf("use link: %w", err)
	}
	return v, nil
}

// SetUp makes the first owner and the shop's settings. It returns ErrNotFound
// unless the link is for that.
func (s *Store) SetUp(ctx context.Context, token, name, password string, p Shop) (owner Person, err error) {
	err = s.change(ctx, 0, func(t *tx) error {
		v, err := t.use(ctx, token)
		if err != nil {
			return err
		}
		if !v.First {
			return fmt.Errorf("link is not the first: %w", ErrNotFound)
		}
		if owner, err = t.addPerson(ctx, name, "owner", password); err != nil {
			return err
		}
		t.by, p.Ready = owner.ID, true
		return t.setShop(ctx, p)
	})
	return owner, err
}

// Join makes an account for somebody new. It returns ErrNotFound unless the
// link is for that, and ErrConflict when the name is taken; the link then
// still works.
func (s *Store) Join(ctx context.Context, token, name, password string) (p Person, err error) {
	err = s.change(ctx, 0, func(t *tx) error {
		v, err := t.use(ctx, token)
		if err != nil {
			return err
		}
		if v.First || v.Person.ID != 0 {
			return fmt.Errorf("link is not for somebody new: %w", ErrNotFound)
		}
		p, err = t.addPerson(ctx, name, v.Role, password)
		return err
	})
	return p, err
}

// Reset sets a new password for the person whom a link is for, ends their
// sign-ins, and lets them back in where their account had ended.
func (s *Store) Reset(ctx context.Context, token, password string) (p Person, err error) {
	err = s.change(ctx, 0, func(t *tx) error {
		v, err := t.use(ctx, token)
		if err != nil {
			return err
		}
		if p = v.Person; p.ID == 0 {
			return fmt.Errorf("link is for somebody new: %w", ErrNotFound)
		}
		t.by = p.ID
		if err := t.setPassword(ctx, p.ID, password, 0); err != nil || p.Ended == nil {
			return err
		}
		p.Ended = nil
		if _, err := t.ExecContext(ctx, "UPDATE person SET ended_at = NULL WHERE id = ?", p.ID); err != nil {
			return fmt.Errorf("let back in: %w", err)
		}
		return t.record(ctx, "person", p.ID, map[string]any{"ended": true}, map[string]any{"ended": false})
	})
	return p, err
}
