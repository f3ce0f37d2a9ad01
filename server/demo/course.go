package demo

import (
	"math"
	"math/rand/v2"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// course is what really happened in a melt, to the gram and the second:
// what people made of it in the log is another matter.
type course struct {
	Melt
	heat    plannedHeat
	crew    int
	r       *rand.Rand
	start   quantity.Moment
	charges []charge
	heelIn  float64
	heelOut float64
	ingots  []float64 // kg each; castings with their sprues when cast
	rejects float64
	spill   float64

	on, liquid, molten, off quantity.Moment
	pauses                  []melt.Stretch // power off for charging
	skim, pour              quantity.Moment
	poured                  float64 // °C
	meterOn, meterOff       float64 // kWh
	plug                    bool    // read on a plug meter, not the furnace's own
	volts, amps             float64
}

// charge is one lot of metal going in.
type charge struct {
	metal int
	lot   string // key of the delivery
	pour  string // key of the pour whose ingots these are
	kg    float64
	at    quantity.Moment
	hot   bool
}

// oxide is how far above the mean the dross is where the yield is below it:
// what is lost to oxidation is found as dross, and a little more.
const oxide = 0.8

// makeMetal works out the metal: what of the charge is recovered, and what
// becomes dross. What burns off is neither.
func (c *course) makeMetal() {
	c.Charged = map[int]float64{}
	for _, ch := range c.charges {
		c.Charged[ch.metal] += ch.kg
	}
	for _, metal := range sortedKeys(c.Charged) {
		m, kg := Scrap[metal], c.Charged[metal]
		if m.missed > 0 && c.r.Float64() < 0.5 {
			steel := kg * m.missed * (0.5 + c.r.Float64())
			c.Steel, kg = c.Steel+steel, kg-steel
		}
		if c.Mishap == AsFound && metal == Brakes {
			c.Foreign = 0.09 * kg
			kg -= c.Foreign
		}
		off := m.Scatter * c.r.NormFloat64()
		c.Recovered += kg * min(m.Yield+off, 0.995)
		c.Dross += kg * max(m.Dross-oxide*off+0.2*m.Scatter*c.r.NormFloat64(), 0.3*m.Dross)
	}
}

// makeHeat works out the time and the energy from the furnace's truth, with the
// element as worn as it is.
func (c *course) makeHeat(f *furnace, ohms float64) {
	c.volts = supplyVolts + supplyScatter*c.r.NormFloat64()
	hot := ohms * (1 + c.Rise) * hotOhms
	c.amps = c.volts / hot
	power := c.volts * c.volts / hot / 1000
	need := f.cold + f.perKg*(c.Total()+c.heelIn)
	if c.Warm {
		need = f.warm + f.perKg*c.Total()
	}
	melting := need / (power - f.walls)
	hold := 0.3 + 0.25*c.r.Float64()
	if c.heat.target != melt.Ingots {
		hold += 0.15
	}
	c.timeline(melting, hold)
	c.Hours = hours(c.molten, c.on) + hours(c.off, c.molten) - c.paused()
	c.Energy = need + f.walls*c.Hours + f.scatter*c.r.NormFloat64()
	c.poured = pourAt + pourScatter*c.r.NormFloat64()
}

// timeline lays the melt's steps out on the clock: melting and hold are hours
// with power on, and the power is off while somebody reaches in.
func (c *course) timeline(melting, hold float64) {
	hot := 0
	for _, ch := range c.charges {
		if ch.hot {
			hot++
			continue
		}
		c.on = ch.at + minutes(3+2*c.r.Float64())
	}
	now, done, seen := c.on, 0.0, 0
	until := func(share float64) {
		now, done = now+minutes((share-done)*melting*60), share
	}
	for i := range c.charges {
		ch := &c.charges[i]
		if !ch.hot {
			continue
		}
		seen++
		until(0.30 + 0.45*float64(seen)/float64(hot+1))
		from := now
		now += minutes(2 + 1.5*c.r.Float64())
		ch.at = from + (now-from)/2
		c.pauses = append(c.pauses, melt.Stretch{From: from, To: now})
	}
	until(max(done+0.02, 0.62+0.08*c.r.Float64()))
	c.liquid = now
	until(1)
	c.molten = now
	c.off = now + minutes(hold*60)
	c.skim = c.off + minutes(1+c.r.Float64())
	c.pour = c.skim + minutes(2+2*c.r.Float64())
}

func (c *course) paused() float64 { return melt.Total(c.pauses).Hours() }

// fillMoulds fills the moulds with what there is.
func (c *course) fillMoulds(mould float64) {
	out := c.Recovered + c.heelIn - c.heelOut
	if c.Mishap == Spilled {
		c.spill = 0.21
	} else if c.r.Float64() < 0.15 {
		c.spill = 0.008 + 0.03*c.r.Float64()
	}
	out -= c.spill
	switch {
	case c.heat.target == melt.Casting && c.r.Float64() < 0.4:
		c.rejects = out * (0.2 + 0.2*c.r.Float64())
	case c.heat.target == melt.Ingots && c.r.Float64() < 0.06:
		c.rejects = 0.15 + 0.1*c.r.Float64()
	}
	out -= c.rejects
	n := max(1, int(math.Ceil(out/mould)))
	share := out / float64(n)
	for i := range n {
		kg := share
		if i < n-1 {
			kg = share * (0.94 + 0.12*c.r.Float64())
		}
		if i == n-1 {
			kg = out
		}
		out -= kg
		c.ingots = append(c.ingots, kg)
	}
}

// kept is the mass of what was poured and kept.
func (c *course) kept() (sum float64) {
	for _, kg := range c.ingots {
		sum += kg
	}
	return sum
}

// minutes is a length of time on the clock, to the second.
func minutes(m float64) quantity.Moment {
	return quantity.Moment(math.Round(m*60)) * quantity.Moment(quantity.Second)
}

func hours(to, from quantity.Moment) float64 { return to.Since(from).Hours() }
