package main

import (
	"math/rand/v2"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

const (
	demoBenchOhms = 57.0  // Ω cold
	demoBenchRise = 0.001 // share of them an hour of power
)

// benchSession is an evening's melt in the small furnace, on a plug meter.
func (d *demoRun) benchSession(s demoSession) {
	h := s.heats[0]
	c := &demoCourse{heat: h, crew: s.crew, r: rand.New(rand.NewPCG(demoSeed, uint64(500+h.n))), plug: true}
	c.start = quantity.At(s.start) + demoMinutes(20*c.r.Float64())
	c.furnace, c.coil, c.pot, c.rise = demoBench.name, "BE1", "B1", demoBenchRise*d.bench
	d.charge(c, demoBench.name, 0.7)
	c.makeMetal()
	c.makeHeat(&demoBench, demoBenchOhms)
	c.fillMoulds(0.6)
	d.log(c)
	d.bench += c.hours
	d.melts = append(d.melts, &c.demoMelt)
}

// voidMelt begins a melt in the yard furnace in which nothing gets melted.
func (d *demoRun) voidMelt(start quantity.Moment, crew int) {
	b := d.idleBook(start, crew)
	n := demoLine(melt.Void, start+demoMinutes(9))
	n.Note = "The breaker tripped at switch-on, nothing was charged. Unplugged, dried and looked at; begun again under the next code."
	d.note(b, n.At, n)
}

// idleBook begins a book of the yard furnace for what is no course.
func (d *demoRun) idleBook(start quantity.Moment, crew int) *demoBook {
	t := &demoMelt{furnace: demoYard.name, coil: demoCoils[d.yard.coil].name, pot: demoPots[d.yard.pot].name}
	b := &demoBook{furnace: demoYard.name, crew: crew, truth: t, head: melt.Heading{Key: d.key(), At: start, Target: melt.Ingots}}
	d.step(start, func(w *demoWriter) error { return w.start(b) })
	return b
}

// lastEvening leaves a melt running, with a weight read wrong and put right.
func (d *demoRun) lastEvening() {
	start := quantity.At(demoLastDay(d.zone)) + demoMinutes(18*60+5)
	r := rand.New(rand.NewPCG(demoSeed, 3))
	d.yard.sinceRead = demoReadEvery // they wonder why it is slow
	d.careFor(r, start, demoSaturday)
	b := d.idleBook(start, demoSaturday)
	say := func(minute float64, k melt.Kind, edit func(*demoNote)) string {
		n := demoLine(k, start+demoMinutes(minute))
		if edit != nil {
			edit(&n)
		}
		return d.note(b, n.At, n)
	}
	charge := func(metal int, grams ...quantity.Mass) func(*demoNote) {
		var sum quantity.Mass
		for _, g := range grams {
			sum += g
		}
		bin := d.bin(metal, (sum * quantity.Gram).Kilograms(), start)
		bin.left -= (sum * quantity.Gram).Kilograms()
		return func(n *demoNote) {
			n.source, n.lot, n.scale, n.Dry = demoScrap[metal].Name, bin.key, demoKitchen.name, true
			for _, g := range grams {
				n.Gross = append(n.Gross, g*quantity.Gram)
			}
		}
	}
	say(3, melt.Checked, func(n *demoNote) { n.Count, n.Note = new(7), "Crucible dry and sound." })
	say(6, melt.Charge, charge(demoRims, 540, 526))
	say(9, melt.PowerOn, func(n *demoNote) { n.Meter = new(demoFace(d.meter)) })
	say(40, melt.Isolated, nil)
	hot := charge(demoCranks, 364)
	say(41, melt.Charge, func(n *demoNote) { hot(n); n.IntoHot, n.Preheated = true, true })
	say(42.5, melt.PowerOn, nil)
	say(55, melt.FirstLiquid, nil)
	say(63, melt.Isolated, nil)
	d.tenfold(b, start+demoMinutes(64), charge(demoCranks, 412))
	say(65.5, melt.PowerOn, nil)
	say(70, melt.Temperature, func(n *demoNote) {
		n.Which, n.probe, n.Temp = melt.InMetal, demoProbes[1], new(674*quantity.Celsius)
	})
}

// tenfold types 4120 g for 412 g, past the doubt that the page speaks of the
// safe fill, strikes it and writes it again.
func (d *demoRun) tenfold(b *demoBook, at quantity.Moment, charge func(*demoNote)) {
	right := demoLine(melt.Charge, at)
	charge(&right)
	right.IntoHot, right.Preheated = true, true
	wrong := right
	wrong.Gross = []quantity.Mass{10 * right.Gross[0]}
	wrong.Key, right.Key = d.key(), d.key()
	mark := d.key()
	d.step(at+demoMinutes(0.2), func(w *demoWriter) error { return w.addSure(b, wrong) })
	d.step(at+demoMinutes(0.6), func(w *demoWriter) error { return w.strike(b, wrong.Key, mark, "read wrong") })
	d.step(at+demoMinutes(0.8), func(w *demoWriter) error { return w.add(b, right) })
}
