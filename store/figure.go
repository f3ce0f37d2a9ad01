package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
	"drosswise/foundry/sheet"
)

// row is a melt's figures as they are kept: what lists sort, filter and sum by
// in columns of its own, the whole sheet as JSON.
type row struct {
	melt      int64
	state     melt.State
	started   quantity.Moment
	month     int
	furnace   int64
	kit       melt.Kit
	used      []int64 // all kit it was made with
	heats     int     // 1 for a heat, 0 for a melt that never had a charge or was void
	charged   quantity.Mass
	net       quantity.Mass // less steel found
	recovered *quantity.Mass
	yield     *float64
	yieldU    *float64
	energy    *quantity.Energy
	hot       quantity.Span
	heelLeft  *quantity.Mass
	cash      *quantity.Money
	words     string
	sheet     sheet.Sheet
	body      []byte
	sources   map[int64]quantity.Mass
	lots      map[int64]quantity.Mass
}

// refigure makes a melt's figures from all its lines, and corrects the sums
// they are in.
func (t *tx) refigure(ctx context.Context, h melt.Heading, lines []melt.Line) error {
	used := melt.KitOf(h, melt.Standing(lines))
	c, err := t.commonFacts(ctx, h.ID, h.Furnace, used.Crucible, used.Element)
	if err != nil {
		return err
	}
	return t.refigureWith(ctx, c, h, lines)
}

func (t *tx) refigureWith(ctx context.Context, c common, h melt.Heading, lines []melt.Line) error {
	w, err := work(c, h, lines)
	if err != nil {
		return err
	}
	old, had, err := t.storedRow(ctx, h.ID)
	if err != nil {
		return err
	}
	into := &pending{sums: sums{}}
	if err := t.keep(ctx, w, old, had, into); err != nil {
		return err
	}
	t.refigured()
	return into.write(ctx, t)
}

// worked is all that is kept of a melt beside its lines.
type worked struct {
	row
	code           melt.Code
	record, habits []byte // see keepRecord; nil for a melt that is not closed
}

// work works out what is kept of a melt. It asks nothing of the database.
func work(c common, h melt.Heading, lines []melt.Line) (w worked, err error) {
	facts := c.of(h, lines)
	w.code = h.Code
	if w.row, err = figureRow(h, lines, facts, c.shop); err != nil {
		return w, err
	}
	w.record, w.habits, err = record(h, lines, facts, w.sheet)
	return w, err
}

// pending is what melts add to tables that are written for many of them at
// once.
type pending struct {
	sums  sums
	words []wordRow
}

// write writes it all.
func (p *pending) write(ctx context.Context, t *tx) error {
	if err := t.indexWords(ctx, p.words); err != nil {
		return err
	}
	return p.sums.write(ctx, t)
}

// keep writes a melt's figures in the place of the old ones, but for what it
// adds to pending.
func (t *tx) keep(ctx context.Context, w worked, old row, had bool, into *pending) error {
	if !had || !w.sumsAs(old) {
		if had {
			into.sums.melt(old, -1)
		}
		into.sums.melt(w.row, +1)
	}
	if err := t.storeRow(ctx, w.row, old, into); err != nil {
		return fmt.Errorf("figures of %s: %w", w.code, err)
	}
	if err := t.keepRecord(ctx, w, had); err != nil {
		return fmt.Errorf("record of %s: %w", w.code, err)
	}
	return nil
}

