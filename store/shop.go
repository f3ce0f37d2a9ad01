package store

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"sync"
	"time"

	"drosswise/foundry/quantity"
	"drosswise/foundry/tariff"
)

// Shop is what holds for the whole shop.
type Shop struct {
	Name       string
	Zone       string // IANA name, such as Europe/London
	MassUnit   string // kg, g or lb
	Fahrenheit bool
	Currency   string // ISO 4217
	Comma      bool   // decimal comma
	Ambient    quantity.Temperature
	Ready      bool   // set up by its owner
	Points     string // of its own for the check before power on, one to a line
}

// Style is how the shop writes numbers. An unknown zone counts as UTC.
func (s Shop) Style() quantity.Style {
	zone, ok := zones.Load(s.Zone)
	if !ok {
		read, err := time.LoadLocation(s.Zone)
		if err != nil {
			read = time.UTC
		}
		zone, _ = zones.LoadOrStore(s.Zone, read)
	}
	units := map[string]quantity.MassUnit{"kg": quantity.Kilo, "g": quantity.Grams, "lb": quantity.Pounds}
	return quantity.Style{Comma: s.Comma, MassUnit: units[s.MassUnit], Fahrenheit: s.Fahrenheit, Currency: s.Currency, Zone: zone.(*time.Location)}
}

// zones are the time zones that were read once: each is a file, and every
// request needs one. A shop has one; what others there are, tests made.
var zones sync.Map // by name, *time.Location

// Shop reads the settings.
func (s *Store) Shop(ctx context.Context) (Shop, error) { return shop(ctx, s.read) }

func shop(ctx context.Context, q querier) (Shop, error) {
	var p Shop
	err := q.QueryRowContext(ctx, "SELECT name, zone, mass_unit, fahrenheit, currency, comma, ambient, ready, points FROM shop").
		Scan(&p.Name, &p.Zone, &p.MassUnit, &p.Fahrenheit, &p.Currency, &p.Comma, &p.Ambient, &p.Ready, &p.Points)
	return p, found("shop", err)
}

// SetShop changes the settings. Figures that lean on them are made again.
func (s *Store) SetShop(ctx context.Context, by int64, p Shop) error {
	return s.change(ctx, by, func(t *tx) error { return t.setShop(ctx, p) })
}

func (t *tx) setShop(ctx context.Context, p Shop) error {
	was, err := shop(ctx, t)
	if err != nil {
		return err
	}
	if was == p {
		return nil
	}
	_, err = t.ExecContext(ctx, "UPDATE shop SET name=?, zone=?, mass_unit=?, fahrenheit=?, currency=?, comma=?, ambient=?, ready=?, points=?",
		p.Name, p.Zone, p.MassUnit, p.Fahrenheit, p.Currency, p.Comma, p.Ambient, p.Ready, p.Points)
	if err != nil {
		return fmt.Errorf("set shop: %w", err)
	}
	if err := t.record(ctx, "shop", 1, was, p); err != nil {
		return err
	}
	if was.Zone == p.Zone && was.Currency == p.Currency && was.Ambient == p.Ambient {
		return nil
	}
	return t.refigureWhere(ctx, "1")
}

// record keeps what a changed description said before and after.
func (t *tx) record(ctx context.Context, thing string, id int64, was, became any) error {
	before, err := json.Marshal(was)
	if err != nil {
		return err
	}
	after, err := json.Marshal(became)
	if err != nil {
		return err
	}
	_, err = t.ExecContext(ctx, "INSERT INTO change (at, person_id, thing, thing_id, was, became) VALUES (?,?,?,?,?,?)",
		t.now, orNull(t.by), thing, id, string(before), string(after))
	return err
}

// Tariff is a price of electricity from a day on.
type Tariff struct {
	ID  int64
	Key string
	tariff.Tariff
}

// Tariffs lists the prices of electricity that stand, the newest first.
func (s *Store) Tariffs(ctx context.Context) ([]Tariff, error) { return tariffs(ctx, s.read) }

