package main

import (
	"drosswise/foundry/heat"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

// What is true behind the demo shop, so that a figure worked out from its
// lines can be held against what made them. Everything here is invented for
// the demo; the yields keep to the ranges that testdata/physics/melt_loss.csv
// gives as practice.

// demoSeed makes the demo shop the same each time. Of the seeds that were tried
// it is one with ordinary luck: no scrap's melts lie far from its truth.
const demoSeed = 20_241_073

// The demo's scrap, as places in demoScrap.
const (
	demoRims = iota
	demoCranks
	demoFrames
	demoBrakes
	demoCans
	demoSwarf
	demoSprues
	demoOffcuts
	demoIngots // of the shop's own pours; no source of its own
)

// demoMetal is a kind of scrap with what is true of it.
type demoMetal struct {
	scrap.Source
	yield   float64 // metal per kg charged, steel taken off: the mean of many melts
	scatter float64 // standard deviation of the yield from melt to melt
	dross   float64 // kg per kg charged, the mean
	least   float64 // kg of it in a melt of nothing else
	most    float64
	lines   int     // in how many goes that is charged
	lot     float64 // kg ready to charge in a usual delivery
	steel   float64 // kg per kg ready, taken off a delivery
	plastic float64
	missed  float64 // kg of steel per kg charged that nobody had seen, in half the melts
}

var demoScrap = [...]demoMetal{
	demoRims: {scrap.Source{Name: "Anodised rims", Form: scrap.Profile, Coating: "anodised", Alloy: "6061", Sure: "likely",
		Paid: new(quantity.Price(0)), Fetches: new(quantity.Price(700_000)), Hazards: scrap.Hazards{Hollow: true},
		Note: "Spokes, nipples and tape out first. Cut across the hollow chambers so that they stand open."},
		0.918, 0.008, 0.066, 1.8, 2.35, 3, 11, 0.09, 0.02, 0},
	demoCranks: {scrap.Source{Name: "Crank arms and stems", Form: scrap.Other, Coating: "bare", Alloy: "6082", Sure: "likely",
		Paid: new(quantity.Price(0)), Fetches: new(quantity.Price(800_000)),
		Note: "Forged. Bolts and pedal inserts drilled out where they will come."},
		0.945, 0.006, 0.053, 1.7, 2.4, 2, 9, 0.12, 0, 0.012},
	demoFrames: {scrap.Source{Name: "Frames, painted", Form: scrap.Profile, Coating: "painted", Sure: "unknown",
		Paid: new(quantity.Price(0)), Fetches: new(quantity.Price(550_000)), Hazards: scrap.Hazards{Hollow: true},
		Note: "Cut open on both ends. Headset cups, bottom brackets and decals off; most of the paint stripped."},
		0.885, 0.012, 0.083, 1.6, 2.2, 3, 10, 0.10, 0.03, 0.004},
	demoBrakes: {scrap.Source{Name: "Brake castings", Form: scrap.Casting, Coating: "mixed", Alloy: "A380.0", Sure: "likely",
		Paid: new(quantity.Price(0)), Fetches: new(quantity.Price(500_000)), Hazards: scrap.Hazards{Magnesium: true, ZincLead: true},
		Note: "Springs, bolts and pads out. Light grey levers are put aside: they may be magnesium. Heavy ones are zinc."},
		0.935, 0.010, 0.060, 1.5, 2.3, 2, 7, 0.25, 0.06, 0.015},
	demoCans: {scrap.Source{Name: "Drink cans from the café", Form: scrap.Can, Coating: "lacquered", Alloy: "3104", Sure: "likely",
		Paid: new(quantity.Price(0)), Fetches: new(quantity.Price(650_000)), Hazards: scrap.Hazards{Hollow: true, Wet: true},
		Note: "Rinsed, cut open, dried for a week indoors, then pressed loosely."},
		0.775, 0.022, 0.200, 0.9, 1.4, 3, 5, 0, 0.01, 0},
	demoSwarf: {scrap.Source{Name: "Lathe swarf, oily", Form: scrap.Swarf, Coating: "oily", Alloy: "6082", Sure: "likely",
		Paid: new(quantity.Price(0)), Fetches: new(quantity.Price(300_000)), Hazards: scrap.Hazards{Wet: true},
		Note: "Drained for a week and dried on the heater shelf. Only dry swarf is charged."},
		0.740, 0.030, 0.215, 0.8, 1.2, 2, 3, 0.02, 0, 0},
	demoSprues: {scrap.Source{Name: "Own sprues and rejects", Form: scrap.Returns, Coating: "bare",
		Paid: new(quantity.Price(0)), Fetches: new(quantity.Price(750_000)),
		Note: "Sprues, risers and castings that did not fill."},
		0.982, 0.004, 0.019, 1.6, 2.4, 2, 4, 0, 0, 0},
	demoOffcuts: {scrap.Source{Name: "Window frame offcuts", Form: scrap.Profile, Coating: "bare", Alloy: "6063", Sure: "sure",
		Paid: new(quantity.Price(1_100_000)), Fetches: new(quantity.Price(1_000_000)),
		Note: "Bought by the box; the alloy is printed on the profile."},
		0.968, 0.006, 0.031, 1.9, 2.4, 2, 8, 0, 0, 0},
	demoIngots: {scrap.Source{Name: "own ingots"}, 0.988, 0.003, 0.011, 1.6, 2.3, 2, 0, 0, 0, 0},
}

// demoFurnace is a furnace with what is true of it: it takes
// start + perKg·m + walls·hours, in kWh, for m kg and so many hours of power.
type demoFurnace struct {
	name, letter string
	power        quantity.Power
	cold, warm   float64 // kWh to start from cold, and from still hot
	perKg        float64 // kWh
	walls        float64 // kW
	scatter      float64 // kWh, standard deviation from melt to melt
}

var (
	demoYard  = demoFurnace{"Yard furnace", "A", 2000 * quantity.Watt, 1.10, 0.25, 0.38, 0.70, 0.04}
	demoBench = demoFurnace{"Bench furnace", "B", 900 * quantity.Watt, 0.34, 0.10, 0.38, 0.30, 0.015}
)

const (
	demoVolts        = 231.0 // V, the mean of the supply
	demoVoltsScatter = 1.8
	demoHotOhms      = 1.04 // ohms hot over ohms cold
	demoPourAt       = 722.0
	demoPourScatter  = 8.0
	demoProbeDrift   = -0.09 // °C a melt that the first thermocouple reads too low
	demoCastYield    = 0.55  // of what is poured into sand moulds, the rest is sprues
)

// demoPot is a crucible with what is true of it.
type demoPot struct {
	name     string
	material heat.Crucible
	brim     quantity.Volume
	mass     quantity.Mass
	wall     quantity.Length
	cost     quantity.Money
	expected int
	heats    int     // after which it is taken out; 0 while it serves
	lighter  float64 // g a heat
	why      string
}

var demoPots = [...]demoPot{
	{"C1", heat.ClayGraphite, 1380 * quantity.Millilitre, 1240 * quantity.Gram, 12 * quantity.Millimetre, 4800, 50, 41, 2.1, "Hairline crack from the rim down, dull when tapped. Worn out."},
	{"C2", heat.ClayGraphite, 1380 * quantity.Millilitre, 1260 * quantity.Gram, 12 * quantity.Millimetre, 4800, 50, 36, 2.9, "Skin flaking outside, wall thin at the metal line. Worn out."},
	{"C3", heat.SiliconCarbide, 1380 * quantity.Millilitre, 1480 * quantity.Gram, 11 * quantity.Millimetre, 7400, 60, 45, 1.4, "Crack at the foot, found at the inspection before lighting up. Worn out."},
	{"C4", heat.ClayGraphite, 1380 * quantity.Millilitre, 1245 * quantity.Gram, 12 * quantity.Millimetre, 5200, 45, 0, 2.3, ""},
}

// demoCoil is an element set with what is true of it.
type demoCoil struct {
	name  string
	ohms  float64 // Ω new and cold
	rise  float64 // share of them that is added by each hour of power
	heats int     // after which it is replaced; 0 while it serves
	why   string
}

var demoCoils = [...]demoCoil{
	{"E1", 26.5, 0.00185, 32, "Burnt through at the lead-out. Worn out."},
	{"E2", 26.3, 0.00210, 29, "Open circuit when switched on for the next melt, brittle all along. Worn out."},
	{"E3", 26.6, 0.00235, 24, "Sagged out of its groove and burnt through. Worn out."},
	{"E4", 26.4, 0.00190, 30, "Over the limit of ohms that the shop has set itself, and slow. Worn out."},
	{"E5", 26.5, 0.00215, 0, ""},
}

// demoMishap is something that goes wrong in a log, as it does in real ones.
type demoMishap string

const (
	demoTenfold   demoMishap = "dross typed ten times too heavy, struck and written again"
	demoNoDross   demoMishap = "dross never weighed"
	demoPaper     demoMishap = "copied in from paper a week later"
	demoNoIngots  demoMishap = "closed without the ingots weighed"
	demoAsFound   demoMishap = "charge weighed as found"
	demoSpilled   demoMishap = "a spill, picked up and weighed"
	demoWrongBin  demoMishap = "charge written under the wrong source, then put right"
	demoReopened  demoMishap = "reopened to add the dross"
	demoVoid      demoMishap = "breaker tripped: a code made void before this melt"
	demoUnnamed   demoMishap = "a time mark that nobody named"
	demoMistyped  demoMishap = "a charge typed 300 g too heavy, never noticed"
	demoMisread   demoMishap = "meter misread, struck and written again"
	demoStillOn   demoMishap = "isolation never written"
	demoNoMeter   demoMishap = "meter not read at the end"
	demoTypedKWh  demoMishap = "energy typed from a plug meter"
	demoForgetAll demoMishap = "first liquid and all molten never written"
)

// demoMishaps are the mishaps of the yard furnace, by the number of the melt
// among those that melted something.
var demoMishaps = map[int]demoMishap{
	9: demoTenfold, 17: demoNoDross, 23: demoPaper, 27: demoNoMeter, 31: demoNoIngots, 38: demoAsFound, 44: demoSpilled,
	48: demoNoDross, 52: demoWrongBin, 58: demoReopened, 63: demoVoid, 71: demoForgetAll, 77: demoNoDross, 83: demoTypedKWh,
	88: demoMistyped, 95: demoMisread, 101: demoNoDross, 106: demoNoMeter, 110: demoStillOn, 118: demoTenfold, 126: demoForgetAll,
	130: demoNoDross, 138: demoUnnamed, 140: demoNoIngots,
}

// demoMelt is the truth of one melt, in kg, kWh and hours.
type demoMelt struct {
	code      melt.Code
	furnace   string
	coil      string
	pot       string
	warm      bool
	charged   map[int]float64 // by scrap, as it lay on the scale
	steel     float64         // of which this was steel, taken out again
	foreign   float64         // of which this was plastic and dirt, burnt off
	recovered float64
	dross     float64
	energy    float64
	hours     float64 // with power on
	rise      float64 // share by which the element's ohms had risen before it
	mishap    demoMishap
	slip      float64 // by how much the charge was typed too heavy and left so
}

// alone says whether nothing but one kind of scrap was charged, and which.
func (m *demoMelt) alone() (metal int, ok bool) {
	all := sortedKeys(m.charged)
	return all[0], len(all) == 1 && all[0] != demoIngots
}

// total is the true mass of all that was charged.
func (m *demoMelt) total() (sum float64) {
	for _, metal := range sortedKeys(m.charged) {
		sum += m.charged[metal]
	}
	return sum
}
