package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"drosswise/foundry/element"
	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/scrap"
)

// errWrongMelt ends the making of figures at a melt that cannot be so.
var errWrongMelt = errors.New("a melt cannot be so")

// settle holds what was put in against the rules of the foundry, as far as they
// hold for ever, and makes the figures. What is wrong comes back as *CargoFaults.
// Melts are held against theirs while they are read for their figures; only when
// something is wrong are they read once more, so that all of it is told.
func (c *cargo) settle(ctx context.Context, t *tx) error {
	if err := c.lookAtAll(ctx, t); err != nil {
		return err
	}
	if c.faults.all == 0 {
		t.look = func(h melt.Heading, lines []melt.Line) error {
			for _, l := range lines {
				if melt.CheckAlone(h, l, c.now) != nil {
					return errWrongMelt
				}
			}
			return nil
		}
		_, err := t.refigureAll(ctx, true, everyMelt)
		if !errors.Is(err, errWrongMelt) {
			return err
		}
	}
	if err := c.lookAtMelts(ctx, t); err != nil {
		return err
	}
	return &c.faults
}

// lookAtAll looks at everything but the lines of melts.
func (c *cargo) lookAtAll(ctx context.Context, t *tx) error {
	for _, look := range []func(context.Context, *tx) error{c.lookAtShop, c.lookAtKit, c.lookAtKitLines, c.lookAtScrap, c.lookAcross} {
		if err := look(ctx, t); err != nil {
			return err
		}
	}
	return nil
}

// whole reports whether all rows of a table are in.
func (c *cargo) whole(table string) bool { return !c.unread[table] && c.lost[table] == 0 }

// lookAtShop makes sure that the shop has its settings and an owner.
func (c *cargo) lookAtShop(ctx context.Context, t *tx) error {
	var shops, people, owners int
	err := t.QueryRowContext(ctx, `SELECT (SELECT count(*) FROM shop), (SELECT count(*) FROM person),
		(SELECT count(*) FROM person WHERE role = 'owner' AND ended_at IS NULL)`).Scan(&shops, &people, &owners)
	if err != nil {
		return fmt.Errorf("look at the shop: %w", err)
	}
	if shops == 0 && c.whole("shop") {
		c.faults.add(CargoFault{File: "shop.csv", Sentence: "The shop's settings are missing. Put their row in."})
	}
	if people > 0 && owners == 0 && c.whole("person") {
		c.faults.add(CargoFault{File: "person.csv", Column: "role", Sentence: "Nobody owns the shop, so that nobody could let people in. Make somebody whose ended_at is empty its owner."})
	}
	return nil
}

func (c *cargo) lookAtKit(ctx context.Context, t *tx) error {
	all, err := collect(ctx, t, scanKit, "SELECT "+kitColumns+" FROM kit ORDER BY id")
	if err != nil {
		return fmt.Errorf("look at kit: %w", err)
	}
	for _, it := range all {
		if err := c.refuse(ctx, t, "kit", it.ID, kit.Check(it), nil); err != nil {
			return err
		}
	}
	return nil
}

func (c *cargo) lookAtKitLines(ctx context.Context, t *tx) error {
	all, err := collect(ctx, t, scanKitLine, kitLines+" ORDER BY l.id")
	if err != nil {
		return fmt.Errorf("look at lines about kit: %w", err)
	}
	for _, l := range all {
		if err := c.refuse(ctx, t, "kit_line", l.ID, kit.CheckLineAlone(c.kit[l.Item], l, c.now), nil); err != nil {
			return err
		}
	}
	return nil
}

func (c *cargo) lookAtScrap(ctx context.Context, t *tx) error {
	all, err := collect(ctx, t, scanSource, sources+" ORDER BY id")
	if err != nil {
		return fmt.Errorf("look at scrap: %w", err)
	}
	for _, s := range all {
		if err := c.refuse(ctx, t, "source", s.ID, scrap.Check(s), nil); err != nil {
			return err
		}
	}
	came, err := collect(ctx, t, scanLot, lots+" ORDER BY l.id")
	if err != nil {
		return fmt.Errorf("look at deliveries: %w", err)
	}
	for _, l := range came {
		if err := c.refuse(ctx, t, "lot", l.ID, scrap.CheckLot(l, c.now), nil); err != nil {
			return err
		}
	}
	return nil
}

// across are what rows of different tables, each right by itself, cannot say
// together.
var across = []struct {
	table, column string
	needs         []string // tables of which every row must be in to tell
	wrong         string   // selects the ids of rows that are wrong
	says          string
}{
	{"line", "lot_id", nil, "SELECT l.id FROM line l JOIN lot o ON o.id = l.lot_id WHERE l.source_id IS NOT o.source_id",
		"That delivery is of other scrap than the line. Put in one of the line's scrap, or leave the cell empty."},
	{"line", "pour_id", nil, "SELECT l.id FROM line l JOIN line p ON p.id = l.pour_id WHERE p.kind <> 'pour' OR p.melt_id = l.melt_id",
		"That line is no pour of another melt. Put in the id of the pour whose ingots these are."},
	{"alarm_close", "melt_id", nil, "SELECT a.id FROM alarm_close a JOIN melt m ON m.id = a.melt_id WHERE m.furnace_id <> a.furnace_id",
		"That melt was in another furnace. Put in one of this furnace, or the furnace of the melt."},
	{"series", "samples", []string{"reading"}, "SELECT id FROM series WHERE samples <> (SELECT count(*) FROM reading WHERE series_id = series.id)",
		"reading.csv has another number of readings of it. Put in how many there are, or put the missing ones back."},
	{"series", "melt_id", nil, fmt.Sprintf("SELECT max(id) FROM series GROUP BY melt_id HAVING count(*) > %d OR sum(samples) > %d", MostSeries, MostReadings),
		fmt.Sprintf("That melt has too many readings: there may be %d series and %d readings in all. Take some out.", MostSeries, MostReadings)},
}

