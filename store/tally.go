package store

import (
	"context"
	"fmt"
	"maps"
	"slices"

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

// resum takes what a melt added to the sums out of them, and adds what it adds
// now.
func (t *tx) resum(ctx context.Context, r, old row, had bool) error {
	if had {
		if err := t.sum(ctx, old, -1); err != nil {
			return err
		}
	}
	if err := t.sum(ctx, r, +1); err != nil {
		return err
	}
	if had {
		return t.dropEmpty(ctx, old)
	}
	return nil
}

// sum adds a melt's figures to the running totals and to what its kit has been
// through, or takes them out again (sign −1). Melts made void count nowhere.
func (t *tx) sum(ctx context.Context, r row, sign int64) error {
	if r.state == melt.Voided {
		return nil
	}
	if err := t.tally(ctx, r, 0, r.charged, sign); err != nil {
		return err
	}
	if err := t.sumMonth(ctx, r, sign); err != nil {
		return err
	}
	for source, m := range r.sources {
		if err := t.tally(ctx, r, source, m, sign); err != nil {
			return err
		}
		if err := t.sumSource(ctx, r, source, sign); err != nil {
			return err
		}
	}
	for _, id := range r.used {
		var energy quantity.Energy
		if r.energy != nil {
			energy = *r.energy
		}
		if r.heats == 0 && r.hot == 0 && energy == 0 {
			continue
		}
		_, err := t.ExecContext(ctx, `
			INSERT INTO wear (kit_id, heats, charged, hot, energy) VALUES (?,?,?,?,?)
			ON CONFLICT (kit_id) DO UPDATE SET heats = heats + excluded.heats, charged = charged + excluded.charged, hot = hot + excluded.hot, energy = energy + excluded.energy`,
			id, sign*int64(r.heats), sign*int64(r.charged), sign*int64(r.hot), sign*int64(energy))
		if err != nil {
			return fmt.Errorf("wear: %w", err)
		}
	}
	return nil
}

// tally adds to the running total of a source (0: of all melts) in the melt's
// month. A ratio is pooled as sum over sum, so what has no result is kept out
// of both sums.
func (t *tx) tally(ctx context.Context, r row, source int64, ofSource quantity.Mass, sign int64) error {
	var yieldCharged, recovered, energyCharged, energy int64
	if r.heats == 0 && (r.energy == nil || *r.energy == 0) {
		return nil
	}
	if r.recovered != nil {
		yieldCharged, recovered = int64(r.net), int64(*r.recovered)
	}
	if r.energy != nil {
		energyCharged, energy = int64(r.charged), int64(*r.energy)
	}
	_, err := t.ExecContext(ctx, `
		INSERT INTO tally (source_id, furnace_id, month, melts, charged, of_source, yield_charged, recovered, energy_charged, energy)
		VALUES (?,?,?,?,?,?,?,?,?,?)
		ON CONFLICT (source_id, furnace_id, month) DO UPDATE SET melts = melts + excluded.melts, charged = charged + excluded.charged,
			of_source = of_source + excluded.of_source, yield_charged = yield_charged + excluded.yield_charged, recovered = recovered + excluded.recovered,
			energy_charged = energy_charged + excluded.energy_charged, energy = energy + excluded.energy`,
		source, r.furnace, r.month, sign*int64(r.heats), sign*int64(r.charged), sign*int64(ofSource), sign*yieldCharged, sign*recovered, sign*energyCharged, sign*energy)
	if err != nil {
		return fmt.Errorf("totals: %w", err)
	}
	return nil
}

// dropEmpty takes out sums that have come to nothing, so that what is kept does
// not depend on the way it came about.
func (t *tx) dropEmpty(ctx context.Context, r row) error {
	sources := []int64{0}
	for source := range r.sources {
		sources = append(sources, source)
	}
	for _, source := range sources {
		if _, err := t.ExecContext(ctx, "DELETE FROM source_sum WHERE source_id = ? AND melts = 0 AND charged = 0", source); err != nil {
			return fmt.Errorf("sums of sources: %w", err)
		}
		_, err := t.ExecContext(ctx, "DELETE FROM tally WHERE source_id = ? AND furnace_id = ? AND month = ? AND melts = 0 AND charged = 0 AND energy = 0",
			source, r.furnace, r.month)
		if err != nil {
			return fmt.Errorf("totals: %w", err)
		}
	}
	if err := t.dropEmptyMonth(ctx, r); err != nil {
		return err
	}
	for _, id := range r.used {
		if _, err := t.ExecContext(ctx, "DELETE FROM wear WHERE kit_id = ? AND heats = 0 AND hot = 0 AND energy = 0", id); err != nil {
			return fmt.Errorf("wear: %w", err)
		}
	}
	return nil
}