// figureRow works the figures out. It asks nothing of the database.
func figureRow(h melt.Heading, lines []melt.Line, f sheet.Facts, p Shop) (row, error) {
	standing := melt.Standing(lines)
	s := sheet.Of(h, lines, f)
	body, err := json.Marshal(s)
	if err != nil {
		return row{}, fmt.Errorf("figures of %s: %w", h.Code, err)
	}
	r := row{
		melt: h.ID, state: s.State, started: started(h, standing), furnace: h.Furnace, kit: melt.KitOf(h, standing),
		charged: melt.Charged(standing), hot: melt.Total(sheet.HotTime(standing)), sheet: s, body: body,
		words: words(h, standing, f), sources: map[int64]quantity.Mass{}, lots: map[int64]quantity.Mass{},
	}
	at := r.started.Time().In(p.Style().Zone)
	r.used = used(h, r.kit, standing)
	r.month = at.Year()*12 + int(at.Month()) - 1
	if r.charged > 0 && s.State != melt.Voided {
		r.heats = 1
	}
	if s.Charged.Known() {
		r.net = quantity.Mass(math.Round((s.Charged.X - s.Attachments.X) * float64(quantity.Kilogram)))
	}
	if s.Yield.Known() {
		r.recovered = new(quantity.Mass(math.Round(s.Recovered.X * float64(quantity.Kilogram))))
		r.yield, r.yieldU = &s.Yield.X, &s.Yield.U
	}
	if s.Energy.Known() {
		r.energy = new(quantity.Energy(math.Round(s.Energy.X * float64(quantity.KilowattHour))))
	}
	if s.Cash.Known() && f.Coin > 0 {
		r.cash = new(quantity.Money(math.Round(s.Cash.X / f.Coin)))
	}
	for _, l := range standing {
		switch {
		case l.Kind == melt.Charge && l.Source != 0:
			r.sources[l.Source] += l.Mass()
			if l.Lot != 0 {
				r.lots[l.Lot] += l.Mass()
			}
		case l.Kind == melt.HeelOut:
			r.heelLeft = new(l.Mass())
		}
	}
	return r, nil
}

// used lists the kit a melt was made with, each piece once, in order.
func used(h melt.Heading, k melt.Kit, standing []melt.Line) []int64 {
	ids := []int64{h.Furnace, k.Crucible, k.Element, h.Probe}
	for _, l := range standing {
		ids = append(ids, l.Probe)
		if l.Weighed() {
			ids = append(ids, l.Scale)
		}
	}
	slices.Sort(ids)
	return slices.DeleteFunc(slices.Compact(ids), func(id int64) bool { return id == 0 })
}

// started is when the melt began: the heading's time, or its first real line
// where that is earlier, as when it was copied in from paper.
func started(h melt.Heading, standing []melt.Line) quantity.Moment {
	if len(standing) > 0 && standing[0].At < h.At {
		return standing[0].At
	}
	return h.At
}

// words are what a search looks in: code, scrap, moulds and notes.
func words(h melt.Heading, standing []melt.Line, f sheet.Facts) string {
	all := []string{string(h.Code)}
	add := func(w string) {
		if w != "" && !slices.Contains(all, w) {
			all = append(all, w)
		}
	}
	for _, l := range standing {
		if l.Kind == melt.Charge {
			add(f.Sources[l.Source].Name)
		}
		add(l.Mould)
		add(l.Note)
	}
	return strings.Join(all, "\n")
}

// common is what the figures of melts may refer to, read once.
type common struct {
	shop  Shop
	facts sheet.Facts
	kit   map[int64]kit.Item
}

// commonFacts reads the facts of one melt with its kit, or with 0 those of all.
// For one melt it leaves out scrap, deliveries and kit that the melt does not
// name: a save must not take longer the more a shop has.
func (t *tx) commonFacts(ctx context.Context, meltID int64, used ...int64) (c common, err error) {
	if c.shop, err = shop(ctx, t); err != nil {
		return c, err
	}
	style := c.shop.Style()
	c.facts = sheet.Facts{
		Ambient: c.shop.Ambient, Zone: style.Zone, Coin: math.Pow10(-style.Exponent()),
		Sources: map[int64]sheet.Source{}, Lots: map[int64]sheet.Lot{},
	}
	if c.facts.Scales, err = scales(ctx, t); err != nil {
		return c, err
	}
	prices, err := tariffs(ctx, t)
	if err != nil {
		return c, err
	}
	for _, p := range slices.Backward(prices) {
		c.facts.Tariffs = append(c.facts.Tariffs, p.Tariff)
	}
	if err := t.scrapFacts(ctx, &c, meltID); err != nil {
		return c, err
	}
	return c, t.kitFacts(ctx, &c, used)
}

