package store

import (
	"context"
	"database/sql"
	"fmt"
	"time"

	"drosswise/foundry/quantity"
	"drosswise/foundry/year"
)

// Years lists the years in which something was charged, the newest first.
func (s *Store) Years(ctx context.Context) ([]int, error) {
	scan := func(rows *sql.Rows) (y int, err error) {
		err = rows.Scan(&y)
		return y, err
	}
	all, err := collect(ctx, s.read, scan, "SELECT DISTINCT month / 12 FROM tally WHERE source_id = 0 AND melts > 0 ORDER BY 1 DESC")
	if err != nil {
		return nil, fmt.Errorf("years: %w", err)
	}
	return all, nil
}

// Year adds up the melts of a year of the calendar in a time zone, by month and
// by source, with the heats of crucibles and element sets and those of them that
// were retired, whether or not they came back. Months are those of the shop, so the zone must be too. A year
// without melts is empty.
func (s *Store) Year(ctx context.Context, of int, zone *time.Location) (year.Year, error) {
	y := year.Year{Of: of, Sources: map[int64]year.Source{}, Heats: map[int64]int{}}
	err := s.snapshot(ctx, func(q querier) error {
		for _, read := range []func(context.Context, querier, *year.Year) error{readMonths, readYearSources, readHeats} {
			if err := read(ctx, q, &y); err != nil {
				return err
			}
		}
		from := quantity.At(time.Date(of, time.January, 1, 0, 0, 0, 0, zone))
		to := quantity.At(time.Date(of+1, time.January, 1, 0, 0, 0, 0, zone))
		var err error
		y.Retired, err = retiredIn(ctx, q, from, to)
		return err
	})
	if err != nil {
		return year.Year{}, fmt.Errorf("year %d: %w", of, err)
	}
	return y, nil
}

// tallied picks the sums of some sources in a year by the key of tally: source,
// furnace, month. Without the furnaces it would read all other years too.
const tallied = `
	CROSS JOIN (SELECT id AS furnace FROM kit WHERE kind = 'furnace')
	CROSS JOIN tally t ON t.source_id = source AND t.furnace_id = furnace AND t.month BETWEEN ?1 AND ?2`

func readMonths(ctx context.Context, q querier, y *year.Year) error {
	rows, err := q.QueryContext(ctx, `
		SELECT t.month, sum(t.melts), sum(t.charged), sum(t.yield_charged), sum(t.recovered), sum(t.energy_charged), sum(t.energy),
			coalesce(c.melts, 0), coalesce(c.cash, 0), coalesce(c.recovered, 0)
		FROM (SELECT 0 AS source)`+tallied+` LEFT JOIN cash_month c ON c.month = t.month GROUP BY t.month`, y.Of*12, y.Of*12+11)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var month int
		var m year.Sums
		if err := rows.Scan(&month, &m.Melts, &m.Charged, &m.YieldCharged, &m.Recovered, &m.EnergyCharged, &m.Energy, &m.Priced, &m.Cash, &m.CashRecovered); err != nil {
			return err
		}
		y.Months[month%12] = m
	}
	return rows.Err()
}

func readYearSources(ctx context.Context, q querier, y *year.Year) error {
	rows, err := q.QueryContext(ctx, `
		SELECT source, sum(t.melts), sum(t.of_source) FROM (SELECT id AS source FROM source)`+tallied+` GROUP BY source`, y.Of*12, y.Of*12+11)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var id int64
		var p year.Source
		if err := rows.Scan(&id, &p.Melts, &p.Charged); err != nil {
			return err
		}
		y.Sources[id] = p
	}
	return rows.Err()
}

func readHeats(ctx context.Context, q querier, y *year.Year) error {
	rows, err := q.QueryContext(ctx, "SELECT kit_id, sum(heats) FROM kit_month WHERE month BETWEEN ? AND ? GROUP BY kit_id", y.Of*12, y.Of*12+11)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var id int64
		var heats int
		if err := rows.Scan(&id, &heats); err != nil {
			return err
		}
		y.Heats[id] = heats
	}
	return rows.Err()
}

// retiredIn lists the crucibles and element sets that were retired in a stretch
// of time, whether or not they came back.
func retiredIn(ctx context.Context, q querier, from, to quantity.Moment) ([]year.Retired, error) {
	scan := func(rows *sql.Rows) (r year.Retired, err error) {
		err = rows.Scan(&r.Kit, &r.At, &r.Cause)
		return r, err
	}
	return collect(ctx, q, scan, `
		SELECT k.id, l.at, l.cause FROM kit k JOIN kit_line l ON l.kit_id = k.id
		WHERE k.kind IN ('crucible', 'element') AND l.kind = 'retired' AND l.at >= ? AND l.at < ?
			AND NOT coalesce((SELECT struck FROM strike WHERE id = (SELECT max(id) FROM strike WHERE kit_line_id = l.id)), 0)
		ORDER BY l.at, l.id`, from, to)
}
