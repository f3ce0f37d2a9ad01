package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"drosswise/foundry/quantity"
)

// ErrLastOwner says that the shop would be left without anybody to set it up.
var ErrLastOwner = errors.New("last owner")

// Person is somebody with an account. Accounts are ended, never deleted: the
// lines a person wrote keep their name.
type Person struct {
	ID    int64
	Name  string // unique, whatever the case of its letters
	Role  string // owner, melter or reader
	Theme string // light, dark or glare; empty follows the device
	Hand  string // right or left: the thumb that logs
	Pad   bool   // digits are typed on the pages' own pad where there is touch
	Since quantity.Moment
	Ended *quantity.Moment // nil while the account stands
}

const people = `SELECT id, name, role, theme, hand, pad, created_at, ended_at FROM person`

func scanPerson(rows *sql.Rows) (Person, error) {
	var p Person
	err := rows.Scan(&p.ID, &p.Name, &p.Role, &p.Theme, &p.Hand, &p.Pad, &p.Since, &p.Ended)
	return p, err
}

// People lists everybody by name, those whose account has ended last.
func (s *Store) People(ctx context.Context) ([]Person, error) { return everybody(ctx, s.read) }

func everybody(ctx context.Context, q querier) ([]Person, error) {
	all, err := collect(ctx, q, scanPerson, people+" ORDER BY ended_at IS NOT NULL, name, id")
	if err != nil {
		return nil, fmt.Errorf("people: %w", err)
	}
	return all, nil
}

// Person reads one, ended or not.
func (s *Store) Person(ctx context.Context, id int64) (Person, error) { return person(ctx, s.read, id) }

func person(ctx context.Context, q querier, id int64) (Person, error) {
	all, err := collect(ctx, q, scanPerson, people+" WHERE id = ?", id)
	if err != nil {
		return Person{}, fmt.Errorf("person: %w", err)
	}
	if len(all) == 0 {
		return Person{}, fmt.Errorf("person %d: %w", id, ErrNotFound)
	}
	return all[0], nil
}

// PersonNamed finds somebody by name, ended or not, with the hash of the
// password. It returns ErrNotFound when nobody has that name.
func (s *Store) PersonNamed(ctx context.Context, name string) (p Person, password string, err error) {
	if p, err = named(ctx, s.read, name); err != nil {
		return p, "", err
	}
	password, err = s.Password(ctx, p.ID)
	return p, password, err
}

// named compares in Go, because SQLite folds only the letters of ASCII.
func named(ctx context.Context, q querier, name string) (Person, error) {
	all, err := everybody(ctx, q)
	if err != nil {
		return Person{}, err
	}
	for _, p := range all {
		if strings.EqualFold(p.Name, name) {
			return p, nil
		}
	}
	return Person{}, fmt.Errorf("person by name: %w", ErrNotFound)
}

// Password gives the hash of a person's password.
func (s *Store) Password(ctx context.Context, id int64) (hash string, err error) {
	err = s.read.QueryRowContext(ctx, "SELECT password FROM person WHERE id = ?", id).Scan(&hash)
	return hash, found("password", err)
}

// SetPassword changes a person's password by its hash, and ends all their
// sign-ins but the one to keep.
func (s *Store) SetPassword(ctx context.Context, by, id int64, hash string, keep int64) error {
	return s.change(ctx, by, func(t *tx) error { return t.setPassword(ctx, id, hash, keep) })
}

func (t *tx) setPassword(ctx context.Context, id int64, hash string, keep int64) error {
	if _, err := t.ExecContext(ctx, "UPDATE person SET password = ? WHERE id = ?", hash, id); err != nil {
		return fmt.Errorf("set password: %w", err)
	}
	if err := t.endSignIns(ctx, id, keep); err != nil {
		return err
	}
	if _, err := t.ExecContext(ctx, "DELETE FROM invitation WHERE person_id = ? AND used_at IS NULL", id); err != nil {
		return fmt.Errorf("withdraw links: %w", err)
	}
	return t.record(ctx, "password", id, nil, nil) // when and by whom, never what
}

