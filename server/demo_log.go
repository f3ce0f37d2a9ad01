package main

import (
	"math"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// demoNote is a line as somebody writes it: it names kit and scrap as people
// do, and the writer finds their numbers.
type demoNote struct {
	melt.Line
	source, lot, pour, scale, probe string
}

// demoBook is the book of one melt while it is written.
type demoBook struct {
	head    melt.Heading
	furnace string
	crew    int
	truth   *demoMelt
	notes   []demoNote // of a melt that is copied in as a whole
	entered bool
}

// log writes the book of a melt, with the mishaps that its log has.
func (d *demoRun) log(c *demoCourse) {
	b := d.begin(c)
	d.logBefore(b, c)
	for i := range c.charges {
		d.logCharge(b, c, i)
	}
	d.logPower(b, c)
	d.logReadings(b, c)
	d.logOut(b, c)
	d.logEnd(b, c)
}

// begin starts the book. A melt copied in from paper is written all at once,
// six days later.
func (d *demoRun) begin(c *demoCourse) *demoBook {
	b := &demoBook{furnace: c.furnace, crew: c.crew, truth: &c.demoMelt, entered: c.mishap == demoPaper}
	b.head = melt.Heading{Key: d.key(), At: c.start, Warm: c.warm, Target: c.heat.target}
	if b.entered {
		b.head.At = wholeMinute(c.start)
	}
	if c.r.Float64() < 0.5 {
		b.head.Ambient = new(demoAmbient(c))
	}
	if b.entered {
		d.step(c.pour+demoMinutes(6*24*60), func(w *demoWriter) error { return w.enter(b) })
		return b
	}
	d.step(c.start, func(w *demoWriter) error { return w.start(b) })
	return b
}

// demoAmbient is how warm it is in the yard: colder in winter and at night.
func demoAmbient(c *demoCourse) quantity.Temperature {
	season := math.Cos(2 * math.Pi * float64(c.start.Time().YearDay()-200) / 365)
	return quantity.Temperature(math.Round(11+7*season+2*c.r.NormFloat64())) * quantity.Celsius
}

// note writes a line at a moment, at the earliest when it happened.
func (d *demoRun) note(b *demoBook, noted quantity.Moment, n demoNote) string {
	if n.Key == "" {
		n.Key = d.key()
	}
	if b.entered {
		n.At = wholeMinute(n.At)
		b.notes = append(b.notes, n)
		return n.Key
	}
	d.step(max(noted, n.At+3*quantity.Moment(quantity.Second)), func(w *demoWriter) error { return w.add(b, n) })
	return n.Key
}

// instead strikes the line with a key and writes another for it.
func (d *demoRun) instead(b *demoBook, noted quantity.Moment, old string, n demoNote, reason string) string {
	n.Key = d.key()
	d.step(noted, func(w *demoWriter) error { return w.replace(b, old, n, reason) })
	return n.Key
}

func wholeMinute(m quantity.Moment) quantity.Moment {
	return m - m%quantity.Moment(quantity.Minute)
}

func demoLine(k melt.Kind, at quantity.Moment) demoNote {
	return demoNote{Line: melt.Line{Kind: k, At: at}}
}

// logBefore writes what is looked at before the power is on.
func (d *demoRun) logBefore(b *demoBook, c *demoCourse) {
	if c.r.Float64() < 0.85 {
		n := demoLine(melt.Checked, c.start+demoMinutes(1+c.r.Float64()))
		n.Count = new(7)
		n.Note = demoPick(c.r, "", "", "Crucible dry and sound, sand bed dry.", "Moulds warm on the lid, second person here.", "Shields and gloves on, path clear.")
		d.note(b, n.At, n)
	}
	if c.heelIn > 0 {
		n := demoLine(melt.HeelIn, c.start+demoMinutes(2))
		n.guess(c.heelIn)
		d.note(b, n.At, n)
	}
}

// logCharge writes one charge.
func (d *demoRun) logCharge(b *demoBook, c *demoCourse, i int) {
	ch := c.charges[i]
	n := demoLine(melt.Charge, ch.at)
	n.source, n.lot, n.pour = demoScrap[ch.metal].Name, ch.lot, ch.pour
	if ch.pour != "" {
		n.source = ""
	}
	n.Dry, n.IntoHot = true, ch.hot || c.heelIn > 0
	n.Preheated = n.IntoHot
	n.AsFound = c.mishap == demoAsFound && ch.metal == demoBrakes
	s, tare := demoKitchen, 0.0
	if c.crew == demoEvening && c.heat.n%3 == 0 {
		s = demoPlatform
	}
	if c.r.Float64() < 0.35 {
		tare = 0.212
	}
	n.weigh(c.r, s, ch.kg, tare, 1+c.r.IntN(2))
	switch {
	case c.mishap == demoMistyped && c.slip == 0:
		right := n.Mass()
		if typed, can := keyOff(right); can {
			n.Gross, n.Tare = []quantity.Mass{typed}, 0
			c.slip = (typed - right).Kilograms()
		}
	case c.mishap == demoWrongBin && i == 1:
		wrong := n
		wrong.source, wrong.lot = demoScrap[demoCranks].Name, ""
		old := d.note(b, n.At, wrong)
		d.instead(b, n.At+demoMinutes(6), old, n, "wrong source chosen")
		return
	}
	d.note(b, n.At, n)
}

// logPower writes when the power was on, and the meter.
func (d *demoRun) logPower(b *demoBook, c *demoCourse) {
	on := demoLine(melt.PowerOn, c.on)
	if !c.plug {
		on.Meter = new(demoFace(c.meterOn))
	}
	if c.mishap == demoMisread {
		wrong := on
		wrong.Meter = new(demoFace(c.meterOn - 90))
		d.instead(b, c.on+demoMinutes(9), d.note(b, c.on, wrong), on, "meter misread")
	} else {
		d.note(b, c.on, on)
	}
	for _, p := range c.pauses {
		d.note(b, p.From, demoLine(melt.Isolated, p.From))
		d.note(b, p.To, demoLine(melt.PowerOn, p.To))
	}
	off := demoLine(melt.Isolated, c.off)
	if !c.plug && c.mishap != demoNoMeter {
		off.Meter = new(demoFace(c.meterOff))
	}
	if c.mishap == demoStillOn {
		off.Kind = melt.Meter
	}
	d.note(b, c.off, off)
	if c.plug {
		n := demoLine(melt.Energy, c.off+demoMinutes(1))
		n.Energy = new(quantity.Energy(math.Round(c.energy*100)) * quantity.KilowattHour / 100)
		if c.mishap == demoTypedKWh {
			n.Note = "Read on a plug meter; the furnace's own was out for repair."
		}
		d.note(b, n.At, n)
	}
}

// demoFace is what the meter's face shows: hundredths of a kWh, cut off.
func demoFace(kwh float64) quantity.Energy {
	return quantity.Energy(math.Floor(kwh*100)) * quantity.KilowattHour / 100
}
