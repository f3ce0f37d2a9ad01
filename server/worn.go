package main

import (
	"cmp"
	"context"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/drift"
	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/server/ageing"
	"drosswise/store"
	"drosswise/views"
)

// worn is what the records say of how a piece of kit wears, nil while the first
// is being worked out.
func (a *app) worn(ctx context.Context, it kit.Item, n views.Names, v visit) (*views.Worn, error) {
	book, old := a.ages.latest(ctx)
	if book == nil {
		return nil, nil
	}
	w := views.Worn{At: book.At, Old: old}
	if l, ok := book.Elements[it.ID]; ok {
		w.Element = &l
	}
	if f, ok := book.Furnaces[it.ID]; ok {
		w.Course = courseOf(f, n, v)
	}
	switch it.Kind {
	case kit.Crucible:
		livesOf(&w, book.Crucibles, it.ID)
	case kit.Element:
		livesOf(&w, book.Sets, it.ID)
	}
	if in, ok := book.Tools[it.ID]; ok {
		w.Tool = &in
		doubted, err := a.store.Codes(ctx, in.Doubtful)
		if err != nil {
			return nil, err
		}
		for _, code := range doubted {
			w.Doubted = append(w.Doubted, views.Link{Text: string(code), Href: "/melts/" + string(code)})
		}
	}
	return &w, nil
}

// livesOf fills in how long pieces of its kind last and what it may still do.
func livesOf(w *views.Worn, p ageing.Pieces, id int64) {
	one := p.Each[id]
	w.Lives, w.Outlook, w.Cost, w.Weight, w.Wall = p.Life, one.Outlook, one.Cost, one.Weight, one.Wall
}

func courseOf(f ageing.Furnace, n views.Names, v visit) *views.Course {
	c := &views.Course{Energy: f.Energy, Time: f.Time, Causes: f.Causes, Wall: f.Wall, Loss: f.Loss, Served: servedIn(f.Stays, n, v)}
	c.Alarm, c.Of = f.Open()
	var closed []store.AlarmClose
	for _, one := range f.Closed {
		closed = append(closed, one)
	}
	slices.SortFunc(closed, func(a, b store.AlarmClose) int { return cmp.Compare(b.At, a.At) })
	for _, one := range closed {
		c.Closed = append(c.Closed, views.ClosedAlarm{Melt: string(one.Melt), How: one.How, When: v.style.Date(one.At), Who: n.People[one.By], Note: one.Note})
	}
	return c
}

// servedIn is a furnace's element sets and crucibles over time.
func servedIn(stays []ageing.Stay, n views.Names, v visit) *views.Timeline {
	if len(stays) == 0 {
		return nil
	}
	t := &views.Timeline{Title: "Element sets and crucibles of this furnace over time", From: stays[0].From, To: v.now}
	for _, s := range stays {
		t.From = min(t.From, s.From)
		it := n.Kit[s.Item]
		t.Rows = append(t.Rows, views.Served{
			Name: it.Name, Href: kitPath(it.ID), From: s.From, To: s.To, Now: s.Now,
			Note: fmt.Sprintf("%s · %d heats, %s h hot", strings.ToLower(it.Kind.Name()), s.Heats, v.style.Number(s.Hours, 0)),
		})
	}
	return t
}

// closeAlarm takes down how a person judges the open alarm of a furnace.
func closeAlarm(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	it, err := a.itemOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r, v)
	if err != nil {
		return err
	}
	how := drift.Close(chi.URLParam(r, "how"))
	if it.Kind != kit.Furnace || how != drift.RealChange && how != drift.OneOff {
		return store.ErrNotFound
	}
	key, err := f.key()
	if err != nil {
		return err
	}
	c := store.AlarmClose{Melt: melt.Code(chi.URLParam(r, "code")), How: string(how)}
	if err := a.store.CloseAlarm(r.Context(), v.person.ID, it.ID, key, c); err != nil {
		return err
	}
	a.settle(r.Context())
	a.flash(r, "Written down. The chart goes on from there.")
	return seeOther(w, r, kitPath(it.ID))
}

// settle waits a moment for how kit wears to be worked out anew, so that a
// person sees at once what their own reading changed.
func (a *app) settle(ctx context.Context) {
	for range 20 {
		if _, old := a.ages.latest(ctx); !old {
			return
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(10 * time.Millisecond):
		}
	}
}
