package main

import (
	"math"
	"math/rand/v2"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// logReadings writes what was read and seen while it melted.
func (d *demoRun) logReadings(b *demoBook, c *demoCourse) {
	if c.mishap != demoForgetAll {
		if c.r.Float64() < 0.7 {
			d.note(b, c.liquid, demoLine(melt.FirstLiquid, c.liquid))
		}
		d.note(b, c.molten, demoLine(melt.AllMolten, c.molten))
	}
	if c.mishap == demoUnnamed {
		n := demoLine(melt.Stamp, c.molten+demoMinutes(4))
		d.note(b, n.At, n)
	}
	if c.r.Float64() < 0.25 {
		n := demoLine(melt.Temperature, c.on+(c.liquid-c.on)/2)
		n.Which, n.Temp = melt.Chamber, new(quantity.Temperature(math.Round(870+15*c.r.NormFloat64()))*quantity.Celsius)
		d.note(b, n.At, n)
	}
	probe, drift := demoProbe(c.start, d.zone), 0.0
	if probe == demoProbes[0] {
		drift = demoProbeDrift * float64(d.probed)
	}
	read := func(at quantity.Moment, celsius float64) {
		n := demoLine(melt.Temperature, at)
		n.Which, n.probe = melt.InMetal, probe
		n.Temp = new(quantity.Temperature(math.Round(celsius+drift+1.5*c.r.NormFloat64())) * quantity.Celsius)
		d.note(b, at, n)
	}
	if c.r.Float64() < 0.5 {
		read(c.molten+demoMinutes(3), 668+6*c.r.NormFloat64())
	}
	if c.r.Float64() < 0.9 {
		read(c.off-demoMinutes(1), c.poured)
	}
	if c.heat.n%7 == 3 {
		n := demoLine(melt.Electric, c.on+demoMinutes(20))
		n.Volts = new(quantity.Voltage(math.Round(c.volts)) * quantity.Volt)
		n.Amps = new(quantity.Current(math.Round(c.amps*100*(1+0.002*c.r.NormFloat64()))) * 10)
		d.note(b, n.At, n)
	}
	d.logAdditions(b, c)
}

// logAdditions writes the flux. Dirty scrap gets some, a casting is degassed.
func (d *demoRun) logAdditions(b *demoBook, c *demoCourse) {
	dirty := c.dross > 0.05*c.total()
	if dirty && c.r.Float64() < 0.6 {
		n := demoLine(melt.Addition, c.molten+demoMinutes(6))
		n.Which, n.Cost = "drossing flux", new(quantity.Money(12+c.r.IntN(10)))
		n.weigh(c.r, demoKitchen, 0.012+0.01*c.r.Float64(), 0, 1)
		d.note(b, n.At, n)
	}
	if c.heat.target == melt.Casting {
		n := demoLine(melt.Addition, c.molten+demoMinutes(9))
		n.Which, n.Cost, n.Note = "degasser", new(quantity.Money(45)), "Dry gas through the lance, outdoors."
		d.note(b, n.At, n)
	}
}

// logOut writes what came out: some of it when it was skimmed and poured, the
// masses when they were cold.
func (d *demoRun) logOut(b *demoBook, c *demoCourse) {
	s := demoKitchen
	if c.crew == demoEvening && c.heat.n%4 == 0 {
		s = demoPlatform
	}
	cold := c.pour + demoMinutes(38+20*c.r.Float64())
	skim, pour := demoLine(melt.Skim, c.skim), demoLine(melt.Pour, c.pour)
	skim.Which = drossLook(c)
	pour.Mould = map[melt.Target]string{melt.Ingots: "half-kilo tray", melt.Casting: "sand, brake lever pair", melt.Trial: "sand, stem cap"}[c.heat.target]
	pour.Count = new(len(c.ingots))
	if c.r.Float64() < 0.55 {
		pour.Temp = new(quantity.Temperature(math.Round(c.poured+2*c.r.NormFloat64())) * quantity.Celsius)
	}
	seen := c.r.Float64() < 0.4 && !b.entered || c.mishap == demoReopened || c.mishap == demoNoIngots
	var skimmed, poured string
	if seen {
		skimmed, poured = d.note(b, c.skim, skim), d.note(b, c.pour, pour)
	}
	later := func(old string, n demoNote, at quantity.Moment) string {
		if old != "" {
			return d.instead(b, at, old, n, "weighed cold")
		}
		return d.note(b, at, n)
	}
	d.logDross(b, c, s, skimmed, skim, cold)
	if c.mishap != demoNoIngots {
		if c.r.Float64() < 0.4 {
			pour.weighEach(c.r, s, c.ingots)
		} else {
			pour.weigh(c.r, s, c.kept(), 0, 1)
		}
		poured = later(poured, pour, cold+demoMinutes(1))
		if c.heat.target == melt.Ingots {
			d.shelf = append(d.shelf, demoShelf{pour: poured, at: c.pour, left: c.kept()})
		}
	}
	d.logRest(b, c, s, cold)
}

// logDross writes the dross, with what goes wrong with it.
func (d *demoRun) logDross(b *demoBook, c *demoCourse, s demoScale, skimmed string, skim demoNote, cold quantity.Moment) {
	weighed := skim
	weighed.weigh(c.r, s, c.dross, 0.385, 1) // in its tin
	write := func(n demoNote) string {
		if skimmed != "" {
			return d.instead(b, cold, skimmed, n, "weighed cold")
		}
		return d.note(b, cold, n)
	}
	switch c.mishap {
	case demoNoDross:
		if skimmed == "" {
			d.note(b, cold, skim)
		}
	case demoTenfold:
		weighed.Gross, weighed.Tare = []quantity.Mass{weighed.Mass()}, 0
		wrong := weighed
		wrong.Gross = []quantity.Mass{10 * weighed.Gross[0]}
		d.instead(b, cold+demoMinutes(4), write(wrong), weighed, "a nought too many")
	case demoReopened:
		at := c.pour + demoMinutes(25*60)
		again := demoLine(melt.Reopen, at-demoMinutes(1))
		again.Note = "The dross stood in its tin and was never weighed."
		d.note(b, again.At, again)
		d.instead(b, at, skimmed, weighed, "weighed the day after")
		d.note(b, at+demoMinutes(1), demoLine(melt.Close, at+demoMinutes(1)))
	default:
		write(weighed)
	}
}

// logRest writes spills, rejects, steel and what was left in the crucible.
func (d *demoRun) logRest(b *demoBook, c *demoCourse, s demoScale, cold quantity.Moment) {
	some := func(k melt.Kind, at quantity.Moment, kg float64, words string) {
		if kg < 0.002 {
			return
		}
		n := demoLine(k, at)
		n.Note = words
		n.weigh(c.r, s, kg, 0, 1)
		if n.Mass() > 0 {
			d.note(b, cold+demoMinutes(2), n)
		}
	}
	if c.mishap == demoSpilled {
		some(melt.Spill, c.pour, c.spill, "Mould tipped. Stepped back, let it freeze on the dry sand, picked it up cold. Nobody hurt. Mould now stands in a frame.")
	} else {
		some(melt.Spill, c.pour, c.spill, "")
	}
	some(melt.Reject, c.pour, c.rejects, demoPick(c.r, "Did not fill.", "Cold shut.", "Crowned top, full of holes."))
	some(melt.Steel, c.skim, c.steel, demoPick(c.r, "", "Helicoil inserts.", "Bolt ends and a spring."))
	if c.heelOut > 0 {
		n := demoLine(melt.HeelOut, c.pour)
		n.guess(c.heelOut)
		d.note(b, n.At+demoMinutes(1), n)
	}
}

// logEnd writes a remark now and then, and closes the book.
func (d *demoRun) logEnd(b *demoBook, c *demoCourse) {
	end := c.pour + demoMinutes(64)
	if c.r.Float64() < 0.3 {
		n := demoLine(melt.Note, c.pour+demoMinutes(10))
		n.Note = demoPick(c.r, demoRemarks...)
		d.note(b, end-demoMinutes(2), n)
	}
	n := demoLine(melt.Close, end)
	if c.mishap == demoNoIngots {
		n.Note = "Ingots still hot, to be weighed next time."
	}
	if b.entered {
		n.Note = "copied in from paper"
	}
	d.note(b, end, n)
}

// demoRemarks are what people write beside a melt.
var demoRemarks = []string{
	"Tops sunken, bright. Good ingots.", "Tops flat and dull.", "More smoke than usual until the paint was off.", "Wind on the lid, slow today.",
	"Lid open long while pushing pieces under.", "Held longer for the moulds to warm.", "Dross dry and light, pressed it for nothing.", "Stamped all ingots at once.",
	"Bridged over the pool; isolated and pushed it under.", "Lid seal wants new fibre. Mask on for that, cold furnace.", "Hummed at switch-on, contactor to be looked at.",
	"Poured two trays, second one a little cold.", "Rained, moved everything under the roof before starting.",
}

// drossLook is how the dross looked: bright where much metal went with it.
func drossLook(c *demoCourse) string {
	switch share := c.dross / c.total(); {
	case c.r.Float64() < 0.3:
		return ""
	case share > 0.12:
		return "mixed"
	case share > 0.07:
		return demoPick(c.r, "bright", "mixed")
	}
	return "grey dry"
}

func demoPick(r *rand.Rand, words ...string) string { return words[r.IntN(len(words))] }
