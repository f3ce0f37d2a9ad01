package store

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"database/sql"
	"fmt"

	"drosswise/foundry/quantity"
)

// Scope is how far a token reaches. Beyond its person's role it never does.
type Scope string

// The scopes, narrowest first.
const (
	ScopeReadings Scope = "readings" // sends readings of a melt, and nothing else
	ScopeRead     Scope = "read"     // looks at everything
	ScopeLog      Scope = "log"      // what a melter may do
	ScopeAll      Scope = "all"      // all that its person may do
)

// tokenPrefix tells a token of ours from other secrets, for people and for
// programs that look for secrets in the wrong place.
const tokenPrefix = "drosswise-"

// Token lets a program in as a person.
type Token struct {
	ID      int64
	Name    string // what it is for, as the person called it
	Scope   Scope
	At      quantity.Moment
	Expires quantity.Moment
	Used    *quantity.Moment // about when last, nil before the first time
}

// MakeToken makes a token of a person and gives its text, which is kept nowhere.
func (s *Store) MakeToken(ctx context.Context, person int64, name string, scope Scope, expires quantity.Moment) (text string, err error) {
	text = tokenPrefix + rand.Text()
	err = s.change(ctx, person, func(t *tx) error {
		r, err := t.ExecContext(ctx, "INSERT INTO token (hash, person_id, name, scope, created_at, expires_at) VALUES (?,?,?,?,?,?)",
			tokenHash(text), person, name, scope, t.now, expires)
		if err != nil {
			return fmt.Errorf("make token: %w", err)
		}
		id, err := r.LastInsertId()
		if err != nil {
			return err
		}
		return t.record(ctx, "token", id, nil, map[string]any{"name": name, "scope": scope, "expires": expires})
	})
	return text, err
}

func tokenHash(text string) []byte {
	sum := sha256.Sum256([]byte(text))
	return sum[:]
}

// Tokens lists a person's tokens that work, the newest first.
func (s *Store) Tokens(ctx context.Context, person int64) ([]Token, error) {
	all, err := collect(ctx, s.read, func(rows *sql.Rows) (t Token, err error) {
		err = rows.Scan(&t.ID, &t.Name, &t.Scope, &t.At, &t.Expires, &t.Used)
		return t, err
	}, "SELECT id, name, scope, created_at, expires_at, used_at FROM token WHERE person_id = ? AND ended_at IS NULL AND expires_at > ? ORDER BY id DESC", person, s.Now())
	if err != nil {
		return nil, fmt.Errorf("tokens: %w", err)
	}
	return all, nil
}

// EndToken ends one of a person's tokens. It returns ErrNotFound for a token of
// somebody else; one that has ended stays ended.
func (s *Store) EndToken(ctx context.Context, person, id int64) error {
	return s.change(ctx, person, func(t *tx) error {
		var ended *quantity.Moment
		err := t.QueryRowContext(ctx, "SELECT ended_at FROM token WHERE id = ? AND person_id = ?", id, person).Scan(&ended)
		if err := found("token", err); err != nil || ended != nil {
			return err
		}
		if _, err := t.ExecContext(ctx, "UPDATE token SET ended_at = ? WHERE id = ?", t.now, id); err != nil {
			return fmt.Errorf("end token: %w", err)
		}
		return t.record(ctx, "token", id, map[string]any{"ended": false}, map[string]any{"ended": true})
	})
}

// endTokens ends all of a person's tokens.
func (t *tx) endTokens(ctx context.Context, person int64) error {
	if _, err := t.ExecContext(ctx, "UPDATE token SET ended_at = ? WHERE person_id = ? AND ended_at IS NULL", t.now, person); err != nil {
		return fmt.Errorf("end tokens: %w", err)
	}
	return nil
}

// Bearer gives the person behind a token's text, and the token. It returns
// ErrNotFound when the token or the account has ended, or the token expired.
func (s *Store) Bearer(ctx context.Context, text string) (p Person, k Token, err error) {
	err = s.read.QueryRowContext(ctx, `
		SELECT p.id, p.name, p.role, p.theme, p.hand, p.pad, p.created_at, k.id, k.name, k.scope, k.created_at, k.expires_at, k.used_at
		FROM token k JOIN person p ON p.id = k.person_id
		WHERE k.hash = ? AND k.ended_at IS NULL AND k.expires_at > ? AND p.ended_at IS NULL`, tokenHash(text), s.Now()).
		Scan(&p.ID, &p.Name, &p.Role, &p.Theme, &p.Hand, &p.Pad, &p.Since, &k.ID, &k.Name, &k.Scope, &k.At, &k.Expires, &k.Used)
	return p, k, found("token", err)
}

// TokenUsed notes that a token is in use, at most once an hour: k is as Bearer
// gave it.
func (s *Store) TokenUsed(ctx context.Context, k Token) error {
	now := s.Now()
	if k.Used != nil && now-*k.Used < seenEvery {
		return nil
	}
	_, err := s.write.ExecContext(ctx, "UPDATE token SET used_at = ? WHERE id = ? AND (used_at IS NULL OR used_at <= ?)", now, k.ID, now-seenEvery)
	if err != nil {
		return fmt.Errorf("note token: %w", err)
	}
	return nil
}
