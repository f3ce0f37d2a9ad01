package quantity

import "time"

// MassUnit is the unit in which a shop speaks of mass.
type MassUnit int

// The units of mass a shop may choose.
const (
	Kilo MassUnit = iota
	Grams
	Pounds
)

// Style is how one shop writes and types its numbers. The zero value is
// usable: decimal point, kilograms, degrees Celsius, no currency code, UTC.
type Style struct {
	Comma      bool           // the decimal mark shown is a comma
	MassUnit   MassUnit       // unit of masses shown, and of masses typed bare
	Fahrenheit bool           // temperatures are shown and typed bare in °F
	Currency   string         // ISO 4217 code, such as "GBP"; empty for none
	Zone       *time.Location // the shop's local time; nil for UTC
}

// MassSymbol is the symbol of the shop's unit of mass: kg, g or lb.
func (s Style) MassSymbol() string { return s.massUnit().symbol }

// TemperatureSymbol is the symbol of the shop's unit of temperature.
func (s Style) TemperatureSymbol() string { return s.temperatureUnit().symbol }

func (s Style) massUnit() unit {
	switch s.MassUnit {
	case Grams:
		return gram
	case Pounds:
		return pound
	default:
		return kilogram
	}
}

func (s Style) temperatureUnit() unit {
	if s.Fahrenheit {
		return fahrenheit
	}
	return celsius
}

func (s Style) zone() *time.Location {
	if s.Zone == nil {
		return time.UTC
	}
	return s.Zone
}

// in gives the moment on the shop's clock.
func (s Style) in(m Moment) time.Time { return m.Time().In(s.zone()) }
