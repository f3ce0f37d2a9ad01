package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"drosswise/foundry/curve"
)

// curveArithmetic is raised when reports of the same readings come out
// otherwise: then each is made anew when it is next wanted.
const curveArithmetic = 2

// version names what a report is made of: which series stand, and how many
// readings each has, since none is ever changed.
func curveVersion(all []Series) string {
	var b strings.Builder
	fmt.Fprint(&b, curveArithmetic)
	for _, s := range all {
		if s.Stands() {
			fmt.Fprintf(&b, " %d:%d", s.ID, s.Samples)
		}
	}
	return b.String()
}

// Curve gives what the readings of a melt come to as it was last made, with all
// series, and whether more has come since. made is false while it was never made.
func (s *Store) Curve(ctx context.Context, meltID int64) (r curve.Report, all []Series, made, old bool, err error) {
	err = s.snapshot(ctx, func(q querier) error {
		if all, err = meltSeries(ctx, q, meltID); err != nil || len(all) == 0 {
			return err
		}
		var version string
		var body []byte
		err := q.QueryRowContext(ctx, "SELECT version, body FROM melt_curve WHERE melt_id = ?", meltID).Scan(&version, &body)
		if errors.Is(err, sql.ErrNoRows) {
			return nil
		}
		if err != nil {
			return err
		}
		made, old = true, version != curveVersion(all)
		return json.Unmarshal(body, &r)
	})
	if err != nil {
		return r, nil, false, false, fmt.Errorf("curve: %w", err)
	}
	return r, all, made, old, nil
}

// MakeCurve makes the report of a melt's readings and keeps it.
func (s *Store) MakeCurve(ctx context.Context, meltID int64) (r curve.Report, err error) {
	var version string
	err = s.snapshot(ctx, func(q querier) error {
		all, err := meltSeries(ctx, q, meltID)
		if err != nil {
			return err
		}
		version = curveVersion(all)
		var read []curve.Numbered
		for _, one := range all {
			if !one.Stands() {
				continue
			}
			samples, err := readings(ctx, q, one.ID, 0, 0)
			if err != nil {
				return err
			}
			read = append(read, curve.Numbered{ID: one.ID, Series: curve.Series{Channel: one.Channel, Name: one.Name, Samples: samples}})
		}
		r = curve.Work(read)
		return nil
	})
	if err != nil {
		return r, fmt.Errorf("curve: %w", err)
	}
	body, err := json.Marshal(r)
	if err != nil {
		return r, fmt.Errorf("curve: %w", err)
	}
	_, err = s.write.ExecContext(ctx, "INSERT INTO melt_curve (melt_id, version, body, upto) VALUES (?,?,?,?) ON CONFLICT (melt_id) DO UPDATE SET version = excluded.version, body = excluded.body, upto = excluded.upto", meltID, version, body, r.To)
	if err != nil {
		return r, fmt.Errorf("curve: %w", err)
	}
	s.shown.Add(1)
	return r, nil
}
