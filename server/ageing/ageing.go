// Package ageing reads from the store what the wear of kit is told by, and has
// foundry tell it: element sets by their ohms, crucibles by the heats that
// others did, furnaces by what their melts took, instruments by their checks.
package ageing

import (
	"context"
	"slices"

	"drosswise/foundry/drift"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/foundry/wear"
	"drosswise/store"
)

// Book is what the records say of how all kit wears.
type Book struct {
	At        quantity.Moment
	Elements  map[int64]wear.Life
	Furnaces  map[int64]Furnace
	Tools     map[int64]drift.Instrument
	Crucibles Pieces
	Sets      Pieces // of elements
}

// mostUses is how many of the newest melts of a piece of kit are read: a
// furnace of many years is no longer what it was.
const mostUses = 1_000

// reader reads what is needed once for all kit.
type reader struct {
	st       *store.Store
	items    []kit.Item
	lines    map[int64][]kit.Line // that stand, of kit that is looked at, in order of time
	wears    map[int64]kit.Wear
	causes   map[int64]string
	ambient  quantity.Temperature
	book     *Book
	furnaces map[int64][]store.Used // melts of a furnace, the oldest first
}

// Read works out how all kit wears. It takes a few milliseconds for each piece
// in use, and is made for working beside the pages.
func Read(ctx context.Context, st *store.Store) (*Book, error) {
	r := reader{st: st, lines: map[int64][]kit.Line{}, furnaces: map[int64][]store.Used{}}
	r.book = &Book{At: st.Now(), Elements: map[int64]wear.Life{}, Furnaces: map[int64]Furnace{}, Tools: map[int64]drift.Instrument{}}
	if err := r.kit(ctx); err != nil {
		return nil, err
	}
	for _, read := range []func(context.Context) error{r.uses, r.elements, r.instruments, r.courses, r.lives} {
		if err := read(ctx); err != nil {
			return nil, err
		}
	}
	return r.book, nil
}

// kit reads all kit with what happened to it.
func (r *reader) kit(ctx context.Context) (err error) {
	if r.items, err = r.st.Kit(ctx); err != nil {
		return err
	}
	if r.wears, err = r.st.Wears(ctx); err != nil {
		return err
	}
	if r.causes, err = r.st.Causes(ctx); err != nil {
		return err
	}
	shop, err := r.st.Shop(ctx)
	if err != nil {
		return err
	}
	r.ambient = shop.Ambient
	looked := r.looked()
	for _, it := range r.items {
		if !looked[it.ID] {
			continue
		}
		_, lines, _, err := r.st.KitItem(ctx, it.ID)
		if err != nil {
			return err
		}
		r.lines[it.ID] = slices.DeleteFunc(lines, func(l kit.Line) bool { return !l.Stands() })
	}
	return nil
}

// mostRetired is how many of the last pieces of a kind that are out of use are
// still looked at, for what they teach about the next.
const mostRetired = 12

// looked are the pieces whose lines are read: those in use, and the last of
// each kind that are not.
func (r *reader) looked() map[int64]bool {
	looked, retired := map[int64]bool{}, map[kit.Kind]int{}
	for _, it := range slices.Backward(r.items) {
		if it.Retired {
			retired[it.Kind]++
		}
		looked[it.ID] = !it.Retired || retired[it.Kind] <= mostRetired
	}
	return looked
}

// uses reads the melts of every furnace.
func (r *reader) uses(ctx context.Context) error {
	for _, it := range r.items {
		if it.Kind != kit.Furnace {
			continue
		}
		used, err := r.st.UsedBy(ctx, it, mostUses)
		if err != nil {
			return err
		}
		r.furnaces[it.ID] = used
	}
	return nil
}

// of lists the kit of a kind that is looked at, in the order in which it came.
func (r *reader) of(k kit.Kind) []kit.Item {
	var all []kit.Item
	for _, it := range r.items {
		if _, looked := r.lines[it.ID]; looked && it.Kind == k {
			all = append(all, it)
		}
	}
	return all
}

// item is the piece with an id, the zero one when there is none.
func (r *reader) item(id int64) kit.Item {
	if i := slices.IndexFunc(r.items, func(it kit.Item) bool { return it.ID == id }); i >= 0 {
		return r.items[i]
	}
	return kit.Item{}
}
