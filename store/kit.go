package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"reflect"
	"slices"

	"drosswise/foundry/kit"
)

const kitColumns = `id, key, kind, name, note, created_at, person_id, coalesce(letter, ''), coalesce(heating, ''), volts, circuit, power,
	coalesce(material, ''), brim, rated, coalesce(rated_in, ''), fill, mass, wall, cost, expected_heats,
	coalesce(wire, ''), diameter, length, ohms, coalesce(resolution, 0), coalesce(capacity, 0), coalesce(gain, 0), coalesce(couple, ''),
	ohms_limit, coalesce(switching, ''), coalesce(brick, ''), inner_wide, inner_deep, inner_high`

func scanKit(rows *sql.Rows) (kit.Item, error) {
	var it kit.Item
	err := rows.Scan(&it.ID, &it.Key, &it.Kind, &it.Name, &it.Note, &it.Created, &it.By, &it.Letter, &it.Heating, &it.Volts, &it.Circuit, &it.Power,
		&it.Material, &it.Brim, &it.Rated, &it.RatedIn, &it.Fill, &it.Mass, &it.Wall, &it.Cost, &it.ExpectedHeats,
		&it.Wire, &it.Diameter, &it.Length, &it.Ohms, &it.Resolution, &it.Capacity, &it.Gain, &it.Couple,
		&it.OhmsLimit, &it.Switching, &it.Brick, &it.Wide, &it.Deep, &it.High)
	return it, err
}

// kitValues are the columns from name on, in the order of the statements below.
func kitValues(it kit.Item) []any {
	null := func(text string) any {
		if text == "" {
			return nil
		}
		return text
	}
	return []any{it.Name, it.Note, null(it.Letter), null(it.Heating), it.Volts, it.Circuit, it.Power,
		null(string(it.Material)), it.Brim, it.Rated, null(string(it.RatedIn)), it.Fill, it.Mass, it.Wall, it.Cost, it.ExpectedHeats,
		null(it.Wire), it.Diameter, it.Length, it.Ohms, orNull(int64(it.Resolution)), orNull(int64(it.Capacity)), orNull(it.Gain), null(it.Couple),
		it.OhmsLimit, null(it.Switching), null(it.Brick), it.Wide, it.Deep, it.High}
}

// Kit lists all kit with its fate, in the order in which it was added. Nearly
// every page names kit and few change it, so the list is kept for as long as it
// holds.
func (s *Store) Kit(ctx context.Context) ([]kit.Item, error) {
	now, err := kitWritten(ctx, s.read)
	if err != nil {
		return nil, err
	}
	if kept := s.kit.Load(); kept != nil && kept.written == now {
		return slices.Clone(kept.items), nil
	}
	items, err := allKit(ctx, s.read)
	if err != nil {
		return nil, err
	}
	s.kit.Store(&keptKit{now, slices.Clone(items)})
	return items, nil
}

// keptKit is the list of kit as it was when so much had been written.
type keptKit struct {
	written [4]int64
	items   []kit.Item
}

// kitWritten tells how much has been written about kit: whatever can change the
// list adds a row to one of these tables, and none is ever taken out.
func kitWritten(ctx context.Context, q querier) (n [4]int64, err error) {
	err = q.QueryRowContext(ctx, `SELECT (SELECT coalesce(max(id), 0) FROM kit), (SELECT coalesce(max(id), 0) FROM kit_line),
		(SELECT coalesce(max(id), 0) FROM strike), (SELECT coalesce(max(id), 0) FROM change)`).Scan(&n[0], &n[1], &n[2], &n[3])
	return n, found("kit", err)
}

