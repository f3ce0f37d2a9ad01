package ageing

import (
	"context"

	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/foundry/wear"
	"drosswise/store"
)

// elements reads the life of every element set, the oldest first, so that each
// starts with what those before it taught.
func (r *reader) elements(ctx context.Context) error {
	var earlier []wear.Life
	for _, it := range r.of(kit.Element) {
		used, err := r.st.UsedBy(ctx, it, mostUses)
		if err != nil {
			return err
		}
		set, readings := r.set(it, used), r.readings(it, used)
		if rate, ok := wear.Learn(earlier); ok {
			set.Before = &rate
		}
		look := wear.Look(set, readings)
		r.book.Elements[it.ID] = look
		earlier = append(earlier, look)
	}
	return nil
}

func (r *reader) set(it kit.Item, used []store.Used) wear.Set {
	set := wear.SetOf(it)
	set.Hours = r.wears[it.ID].Hot.Hours()
	hot := course(used)
	for _, u := range r.melts(it, used) {
		if u.Hot > 0 {
			set.HeatHours = append(set.HeatHours, u.Hot.Hours())
		}
	}
	for _, l := range r.lines[it.ID] {
		if l.Kind == kit.Repaired {
			by, _ := hot.by(l.At)
			set.Repairs = append(set.Repairs, wear.Repair{ID: l.ID, Hours: by})
		}
	}
	return set
}

// melts are those of the furnace that a set is in, whose length tells how many
// melts its hours are; or else its own.
func (r *reader) melts(it kit.Item, used []store.Used) []store.Used {
	if it.On != 0 {
		return r.furnaces[it.On]
	}
	return used
}

// readings are all that was read on an element set, by people beside it and in
// melts. A reading in a melt has the melt's number below zero.
func (r *reader) readings(it kit.Item, used []store.Used) []wear.Reading {
	var all []wear.Reading
	hot := course(used)
	for _, l := range r.lines[it.ID] {
		by, heats := hot.by(l.At)
		w, ok := wear.FromLine(l, by, heats)
		if !ok {
			continue
		}
		all = append(all, w)
	}
	done := 0.0
	for i, u := range used {
		done += u.Hot.Hours()
		w := wear.Reading{ID: -u.ID, Hours: done, Heats: i + 1}
		switch drawn := r.drawn(u); {
		case u.Amps != nil && u.Volts != nil, u.Watts != nil && u.Volts != nil:
			w.Volts, w.Amps, w.Watts = in(u.Volts, quantity.Volt), in(u.Amps, quantity.Ampere), in(u.Watts, quantity.Watt)
		case drawn != nil:
			w.Drawn = drawn
		default:
			continue
		}
		all = append(all, w)
	}
	return all
}

// drawn is the electricity of a melt in a furnace that draws its full power
// whenever it is on; nil where that is not known.
func (r *reader) drawn(u store.Used) *wear.Drawn {
	furnace := r.item(u.Furnace)
	if furnace.Switching != kit.FullPower || u.Energy == nil || u.Hot <= 0 {
		return nil
	}
	d := wear.Drawn{Energy: quantity.Energy(*u.Energy * float64(quantity.KilowattHour)), On: u.Hot}
	switch {
	case u.Volts != nil:
		d.Volts = *in(u.Volts, quantity.Volt)
	case furnace.Volts != nil:
		d.Volts = *furnace.Volts
		d.Spread = quantity.Voltage(wear.NominalSpread * float64(d.Volts))
	default:
		return nil
	}
	return &d
}

// in turns a number of units into a quantity.
func in[T ~int64](x *float64, unit T) *T {
	if x == nil {
		return nil
	}
	return new(T(*x*float64(unit) + 0.5))
}

// course is how hot hours came together over melts.
type course []store.Used

// by is how many hours hot and melts there were by a moment.
func (c course) by(at quantity.Moment) (hours float64, heats int) {
	for _, u := range c {
		if u.Started >= at {
			break
		}
		hours, heats = hours+u.Hot.Hours(), heats+1
	}
	return hours, heats
}
