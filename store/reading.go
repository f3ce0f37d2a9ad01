package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"

	"drosswise/foundry/curve"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// What readings a melt may have at most, so that a logger that runs wild fills
// no disk: a day at ten a second and more.
const (
	MostReadings = 4_000_000
	MostSeries   = 40
)

// ErrFull says that a melt takes no more readings.
var ErrFull = errors.New("melt has too many readings")

// Sending is a batch of readings of a melt.
type Sending struct {
	Key    string // by which it came, "" for none
	Series []Sent
}

// Sent are readings of one series. Where they are loose, their times were
// reckoned from when the batch came, and a repetition is laid on the times of
// the first.
type Sent struct {
	curve.Series
	Loose bool
	Shift quantity.Span // by which the times were moved, for a clock that was off
}

// Taken counts the readings of a batch.
type Taken struct {
	New   int // stored
	Had   int // stored before with the same value
	Other int // of a time that has another value, which stays
}

// AddReadings stores readings of a melt. One is told by series and time: what
// is stored already stays as it is, so that a batch may be sent again. now is
// what loose times were reckoned from. It returns ErrFull when the melt would
// have too many, ErrKeyUsed when the key came with others, or
// with those of another melt.
func (s *Store) AddReadings(ctx context.Context, by int64, code melt.Code, b Sending, now quantity.Moment) (taken Taken, err error) {
	err = s.change(ctx, by, func(t *tx) error {
		taken = Taken{}
		h, err := heading(ctx, t, code)
		if err != nil {
			return err
		}
		var late quantity.Moment
		if b.Key != "" {
			if late, err = t.sent(ctx, b, h.ID, now); err != nil {
				return err
			}
		}
		for _, sent := range b.Series {
			moved := quantity.Moment(0)
			if sent.Loose {
				moved = late
			}
			if err := t.addSeries(ctx, h.ID, sent, moved, &taken); err != nil {
				return err
			}
		}
		return nil
	})
	return taken, err
}

// sent is by how much a batch is to be moved to lie on the times of its first
// sending.
func (t *tx) sent(ctx context.Context, b Sending, meltID int64, now quantity.Moment) (quantity.Moment, error) {
	var had, first int64
	var content sql.NullString
	err := t.QueryRowContext(ctx, "SELECT melt_id, at, content FROM sending WHERE key = ?", b.Key).Scan(&had, &first, &content)
	switch {
	case err == nil && (had != meltID || content.Valid && content.String != b.content(now)):
		return 0, fmt.Errorf("key %s stands for other readings: %w", b.Key, ErrKeyUsed)
	case err == nil:
		return quantity.Moment(first) - now, nil
	case !errors.Is(err, sql.ErrNoRows):
		return 0, fmt.Errorf("sending: %w", err)
	}
	if _, err := t.ExecContext(ctx, "INSERT INTO sending (key, melt_id, at, content) VALUES (?,?,?,?)", b.Key, meltID, now, b.content(now)); err != nil {
		return 0, fmt.Errorf("sending: %w", err)
	}
	return 0, nil
}

// content tells a batch from others: loose times by how far they are from when it
// came, which is the same each time that it comes.
func (b Sending) content(now quantity.Moment) string {
	sum := sha256.New()
	for _, s := range b.Series {
		fmt.Fprintf(sum, "%s %q %t\n", s.Channel, s.Name, s.Loose)
		for _, x := range s.Samples {
			if s.Loose {
				x.At -= now
			}
			fmt.Fprintln(sum, int64(x.At), x.Value)
		}
	}
	return hex.EncodeToString(sum.Sum(nil))
}

// FirstSent is when a batch first came under a key, 0 for a key that is new.
func (s *Store) FirstSent(ctx context.Context, key string) (first quantity.Moment, err error) {
	err = s.read.QueryRowContext(ctx, "SELECT at FROM sending WHERE key = ?", key).Scan(&first)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return 0, fmt.Errorf("sending: %w", err)
	}
	return first, nil
}

// addSeries stores readings of one series, all moved by a span.
func (t *tx) addSeries(ctx context.Context, meltID int64, s Sent, moved quantity.Moment, taken *Taken) error {
	id, err := t.seriesOf(ctx, meltID, s)
	if err != nil {
		return err
	}
	stored := 0
	for rest := s.Samples; len(rest) > 0; {
		n := 1
		for _, size := range insertSizes {
			if len(rest) >= size {
				n = size
				break
			}
		}
		added, err := t.insertReadings(ctx, id, rest[:n], moved)
		if err != nil {
			return err
		}
		stored += added
		if added < n {
			if err := t.compare(ctx, id, rest[:n], moved, added, taken); err != nil {
				return err
			}
		}
		rest = rest[n:]
	}
	taken.New += stored
	if stored == 0 {
		return nil
	}
	if _, err := t.ExecContext(ctx, "UPDATE series SET samples = samples + ?, shift = ? WHERE id = ?", stored, s.Shift, id); err != nil {
		return fmt.Errorf("series: %w", err)
	}
	return t.notFull(ctx, meltID)
}

// notFull refuses what makes a melt's readings too many.
func (t *tx) notFull(ctx context.Context, meltID int64) error {
	var series, samples int
	if err := t.QueryRowContext(ctx, "SELECT count(*), coalesce(sum(samples), 0) FROM series WHERE melt_id = ?", meltID).Scan(&series, &samples); err != nil {
		return fmt.Errorf("series: %w", err)
	}
	if series > MostSeries || samples > MostReadings {
		return fmt.Errorf("%d readings in %d series: %w", samples, series, ErrFull)
	}
	return nil
}