func (t *tx) scrapFacts(ctx context.Context, c *common, meltID int64) error {
	all, err := collect(ctx, t, scanSource, sources+" WHERE ?1 = 0 OR id IN (SELECT source_id FROM line WHERE melt_id = ?1)", meltID)
	if err != nil {
		return fmt.Errorf("sources: %w", err)
	}
	for _, p := range all {
		c.facts.Sources[p.ID] = sheet.Source{Name: p.Name, Alloy: p.Alloy, Paid: p.Paid, Fetches: p.Fetches, Wet: p.Hazards.Wet}
	}
	query, args := lots+" WHERE 1", []any{}
	if meltID != 0 {
		query, args = query+" AND l.id IN (SELECT lot_id FROM line WHERE melt_id = ?)", []any{meltID}
	}
	deliveries, err := collect(ctx, t, scanLot, query, args...)
	if err != nil {
		return fmt.Errorf("lots: %w", err)
	}
	for _, l := range deliveries {
		if l.Strike == nil {
			c.facts.Lots[l.ID] = sheet.Lot{Paid: perCharged(l), Ready: readyShare(l)}
		}
	}
	return nil
}

func (t *tx) kitFacts(ctx context.Context, c *common, used []int64) error {
	query, args := "SELECT "+kitColumns+" FROM kit WHERE kind IN ('furnace', 'crucible', 'element')", []any{}
	if len(used) > 0 {
		query += " AND id IN (?" + strings.Repeat(",?", len(used)-1) + ")"
		for _, id := range used {
			args = append(args, id)
		}
	}
	items, err := collect(ctx, t, scanKit, query, args...)
	if err != nil {
		return fmt.Errorf("kit: %w", err)
	}
	c.kit = map[int64]kit.Item{}
	for _, it := range items {
		c.kit[it.ID] = it
	}
	return nil
}

// perCharged is what a delivery cost per kg as it is charged: what was paid per
// kg as found also paid for what was sorted out. nil is not said.
func perCharged(l scrap.Lot) *quantity.Price {
	ready := readyShare(l)
	if l.Paid == nil || ready == 0 {
		return l.Paid
	}
	return new(quantity.Price(math.Round(float64(*l.Paid) / ready)))
}

// readyShare is how much of a delivery was left after sorting, 0 when that is
// not known.
func readyShare(l scrap.Lot) float64 {
	if l.AsFound == nil || l.AsCharged == nil || *l.AsFound <= 0 || *l.AsCharged <= 0 {
		return 0
	}
	return min(1, float64(*l.AsCharged)/float64(*l.AsFound))
}

// of picks the facts of one melt.
func (c common) of(h melt.Heading, lines []melt.Line) sheet.Facts {
	f := c.facts
	furnace := c.kit[h.Furnace]
	f.Furnace = sheet.Furnace{Volts: furnace.Volts, Power: furnace.Power}
	used := melt.KitOf(h, melt.Standing(lines))
	if it, ok := c.kit[used.Crucible]; ok {
		f.Crucible = &sheet.Crucible{Kind: it.Material, Mass: it.Mass, Cost: it.Cost, Heats: it.ExpectedHeats}
	}
	if it, ok := c.kit[used.Element]; ok {
		f.Element = &sheet.Element{Wire: it.Wire, Cost: it.Cost, Heats: it.ExpectedHeats}
	}
	return f
}

