package demo

import (
	"fmt"
	"slices"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/server/photo"
	"drosswise/store"
)

// drawnNote begins the note of each picture, so that none is taken for a photo.
const drawnNote = "A drawing, invented like all of the demo: "

// How many melts and looks at a piece of kit have pictures, the last ones.
const (
	drawnMelts = 3
	drawnLooks = 4
)

// hang gives the last melts and looks at the kit pictures, by the way that
// uploaded photos take.
func (w *writer) hang(clock *stoppedClock, truth []*Melt) error {
	left, last := drawnMelts, (*Melt)(nil)
	for _, m := range slices.Backward(truth) {
		if m.Furnace != yardFurnace.name || left == 0 {
			continue
		}
		if last == nil {
			last = m
		}
		left--
		if err := w.hangMelt(clock, m); err != nil {
			return err
		}
	}
	if last == nil {
		return nil
	}
	worn := slices.IndexFunc(pots[:], func(p pot) bool { return p.name == last.Pot }) - 1 // it has all its looks
	for _, name := range []string{pots[max(worn, 0)].name, last.Pot, last.Coil} {
		if err := w.hangKit(clock, name); err != nil {
			return err
		}
	}
	return nil
}

// hangMelt draws what went into a melt and what came out.
func (w *writer) hangMelt(clock *stoppedClock, m *Melt) error {
	_, lines, err := w.st.Melt(w.ctx, m.Code)
	if err != nil {
		return err
	}
	drawn := map[melt.Kind]bool{}
	for _, l := range lines {
		if !l.Stands() || drawn[l.Kind] {
			continue
		}
		d := newDrawing(uint64(l.ID))
		var note string
		switch l.Kind {
		case melt.Charge:
			note = "the heap before it was charged."
			d.heap()
		case melt.Skim:
			note = "dross in its tin, cold."
			d.dross()
		case melt.Pour:
			note = "the tops, with their pipes."
			d.ingots()
		default:
			continue
		}
		drawn[l.Kind] = true
		if err := w.keep(clock, d, store.Photo{Of: store.PhotoOf{Line: l.ID}, At: l.At, By: l.By, Note: drawnNote + note}); err != nil {
			return err
		}
	}
	return nil
}

// hangKit draws the last looks at a crucible or an element set.
func (w *writer) hangKit(clock *stoppedClock, name string) error {
	it, lines, _, err := w.st.KitItem(w.ctx, w.kit[name])
	if err != nil {
		return err
	}
	looks := slices.DeleteFunc(lines, func(l kit.Line) bool { return !l.Stands() || l.Kind != kit.Inspected && l.Kind != kit.Read })
	every := map[kit.Kind]int{kit.Crucible: inspectEvery, kit.Element: readEvery}[it.Kind]
	for i, l := range looks {
		if i < len(looks)-drawnLooks {
			continue
		}
		d := newDrawing(1<<24 + uint64(l.ID))
		note := "the wall, cut through."
		if it.Kind == kit.Crucible {
			d.wall((i + 1) * every)
		} else {
			note = "the turns in their groove."
			d.coil(i * every) // the first reading is of the new one
		}
		if err := w.keep(clock, d, store.Photo{Of: store.PhotoOf{KitLine: l.ID}, At: l.At, By: l.By, Note: drawnNote + note}); err != nil {
			return err
		}
	}
	return nil
}

// keep stores a drawing a minute after what it shows.
func (w *writer) keep(clock *stoppedClock, d drawing, p store.Photo) error {
	file, err := d.jpeg()
	if err != nil {
		return err
	}
	made, err := photo.Read(w.ctx, file)
	if err != nil {
		return err
	}
	p.Key = fmt.Sprintf("drawing-%d-%d", p.Of.Line, p.Of.KitLine)
	p.Width, p.Height = made.Width, made.Height
	clock.now = p.At + quantity.Moment(quantity.Minute)
	return w.st.AddPhoto(w.ctx, p.By, p, store.Pictures{Full: made.Full, Thumb: made.Thumb})
}
