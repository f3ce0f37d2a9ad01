package quantity

import "strings"

// The …Input methods fill a form field with what was typed before: in the
// shop's unit and with its decimal mark, no unit, no grouping and no more
// decimals than the reader needs to read the very same value back.

// MassInput fills a field read by ReadMass.
func (s Style) MassInput(m Mass) string { return s.input(s.massUnit(), int64(m)) }

// EnergyInput fills a field read by ReadEnergy.
func (s Style) EnergyInput(e Energy) string { return s.input(kilowattHour, int64(e)) }

// TemperatureInput fills a field read by ReadTemperature.
func (s Style) TemperatureInput(t Temperature) string {
	return s.input(s.temperatureUnit(), int64(t))
}

// ResistanceInput fills a field read by ReadResistance.
func (s Style) ResistanceInput(r Resistance) string { return s.input(ohm, int64(r)) }

// VoltageInput fills a field read by ReadVoltage.
func (s Style) VoltageInput(v Voltage) string { return s.input(volt, int64(v)) }

// CurrentInput fills a field read by ReadCurrent.
func (s Style) CurrentInput(c Current) string { return s.input(ampere, int64(c)) }

// PowerInput fills a field read by ReadPower.
func (s Style) PowerInput(p Power) string { return s.input(watt, int64(p)) }

// LengthInput fills a field read by ReadLength.
func (s Style) LengthInput(l Length) string { return s.input(millimetre, int64(l)) }

// VolumeInput fills a field read by ReadVolume.
func (s Style) VolumeInput(v Volume) string { return s.input(litre, int64(v)) }

// MoneyInput fills a field read by ReadMoney, with all the decimals of the
// currency, as people write amounts.
func (s Style) MoneyInput(m Money) string {
	return s.marked(s.money().fixed(int64(m), s.Exponent()))
}

// PriceInput fills a field read by ReadPrice.
func (s Style) PriceInput(p Price) string {
	return s.marked(trim(s.price().fixed(int64(p), 6), s.Exponent()))
}

// PercentInput fills a field read by ReadPercent, from parts per million.
func (s Style) PercentInput(ppm int64) string { return s.input(perMillion, ppm) }

// NumberInput fills a field read by ReadNumber with the same decimals.
func (s Style) NumberInput(n int64, decimals int) string { return s.input(bare(decimals), n) }

func (s Style) input(u unit, n int64) string { return s.marked(u.shortest(n)) }

func (s Style) marked(plain string) string { return strings.Replace(plain, ".", s.mark(), 1) }
