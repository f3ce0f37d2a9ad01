package demo

import (
	"context"
	"fmt"
	"slices"
	"time"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
	"drosswise/store"
)

// stoppedClock is the store's clock while the demo is made: it stands at the
// moment at which a step was written.
type stoppedClock struct{ now quantity.Moment }

func (c *stoppedClock) time() time.Time { return c.now.Time() }

// writer writes the steps through the store, as the pages do, and knows
// what number each thing got.
type writer struct {
	ctx     context.Context
	st      *store.Store
	hash    string // of the password
	people  [len(People)]int64
	kit     map[string]int64
	sources map[string]int64
	lots    map[string]int64 // by key
	pours   map[string]*book // by key of the pour
}

// write fills an open and empty store with the demo shop, and gives the
// truth behind its melts. Nothing in it depends on the day or the machine.
func write(ctx context.Context, st *store.Store, clock *stoppedClock, hash string) ([]*Melt, error) {
	steps, truth := live(settings().Style().Zone)
	w := &writer{ctx: ctx, st: st, hash: hash, kit: map[string]int64{}, sources: map[string]int64{}, lots: map[string]int64{}, pours: map[string]*book{}}
	for _, s := range steps {
		clock.now = s.at
		if err := s.do(w); err != nil {
			return nil, fmt.Errorf("demo at %s: %w", s.at.Time().Format(time.DateTime), err)
		}
	}
	return truth, w.hang(clock, truth)
}

// hire sets the shop up with its first link and lets the others in with links
// of their own.
func (w *writer) hire() error {
	link, _, err := w.st.FirstLink(w.ctx)
	if err != nil {
		return err
	}
	owner, err := w.st.SetUp(w.ctx, link, People[Workshop].Name, w.hash, settings())
	if err != nil {
		return err
	}
	w.people[Workshop] = owner.ID
	for i, p := range People {
		if i == Workshop {
			continue
		}
		link, _, err := w.st.Invite(w.ctx, owner.ID, p.Role)
		if err != nil {
			return err
		}
		joined, err := w.st.Join(w.ctx, link, p.Name, w.hash)
		if err != nil {
			return err
		}
		w.people[i] = joined.ID
	}
	return nil
}

func (w *writer) addKit(it kit.Item) (err error) {
	w.kit[it.Name], err = w.st.AddKit(w.ctx, w.people[Workshop], it)
	return err
}

func (w *writer) addSource(p scrap.Source) (err error) {
	w.sources[p.Name], err = w.st.AddSource(w.ctx, w.people[Workshop], p)
	return err
}

func (w *writer) deliver(source string, l scrap.Lot) error {
	l.Source = w.sources[source]
	if err := w.st.AddLot(w.ctx, w.people[Workshop], l); err != nil {
		return err
	}
	lots, err := w.st.Lots(w.ctx, l.Source)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(lots, func(x scrap.Lot) bool { return x.Key == l.Key })
	w.lots[l.Key] = lots[i].ID
	return nil
}

// heading gives the book's heading with the numbers of its kit.
func (w *writer) heading(b *book) melt.Heading {
	h, style := b.head, settings().Style()
	h.Furnace, h.Crucible, h.Element = w.kit[b.furnace], w.kit[b.truth.Pot], w.kit[b.truth.Coil]
	h.Probe = w.kit[probeAt(h.At, style.Zone)]
	return h
}

func (w *writer) start(b *book) error {
	h, err := w.st.Start(w.ctx, w.people[b.crew], w.heading(b), "")
	b.truth.Code = h.Code
	return err
}

func (w *writer) enter(b *book) error {
	var lines []melt.Line
	for _, n := range b.notes {
		l, err := w.line(b, n)
		if err != nil {
			return err
		}
		lines = append(lines, l)
	}
	h, err := w.st.Enter(w.ctx, w.people[b.crew], w.heading(b), lines, false)
	b.truth.Code = h.Code
	return err
}

// past are the mishaps that raise a doubt, which the person wrote past.
var past = map[Mishap]bool{Tenfold: true, StillOn: true, Unnamed: true}

func (w *writer) add(b *book, n note) error {
	l, err := w.line(b, n)
	if err != nil {
		return err
	}
	return w.st.Add(w.ctx, w.people[b.crew], b.truth.Code, l, past[b.truth.Mishap])
}

func (w *writer) addSure(b *book, n note) error {
	l, err := w.line(b, n)
	if err != nil {
		return err
	}
	return w.st.Add(w.ctx, w.people[b.crew], b.truth.Code, l, true)
}

func (w *writer) replace(b *book, old string, n note, reason string) error {
	l, err := w.line(b, n)
	if err != nil {
		return err
	}
	id, err := w.numberOf(b, old)
	if err != nil {
		return err
	}
	return w.st.Replace(w.ctx, w.people[b.crew], b.truth.Code, id, l, reason, past[b.truth.Mishap])
}

func (w *writer) strike(b *book, key, mark, reason string) error {
	id, err := w.numberOf(b, key)
	if err != nil {
		return err
	}
	return w.st.Strike(w.ctx, w.people[b.crew], b.truth.Code, id, store.Mark{Key: mark, Struck: true, Reason: reason})
}

// line gives the note as a line, with numbers for names.
func (w *writer) line(b *book, n note) (melt.Line, error) {
	l := n.Line
	l.Source, l.Lot, l.Scale, l.Probe = w.sources[n.source], w.lots[n.lot], w.kit[n.scale], w.kit[n.probe]
	if l.Kind == melt.Pour {
		w.pours[l.Key] = b
	}
	if n.pour == "" {
		return l, nil
	}
	from, ok := w.pours[n.pour]
	if !ok {
		return l, fmt.Errorf("ingots of a pour that is not written yet")
	}
	var err error
	l.Pour, err = w.numberOf(from, n.pour)
	return l, err
}

// numberOf finds the number of a line by its key.
func (w *writer) numberOf(b *book, key string) (int64, error) {
	_, lines, err := w.st.Melt(w.ctx, b.truth.Code)
	if err != nil {
		return 0, err
	}
	i := slices.IndexFunc(lines, func(l melt.Line) bool { return l.Key == key })
	if i < 0 {
		return 0, fmt.Errorf("no line with key %s in %s", key, b.truth.Code)
	}
	return lines[i].ID, nil
}