func allKit(ctx context.Context, q querier) ([]kit.Item, error) {
	items, err := collect(ctx, q, scanKit, "SELECT "+kitColumns+" FROM kit ORDER BY id")
	if err != nil {
		return nil, fmt.Errorf("kit: %w", err)
	}
	lines, err := collect(ctx, q, scanFate, fates)
	if err != nil {
		return nil, fmt.Errorf("kit lines: %w", err)
	}
	for i, it := range items { // both are in the order of the kit's ids
		n := 0
		for n < len(lines) && lines[n].Item == it.ID {
			n++
		}
		items[i].Retired, items[i].On = kit.Fate(lines[:n])
		lines = lines[n:]
	}
	cracked, err := collect(ctx, q, scanID, cracks)
	if err != nil {
		return nil, fmt.Errorf("cracks: %w", err)
	}
	for i, it := range items {
		items[i].Cracked = slices.Contains(cracked, it.ID)
	}
	return items, nil
}

// cracks are the crucibles of which a line that stands says that they cracked.
const cracks = `SELECT DISTINCT l.kit_id FROM kit_line l WHERE l.cracked = 1
	AND NOT coalesce((SELECT struck FROM strike WHERE id = (SELECT max(id) FROM strike WHERE kit_line_id = l.id)), 0)`

// fates reads no more of the lines that stand than kit.Fate looks at: it is
// read for every page, and has an index of its own.
const fates = `SELECT l.kit_id, l.kind, coalesce(l.furnace_id, 0) FROM kit_line l WHERE l.kind IN ('fitted', 'retired', 'returned')
	AND NOT coalesce((SELECT struck FROM strike WHERE id = (SELECT max(id) FROM strike WHERE kit_line_id = l.id)), 0)
	ORDER BY l.kit_id, l.at, l.id`

func scanFate(rows *sql.Rows) (l kit.Line, err error) {
	err = rows.Scan(&l.Item, &l.Kind, &l.Furnace)
	return l, err
}

// KitItem reads one piece of kit with its lines, oldest first, and its wear.
func (s *Store) KitItem(ctx context.Context, id int64) (kit.Item, []kit.Line, kit.Wear, error) {
	it, err := kitItem(ctx, s.read, id)
	if err != nil {
		return it, nil, kit.Wear{}, err
	}
	lines, err := collect(ctx, s.read, scanKitLine, kitLines+" WHERE l.kit_id = ? ORDER BY l.at, l.id", id)
	if err != nil {
		return it, nil, kit.Wear{}, fmt.Errorf("kit lines: %w", err)
	}
	it.Retired, it.On = kit.Fate(lines)
	it.Cracked = kit.Cracked(lines)
	var w kit.Wear
	err = s.read.QueryRowContext(ctx, "SELECT heats, charged, hot, energy FROM wear WHERE kit_id = ?", id).
		Scan(&w.Heats, &w.Charged, &w.Hot, &w.Energy)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return it, nil, w, fmt.Errorf("wear: %w", err)
	}
	return it, lines, w, nil
}

func kitItem(ctx context.Context, q querier, id int64) (kit.Item, error) {
	items, err := collect(ctx, q, scanKit, "SELECT "+kitColumns+" FROM kit WHERE id = ?", id)
	if err != nil {
		return kit.Item{}, fmt.Errorf("kit: %w", err)
	}
	if len(items) == 0 {
		return kit.Item{}, fmt.Errorf("kit %d: %w", id, ErrNotFound)
	}
	return items[0], nil
}

// Wears gives what every piece of kit has been through, by its id.
func (s *Store) Wears(ctx context.Context) (map[int64]kit.Wear, error) {
	rows, err := s.read.QueryContext(ctx, "SELECT kit_id, heats, charged, hot, energy FROM wear")
	if err != nil {
		return nil, fmt.Errorf("wear: %w", err)
	}
	defer rows.Close()
	all := map[int64]kit.Wear{}
	for rows.Next() {
		var id int64
		var w kit.Wear
		if err := rows.Scan(&id, &w.Heats, &w.Charged, &w.Hot, &w.Energy); err != nil {
			return nil, fmt.Errorf("wear: %w", err)
		}
		all[id] = w
	}
	return all, rows.Err()
}