func (c *cargo) lookAcross(ctx context.Context, t *tx) error {
	for _, a := range across {
		if slices.ContainsFunc(a.needs, func(table string) bool { return !c.whole(table) }) {
			continue
		}
		ids, err := collect(ctx, t, scanID, a.wrong+" ORDER BY 1")
		if err != nil {
			return fmt.Errorf("look at %s: %w", a.table, err)
		}
		for _, id := range ids {
			if err := c.fault(ctx, t, a.table, id, a.column, a.says); err != nil {
				return err
			}
		}
	}
	return nil
}

// lookAtMelts holds every line against melt.CheckAlone.
func (c *cargo) lookAtMelts(ctx context.Context, t *tx) error {
	melts, err := collect(ctx, t, scanID, everyMelt)
	if err != nil {
		return fmt.Errorf("look at melts: %w", err)
	}
	for chunk := range slices.Chunk(melts, atOnce) {
		list, err := json.Marshal(chunk)
		if err != nil {
			return err
		}
		hs, err := collect(ctx, t, scanHeading, headings+" WHERE id IN (SELECT value FROM json_each(?)) ORDER BY id", string(list))
		if err != nil {
			return fmt.Errorf("look at melts: %w", err)
		}
		had, err := linesOf(ctx, t, string(list))
		if err != nil {
			return err
		}
		for _, h := range hs {
			for _, l := range had[h.ID] {
				rs := slices.DeleteFunc(melt.CheckAlone(h, l, c.now), func(r melt.Refusal) bool {
					return r.Field == "mass" && !l.Weighed() && !c.whole("weighing")
				})
				if err := c.refuse(ctx, t, "line", l.ID, rs, choicesOf(l.Kind)); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

func choicesOf(k melt.Kind) []melt.Choice {
	s, _ := melt.SpecOf(k)
	return s.Choices
}

// fields are the columns of what the foundry calls otherwise.
var fields = map[string]string{
	"kit.wide": "inner_wide", "kit.deep": "inner_deep", "kit.high": "inner_high",
	"kit_line.furnace": "furnace_id", "kit_line.lead": "lead_ohms",
	"line.source": "source_id", "line.crucible": "crucible_id",
}

// stand are what may stand in columns of which the foundry says no more than
// that one of some is to be chosen.
var stand = map[string][]kit.Choice{
	"kit.heating": kit.Heatings, "kit.switching": kit.Switchings, "kit.material": kit.Materials, "kit.rated_in": kit.RatedIn, "kit.couple": kit.Couples,
	"kit_line.ring": kit.Rings, "kit_line.glaze": kit.Glazes, "kit_line.cause": kit.Causes,
	"kit.wire": func() (all []kit.Choice) {
		for _, w := range element.Wires() {
			all = append(all, kit.Choice{Value: w.Name})
		}
		return append(all, kit.Choice{Value: kit.OtherWire}, kit.Choice{})
	}(),
}

// refuse adds what the foundry has against a row.
func (c *cargo) refuse(ctx context.Context, t *tx, table string, id int64, rs melt.Refusals, which []melt.Choice) error {
	for _, r := range rs {
		sentence := r.Say(fileStyle)
		var may []string
		for _, choice := range stand[table+"."+r.Field] {
			may = append(may, choice.Value)
		}
		if table == "line" && r.Field == "which" {
			for _, choice := range which {
				may = append(may, choice.Value)
			}
		}
		// Of a rating without its metal, and the like, the foundry says more.
		if may != nil && strings.HasPrefix(sentence, "Choose one of these") {
			sentence = "That may not stand there. Put in " + choices(strings.Join(may, ",")) + "."
		}
		if table == "line" && r.Field == "mass" {
			sentence += " What the scale showed for this line is in weighing.csv."
		}
		if err := c.fault(ctx, t, table, id, r.Field, sentence); err != nil {
			return err
		}
	}
	return nil
}

// fault adds a fault of a row that was put in, with what stands in the cell.
func (c *cargo) fault(ctx context.Context, t *tx, table string, id int64, field, sentence string) error {
	f := CargoFault{File: table + ".csv", Row: c.rowOf(table, id), Sentence: sentence}
	at := slices.IndexFunc(cargoTables, func(one cargoTable) bool { return one.name == table })
	if name, ok := fields[table+"."+field]; ok {
		field = name
	}
	if col, ok := cargoTables[at].column(field); ok && len(c.faults.Listed) < mostFaults {
		f.Column = col.heading()
		var value any
		err := t.QueryRowContext(ctx, "SELECT "+col.name+" FROM "+table+" WHERE id = ?", id).Scan(&value)
		if err != nil && !errors.Is(err, sql.ErrNoRows) {
			return fmt.Errorf("look at %s: %w", table, err)
		}
		cell, err := col.appendCell(nil, value)
		if err != nil {
			return err
		}
		f.Cell = string(cell)
	}
	c.faults.add(f)
	return nil
}

// rowOf is the row of a table's file in which a number stands.
func (c *cargo) rowOf(table string, id int64) int {
	if i, ok := slices.BinarySearch(c.ids[table], id); ok {
		return int(c.rows[table][i])
	}
	return 0
}
