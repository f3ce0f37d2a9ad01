package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"strings"

	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
)

// DueRules gives the rule of every kind, in the order of kit.Kinds: the shop's
// own, or else the usual one.
func (s *Store) DueRules(ctx context.Context) ([]kit.Rule, error) { return dueRules(ctx, s.read) }

func dueRules(ctx context.Context, q querier) ([]kit.Rule, error) {
	made, err := collect(ctx, q, scanRule, "SELECT kind, heats, days FROM due_rule WHERE id IN (SELECT max(id) FROM due_rule GROUP BY kind)")
	if err != nil {
		return nil, fmt.Errorf("due rules: %w", err)
	}
	own := map[kit.Kind]kit.Rule{}
	for _, r := range made {
		own[r.Kind] = r
	}
	all := make([]kit.Rule, len(kit.UsualRules))
	for i, u := range kit.UsualRules {
		all[i] = u.Rule
		if r, ok := own[u.Kind]; ok {
			all[i] = r
		}
	}
	return all, nil
}

func scanRule(rows *sql.Rows) (r kit.Rule, err error) {
	err = rows.Scan(&r.Kind, &r.Heats, &r.Days)
	return r, err
}

// SetDueRules makes these the shop's rules; a kind with neither heats nor days
// comes off the list. Those that hold already are not written again.
func (s *Store) SetDueRules(ctx context.Context, by int64, rules []kit.Rule) error {
	return s.change(ctx, by, func(t *tx) error {
		had, err := dueRules(ctx, t)
		if err != nil {
			return err
		}
		was := map[kit.Kind]kit.Rule{}
		for _, r := range had {
			was[r.Kind] = r
		}
		for _, r := range rules {
			if reflect.DeepEqual(was[r.Kind], r) {
				continue
			}
			made, err := t.ExecContext(ctx, "INSERT INTO due_rule (kind, heats, days, at, person_id) VALUES (?,?,?,?,?)", r.Kind, r.Heats, r.Days, t.now, by)
			if err != nil {
				return fmt.Errorf("set due rule: %w", err)
			}
			id, err := made.LastInsertId()
			if err != nil {
				return err
			}
			if err := t.record(ctx, "due_rule", id, was[r.Kind], r); err != nil {
				return err
			}
			t.worn()
		}
		return nil
	})
}

// enough is how many heats beyond the rule are counted since the last look:
// further ones say nothing new, and a shop may have logged very many.
const enough = 100

// keptLooks are the last looks as they were when so much had been written.
type keptLooks struct {
	kit   [4]int64
	wear  uint64
	looks map[int64]kit.Look
}

// LastLooks gives, by its id, when each piece of kit in service was last looked
// at. Pieces of a kind that is off the list are left out. Every first page
// asks, so the answer is kept until something of kit, melts or rules is
// written.
func (s *Store) LastLooks(ctx context.Context) (map[int64]kit.Look, error) {
	wear := s.WearChanges() // first: what is written meanwhile must not pass as seen
	written, err := kitWritten(ctx, s.read)
	if err != nil {
		return nil, err
	}
	if kept := s.looks.Load(); kept != nil && kept.kit == written && kept.wear == wear {
		return maps.Clone(kept.looks), nil
	}
	looks := map[int64]kit.Look{}
	err = s.snapshot(ctx, func(q querier) error {
		items, err := allKit(ctx, q)
		if err != nil {
			return err
		}
		rules, err := dueRules(ctx, q)
		if err != nil {
			return err
		}
		for _, r := range rules {
			for _, it := range items {
				if it.Kind != r.Kind || it.Retired || r.None() {
					continue
				}
				if looks[it.ID], err = lastLook(ctx, q, it, r); err != nil {
					return err
				}
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	s.looks.Store(&keptLooks{written, wear, maps.Clone(looks)})
	return looks, nil
}

// lastLook finds the last line that stands and shows that the piece was looked
// at, and counts the heats since.
func lastLook(ctx context.Context, q querier, it kit.Item, r kit.Rule) (kit.Look, error) {
	look := kit.Look{At: it.Created}
	kinds := kit.Looks(it.Kind)
	args := []any{it.ID}
	for _, k := range kinds {
		args = append(args, k)
	}
	err := q.QueryRowContext(ctx, `SELECT l.at, l.kind FROM kit_line l WHERE l.kit_id = ? AND l.kind IN (?`+strings.Repeat(",?", len(kinds)-1)+`)
		AND NOT coalesce((SELECT struck FROM strike WHERE id = (SELECT max(id) FROM strike WHERE kit_line_id = l.id)), 0)
		ORDER BY l.at DESC, l.id DESC LIMIT 1`, args...).Scan(&look.At, &look.By)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return look, fmt.Errorf("last look: %w", err)
	}
	if r.Heats == nil {
		return look, nil
	}
	most := *r.Heats + enough
	look.Heats, _, err = lateHeats(ctx, q, it, look.At, most+1)
	if look.Heats > most {
		look.Heats, look.More = most, true
	}
	return look, err
}

// heatsSince count heats of a piece from its newest one back, in the order of
// the kind's index. Of two crucibles in one melt the last counts it.
var heatsSince = map[kit.Kind]string{
	kit.Furnace:  heatsBy("furnace_id"),
	kit.Crucible: heatsBy("crucible_id"),
	kit.Element:  heatsBy("element_id"),
}

func heatsBy(column string) string {
	return `SELECT count(*), coalesce(min(started_at), 0) FROM (
		SELECT started_at FROM figure WHERE ` + column + ` = ? AND started_at >= ? AND heats = 1
		ORDER BY started_at DESC, melt_id DESC LIMIT ?)`
}

// lateHeats counts the heats of a piece that began since a moment, at most so
// many, and says when the oldest of those counted began.
func lateHeats(ctx context.Context, q querier, it kit.Item, since quantity.Moment, most int) (n int, oldest quantity.Moment, err error) {
	query, ok := heatsSince[it.Kind]
	if !ok {
		return 0, 0, nil
	}
	err = q.QueryRowContext(ctx, query, it.ID, since, most).Scan(&n, &oldest)
	return n, oldest, found("heats", err)
}

// mostPaced is how many of the newest heats a pace is read from.
const mostPaced = 120

// Pace gives how often a piece of kit was melted with of late.
func (s *Store) Pace(ctx context.Context, it kit.Item) (kit.Pace, error) {
	now := s.Now()
	n, oldest, err := lateHeats(ctx, s.read, it, now-quantity.Moment(kit.PaceDays*24*quantity.Hour), mostPaced)
	return kit.PaceOf(n, oldest, now), err
}
