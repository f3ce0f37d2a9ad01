package demo

import (
	"math"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// note is a line as somebody writes it: it names kit and scrap as people
// do, and the writer finds their numbers.
type note struct {
	melt.Line
	source, lot, pour, scale, probe string
}

// book is the book of one melt while it is written.
type book struct {
	head    melt.Heading
	furnace string
	crew    int
	truth   *Melt
	notes   []note // of a melt that is copied in as a whole
	entered bool
}

// log writes the book of a melt, with the mishaps that its log has.
func (d *run) log(c *course) {
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
func (d *run) begin(c *course) *book {
	b := &book{furnace: c.Furnace, crew: c.crew, truth: &c.Melt, entered: c.Mishap == FromPaper}
	b.head = melt.Heading{Key: d.key(), At: c.start, Warm: c.Warm, Target: c.heat.target}
	if b.entered {
		b.head.At = wholeMinute(c.start)
	}
	if c.r.Float64() < 0.5 {
		b.head.Ambient = new(ambient(c))
	}
	if b.entered {
		d.step(c.pour+minutes(6*24*60), func(w *writer) error { return w.enter(b) })
		return b
	}
	d.step(c.start, func(w *writer) error { return w.start(b) })
	return b
}

// ambient is how warm it is in the yard: colder in winter and at night.
func ambient(c *course) quantity.Temperature {
	season := math.Cos(2 * math.Pi * float64(c.start.Time().YearDay()-200) / 365)
	return quantity.Temperature(math.Round(11+7*season+2*c.r.NormFloat64())) * quantity.Celsius
}

// note writes a line at a moment, at the earliest when it happened.
func (d *run) note(b *book, noted quantity.Moment, n note) string {
	if n.Key == "" {
		n.Key = d.key()
	}
	if b.entered {
		n.At = wholeMinute(n.At)
		b.notes = append(b.notes, n)
		return n.Key
	}
	d.step(max(noted, n.At+3*quantity.Moment(quantity.Second)), func(w *writer) error { return w.add(b, n) })
	return n.Key
}

// instead strikes the line with a key and writes another for it.
func (d *run) instead(b *book, noted quantity.Moment, old string, n note, reason string) string {
	n.Key = d.key()
	d.step(noted, func(w *writer) error { return w.replace(b, old, n, reason) })
	return n.Key
}

func wholeMinute(m quantity.Moment) quantity.Moment {
	return m - m%quantity.Moment(quantity.Minute)
}

func newNote(k melt.Kind, at quantity.Moment) note {
	return note{Line: melt.Line{Kind: k, At: at}}
}

// logBefore writes what is looked at before the power is on.
func (d *run) logBefore(b *book, c *course) {
	if c.r.Float64() < 0.85 {
		n := newNote(melt.Checked, c.start+minutes(1+c.r.Float64()))
		n.Count = new(7)
		n.Note = pick(c.r, "", "", "Crucible dry and sound, sand bed dry.", "Moulds warm on the lid, second person here.", "Shields and gloves on, path clear.")
		d.note(b, n.At, n)
	}
	if c.heelIn > 0 {
		n := newNote(melt.HeelIn, c.start+minutes(2))
		n.guess(c.heelIn)
		d.note(b, n.At, n)
	}
}

// logCharge writes one charge.
func (d *run) logCharge(b *book, c *course, i int) {
	ch := c.charges[i]
	n := newNote(melt.Charge, ch.at)
	n.source, n.lot, n.pour = Scrap[ch.metal].Name, ch.lot, ch.pour
	if ch.pour != "" {
		n.source = ""
	}
	n.Dry, n.IntoHot = true, ch.hot || c.heelIn > 0
	n.Preheated = n.IntoHot
	n.AsFound = c.Mishap == AsFound && ch.metal == Brakes
	s, tare := kitchenScale, 0.0
	if c.crew == EveningCrew && c.heat.n%3 == 0 {
		s = platformScale
	}
	if c.r.Float64() < 0.35 {
		tare = 0.212
	}
	n.weigh(c.r, s, ch.kg, tare, 1+c.r.IntN(2))
	switch {
	case c.Mishap == Mistyped && c.Slip == 0:
		right := n.Mass()
		if typed, can := keyOff(right); can {
			n.Gross, n.Tare = []quantity.Mass{typed}, 0
			c.Slip = (typed - right).Kilograms()
		}
	case c.Mishap == WrongBin && i == 1:
		wrong := n
		wrong.source, wrong.lot = Scrap[Cranks].Name, ""
		old := d.note(b, n.At, wrong)
		d.instead(b, n.At+minutes(6), old, n, "wrong source chosen")
		return
	}
	d.note(b, n.At, n)
}

// logPower writes when the power was on, and the meter.
func (d *run) logPower(b *book, c *course) {
	on := newNote(melt.PowerOn, c.on)
	if !c.plug {
		on.Meter = new(meterShows(c.meterOn))
	}
	if c.Mishap == Misread {
		wrong := on
		wrong.Meter = new(meterShows(c.meterOn - 90))
		d.instead(b, c.on+minutes(9), d.note(b, c.on, wrong), on, "meter misread")
	} else {
		d.note(b, c.on, on)
	}
	for _, p := range c.pauses {
		d.note(b, p.From, newNote(melt.Isolated, p.From))
		d.note(b, p.To, newNote(melt.PowerOn, p.To))
	}
	off := newNote(melt.Isolated, c.off)
	if !c.plug && c.Mishap != NoMeter {
		off.Meter = new(meterShows(c.meterOff))
	}
	if c.Mishap == StillOn {
		off.Kind = melt.Meter
	}
	d.note(b, c.off, off)
	if c.plug {
		n := newNote(melt.Energy, c.off+minutes(1))
		n.Energy = new(quantity.Energy(math.Round(c.Energy*100)) * quantity.KilowattHour / 100)
		if c.Mishap == TypedKWh {
			n.Note = "Read on a plug meter; the furnace's own was out for repair."
		}
		d.note(b, n.At, n)
	}
}

// meterShows is what the meter's face shows: hundredths of a kWh, cut off.
func meterShows(kwh float64) quantity.Energy {
	return quantity.Energy(math.Floor(kwh*100)) * quantity.KilowattHour / 100
}