func tariffs(ctx context.Context, q querier) ([]Tariff, error) {
	rows, err := q.QueryContext(ctx, `
		SELECT t.id, t.key, t.from_at, t.price, b.from_minute, b.to_minute, b.price
		FROM tariff t LEFT JOIN tariff_band b ON b.tariff_id = t.id
		WHERE t.struck_at IS NULL ORDER BY t.from_at DESC, t.id DESC, b.from_minute`)
	if err != nil {
		return nil, fmt.Errorf("tariffs: %w", err)
	}
	defer rows.Close()
	var all []Tariff
	for rows.Next() {
		var one Tariff
		var from, to *int
		var price *quantity.Price
		if err := rows.Scan(&one.ID, &one.Key, &one.From, &one.Price, &from, &to, &price); err != nil {
			return nil, fmt.Errorf("tariffs: %w", err)
		}
		if n := len(all); n == 0 || all[n-1].ID != one.ID {
			all = append(all, one)
		}
		if from != nil {
			last := &all[len(all)-1]
			last.Bands = append(last.Bands, tariff.Band{FromMinute: *from, ToMinute: *to, Price: *price})
		}
	}
	return all, rows.Err()
}

// AddTariff adds a price of electricity. The same key adds it once, with other
// content it is an ErrConflict.
func (s *Store) AddTariff(ctx context.Context, by int64, p Tariff) error {
	return s.change(ctx, by, func(t *tx) error {
		r, err := t.ExecContext(ctx, "INSERT INTO tariff (key, from_at, price, created_at, person_id) VALUES (?,?,?,?,?) ON CONFLICT (key) DO NOTHING",
			p.Key, p.From, p.Price, t.now, by)
		if err != nil {
			return fmt.Errorf("add tariff: %w", err)
		}
		if n, err := r.RowsAffected(); err != nil || n == 0 {
			var same bool
			err = errors.Join(err, t.QueryRowContext(ctx, `SELECT from_at = ? AND price = ? AND ? = (SELECT count(*) FROM tariff_band WHERE tariff_id = tariff.id)
				FROM tariff WHERE key = ?`, p.From, p.Price, len(p.Bands), p.Key).Scan(&same))
			for _, b := range p.Bands {
				var there bool
				err = errors.Join(err, t.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM tariff_band b JOIN tariff ON tariff.id = b.tariff_id
					WHERE tariff.key = ? AND b.from_minute = ? AND b.to_minute = ? AND b.price = ?)`, p.Key, b.FromMinute, b.ToMinute, b.Price).Scan(&there))
				same = same && there
			}
			return errors.Join(err, alike("price", same, true))
		}
		id, err := r.LastInsertId()
		if err != nil {
			return err
		}
		for _, b := range p.Bands {
			if _, err := t.ExecContext(ctx, "INSERT INTO tariff_band VALUES (?,?,?,?)", id, b.FromMinute, b.ToMinute, b.Price); err != nil {
				return fmt.Errorf("add tariff band: %w", err)
			}
		}
		return t.refigureWhere(ctx, "started_at >= ?", p.From-longest)
	})
}

// StrikeTariff takes a price out of account.
func (s *Store) StrikeTariff(ctx context.Context, by, id int64) error {
	return s.change(ctx, by, func(t *tx) error {
		var from quantity.Moment
		err := t.QueryRowContext(ctx, "SELECT from_at FROM tariff WHERE id = ? AND struck_at IS NULL", id).Scan(&from)
		if err != nil {
			return found("tariff", err)
		}
		if _, err := t.ExecContext(ctx, "UPDATE tariff SET struck_at = ? WHERE id = ?", t.now, id); err != nil {
			return fmt.Errorf("strike tariff: %w", err)
		}
		if err := t.record(ctx, "tariff", id, map[string]any{"struck": false}, map[string]any{"struck": true}); err != nil {
			return err
		}
		return t.refigureWhere(ctx, "started_at >= ?", from-longest)
	})
}

// longest is longer than any melt that a change of price can reach back into:
// lines are at most a day and a half on either side of the heading's time.
const longest = quantity.Moment(72 * quantity.Hour)
