package demo

import (
	"math/rand/v2"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

const (
	benchOhms = 57.0  // Ω cold
	benchRise = 0.001 // share of them an hour of power
)

// benchSession is an evening's melt in the small furnace, on a plug meter.
func (d *run) benchSession(s session) {
	h := s.heats[0]
	c := &course{heat: h, crew: s.crew, r: rand.New(rand.NewPCG(seed, uint64(500+h.n))), plug: true}
	c.start = quantity.At(s.start) + minutes(20*c.r.Float64())
	c.Furnace, c.Coil, c.Pot, c.Rise = benchFurnace.name, "BE1", "B1", benchRise*d.bench
	d.charge(c, benchFurnace.name, 0.7)
	c.makeMetal()
	c.makeHeat(&benchFurnace, benchOhms)
	c.fillMoulds(0.6)
	d.log(c)
	d.bench += c.Hours
	d.melts = append(d.melts, &c.Melt)
}

// voidMelt begins a melt in the yard furnace in which nothing gets melted.
func (d *run) voidMelt(start quantity.Moment, crew int) {
	b := d.idleBook(start, crew)
	n := newNote(melt.Void, start+minutes(9))
	n.Note = "The breaker tripped at switch-on, nothing was charged. Unplugged, dried and looked at; begun again under the next code."
	d.note(b, n.At, n)
}

// idleBook begins a book of the yard furnace for what is no course.
func (d *run) idleBook(start quantity.Moment, crew int) *book {
	t := &Melt{Furnace: yardFurnace.name, Coil: coils[d.yard.coil].name, Pot: pots[d.yard.pot].name}
	b := &book{furnace: yardFurnace.name, crew: crew, truth: t, head: melt.Heading{Key: d.key(), At: start, Target: melt.Ingots}}
	d.step(start, func(w *writer) error { return w.start(b) })
	return b
}

// lastEvening leaves a melt running, with a weight read wrong and put right.
func (d *run) lastEvening() {
	start := quantity.At(lastDay(d.zone)) + minutes(18*60+5)
	r := rand.New(rand.NewPCG(seed, 3))
	d.yard.sinceRead = readEvery // they wonder why it is slow
	d.careFor(r, start, SaturdayCrew)
	b := d.idleBook(start, SaturdayCrew)
	say := func(minute float64, k melt.Kind, edit func(*note)) string {
		n := newNote(k, start+minutes(minute))
		if edit != nil {
			edit(&n)
		}
		return d.note(b, n.At, n)
	}
	charge := func(metal int, grams ...quantity.Mass) func(*note) {
		var sum quantity.Mass
		for _, g := range grams {
			sum += g
		}
		bin := d.bin(metal, (sum * quantity.Gram).Kilograms(), start)
		bin.left -= (sum * quantity.Gram).Kilograms()
		return func(n *note) {
			n.source, n.lot, n.scale, n.Dry = Scrap[metal].Name, bin.key, kitchenScale.name, true
			for _, g := range grams {
				n.Gross = append(n.Gross, g*quantity.Gram)
			}
		}
	}
	say(3, melt.Checked, func(n *note) { n.Count, n.Note = new(7), "Crucible dry and sound." })
	say(6, melt.Charge, charge(Rims, 540, 526))
	say(9, melt.PowerOn, func(n *note) { n.Meter = new(meterShows(d.meter)) })
	say(40, melt.Isolated, nil)
	hot := charge(Cranks, 364)
	say(41, melt.Charge, func(n *note) { hot(n); n.IntoHot, n.Preheated = true, true })
	say(42.5, melt.PowerOn, nil)
	say(55, melt.FirstLiquid, nil)
	say(63, melt.Isolated, nil)
	d.tenfold(b, start+minutes(64), charge(Cranks, 412))
	say(65.5, melt.PowerOn, nil)
	say(70, melt.Temperature, func(n *note) {
		n.Which, n.probe, n.Temp = melt.InMetal, probes[1], new(674*quantity.Celsius)
	})
}

// tenfold types 4120 g for 412 g, past the doubt that the page speaks of the
// safe fill, strikes it and writes it again.
func (d *run) tenfold(b *book, at quantity.Moment, charge func(*note)) {
	right := newNote(melt.Charge, at)
	charge(&right)
	right.IntoHot, right.Preheated = true, true
	wrong := right
	wrong.Gross = []quantity.Mass{10 * right.Gross[0]}
	wrong.Key, right.Key = d.key(), d.key()
	mark := d.key()
	d.step(at+minutes(0.2), func(w *writer) error { return w.addSure(b, wrong) })
	d.step(at+minutes(0.6), func(w *writer) error { return w.strike(b, wrong.Key, mark, "read wrong") })
	d.step(at+minutes(0.8), func(w *writer) error { return w.add(b, right) })
}
