// Package quantity holds the measures that a melt is made of, as exact
// integers with types of their own, so that a kilogram can never be added to a
// kilowatt-hour and a sum never drifts. It knows units and how people write
// numbers; it knows nothing of melts.
package quantity

import "time"

// Mass is a mass in milligrams.
type Mass int64

// Masses that other masses are built from. The pound is exactly
// 0.45359237 kg (international yard and pound agreement, 1959).
const (
	Milligram Mass = 1
	Gram      Mass = 1_000
	Kilogram  Mass = 1_000_000
)

// Kilograms gives the mass in kilograms.
func (m Mass) Kilograms() float64 { return float64(m) / float64(Kilogram) }

// Energy is an energy in joules.
type Energy int64

// KilowattHour is exactly 3.6 MJ (SI).
const KilowattHour Energy = 3_600_000

// KilowattHours gives the energy in kilowatt-hours.
func (e Energy) KilowattHours() float64 { return float64(e) / float64(KilowattHour) }

// Money is an amount in the minor units of the shop's currency (cents, pence).
type Money int64

// Price is a price per kilogram, per kilowatt-hour or per piece, in millionths
// of the currency's unit: 0.2573 per kWh is 257300. Tariffs have more decimals
// than coins do.
type Price int64

// PriceUnit is a price of one whole unit of the currency.
const PriceUnit Price = 1_000_000

// Units gives the price in whole units of the currency.
func (p Price) Units() float64 { return float64(p) / float64(PriceUnit) }

// Moment is a point in time: milliseconds since 1970-01-01 00:00 UTC.
type Moment int64

// At turns a time into a moment; what is finer than a millisecond is dropped.
func At(t time.Time) Moment { return Moment(t.UnixMilli()) }

// Time gives the moment as a time in UTC.
func (m Moment) Time() time.Time { return time.UnixMilli(int64(m)).UTC() }

// Span is a length of time in milliseconds.
type Span int64

// Spans that other spans are built from.
const (
	Second Span = 1_000
	Minute Span = 60 * Second
	Hour   Span = 60 * Minute
)

// Hours gives the span in hours.
func (s Span) Hours() float64 { return float64(s) / float64(Hour) }

// Since is the span from an earlier moment to this one.
func (m Moment) Since(earlier Moment) Span { return Span(m - earlier) }

// Temperature is a temperature in hundredths of a degree Celsius.
type Temperature int64

// Celsius is one degree Celsius.
const Celsius Temperature = 100

// Celsius gives the temperature in degrees Celsius.
func (t Temperature) Celsius() float64 { return float64(t) / float64(Celsius) }

// Resistance is an electrical resistance in milliohms.
type Resistance int64

// Ohm is one ohm.
const Ohm Resistance = 1_000

// Ohms gives the resistance in ohms.
func (r Resistance) Ohms() float64 { return float64(r) / float64(Ohm) }

// Voltage is a voltage in millivolts.
type Voltage int64

// Volt is one volt.
const Volt Voltage = 1_000

// Volts gives the voltage in volts.
func (v Voltage) Volts() float64 { return float64(v) / float64(Volt) }

// Current is an electric current in milliamperes.
type Current int64

// Ampere is one ampere.
const Ampere Current = 1_000

// Amperes gives the current in amperes.
func (c Current) Amperes() float64 { return float64(c) / float64(Ampere) }

// Power is a power in milliwatts.
type Power int64

// Watt is one watt.
const Watt Power = 1_000

// Watts gives the power in watts.
func (p Power) Watts() float64 { return float64(p) / float64(Watt) }

// Length is a length in micrometres.
type Length int64

// Lengths that other lengths are built from.
const (
	Micrometre Length = 1
	Millimetre Length = 1_000
	Metre      Length = 1_000_000
)

// Metres gives the length in metres.
func (l Length) Metres() float64 { return float64(l) / float64(Metre) }

// Volume is a volume in cubic millimetres (microlitres).
type Volume int64

// Volumes that other volumes are built from.
const (
	Millilitre Volume = 1_000
	Litre      Volume = 1_000_000
)

// Litres gives the volume in litres.
func (v Volume) Litres() float64 { return float64(v) / float64(Litre) }
