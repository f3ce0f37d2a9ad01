package ageing

import (
	"context"
	"math"

	"drosswise/foundry/kit"
	"drosswise/foundry/life"
	"drosswise/store"
)

// nextHeats is how many heats ahead a piece is asked to last.
const nextHeats = 10

// Pieces is what is known of the life of one kind of kit, in heats.
type Pieces struct {
	*life.Life
	Each map[int64]Piece
}

// Piece is what one of them may still do and what it costs a heat, and for a
// crucible how its weight and wall went. What cannot be said is nil.
type Piece struct {
	Outlook      *life.Outlook
	Cost         *life.Cost
	Weight, Wall *life.Trend
}

// lives reads the lives of all crucibles and element sets, also of those whose
// lines are no longer looked at.
func (r *reader) lives(ctx context.Context) (err error) {
	if r.book.Crucibles, err = r.life(ctx, kit.Crucible); err != nil {
		return err
	}
	r.book.Sets, err = r.life(ctx, kit.Element)
	return err
}

func (r *reader) life(ctx context.Context, k kit.Kind) (Pieces, error) {
	var pieces []life.Piece
	expected := 0.0
	for _, it := range r.items {
		if it.Kind != k {
			continue
		}
		pieces = append(pieces, life.Piece{ID: it.ID, Age: float64(r.wears[it.ID].Heats), End: r.end(it)})
		if it.ExpectedHeats != nil {
			expected = float64(*it.ExpectedHeats) // what was expected of the newest
		}
	}
	learnt, err := life.Learn(pieces, life.Heats, expected)
	if err != nil {
		return Pieces{}, err
	}
	p := Pieces{Life: learnt, Each: map[int64]Piece{}}
	for _, it := range r.of(k) {
		if p.Each[it.ID], err = r.piece(ctx, learnt, it); err != nil {
			return p, err
		}
	}
	return p, nil
}

// end is how the life of a piece stands. One that was retired without a cause
// is taken as cut short, since nobody says that it wore out.
func (r *reader) end(it kit.Item) life.End {
	switch {
	case !it.Retired:
		return life.InService
	case r.causes[it.ID] == kit.Worn && r.wears[it.ID].Heats > 0:
		return life.WornOut
	case r.causes[it.ID] == kit.Broken:
		return life.Accident
	}
	return life.Otherwise
}

func (r *reader) piece(ctx context.Context, learnt *life.Life, it kit.Item) (p Piece, err error) {
	heats := float64(r.wears[it.ID].Heats)
	o := life.Outlook{Unit: life.Heats, Age: heats}
	if !it.Retired {
		if o, err = learnt.Outlook(heats, nextHeats); err != nil {
			return p, err
		}
		p.Outlook = &o
	}
	if it.Cost != nil {
		shop, err := r.st.Shop(ctx)
		if err != nil {
			return p, err
		}
		cost, err := life.CostOf(float64(*it.Cost)*math.Pow10(-shop.Style().Exponent()), o)
		if err != nil {
			return p, err
		}
		p.Cost = &cost
	}
	if it.Kind == kit.Crucible {
		used, err := r.st.UsedBy(ctx, it, mostUses)
		if err != nil {
			return p, err
		}
		p.Weight, p.Wall = r.trends(it, used)
	}
	return p, nil
}

// caliper is how finely a wall is read, in mm: common practice, no source.
const caliper = 0.1

// trends are how a crucible's weight and wall went over its heats; nil where
// nothing was read.
func (r *reader) trends(it kit.Item, used []store.Used) (weight, wall *life.Trend) {
	var grams, mm []life.Reading
	if it.Mass != nil {
		grams = append(grams, life.Reading{Value: it.Mass.Kilograms() * 1000})
	}
	if it.Wall != nil {
		mm = append(mm, life.Reading{Value: it.Wall.Metres() * 1000})
	}
	for _, l := range r.lines[it.ID] {
		_, heats := course(used).by(l.At)
		if l.Kind != kit.Inspected {
			continue
		}
		if l.Mass != nil {
			grams = append(grams, life.Reading{Age: float64(heats), Value: l.Mass.Kilograms() * 1000})
		}
		if l.Wall != nil {
			mm = append(mm, life.Reading{Age: float64(heats), Value: l.Wall.Metres() * 1000})
		}
	}
	return trend(grams, r.coarsest()), trend(mm, caliper)
}

// coarsest is the largest step that a scale in use shows, in grams: what a
// crucible is weighed on is not written down.
func (r *reader) coarsest() float64 {
	step := 1.0
	for _, it := range r.of(kit.Scale) {
		if !it.Retired {
			step = max(step, it.Resolution.Kilograms()*1000)
		}
	}
	return step
}

// trend is that of readings, nil with fewer than two and where they cannot be
// fitted.
func trend(readings []life.Reading, resolution float64) *life.Trend {
	if len(readings) < 2 {
		return nil
	}
	t, err := life.TrendOf(readings, resolution)
	if err != nil {
		return nil
	}
	return &t
}