// AddKit adds a piece of kit and gives its id; the same key adds it once, with
// other content it is an ErrConflict. So is a name or furnace letter that is taken.
func (s *Store) AddKit(ctx context.Context, by int64, it kit.Item) (id int64, err error) {
	err = s.change(ctx, by, func(t *tx) error {
		err := t.QueryRowContext(ctx, "SELECT id FROM kit WHERE key = ?", it.Key).Scan(&id)
		if err == nil {
			had, err := kitItem(ctx, t, id)
			if err != nil {
				return err
			}
			return alike("piece of kit", append(kitValues(had), had.Kind), append(kitValues(it), it.Kind))
		}
		if !errors.Is(err, sql.ErrNoRows) {
			return err
		}
		r, err := t.ExecContext(ctx, `
			INSERT INTO kit (name, note, letter, heating, volts, circuit, power, material, brim, rated, rated_in, fill, mass, wall, cost, expected_heats,
				wire, diameter, length, ohms, resolution, capacity, gain, couple, ohms_limit, switching, brick, inner_wide, inner_deep, inner_high,
				key, kind, created_at, person_id)
			VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)`,
			append(kitValues(it), it.Key, it.Kind, t.now, by)...)
		if err != nil {
			return clashes("add kit", err)
		}
		id, err = r.LastInsertId()
		return err
	})
	return id, err
}

// ChangeKit changes what is known of a piece of kit; its kind stays, and so
// does a furnace's letter once a melt has it in its code (ErrConflict). The
// figures of melts made with it are made again.
func (s *Store) ChangeKit(ctx context.Context, by int64, it kit.Item) error {
	return s.change(ctx, by, func(t *tx) error {
		was, err := kitItem(ctx, t, it.ID)
		if err != nil {
			return err
		}
		if was.Letter != it.Letter {
			var used bool
			if err := t.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM melt WHERE furnace_id = ?)", it.ID).Scan(&used); err != nil {
				return fmt.Errorf("change kit: %w", err)
			}
			if used {
				return fmt.Errorf("letter of kit %d: %w", it.ID, ErrConflict)
			}
		}
		_, err = t.ExecContext(ctx, `
			UPDATE kit SET name=?, note=?, letter=?, heating=?, volts=?, circuit=?, power=?, material=?, brim=?, rated=?, rated_in=?, fill=?, mass=?, wall=?,
				cost=?, expected_heats=?, wire=?, diameter=?, length=?, ohms=?, resolution=?, capacity=?, gain=?, couple=?,
				ohms_limit=?, switching=?, brick=?, inner_wide=?, inner_deep=?, inner_high=? WHERE id=?`,
			append(kitValues(it), it.ID)...)
		if err != nil {
			return clashes("change kit", err)
		}
		if err := t.record(ctx, "kit", it.ID, was, it); err != nil {
			return err
		}
		t.worn()
		if reflect.DeepEqual(figuredKit(was), figuredKit(it)) {
			return nil
		}
		if was.Kind == kit.Scale {
			return t.refigureWhere(ctx, "EXISTS (SELECT 1 FROM line l WHERE l.melt_id = figure.melt_id AND l.scale_id = ?)", it.ID)
		}
		return t.refigureWhere(ctx, "furnace_id = ?1 OR crucible_id = ?1 OR element_id = ?1", it.ID)
	})
}

// figuredKit keeps of a piece of kit what figures of melts are made from.
func figuredKit(it kit.Item) kit.Item {
	kept := kit.Item{
		Volts: it.Volts, Power: it.Power, Material: it.Material, Mass: it.Mass, Cost: it.Cost, ExpectedHeats: it.ExpectedHeats,
		Wire: it.Wire, Resolution: it.Resolution, Capacity: it.Capacity, Gain: it.Gain,
	}
	if it.Kind == kit.Scale {
		kept.Name = it.Name
	}
	return kept
}

const kitLines = `SELECT l.id, l.key, l.kit_id, l.kind, l.at, l.noted_at, l.person_id, coalesce(l.furnace_id, 0), l.ohms, l.volts, l.amps, l.watts, l.temp,
	l.mass, l.wall, l.cracked, l.note, l.lead_ohms, l.step, l.ring, l.glaze, l.cause, l.known_mass, l.known_temp, l.energy, l.known_energy,
	k.at, k.person_id, k.reason
	FROM kit_line l LEFT JOIN strike k ON k.id = (SELECT max(id) FROM strike WHERE kit_line_id = l.id) AND k.struck = 1`

