package store

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// sumsAs reports whether a melt counts in all sums just as it did before: most
// lines, such as a temperature or a note, change none.
func (r row) sumsAs(old row) bool {
	return (r.state == melt.Voided) == (old.state == melt.Voided) && r.month == old.month && r.heats == old.heats && r.charged == old.charged && r.net == old.net &&
		r.hot == old.hot && equal(r.recovered, old.recovered) && equal(r.yield, old.yield) && equal(r.yieldU, old.yieldU) && equal(r.energy, old.energy) && equal(r.cash, old.cash) && r.kit == old.kit &&
		slices.Equal(r.used, old.used) && maps.Equal(r.sources, old.sources)
}

func equal[T comparable](a, b *T) bool { return a == b || a != nil && b != nil && *a == *b }

// sumTable is a table of sums: what its rows are named by, what they add up,
// and when one has come to nothing. Such a row is dropped, so that what is kept
// does not depend on the way it came about.
type sumTable struct {
	name         string
	keys, values []string
	empty        string
}

var (
	tallies = &sumTable{"tally", []string{"source_id", "furnace_id", "month"},
		[]string{"melts", "charged", "of_source", "yield_charged", "recovered", "energy_charged", "energy"}, "melts = 0 AND charged = 0 AND energy = 0"}
	sourceSums = &sumTable{"source_sum", []string{"source_id"},
		[]string{"melts", "charged", "alone_melts", "alone_charged", "alone_recovered", "alone_spread"}, "melts = 0 AND charged = 0"}
	lotSums    = &sumTable{"lot_sum", []string{"lot_id"}, []string{"charged"}, "charged = 0"}
	wearSums   = &sumTable{"wear", []string{"kit_id"}, []string{"heats", "charged", "hot", "energy"}, "heats = 0 AND hot = 0 AND energy = 0"}
	cashMonths = &sumTable{"cash_month", []string{"month"}, []string{"melts", "cash", "recovered"}, "melts = 0"}
	kitMonths  = &sumTable{"kit_month", []string{"month", "kit_id"}, []string{"heats"}, "heats = 0"}
)

// sumKey names a row of a table of sums.
type sumKey struct {
	table *sumTable
	key   [3]int64
}

// sums are what is to be added to the tables of sums. Many melts may add to
// them before they are written.
type sums map[sumKey]*[7]int64

// add adds to a row.
func (s sums) add(table *sumTable, sign int64, key [3]int64, values ...int64) {
	k := sumKey{table, key}
	if s[k] == nil {
		s[k] = new([7]int64)
	}
	for i, v := range values {
		s[k][i] += sign * v
	}
}

// write adds the sums to what the tables hold.
func (s sums) write(ctx context.Context, t *tx) error {
	for k, values := range s {
		if *values == [7]int64{} {
			continue
		}
		if err := k.write(ctx, t, values[:len(k.table.values)]); err != nil {
			return fmt.Errorf("sums of %s: %w", k.table.name, err)
		}
	}
	return nil
}

func (k sumKey) write(ctx context.Context, t *tx, values []int64) error {
	args := make([]any, 0, 10)
	for _, v := range k.key[:len(k.table.keys)] {
		args = append(args, v)
	}
	for _, v := range values {
		args = append(args, v)
	}
	if _, err := t.ExecContext(ctx, k.table.addition(), args...); err != nil {
		return err
	}
	if slices.Min(values) >= 0 {
		return nil
	}
	_, err := t.ExecContext(ctx, "DELETE FROM "+k.table.name+" WHERE "+strings.Join(k.table.keys, " = ? AND ")+" = ? AND "+k.table.empty, args[:len(k.table.keys)]...)
	return err
}

// addition is the statement that adds to a row or makes it.
func (t *sumTable) addition() string {
	columns := slices.Concat(t.keys, t.values)
	more := make([]string, len(t.values))
	for i, v := range t.values {
		more[i] = v + " = " + v + " + excluded." + v
	}
	return "INSERT INTO " + t.name + " (" + strings.Join(columns, ", ") + ") VALUES (?" + strings.Repeat(",?", len(columns)-1) +
		") ON CONFLICT (" + strings.Join(t.keys, ", ") + ") DO UPDATE SET " + strings.Join(more, ", ")
}

// melt adds a melt's figures to the running totals and to what its kit has been
// through, or takes them out again (sign −1). Melts made void count nowhere.
func (s sums) melt(r row, sign int64) {
	if r.state == melt.Voided {
		return
	}
	s.tally(r, 0, r.charged, sign)
	s.month(r, sign)
	for source, m := range r.sources {
		s.tally(r, source, m, sign)
		if a := r.alone(source); r.heats != 0 {
			s.add(sourceSums, sign, [3]int64{source}, int64(r.heats), int64(m), int64(a.Melts), int64(a.Charged), int64(a.Recovered), int64(a.Spread))
		}
	}
	var energy quantity.Energy
	if r.energy != nil {
		energy = *r.energy
	}
	for _, id := range r.used {
		if r.heats != 0 || r.hot != 0 || energy != 0 {
			s.add(wearSums, sign, [3]int64{id}, int64(r.heats), int64(r.charged), int64(r.hot), int64(energy))
		}
	}
}

// tally adds to the running total of a source (0: of all melts) in the melt's
// month. A ratio is pooled as sum over sum, so what has no result is kept out
// of both sums.
func (s sums) tally(r row, source int64, ofSource quantity.Mass, sign int64) {
	var yieldCharged, recovered, energyCharged, energy int64
	if r.heats == 0 && (r.energy == nil || *r.energy == 0) {
		return
	}
	if r.recovered != nil {
		yieldCharged, recovered = int64(r.net), int64(*r.recovered)
	}
	if r.energy != nil {
		energyCharged, energy = int64(r.charged), int64(*r.energy)
	}
	s.add(tallies, sign, [3]int64{source, r.furnace, int64(r.month)}, int64(r.heats), int64(r.charged), int64(ofSource), yieldCharged, recovered, energyCharged, energy)
}

// month adds to what a month cost and to the heats of its kit.
func (s sums) month(r row, sign int64) {
	if r.heats == 0 {
		return
	}
	if r.cash != nil && r.recovered != nil {
		s.add(cashMonths, sign, [3]int64{int64(r.month)}, 1, int64(*r.cash), int64(*r.recovered))
	}
	for _, id := range []int64{r.kit.Crucible, r.kit.Element} {
		if id != 0 {
			s.add(kitMonths, sign, [3]int64{int64(r.month), id}, 1)
		}
	}
}
