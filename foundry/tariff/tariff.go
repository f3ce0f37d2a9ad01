// Package tariff prices electricity by when it was drawn. It knows dated
// prices per kilowatt-hour with bands by the local time of day; it knows
// nothing of melts, and nothing of standing charges.
package tariff

import (
	"cmp"
	"math/big"
	"slices"
	"time"

	"drosswise/foundry/quantity"
)

// Tariff is what a kilowatt-hour costs from a moment on, until the tariff
// that starts next. A later tariff replaces the whole of an earlier one, its
// bands too.
type Tariff struct {
	From  quantity.Moment
	Price quantity.Price // outside all bands, per kWh
	Bands []Band
}

// Band is a part of every day with its own price. Its edges are minutes of the
// local day, 0 to 1440, as the clock on the wall shows them; the second is not
// part of it. A band that ends before it starts runs over midnight.
type Band struct {
	FromMinute, ToMinute int
	Price                quantity.Price // per kWh
}

// Use is energy drawn evenly from one moment to another, or at once where
// both are the same.
type Use struct {
	From, To quantity.Moment
	Energy   quantity.Energy
}

// Slice is the part of a use that was drawn at one price.
type Slice struct {
	From, To quantity.Moment
	Energy   quantity.Energy
	Price    quantity.Price // per kWh
	InForce  bool           // false where no tariff had started yet
}

// Missing is energy that has no price, because no tariff had started when it
// was drawn. It costs an unknown amount, not nothing.
type Missing struct {
	Some   bool
	Energy quantity.Energy
	From   quantity.Moment // when the first of it was drawn
}

// Cost prices what was drawn, in millionths of the currency's unit, rounded
// once over all parts. What no tariff covers is not in the cost: it comes back
// as missing. Zone is where the bands' clock hangs; nil is UTC.
func Cost(tariffs []Tariff, zone *time.Location, parts []Use) (quantity.Price, Missing) {
	var missing Missing
	total := new(big.Int) // joules × millionths per kWh
	for _, use := range parts {
		for _, slice := range Split(tariffs, zone, use) {
			if !slice.InForce {
				missing.add(slice)
				continue
			}
			total.Add(total, new(big.Int).Mul(big.NewInt(int64(slice.Energy)), big.NewInt(int64(slice.Price))))
		}
	}
	return quantity.Price(divide(total, int64(quantity.KilowattHour))), missing
}

func (m *Missing) add(s Slice) {
	if !m.Some || s.From < m.From {
		m.From = s.From
	}
	m.Some = true
	m.Energy += s.Energy
}

// Split cuts a use at every change of price: edges of bands, new tariffs, and
// changes of the clocks. The energies of the slices add up to the use's.
func Split(tariffs []Tariff, zone *time.Location, use Use) []Slice {
	if use.Energy == 0 {
		return nil
	}
	if use.To < use.From {
		use.From, use.To = use.To, use.From
	}
	list := inOrder(tariffs)
	first := priced(list, zone, use.From)
	first.To = use.To
	if use.From == use.To {
		first.Energy = use.Energy
		return []Slice{first}
	}
	parts := []Slice{first}
	for at := nextChange(list, zone, use.From); at < use.To; at = nextChange(list, zone, at) {
		next, last := priced(list, zone, at), &parts[len(parts)-1]
		if next.Price == last.Price && next.InForce == last.InForce {
			continue
		}
		last.To, next.To = at, use.To
		parts = append(parts, next)
	}
	share(parts, use)
	return parts
}

// share gives every slice its part of the energy by time. What is drawn up to
// each cut is rounded, not each slice, so that nothing is lost.
func share(parts []Slice, use Use) {
	var before quantity.Energy
	for i := range parts {
		elapsed := new(big.Int).Mul(big.NewInt(int64(use.Energy)), big.NewInt(int64(parts[i].To-use.From)))
		drawn := quantity.Energy(divide(elapsed, int64(use.To-use.From)))
		parts[i].Energy = drawn - before
		before = drawn
	}
}

// inOrder sorts tariffs by their start; of two with the same start the one
// given later counts.
func inOrder(tariffs []Tariff) []Tariff {
	list := slices.Clone(tariffs)
	slices.SortStableFunc(list, func(a, b Tariff) int { return cmp.Compare(a.From, b.From) })
	return list
}

// inForce is the tariff at a moment, and the start of the one after it, if
// there is one.
func inForce(list []Tariff, at quantity.Moment) (now *Tariff, next quantity.Moment, more bool) {
	for i := range list {
		if list[i].From > at {
			return now, list[i].From, true
		}
		now = &list[i]
	}
	return now, 0, false
}

// priced is a slice that starts at a moment, with the price then.
func priced(list []Tariff, zone *time.Location, at quantity.Moment) Slice {
	now, _, _ := inForce(list, at)
	if now == nil {
		return Slice{From: at}
	}
	price := now.Price
	_, minute := wall(zone, at)
	for _, band := range now.Bands {
		if band.holds(minute) {
			price = band.Price
			break
		}
	}
	return Slice{From: at, Price: price, InForce: true}
}

// divide rounds a/b half away from zero; b is positive.
func divide(a *big.Int, b int64) int64 {
	q, rest := new(big.Int).QuoRem(a, big.NewInt(b), new(big.Int))
	if rest.Abs(rest).Lsh(rest, 1).Cmp(big.NewInt(b)) >= 0 {
		q.Add(q, big.NewInt(int64(a.Sign())))
	}
	return q.Int64()
}
