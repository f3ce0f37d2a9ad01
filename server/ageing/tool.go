package ageing

import (
	"context"

	"drosswise/foundry/drift"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
)

// instruments judges every instrument that was checked against something known.
func (r *reader) instruments(ctx context.Context) error {
	for _, it := range r.items {
		if _, looked := r.lines[it.ID]; !looked || it.Retired {
			continue
		}
		in, ok := r.instrument(it, nil)
		if !ok {
			continue
		}
		since := in.Checks[0].At
		if in.Good != nil {
			since = *in.Good
		}
		used, err := r.st.MeltsWith(ctx, it.ID, since, mostUses)
		if err != nil {
			return err
		}
		r.book.Tools[it.ID], _ = r.instrument(it, used)
	}
	return nil
}

// instrument judges one; ok is false for what was never checked.
func (r *reader) instrument(it kit.Item, used []drift.Used) (in drift.Instrument, ok bool) {
	switch it.Kind {
	case kit.Scale:
		var list []drift.ScaleCheck
		for _, l := range r.lines[it.ID] {
			if l.KnownMass != nil && l.Mass != nil {
				list = append(list, drift.ScaleCheck{At: l.At, Mass: l.KnownMass.Kilograms(), Reading: l.Mass.Kilograms()})
			}
		}
		in = drift.Scale(drift.ScaleOf{Step: it.Resolution.Kilograms(), Gain: float64(it.Gain) / 1e6}, list, used)
	case kit.Probe:
		if it.Couple != "" && it.Couple != "K" {
			return in, false // its class is another one
		}
		var list []drift.ProbeCheck
		for _, l := range r.lines[it.ID] {
			if l.KnownTemp != nil && l.Temp != nil {
				list = append(list, probeCheck(l))
			}
		}
		in = drift.Thermocouple(drift.ProbeOf{Step: 1}, list, used)
	case kit.Furnace:
		var list []drift.MeterCheck
		for _, l := range r.lines[it.ID] {
			if l.KnownEnergy != nil && l.Energy != nil {
				list = append(list, drift.MeterCheck{At: l.At, Reading: l.Energy.KilowattHours(), Second: l.KnownEnergy.KilowattHours()})
			}
		}
		in = drift.Meter(drift.MeterOf{}, list, used)
	}
	return in, len(in.Checks) > 0
}

// probeCheck is a check against a freezing point where what is known is one to
// a tenth of a degree, else against a second thermocouple.
func probeCheck(l kit.Line) drift.ProbeCheck {
	c := drift.ProbeCheck{At: l.At, Reading: l.Temp.Celsius()}
	for i, f := range drift.Freezings {
		if at := quantity.Temperature(f.Celsius * float64(quantity.Celsius)); max(at-*l.KnownTemp, *l.KnownTemp-at) <= quantity.Celsius/10 {
			c.Freezes = &drift.Freezings[i]
			return c
		}
	}
	c.Second = new(l.KnownTemp.Celsius())
	return c
}

// toolsOf are the instruments that a furnace is told by: its own meter, and the
// scale and thermocouple that were checked last.
func (r *reader) toolsOf(furnace kit.Item) drift.Tools {
	var tools drift.Tools
	newest := func(k kit.Kind) *drift.Instrument {
		var best *drift.Instrument
		for _, it := range r.of(k) {
			in, ok := r.book.Tools[it.ID]
			if ok && (best == nil || last(in) > last(*best)) {
				best = &in
			}
		}
		return best
	}
	if in, ok := r.book.Tools[furnace.ID]; ok {
		tools.Meter = &in
	}
	tools.Scale, tools.Probe = newest(kit.Scale), newest(kit.Probe)
	return tools
}

// last is when an instrument was last checked.
func last(in drift.Instrument) quantity.Moment { return in.Checks[len(in.Checks)-1].At }
