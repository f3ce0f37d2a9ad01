package demo

import (
	"math"
	"math/rand/v2"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// logReadings writes what was read and seen while it melted.
func (d *run) logReadings(b *book, c *course) {
	if c.Mishap != ForgetAll {
		if c.r.Float64() < 0.7 {
			d.note(b, c.liquid, newNote(melt.FirstLiquid, c.liquid))
		}
		d.note(b, c.molten, newNote(melt.AllMolten, c.molten))
	}
	if c.Mishap == Unnamed {
		n := newNote(melt.Stamp, c.molten+minutes(4))
		d.note(b, n.At, n)
	}
	if c.r.Float64() < 0.25 {
		n := newNote(melt.Temperature, c.on+(c.liquid-c.on)/2)
		n.Which, n.Temp = melt.Chamber, new(quantity.Temperature(math.Round(870+15*c.r.NormFloat64()))*quantity.Celsius)
		d.note(b, n.At, n)
	}
	probe, drift := probeAt(c.start, d.zone), 0.0
	if probe == probes[0] {
		drift = probeDrift * float64(d.probed)
	}
	read := func(at quantity.Moment, celsius float64) {
		n := newNote(melt.Temperature, at)
		n.Which, n.probe = melt.InMetal, probe
		n.Temp = new(quantity.Temperature(math.Round(celsius+drift+1.5*c.r.NormFloat64())) * quantity.Celsius)
		d.note(b, at, n)
	}
	if c.r.Float64() < 0.5 {
		read(c.molten+minutes(3), 668+6*c.r.NormFloat64())
	}
	if c.r.Float64() < 0.9 {
		read(c.off-minutes(1), c.poured)
	}
	if c.heat.n%7 == 3 {
		n := newNote(melt.Electric, c.on+minutes(20))
		n.Volts = new(quantity.Voltage(math.Round(c.volts)) * quantity.Volt)
		n.Amps = new(quantity.Current(math.Round(c.amps*100*(1+0.002*c.r.NormFloat64()))) * 10)
		d.note(b, n.At, n)
	}
	d.logAdditions(b, c)
}

// logAdditions writes the flux. Dirty scrap gets some, a casting is degassed.
func (d *run) logAdditions(b *book, c *course) {
	dirty := c.Dross > 0.05*c.Total()
	if dirty && c.r.Float64() < 0.6 {
		n := newNote(melt.Addition, c.molten+minutes(6))
		n.Which, n.Cost = "drossing flux", new(quantity.Money(12+c.r.IntN(10)))
		n.weigh(c.r, kitchenScale, 0.012+0.01*c.r.Float64(), 0, 1)
		d.note(b, n.At, n)
	}
	if c.heat.target == melt.Casting {
		n := newNote(melt.Addition, c.molten+minutes(9))
		n.Which, n.Cost, n.Note = "degasser", new(quantity.Money(45)), "Dry gas through the lance, outdoors."
		d.note(b, n.At, n)
	}
}

// logOut writes what came out: some of it when it was skimmed and poured, the
// masses when they were cold.
func (d *run) logOut(b *book, c *course) {
	s := kitchenScale
	if c.crew == EveningCrew && c.heat.n%4 == 0 {
		s = platformScale
	}
	cold := c.pour + minutes(38+20*c.r.Float64())
	skim, pour := newNote(melt.Skim, c.skim), newNote(melt.Pour, c.pour)
	skim.Which = drossLook(c)
	pour.Mould = map[melt.Target]string{melt.Ingots: "half-kilo tray", melt.Casting: "sand, brake lever pair", melt.Trial: "sand, stem cap"}[c.heat.target]
	pour.Count = new(len(c.ingots))
	if c.r.Float64() < 0.55 {
		pour.Temp = new(quantity.Temperature(math.Round(c.poured+2*c.r.NormFloat64())) * quantity.Celsius)
	}
	seen := c.r.Float64() < 0.4 && !b.entered || c.Mishap == Reopened || c.Mishap == NoIngots
	var skimmed, poured string
	if seen {
		skimmed, poured = d.note(b, c.skim, skim), d.note(b, c.pour, pour)
	}
	later := func(old string, n note, at quantity.Moment) string {
		if old != "" {
			return d.instead(b, at, old, n, "weighed cold")
		}
		return d.note(b, at, n)
	}
	d.logDross(b, c, s, skimmed, skim, cold)
	if c.Mishap != NoIngots {
		if c.r.Float64() < 0.4 {
			pour.weighEach(c.r, s, c.ingots)
		} else {
			pour.weigh(c.r, s, c.kept(), 0, 1)
		}
		poured = later(poured, pour, cold+minutes(1))
		if c.heat.target == melt.Ingots {
			d.shelf = append(d.shelf, shelf{pour: poured, at: c.pour, left: c.kept()})
		}
	}
	d.logRest(b, c, s, cold)
}

// logDross writes the dross, with what goes wrong with it.
func (d *run) logDross(b *book, c *course, s scale, skimmed string, skim note, cold quantity.Moment) {
	weighed := skim
	weighed.weigh(c.r, s, c.Dross, 0.385, 1) // in its tin
	write := func(n note) string {
		if skimmed != "" {
			return d.instead(b, cold, skimmed, n, "weighed cold")
		}
		return d.note(b, cold, n)
	}
	switch c.Mishap {
	case NoDross:
		if skimmed == "" {
			d.note(b, cold, skim)
		}
	case Tenfold:
		weighed.Gross, weighed.Tare = []quantity.Mass{weighed.Mass()}, 0
		wrong := weighed
		wrong.Gross = []quantity.Mass{10 * weighed.Gross[0]}
		d.instead(b, cold+minutes(4), write(wrong), weighed, "a nought too many")
	case Reopened:
		at := c.pour + minutes(25*60)
		again := newNote(melt.Reopen, at-minutes(1))
		again.Note = "The dross stood in its tin and was never weighed."
		d.note(b, again.At, again)
		d.instead(b, at, skimmed, weighed, "weighed the day after")
		d.note(b, at+minutes(1), newNote(melt.Close, at+minutes(1)))
	default:
		write(weighed)
	}
}

// logRest writes spills, rejects, steel and what was left in the crucible.
func (d *run) logRest(b *book, c *course, s scale, cold quantity.Moment) {
	some := func(k melt.Kind, at quantity.Moment, kg float64, words string) {
		if kg < 0.002 {
			return
		}
		n := newNote(k, at)
		n.Note = words
		n.weigh(c.r, s, kg, 0, 1)
		if n.Mass() > 0 {
			d.note(b, cold+minutes(2), n)
		}
	}
	if c.Mishap == Spilled {
		some(melt.Spill, c.pour, c.spill, "Mould tipped. Stepped back, let it freeze on the dry sand, picked it up cold. Nobody hurt. Mould now stands in a frame.")
	} else {
		some(melt.Spill, c.pour, c.spill, "")
	}
	some(melt.Reject, c.pour, c.rejects, pick(c.r, "Did not fill.", "Cold shut.", "Crowned top, full of holes."))
	some(melt.Steel, c.skim, c.Steel, pick(c.r, "", "Helicoil inserts.", "Bolt ends and a spring."))
	if c.heelOut > 0 {
		n := newNote(melt.HeelOut, c.pour)
		n.guess(c.heelOut)
		d.note(b, n.At+minutes(1), n)
	}
}

// logEnd writes a remark now and then, and closes the book.
func (d *run) logEnd(b *book, c *course) {
	end := c.pour + minutes(64)
	if c.r.Float64() < 0.3 {
		n := newNote(melt.Note, c.pour+minutes(10))
		n.Note = pick(c.r, remarks...)
		d.note(b, end-minutes(2), n)
	}
	n := newNote(melt.Close, end)
	if c.Mishap == NoIngots {
		n.Note = "Ingots still hot, to be weighed next time."
	}
	if b.entered {
		n.Note = "copied in from paper"
	}
	d.note(b, end, n)
}

// remarks are what people write beside a melt.
var remarks = []string{
	"Tops sunken, bright. Good ingots.", "Tops flat and dull.", "More smoke than usual until the paint was off.", "Wind on the lid, slow today.",
	"Lid open long while pushing pieces under.", "Held longer for the moulds to warm.", "Dross dry and light, pressed it for nothing.", "Stamped all ingots at once.",
	"Bridged over the pool; isolated and pushed it under.", "Lid seal wants new fibre. Mask on for that, cold furnace.", "Hummed at switch-on, contactor to be looked at.",
	"Poured two trays, second one a little cold.", "Rained, moved everything under the roof before starting.",
}

// drossLook is how the dross looked: bright where much metal went with it.
func drossLook(c *course) string {
	switch share := c.Dross / c.Total(); {
	case c.r.Float64() < 0.3:
		return ""
	case share > 0.12:
		return "mixed"
	case share > 0.07:
		return pick(c.r, "bright", "mixed")
	}
	return "grey dry"
}

func pick(r *rand.Rand, words ...string) string { return words[r.IntN(len(words))] }
