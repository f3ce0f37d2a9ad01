package demo

import (
	"math"
	"math/rand/v2"
	"time"

	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
)

// probes are the thermocouples, in the order of their service.
var probes = [...]string{"T1", "T2"}

func probeChanged(zone *time.Location) quantity.Moment {
	return quantity.At(time.Date(2026, time.February, 6, 17, 0, 0, 0, zone))
}

// probeAt is the thermocouple in use at a moment.
func probeAt(at quantity.Moment, zone *time.Location) string {
	if at < probeChanged(zone) {
		return probes[0]
	}
	return probes[1]
}

// How many melts pass between two looks at the kit.
const (
	readEvery    = 5
	inspectEvery = 10
)

// careFor changes and looks at what is due, before a session at the yard
// furnace.
func (d *run) careFor(r *rand.Rand, start quantity.Moment, crew int) {
	y, before := &d.yard, start-minutes(22*60)
	if coil := coils[y.coil]; coil.heats > 0 && y.coilHeats >= coil.heats {
		d.kitLine(before-minutes(20), Workshop, coil.name, kit.Line{Kind: kit.Retired, Cause: kit.Worn, Note: coil.why})
		y.coil, y.coilHeats, y.coilHours, y.sinceRead = y.coil+1, 0, 0, 0
		d.fitCoil(r, before)
	}
	if pot := pots[y.pot]; pot.heats > 0 && y.potHeats >= pot.heats {
		d.kitLine(before+minutes(30), Workshop, pot.name, kit.Line{Kind: kit.Retired, Cause: kit.Worn, Cracked: pot.name != "C2", Note: pot.why})
		y.pot, y.potHeats, y.sincePot = y.pot+1, 0, 0
		d.addPot(pots[y.pot], before+minutes(40))
	}
	if y.sinceRead >= readEvery {
		y.sinceRead = 0
		d.readCoil(r, start-minutes(8), crew)
	}
	if y.sincePot >= inspectEvery {
		y.sincePot = 0
		pot := pots[y.pot]
		kg := pot.mass.Kilograms() - pot.lighter/1000*float64(y.potHeats)
		d.kitLine(start-minutes(5), crew, pot.name, kit.Line{Kind: kit.Inspected, Mass: new(kitchenScale.shows(r, kg)), Ring: "clear",
			Note: pick(r, "Rings when tapped. No crack.", "Some dross on the wall, scraped off cold.", "Skin a little rough at the metal line. No crack.", "No crack seen.")})
	}
}

// fitCoil buys and fits the element set that is next, and reads its ohms new.
func (d *run) fitCoil(r *rand.Rand, at quantity.Moment) {
	coil := coils[d.yard.coil]
	d.addKit(at, kit.Item{Kind: kit.Element, Name: coil.name, Wire: "FeCrAl 22Cr-5.8Al", Diameter: new(1600 * quantity.Micrometre), Length: new(36700 * quantity.Millimetre),
		Ohms: new(ohmmeterShows(coil.ohms)), Cost: new(quantity.Money(2600)), ExpectedHeats: new(35)})
	d.kitLine(at+minutes(5), Workshop, coil.name, kit.Line{Kind: kit.Fitted, Note: "Isolated and unplugged. Stretched evenly into the groove."}, yardFurnace.name)
	d.readCoil(r, at+minutes(10), Workshop)
}

// readCoil reads the element's ohms cold, with the furnace unplugged.
func (d *run) readCoil(r *rand.Rand, at quantity.Moment, by int) {
	coil := coils[d.yard.coil]
	ohms := coil.ohms * (1 + coil.rise*d.yard.coilHours) * (1 + 0.0015*r.NormFloat64())
	d.kitLine(at, by, coil.name, kit.Line{Kind: kit.Read, Ohms: new(ohmmeterShows(ohms)), Temp: new(quantity.Temperature(8+r.IntN(12)) * quantity.Celsius), Step: new(quantity.Ohm / 10), Note: "unplugged, cold"})
}

// ohmmeterShows is what the meter shows: tenths of an ohm.
func ohmmeterShows(ohms float64) quantity.Resistance {
	return quantity.Resistance(math.Round(ohms*10)) * quantity.Ohm / 10
}

func (d *run) addPot(p pot, at quantity.Moment) {
	d.addKit(at, kit.Item{Kind: kit.Crucible, Name: p.name, Material: p.material, Brim: new(p.brim), Mass: new(p.mass), Wall: new(p.wall),
		Cost: new(p.cost), ExpectedHeats: new(p.expected), Note: "Tempered as its maker says before the first melt."})
}

func (d *run) addKit(at quantity.Moment, it kit.Item) {
	it.Key = d.key()
	d.step(at, func(w *writer) error { return w.addKit(it) })
}

// kitLine writes a line about a piece of kit; fitted to names a furnace.
func (d *run) kitLine(at quantity.Moment, by int, name string, l kit.Line, fittedTo ...string) {
	l.Key, l.At = d.key(), at
	d.step(at, func(w *writer) error {
		for _, furnace := range fittedTo {
			l.Furnace = w.kit[furnace]
		}
		l.Item = w.kit[name]
		return w.st.AddKitLine(w.ctx, w.people[by], l)
	})
}
