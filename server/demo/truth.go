package demo

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

// seed makes the demo shop the same each time. Of the seeds that were tried
// it is one with ordinary luck: no scrap's melts lie far from its truth.
const seed = 20_241_073

// The demo's scrap, as places in Scrap and keys of Melt.Charged.
const (
	Rims = iota
	Cranks
	Frames
	Brakes
	Cans
	Swarf
	Sprues
	Offcuts
	Ingots // of the shop's own pours; no source of its own
)

// Metal is a kind of scrap with what is true of it: shares are kg per kg
// charged, from 0 to 1.
type Metal struct {
	scrap.Source
	Yield   float64 // metal per kg charged, steel taken off: the mean of many melts
	Scatter float64 // standard deviation of the yield from melt to melt
	Dross   float64 // kg per kg charged, the mean
	least   float64 // kg of it in a melt of nothing else
	most    float64
	lines   int     // in how many goes that is charged
	lot     float64 // kg ready to charge in a usual delivery
	steel   float64 // kg per kg ready, taken off a delivery
	plastic float64
	missed  float64 // kg of steel per kg charged that nobody had seen, in half the melts
}

// Scrap is what the demo melts, by Rims, Cranks and so on. It is not to be
// changed.
var Scrap = [...]Metal{
	Rims: {scrap.Source{Name: "Anodised rims", Form: scrap.Profile, Coating: "anodised", Alloy: "6061", Sure: "likely",
		Paid: new(quantity.Price(0)), Fetches: new(quantity.Price(700_000)), Hazards: scrap.Hazards{Hollow: true},
		Note: "Spokes, nipples and tape out first. Cut across the hollow chambers so that they stand open."},
		0.918, 0.008, 0.066, 1.8, 2.35, 3, 11, 0.09, 0.02, 0},
	Cranks: {scrap.Source{Name: "Crank arms and stems", Form: scrap.Other, Coating: "bare", Alloy: "6082", Sure: "likely",
		Paid: new(quantity.Price(0)), Fetches: new(quantity.Price(800_000)),
		Note: "Forged. Bolts and pedal inserts drilled out where they will come."},
		0.945, 0.006, 0.053, 1.7, 2.4, 2, 9, 0.12, 0, 0.012},
	Frames: {scrap.Source{Name: "Frames, painted", Form: scrap.Profile, Coating: "painted", Sure: "unknown",
		Paid: new(quantity.Price(0)), Fetches: new(quantity.Price(550_000)), Hazards: scrap.Hazards{Hollow: true},
		Note: "Cut open on both ends. Headset cups, bottom brackets and decals off; most of the paint stripped."},
		0.885, 0.012, 0.083, 1.6, 2.2, 3, 10, 0.10, 0.03, 0.004},
	Brakes: {scrap.Source{Name: "Brake castings", Form: scrap.Casting, Coating: "mixed", Alloy: "A380.0", Sure: "likely",
		Paid: new(quantity.Price(0)), Fetches: new(quantity.Price(500_000)), Hazards: scrap.Hazards{Magnesium: true, ZincLead: true},
		Note: "Springs, bolts and pads out. Light grey levers are put aside: they may be magnesium. Heavy ones are zinc."},
		0.935, 0.010, 0.060, 1.5, 2.3, 2, 7, 0.25, 0.06, 0.015},
	Cans: {scrap.Source{Name: "Drink cans from the café", Form: scrap.Can, Coating: "lacquered", Alloy: "3104", Sure: "likely",
		Paid: new(quantity.Price(0)), Fetches: new(quantity.Price(650_000)), Hazards: scrap.Hazards{Hollow: true, Wet: true},
		Note: "Rinsed, cut open, dried for a week indoors, then pressed loosely."},
		0.775, 0.022, 0.200, 0.9, 1.4, 3, 5, 0, 0.01, 0},
	Swarf: {scrap.Source{Name: "Lathe swarf, oily", Form: scrap.Swarf, Coating: "oily", Alloy: "6082", Sure: "likely",
		Paid: new(quantity.Price(0)), Fetches: new(quantity.Price(300_000)), Hazards: scrap.Hazards{Wet: true},
		Note: "Drained for a week and dried on the heater shelf. Only dry swarf is charged."},
		0.740, 0.030, 0.215, 0.8, 1.2, 2, 3, 0.02, 0, 0},
	Sprues: {scrap.Source{Name: "Own sprues and rejects", Form: scrap.Returns, Coating: "bare",
		Paid: new(quantity.Price(0)), Fetches: new(quantity.Price(750_000)),
		Note: "Sprues, risers and castings that did not fill."},
		0.982, 0.004, 0.019, 1.6, 2.4, 2, 4, 0, 0, 0},
	Offcuts: {scrap.Source{Name: "Window frame offcuts", Form: scrap.Profile, Coating: "bare", Alloy: "6063", Sure: "sure",
		Paid: new(quantity.Price(1_100_000)), Fetches: new(quantity.Price(1_000_000)),
		Note: "Bought by the box; the alloy is printed on the profile."},
		0.968, 0.006, 0.031, 1.9, 2.4, 2, 8, 0, 0, 0},
	Ingots: {scrap.Source{Name: "own ingots"}, 0.988, 0.003, 0.011, 1.6, 2.3, 2, 0, 0, 0, 0},
}