func scanKitLine(rows *sql.Rows) (kit.Line, error) {
	var l kit.Line
	var strike struckBy
	err := rows.Scan(&l.ID, &l.Key, &l.Item, &l.Kind, &l.At, &l.Noted, &l.By, &l.Furnace, &l.Ohms, &l.Volts, &l.Amps, &l.Watts, &l.Temp,
		&l.Mass, &l.Wall, &l.Cracked, &l.Note, &l.Lead, &l.Step, &l.Ring, &l.Glaze, &l.Cause, &l.KnownMass, &l.KnownTemp, &l.Energy, &l.KnownEnergy,
		&strike.at, &strike.by, &strike.reason)
	if strike.at != nil {
		l.Strike = &kit.Strike{At: *strike.at, By: strike.by.Int64, Reason: strike.reason.String}
	}
	return l, err
}

// AddKitLine writes a line about a piece of kit, now when it has no time; the
// same key writes it once. What kit.CheckLine says against it comes back as
// melt.Refusals. A furnace that is none is ErrNotFound.
func (s *Store) AddKitLine(ctx context.Context, by int64, l kit.Line) error {
	return s.change(ctx, by, func(t *tx) error {
		it, err := kitItem(ctx, t, l.Item)
		if err != nil {
			return err
		}
		lines, err := collect(ctx, t, scanKitLine, kitLines+" WHERE l.kit_id = ? ORDER BY l.at, l.id", it.ID)
		if err != nil {
			return fmt.Errorf("kit lines: %w", err)
		}
		if i := slices.IndexFunc(lines, func(x kit.Line) bool { return x.Key == l.Key }); i >= 0 {
			same := lines[i]
			same.ID, same.At, same.Noted, same.By, same.Strike = l.ID, l.At, l.Noted, l.By, l.Strike
			return alike("kit line", same, l)
		}
		if l.At == 0 {
			l.At = t.now
		}
		if rs := kit.CheckLine(it, lines, l, t.now); len(rs) > 0 {
			return rs
		}
		if l.Furnace != 0 {
			if _, err := t.kitOf(ctx, l.Furnace, kit.Furnace); err != nil {
				return err
			}
		}
		_, err = t.ExecContext(ctx, `
			INSERT INTO kit_line (key, kit_id, kind, at, noted_at, person_id, furnace_id, ohms, volts, amps, watts, temp, mass, wall, cracked, note,
				lead_ohms, step, ring, glaze, cause, known_mass, known_temp, energy, known_energy)
			VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)`,
			l.Key, it.ID, l.Kind, l.At, t.now, by, orNull(l.Furnace), l.Ohms, l.Volts, l.Amps, l.Watts, l.Temp, l.Mass, l.Wall, l.Cracked, l.Note,
			l.Lead, l.Step, l.Ring, l.Glaze, l.Cause, l.KnownMass, l.KnownTemp, l.Energy, l.KnownEnergy)
		if err != nil {
			return clashes("add kit line", err)
		}
		t.worn()
		return nil
	})
}

// StrikeKitLine strikes a line of a piece of kit, or lifts the strike.
func (s *Store) StrikeKitLine(ctx context.Context, by, item, line int64, m Mark) error {
	return s.change(ctx, by, func(t *tx) error {
		lines, err := collect(ctx, t, scanKitLine, kitLines+" WHERE l.kit_id = ?", item)
		if err != nil {
			return fmt.Errorf("kit lines: %w", err)
		}
		i := slices.IndexFunc(lines, func(l kit.Line) bool { return l.ID == line })
		if i < 0 {
			return fmt.Errorf("line %d of kit %d: %w", line, item, ErrNotFound)
		}
		if lines[i].Stands() != m.Struck {
			return quiet(t.marked(ctx, "strike", "kit_line_id", line, m))
		}
		t.worn()
		return quiet(t.mark(ctx, "kit_line_id", line, m))
	})
}