func (t *tx) seriesOf(ctx context.Context, meltID int64, s Sent) (id int64, err error) {
	err = t.QueryRowContext(ctx, "SELECT id FROM series WHERE melt_id = ? AND channel = ? AND name = ?", meltID, s.Channel, s.Name).Scan(&id)
	if err == nil {
		return id, nil
	}
	if !errors.Is(err, sql.ErrNoRows) {
		return 0, fmt.Errorf("series: %w", err)
	}
	r, err := t.ExecContext(ctx, "INSERT INTO series (melt_id, channel, name, noted_at, person_id) VALUES (?,?,?,?,?)", meltID, s.Channel, s.Name, t.now, t.by)
	if err != nil {
		return 0, fmt.Errorf("series: %w", err)
	}
	return r.LastInsertId()
}

// insertSizes are how many readings go into one statement: the cost of a
// statement is most of the cost of a reading, and only few forms are prepared.
var insertSizes = []int{100, 10, 1}

var insertTexts = func() map[int]string {
	texts := map[int]string{}
	for _, n := range insertSizes {
		texts[n] = "INSERT INTO reading VALUES (?1,?,?)" + strings.Repeat(",(?1,?,?)", n-1) + " ON CONFLICT DO NOTHING"
	}
	return texts
}()

func (t *tx) insertReadings(ctx context.Context, series int64, all []curve.Sample, moved quantity.Moment) (int, error) {
	args := make([]any, 1, 1+2*len(all))
	args[0] = series
	for _, x := range all {
		args = append(args, int64(x.At+moved), x.Value)
	}
	r, err := t.ExecContext(ctx, insertTexts[len(all)], args...)
	if err != nil {
		return 0, fmt.Errorf("readings: %w", err)
	}
	n, err := r.RowsAffected()
	return int(n), err
}

// compare counts which readings, of some that were not all new, have another
// value than is stored.
func (t *tx) compare(ctx context.Context, series int64, all []curve.Sample, moved quantity.Moment, added int, taken *Taken) error {
	other := 0
	for _, x := range all {
		var had int64
		if err := t.QueryRowContext(ctx, "SELECT value FROM reading WHERE series_id = ? AND at = ?", series, int64(x.At+moved)).Scan(&had); err != nil {
			return fmt.Errorf("readings: %w", err)
		}
		if had != x.Value {
			other++
		}
	}
	taken.Other += other
	taken.Had += len(all) - added - other
	return nil
}

// Series is what is known of a series without reading it through.
type Series struct {
	ID      int64
	Channel curve.Channel
	Name    string
	Samples int
	Shift   quantity.Span
	Strike  *melt.Strike
}

// Stands reports whether the series is not struck.
func (s Series) Stands() bool { return s.Strike == nil }

const series = `SELECT s.id, s.channel, s.name, s.samples, s.shift, k.at, k.person_id, k.reason
	FROM series s LEFT JOIN series_strike k ON k.id = (SELECT max(id) FROM series_strike WHERE series_id = s.id) AND k.struck = 1`

func scanSeries(rows *sql.Rows) (s Series, err error) {
	var strike struckBy
	err = rows.Scan(&s.ID, &s.Channel, &s.Name, &s.Samples, &s.Shift, &strike.at, &strike.by, &strike.reason)
	if strike.at != nil {
		s.Strike = &melt.Strike{At: *strike.at, By: strike.by.Int64, Reason: strike.reason.String}
	}
	return s, err
}

// MeltSeries lists the series of a melt in the order in which they first came,
// struck ones too.
func (s *Store) MeltSeries(ctx context.Context, meltID int64) ([]Series, error) {
	return meltSeries(ctx, s.read, meltID)
}

func meltSeries(ctx context.Context, q querier, meltID int64) ([]Series, error) {
	all, err := collect(ctx, q, scanSeries, series+" WHERE s.melt_id = ? ORDER BY s.id", meltID)
	if err != nil {
		return nil, fmt.Errorf("series: %w", err)
	}
	return all, nil
}

// Readings reads the readings of a series after a moment in the order of their
// times, most at most; 0 is no bound.
func (s *Store) Readings(ctx context.Context, seriesID int64, after quantity.Moment, most int) ([]curve.Sample, error) {
	return readings(ctx, s.read, seriesID, after, most)
}

func readings(ctx context.Context, q querier, seriesID int64, after quantity.Moment, most int) ([]curve.Sample, error) {
	if most <= 0 {
		most = -1
	}
	all, err := collect(ctx, q, func(rows *sql.Rows) (x curve.Sample, err error) {
		return x, rows.Scan(&x.At, &x.Value)
	}, "SELECT at, value FROM reading WHERE series_id = ? AND at > ? ORDER BY at LIMIT ?", seriesID, after, most)
	if err != nil {
		return nil, fmt.Errorf("readings: %w", err)
	}
	return all, nil
}

// StrikeSeries strikes a series of a melt, or puts it back; the same key does it
// once. The readings stay.
func (s *Store) StrikeSeries(ctx context.Context, by int64, code melt.Code, id int64, m Mark) error {
	return s.change(ctx, by, func(t *tx) error {
		all, err := collect(ctx, t, scanSeries, series+" JOIN melt m ON m.id = s.melt_id WHERE s.id = ? AND m.code = ?", id, code)
		switch {
		case err != nil:
			return fmt.Errorf("series: %w", err)
		case len(all) == 0:
			return fmt.Errorf("series %d of %s: %w", id, code, ErrNotFound)
		case all[0].Stands() != m.Struck:
			return quiet(t.marked(ctx, "series_strike", "series_id", id, m))
		}
		return quiet(t.markIn(ctx, "series_strike", "series_id", id, m))
	})
}