// SetTheme keeps how a person wants the pages to look.
func (s *Store) SetTheme(ctx context.Context, id int64, theme string) error {
	if _, err := s.write.ExecContext(ctx, "UPDATE person SET theme = ? WHERE id = ?", theme, id); err != nil {
		return fmt.Errorf("set theme: %w", err)
	}
	return nil
}

// SetThumb keeps with which thumb a person logs, right or left, and whether on
// the pages' own pad.
func (s *Store) SetThumb(ctx context.Context, id int64, hand string, pad bool) error {
	if _, err := s.write.ExecContext(ctx, "UPDATE person SET hand = ?, pad = ? WHERE id = ?", hand, pad, id); err != nil {
		return fmt.Errorf("set thumb: %w", err)
	}
	return nil
}

// SetRole changes what a person may do. It returns ErrLastOwner when nobody
// else could set the shop up. Links that an owner gave out end with that role.
func (s *Store) SetRole(ctx context.Context, by, id int64, role string) error {
	return s.change(ctx, by, func(t *tx) error {
		was, err := person(ctx, t, id)
		if err != nil || was.Role == role {
			return err
		}
		if was.Role == "owner" {
			if err := t.stopOwning(ctx, was); err != nil {
				return err
			}
		}
		if _, err := t.ExecContext(ctx, "UPDATE person SET role = ? WHERE id = ?", role, id); err != nil {
			return fmt.Errorf("set role: %w", err)
		}
		return t.record(ctx, "person", id, map[string]any{"role": was.Role}, map[string]any{"role": role})
	})
}

// stopOwning makes sure that another owner stands, and withdraws the links
// that this one gave out.
func (t *tx) stopOwning(ctx context.Context, p Person) error {
	if p.Ended == nil {
		var others bool
		err := t.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM person WHERE role = 'owner' AND ended_at IS NULL AND id <> ?)", p.ID).Scan(&others)
		if err != nil {
			return fmt.Errorf("other owners: %w", err)
		}
		if !others {
			return fmt.Errorf("person %d: %w", p.ID, ErrLastOwner)
		}
	}
	if _, err := t.ExecContext(ctx, "DELETE FROM invitation WHERE created_by = ? AND used_at IS NULL", p.ID); err != nil {
		return fmt.Errorf("withdraw links: %w", err)
	}
	return nil
}

// EndPerson ends an account with all its sign-ins, its calendar and the links
// made for it or by it. It returns ErrLastOwner when nobody else could set the
// shop up. A reset link brings the account back.
func (s *Store) EndPerson(ctx context.Context, by, id int64) error {
	return s.change(ctx, by, func(t *tx) error {
		p, err := person(ctx, t, id)
		if err != nil || p.Ended != nil {
			return err
		}
		if p.Role == "owner" {
			if err := t.stopOwning(ctx, p); err != nil {
				return err
			}
		}
		if _, err := t.ExecContext(ctx, "UPDATE person SET ended_at = ? WHERE id = ?", t.now, id); err != nil {
			return fmt.Errorf("end person: %w", err)
		}
		if _, err := t.ExecContext(ctx, "DELETE FROM invitation WHERE person_id = ? AND used_at IS NULL", id); err != nil {
			return fmt.Errorf("withdraw links: %w", err)
		}
		if err := t.endSignIns(ctx, id, 0); err != nil {
			return err
		}
		if err := t.endCalendar(ctx, id); err != nil {
			return err
		}
		if err := t.endTokens(ctx, id); err != nil {
			return err
		}
		return t.record(ctx, "person", id, map[string]any{"ended": false}, map[string]any{"ended": true})
	})
}

// addPerson adds somebody whose name nobody has, ended or not.
func (t *tx) addPerson(ctx context.Context, name, role, password string) (Person, error) {
	switch _, err := named(ctx, t, name); {
	case err == nil:
		return Person{}, fmt.Errorf("name is taken: %w", ErrConflict)
	case !errors.Is(err, ErrNotFound):
		return Person{}, err
	}
	r, err := t.ExecContext(ctx, "INSERT INTO person (name, role, password, created_at) VALUES (?,?,?,?)", name, role, password, t.now)
	if err != nil {
		return Person{}, clashes("add person", err)
	}
	id, err := r.LastInsertId()
	return Person{ID: id, Name: name, Role: role, Hand: "right", Pad: true, Since: t.now}, err
}