// furnace is a furnace with what is true of it: it takes
// start + perKg·m + walls·hours, in kWh, for m kg and so many hours of power.
type furnace struct {
	name, letter string
	power        quantity.Power
	cold, warm   float64 // kWh to start from cold, and from still hot
	perKg        float64 // kWh
	walls        float64 // kW
	scatter      float64 // kWh, standard deviation from melt to melt
}

var (
	yardFurnace  = furnace{"Yard furnace", "A", 2000 * quantity.Watt, 1.10, 0.25, 0.38, 0.70, 0.04}
	benchFurnace = furnace{"Bench furnace", "B", 900 * quantity.Watt, 0.34, 0.10, 0.38, 0.30, 0.015}
)

const (
	supplyVolts   = 231.0 // V, the mean of the supply
	supplyScatter = 1.8
	hotOhms       = 1.04 // ohms hot over ohms cold
	pourAt        = 722.0
	pourScatter   = 8.0
	probeDrift    = -0.09 // °C a melt that the first thermocouple reads too low
)

// pot is a crucible with what is true of it.
type pot struct {
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

var pots = [...]pot{
	{"C1", heat.ClayGraphite, 1380 * quantity.Millilitre, 1240 * quantity.Gram, 12 * quantity.Millimetre, 4800, 50, 41, 2.1, "Hairline crack from the rim down, dull when tapped. Worn out."},
	{"C2", heat.ClayGraphite, 1380 * quantity.Millilitre, 1260 * quantity.Gram, 12 * quantity.Millimetre, 4800, 50, 36, 2.9, "Skin flaking outside, wall thin at the metal line. Worn out."},
	{"C3", heat.SiliconCarbide, 1380 * quantity.Millilitre, 1480 * quantity.Gram, 11 * quantity.Millimetre, 7400, 60, 45, 1.4, "Crack at the foot, found at the inspection before lighting up. Worn out."},
	{"C4", heat.ClayGraphite, 1380 * quantity.Millilitre, 1245 * quantity.Gram, 12 * quantity.Millimetre, 5200, 45, 0, 2.3, ""},
}

// coil is an element set with what is true of it.
type coil struct {
	name  string
	ohms  float64 // Ω new and cold
	rise  float64 // share of them that is added by each hour of power
	heats int     // after which it is replaced; 0 while it serves
	why   string
}

var coils = [...]coil{
	{"E1", 26.5, 0.00185, 32, "Burnt through at the lead-out. Worn out."},
	{"E2", 26.3, 0.00210, 29, "Open circuit when switched on for the next melt, brittle all along. Worn out."},
	{"E3", 26.6, 0.00235, 24, "Sagged out of its groove and burnt through. Worn out."},
	{"E4", 26.4, 0.00190, 30, "Over the limit of ohms that the shop has set itself, and slow. Worn out."},
	{"E5", 26.5, 0.00215, 0, ""},
}

// Mishap is something that goes wrong in a log, as it does in real ones. A melt
// that went well has the empty one.
type Mishap string

// The mishaps.
const (
	Tenfold    Mishap = "dross typed ten times too heavy, struck and written again"
	NoDross    Mishap = "dross never weighed"
	FromPaper  Mishap = "copied in from paper a week later"
	NoIngots   Mishap = "closed without the ingots weighed"
	AsFound    Mishap = "charge weighed as found"
	Spilled    Mishap = "a spill, picked up and weighed"
	WrongBin   Mishap = "charge written under the wrong source, then put right"
	Reopened   Mishap = "reopened to add the dross"
	VoidBefore Mishap = "breaker tripped: a code made void before this melt"
	Unnamed    Mishap = "a time mark that nobody named"
	Mistyped   Mishap = "a charge typed 300 g too heavy, never noticed"
	Misread    Mishap = "meter misread, struck and written again"
	StillOn    Mishap = "isolation never written"
	NoMeter    Mishap = "meter not read at the end"
	TypedKWh   Mishap = "energy typed from a plug meter"
	ForgetAll  Mishap = "first liquid and all molten never written"
)

// mishaps are the mishaps of the yard furnace, by the number of the melt
// among those that melted something.
var mishaps = map[int]Mishap{
	9: Tenfold, 17: NoDross, 23: FromPaper, 27: NoMeter, 31: NoIngots, 38: AsFound, 44: Spilled,
	48: NoDross, 52: WrongBin, 58: Reopened, 63: VoidBefore, 71: ForgetAll, 77: NoDross, 83: TypedKWh,
	88: Mistyped, 95: Misread, 101: NoDross, 106: NoMeter, 110: StillOn, 118: Tenfold, 126: ForgetAll,
	130: NoDross, 138: Unnamed, 140: NoIngots,
}

// Melt is the truth of one closed melt, in kg, kWh and hours.
type Melt struct {
	Code      melt.Code
	Furnace   string
	Coil      string
	Pot       string
	Warm      bool
	Charged   map[int]float64 // by place in Scrap, as it lay on the scale
	Steel     float64         // of which this was steel, taken out again
	Foreign   float64         // of which this was plastic and dirt, burnt off
	Recovered float64
	Dross     float64
	Energy    float64
	Hours     float64 // with power on
	Rise      float64 // share by which the element's ohms had risen before it
	Mishap    Mishap
	Slip      float64 // by how much the charge was typed too heavy and left so
}

// Total is the true mass of all that was charged, in kg.
func (m *Melt) Total() (sum float64) {
	for _, metal := range sortedKeys(m.Charged) {
		sum += m.Charged[metal]
	}
	return sum
}
