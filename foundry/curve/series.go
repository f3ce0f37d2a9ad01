// Package curve makes sense of what loggers and plug meters read during a melt:
// which readings to doubt, how much energy flowed, how fast it got hot, where
// the metal stood still while it melted or froze. It does no I/O and changes no
// reading.
package curve

import (
	"math"

	"drosswise/foundry/quantity"
)

// Channel is the quantity that a series is of.
type Channel string

// The channels. Each has its values in the unit of its quantity in package
// quantity: hundredths of a degree, milliwatts, joules, millivolts and
// milliamperes.
const (
	Temperature Channel = "temperature"
	Power       Channel = "power"
	Energy      Channel = "energy" // a counter that only rises, but for resets
	Voltage     Channel = "voltage"
	Current     Channel = "current"
)

// Channels lists them in the order in which they are shown.
var Channels = []Channel{Temperature, Power, Energy, Voltage, Current}

// unit is how a unit of SenML becomes the integers of a channel.
type unit struct {
	channel Channel
	scale   float64
	zero    float64 // added before scaling
}

// units are those of the SenML registry that readings of a melt can be in
// (RFC 8428, 2018, 12.1), and the secondary units of RFC 8798 (2020), table 1.
// Zero degrees Celsius is 273.15 K (SI Brochure, 9th edition, 2019).
var units = map[string]unit{
	"Cel": {Temperature, 100, 0},
	"K":   {Temperature, 100, -273.15},
	"W":   {Power, 1e3, 0},
	"kW":  {Power, 1e6, 0},
	"J":   {Energy, 1, 0},
	"kWh": {Energy, 3.6e6, 0},
	"Wh":  {Energy, 3.6e3, 0},
	"V":   {Voltage, 1e3, 0},
	"mV":  {Voltage, 1, 0},
	"A":   {Current, 1e3, 0},
	"mA":  {Current, 1, 0},
}

// Units are the units that are known, in the order in which they are told.
var Units = []string{"Cel", "K", "W", "kW", "J", "Wh", "kWh", "V", "mV", "A", "mA"}

// bounds are what a reading can be at most: beyond is a fault of the sensor or
// a slip of the unit that no furnace explains. Common practice, no source.
var bounds = map[Channel][2]int64{
	Temperature: {-100_00, 3000_00},
	Power:       {-1_000_000_000, 1_000_000_000}, // 1 MW
	Energy:      {-1, 3_600_000 * 1_000_000_000}, // a billion kWh
	Voltage:     {-100_000_000, 100_000_000},     // 100 kV
	Current:     {-100_000_000, 100_000_000},     // 100 kA
}

// Read turns a value with its SenML unit into a channel's integer. known is
// false for a unit that is no reading of a melt, fits for a value that cannot be.
func Read(symbol string, value float64) (c Channel, x int64, known, fits bool) {
	u, known := units[symbol]
	if !known {
		return "", 0, false, false
	}
	scaled := math.Round((value + u.zero) * u.scale)
	b := bounds[u.channel]
	if !(scaled >= float64(b[0]) && scaled <= float64(b[1])) {
		return u.channel, 0, true, false
	}
	return u.channel, int64(scaled), true, true
}

// Bounds are the least and the most that a reading of the channel can be.
func (c Channel) Bounds() (least, most int64) { return bounds[c][0], bounds[c][1] }

// plain is the unit in which a channel is told to programs.
var plain = map[Channel]string{Temperature: "Cel", Power: "W", Energy: "J", Voltage: "V", Current: "A"}

// Unit is the channel's unit in SenML for values of Plain.
func (c Channel) Unit() string { return plain[c] }

// Plain is a value of the channel in its Unit.
func (c Channel) Plain(x int64) float64 { return float64(x) / units[plain[c]].scale }

// Sample is one reading.
type Sample struct {
	At    quantity.Moment
	Value int64 // in the channel's unit
}

// Series are the readings of one quantity by one sensor.
type Series struct {
	Channel Channel
	Name    string // of the sensor, as it calls itself
	Samples []Sample
}
