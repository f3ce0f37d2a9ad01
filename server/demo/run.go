package demo

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// run lives through the demo's two years: what the furnaces, bins and
// shelves are like from one melt to the next, and everything that is to be
// written about it, as steps.
type run struct {
	zone   *time.Location
	keys   *rand.Rand // the phones' keys
	steps  []step
	yard   fitted
	bench  float64 // hours of power on the bench furnace's element
	meter  float64 // kWh on the yard furnace's meter
	bins   map[int][]*bin
	shelf  []shelf
	melts  []*Melt
	probed int // melts since the first thermocouple was new
}

// step is something that gets written at a moment.
type step struct {
	at quantity.Moment
	do func(*writer) error
}

// fitted is what the yard furnace has in it.
type fitted struct {
	coil, pot           int
	coilHeats           int
	coilHours           float64
	potHeats            int
	sinceRead, sincePot int
	heel                float64
}

// bin is what is left of a delivery.
type bin struct {
	key  string
	left float64
}

// shelf is what is left of a pour's ingots.
type shelf struct {
	pour string
	at   quantity.Moment
	left float64
}

// live makes all steps of the demo, in the order in which they are written,
// and the truth behind its melts.
func live(zone *time.Location) ([]step, []*Melt) {
	d := &run{zone: zone, keys: rand.New(rand.NewPCG(seed, 1)), meter: 1284.36, bins: map[int][]*bin{}}
	d.open()
	for _, s := range planSessions(zone) {
		if s.furnace == &yardFurnace {
			d.yardSession(s)
		} else {
			d.benchSession(s)
		}
	}
	d.lastEvening()
	slices.SortStableFunc(d.steps, func(a, b step) int { return int(min(max(a.at-b.at, -1), 1)) })
	return d.steps, d.melts
}

func (d *run) step(at quantity.Moment, do func(*writer) error) {
	d.steps = append(d.steps, step{at, do})
}

// key makes a key as a phone does.
func (d *run) key() string { return fmt.Sprintf("%016x%016x", d.keys.Uint64(), d.keys.Uint64()) }

// yardSession is a day or an evening at the yard furnace.
func (d *run) yardSession(s session) {
	r := rand.New(rand.NewPCG(seed, uint64(1000+s.heats[0].n)))
	start := quantity.At(s.start) + minutes(40*r.Float64())
	d.careFor(r, start, s.crew)
	for i, h := range s.heats {
		if h.mishap == VoidBefore {
			d.voidMelt(start, s.crew)
			start += minutes(25)
		}
		c := d.course(h, s.crew, start, i > 0)
		if i < len(s.heats)-1 && c.r.Float64() < 0.3 && h.mishap == "" {
			c.heelOut = 0.15 + 0.2*c.r.Float64()
		}
		d.charge(c, yardFurnace.name, 2.5-c.heelIn)
		c.makeMetal()
		c.makeHeat(&yardFurnace, coils[d.yard.coil].ohms)
		c.fillMoulds(map[melt.Target]float64{melt.Ingots: 0.5, melt.Casting: 0.8}[h.target])
		c.meterOn, c.meterOff = d.meter, d.meter+c.Energy
		d.meter = c.meterOff + 0.02 // the controller between melts
		d.log(c)
		d.wear(c)
		start = c.pour + minutes(12+8*r.Float64())
	}
}

// course begins a melt of the yard furnace.
func (d *run) course(h plannedHeat, crew int, start quantity.Moment, warm bool) *course {
	c := &course{heat: h, crew: crew, start: start, r: rand.New(rand.NewPCG(seed, uint64(h.n)))}
	c.Furnace, c.Coil, c.Pot = yardFurnace.name, coils[d.yard.coil].name, pots[d.yard.pot].name
	c.Warm, c.Mishap, c.heelIn = warm, h.mishap, d.yard.heel
	c.Rise = coils[d.yard.coil].rise * d.yard.coilHours
	c.plug = h.mishap == TypedKWh
	return c
}

// wear counts what the melt did to the furnace, and puts its ingots on the shelf.
func (d *run) wear(c *course) {
	y := &d.yard
	y.coilHours, y.coilHeats, y.potHeats, y.heel = y.coilHours+c.Hours, y.coilHeats+1, y.potHeats+1, c.heelOut
	y.sinceRead, y.sincePot = y.sinceRead+1, y.sincePot+1
	d.probed++
	d.melts = append(d.melts, &c.Melt)
}

// charge weighs out what a melt is made of and says when each part goes in:
// the first before the power is on, the others into hot metal.
func (d *run) charge(c *course, furnace string, most float64) {
	var least, usual float64
	for _, metal := range c.heat.mix {
		least += Scrap[metal].least / float64(len(c.heat.mix))
		usual += Scrap[metal].most / float64(len(c.heat.mix))
	}
	total := min(least+(usual-least)*c.r.Float64(), most)
	if furnace == benchFurnace.name {
		total = 0.42 + 0.22*c.r.Float64()
	}
	share := 1.0
	if len(c.heat.mix) == 2 {
		share = 0.45 + 0.25*c.r.Float64() // the first is the larger part
	}
	for i, metal := range c.heat.mix {
		kg := total * share
		if i > 0 {
			kg = total * (1 - share)
		}
		d.portions(c, metal, kg)
	}
	at := c.start + minutes(4+3*c.r.Float64())
	for i := range c.charges {
		c.charges[i].hot = i > 0 && !(i == 1 && len(c.charges) > 3)
		if !c.charges[i].hot {
			c.charges[i].at = at
			at += minutes(1.5 + c.r.Float64())
		}
	}
}

// portions takes metal out of the bins or off the shelf, in as many goes as is
// usual for it.
func (d *run) portions(c *course, metal int, kg float64) {
	if metal == Ingots {
		d.fromShelf(c, kg)
		return
	}
	n := Scrap[metal].lines
	if len(c.heat.mix) > 1 || c.Furnace == benchFurnace.name {
		n = max(1, n-1)
	}
	for i := range n {
		part := kg / float64(n-i)
		if i < n-1 {
			part *= 0.88 + 0.24*c.r.Float64()
		}
		kg -= part
		bin := d.bin(metal, part, c.start)
		if bin.left-part < 0.25 {
			part = min(bin.left, part*1.1)
		}
		bin.left -= part
		c.charges = append(c.charges, charge{metal: metal, lot: bin.key, kg: part})
	}
}

// bin finds the oldest delivery with enough in it, or has one come the day
// before.
func (d *run) bin(metal int, kg float64, before quantity.Moment) *bin {
	for _, b := range d.bins[metal] {
		if b.left >= kg {
			return b
		}
	}
	b := d.deliver(metal, before)
	d.bins[metal] = append(d.bins[metal], b)
	return b
}

// fromShelf takes the oldest ingots that are a week old.
func (d *run) fromShelf(c *course, kg float64) {
	for i := range d.shelf {
		s := &d.shelf[i]
		if kg < 0.05 || s.left < 0.3 || s.at > c.start-minutes(7*24*60) {
			continue
		}
		part := min(s.left, kg)
		s.left, kg = s.left-part, kg-part
		c.charges = append(c.charges, charge{metal: Ingots, pour: s.pour, kg: part})
	}
}
