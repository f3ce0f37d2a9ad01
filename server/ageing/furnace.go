package ageing

import (
	"context"

	"drosswise/foundry/drift"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/store"
)

// Furnace is what the melts of a furnace took, one after another.
type Furnace struct {
	Energy drift.Course
	Time   drift.Course
	// Causes are what may have made the open alarm of Energy, or else of Time.
	Causes []drift.Likely
	Wall   *drift.Wall // nil while brick and size are not written down
	Loss   *drift.Loss // what its bricks let through beside what holding takes; nil without either
	Closed map[int64]store.AlarmClose
	Stays  []Stay // of its element sets and crucibles
}

// Open is the alarm that is open, of energy before that of time; nil when none
// is.
func (f Furnace) Open() (*drift.Alarm, drift.Kind) {
	if a := f.Energy.Open(); a != nil {
		return a, drift.OfEnergy
	}
	return f.Time.Open(), drift.OfTime
}

// courses charts every furnace that is in use.
func (r *reader) courses(ctx context.Context) error {
	for _, it := range r.of(kit.Furnace) {
		if it.Retired {
			continue
		}
		closed, err := r.st.AlarmCloses(ctx, it.ID)
		if err != nil {
			return err
		}
		melts, s := r.courseMelts(it), settings(it, closed)
		f := Furnace{Energy: drift.Energy(melts, s), Time: drift.Time(melts, s), Closed: closed, Stays: r.stays(r.furnaces[it.ID])}
		if a, kind := f.Open(); a != nil {
			c := f.Energy
			if kind == drift.OfTime {
				c = f.Time
			}
			f.Causes = drift.Causes(melts, c, *a, s, r.toolsOf(it))
		}
		f.Wall = r.wall(it)
		if f.Wall != nil && f.Energy.Split != nil && f.Energy.Split.Fit != nil {
			if loss, ok := drift.CompareLoss(f.Wall.Watts, f.Energy.Split.Fit.PerHour); ok {
				f.Loss = &loss
			}
		}
		r.book.Furnaces[it.ID] = f
	}
	return nil
}

func settings(it kit.Item, closed map[int64]store.AlarmClose) drift.Settings {
	s := drift.Settings{Closed: map[int64]drift.Close{}}
	if it.Power != nil {
		s.Power = it.Power.Watts() / 1000
	}
	if it.Volts != nil {
		s.Volts = it.Volts.Volts()
	}
	for melt, c := range closed {
		s.Closed[melt] = drift.Close(c.How)
	}
	return s
}

// courseMelts are a furnace's melts as its chart takes them.
func (r *reader) courseMelts(it kit.Item) []drift.Melt {
	var all []drift.Melt
	var last store.Used
	for _, u := range r.furnaces[it.ID] {
		if u.Charged == nil {
			continue
		}
		m := drift.Melt{
			ID: u.ID, Code: u.Code, Started: u.Started, Charged: u.Charged, Energy: u.Energy, Hours: u.Hours, Molten: u.Molten, Cold: u.Cold,
			Volts: u.Volts, Power: power(u), Hold: u.Hold, Pour: u.Pour, Dross: u.Dross, Ohms: r.ohms(u),
		}
		m.Renewed = last.ID != 0 && (u.Element != last.Element || r.repaired(it.ID, last.Started, u.Started))
		all, last = append(all, m), u
	}
	return all
}

// repaired reports whether a furnace was repaired between two moments.
func (r *reader) repaired(furnace int64, from, to quantity.Moment) bool {
	for _, l := range r.lines[furnace] {
		if l.Kind == kit.Repaired && l.At > from && l.At <= to {
			return true
		}
	}
	return false
}

// power is what the element was read to give in a melt, in kW.
func power(u store.Used) *float64 {
	switch {
	case u.Watts != nil:
		return new(*u.Watts / 1000)
	case u.Volts != nil && u.Amps != nil:
		return new(*u.Volts * *u.Amps / 1000)
	}
	return nil
}

// ohms are those of the element set that a melt was made with, as they were
// last read by then.
func (r *reader) ohms(u store.Used) *float64 {
	look, ok := r.book.Elements[u.Element]
	if !ok {
		return nil
	}
	by, _ := course(r.furnaces[u.Furnace]).of(u.Element).by(u.Started)
	var ohms *float64
	for _, p := range look.Series.Points {
		if p.Hours <= by && !p.LeftOut {
			ohms = &p.Ohms
		}
	}
	return ohms
}

// of are the melts made with an element set.
func (c course) of(element int64) course {
	var some course
	for _, u := range c {
		if u.Element == element {
			some = append(some, u)
		}
	}
	return some
}

// wall is what passes through a furnace's bricks with its inside as hot as the
// metal that was poured, the least that it can be; nil while brick or size are
// not written down or no pour has a temperature.
func (r *reader) wall(it kit.Item) *drift.Wall {
	if it.Wall == nil || it.Wide == nil || it.Deep == nil || it.High == nil {
		return nil
	}
	var brick *drift.Brick
	for i, b := range drift.Bricks {
		if b.Name == it.Brick {
			brick = &drift.Bricks[i]
		}
	}
	hot := 0.0
	for _, u := range r.furnaces[it.ID] {
		if u.Pour != nil {
			hot = *u.Pour // the newest
		}
	}
	if brick == nil || hot == 0 {
		return nil
	}
	layers := []drift.Layer{{Brick: *brick, Thickness: it.Wall.Metres()}}
	w, err := drift.Box(it.Wide.Metres(), it.Deep.Metres(), it.High.Metres(), layers, hot, r.ambient.Celsius(), drift.Outside{})
	if err != nil {
		return nil
	}
	return &w
}