// storedRow reads the columns that sums were made from.
func (t *tx) storedRow(ctx context.Context, id int64) (r row, ok bool, err error) {
	r = row{melt: id}
	var crucible, element sql.NullInt64
	var kit []byte
	err = t.QueryRowContext(ctx, "SELECT state, started_at, month, furnace_id, crucible_id, element_id, heats, charged, net, recovered, yield, yield_u, energy, hot, words, used, cash FROM figure WHERE melt_id = ?", id).
		Scan(&r.state, &r.started, &r.month, &r.furnace, &crucible, &element, &r.heats, &r.charged, &r.net, &r.recovered, &r.yield, &r.yieldU, &r.energy, &r.hot, &r.words, &kit, &r.cash)
	if errors.Is(err, sql.ErrNoRows) {
		return r, false, nil
	}
	if err != nil {
		return r, false, fmt.Errorf("figures: %w", err)
	}
	if err := json.Unmarshal(kit, &r.used); err != nil {
		return r, false, fmt.Errorf("figures: %w", err)
	}
	r.kit = melt.Kit{Crucible: crucible.Int64, Element: element.Int64}
	if r.sources, err = t.masses(ctx, "SELECT source_id, charged FROM figure_source WHERE melt_id = ?", id); err != nil {
		return r, false, err
	}
	r.lots, err = t.masses(ctx, "SELECT lot_id, charged FROM figure_lot WHERE melt_id = ?", id)
	return r, true, err
}

// masses reads what a melt took of each source or delivery.
func (t *tx) masses(ctx context.Context, query string, meltID int64) (map[int64]quantity.Mass, error) {
	rows, err := t.QueryContext(ctx, query, meltID)
	if err != nil {
		return nil, fmt.Errorf("figures by source: %w", err)
	}
	defer rows.Close()
	all := map[int64]quantity.Mass{}
	for rows.Next() {
		var id int64
		var m quantity.Mass
		if err := rows.Scan(&id, &m); err != nil {
			return nil, fmt.Errorf("figures by source: %w", err)
		}
		all[id] = m
	}
	return all, rows.Err()
}

// storeRow writes the figures in the place of old ones.
func (t *tx) storeRow(ctx context.Context, r, old row, into *pending) error {
	kit, err := json.Marshal(r.used)
	if err != nil {
		return err
	}
	_, err = t.ExecContext(ctx, `
		INSERT INTO figure (melt_id, state, started_at, month, furnace_id, crucible_id, element_id, heats, charged, net, recovered, yield, yield_u, energy, hot, heel_left, words, used, body, cash)
		VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)
		ON CONFLICT (melt_id) DO UPDATE SET state=excluded.state, started_at=excluded.started_at, month=excluded.month, furnace_id=excluded.furnace_id,
			crucible_id=excluded.crucible_id, element_id=excluded.element_id, heats=excluded.heats, charged=excluded.charged, net=excluded.net, recovered=excluded.recovered,
			yield=excluded.yield, yield_u=excluded.yield_u, energy=excluded.energy, hot=excluded.hot, heel_left=excluded.heel_left, words=excluded.words, used=excluded.used, body=excluded.body, cash=excluded.cash`,
		r.melt, r.state, r.started, r.month, r.furnace, orNull(r.kit.Crucible), orNull(r.kit.Element), r.heats, r.charged, r.net, r.recovered,
		r.yield, r.yieldU, r.energy, r.hot, r.heelLeft, r.words, string(kit), string(r.body), r.cash)
	if err != nil {
		return err
	}
	if err := t.storeWords(ctx, r, old, into); err != nil {
		return err
	}
	if err := t.storeLots(ctx, r, old, into.sums); err != nil {
		return err
	}
	for source := range old.sources {
		if _, still := r.sources[source]; !still || r.state == melt.Voided {
			if _, err := t.ExecContext(ctx, "DELETE FROM figure_source WHERE melt_id = ? AND source_id = ?", r.melt, source); err != nil {
				return err
			}
		}
	}
	if r.state == melt.Voided {
		return nil
	}
	for source, m := range r.sources {
		if old.started == r.started && old.sources[source] == m {
			continue
		}
		_, err := t.ExecContext(ctx, "INSERT OR REPLACE INTO figure_source (melt_id, source_id, charged, furnace_id, started_at) VALUES (?,?,?,?,?)",
			r.melt, source, m, r.furnace, r.started)
		if err != nil {
			return err
		}
	}
	return nil
}
