package quantity

import "strings"

// reading is what a reader of typed quantities needs to know: what it is
// called, an example for the sentence, and the units it may be given in.
type reading struct {
	noun    string // with its article: "a mass"
	example string // with a decimal point
	units   []unit
}

var (
	masses       = reading{"a mass", "1.842", []unit{kilogram, gram, milligram, tonne, pound, ounce}}
	energies     = reading{"an energy", "11.6", []unit{kilowattHour, wattHour, megajoule}}
	temperatures = reading{"a temperature", "694.5", []unit{celsius, fahrenheit, kelvin}}
	resistances  = reading{"a resistance", "28.8", []unit{ohm, milliohm, kiloohm}}
	voltages     = reading{"a voltage", "231.5", []unit{volt, millivolt}}
	currents     = reading{"a current", "8.05", []unit{ampere, milliampere}}
	powers       = reading{"a power", "1850.5", []unit{watt, kilowatt}}
	lengths      = reading{"a length", "1.25", []unit{millimetre, centimetre, metre, inch}}
	volumes      = reading{"a volume", "1.85", []unit{litre, millilitre}}
	numbers      = reading{"a number", "12.5", nil}
)

// ReadMass reads a typed mass. A bare number is in the shop's unit; kg, g, mg,
// t, lb and oz after it say otherwise. What is finer than a milligram is
// rounded half away from zero. Errors are of type [*Refusal].
func (s Style) ReadMass(text string) (Mass, error) {
	n, err := masses.read(text, s.massUnit())
	return Mass(n), err
}

// ReadEnergy reads a typed energy, kWh unless Wh or MJ is said.
func (s Style) ReadEnergy(text string) (Energy, error) {
	n, err := energies.read(text, kilowattHour)
	return Energy(n), err
}

// absoluteZero is −273.15 °C.
const absoluteZero Temperature = -27_315

// ReadTemperature reads a typed temperature in the shop's unit, or in °C, °F
// or K when that is said. Nothing is colder than −273.15 °C.
func (s Style) ReadTemperature(text string) (Temperature, error) {
	n, err := temperatures.read(text, s.temperatureUnit())
	if err == nil && Temperature(n) < absoluteZero {
		return 0, refuse(text, "{} is below absolute zero. Check the reading and its unit, and type it again.")
	}
	return Temperature(n), err
}

// ReadResistance reads a typed resistance, ohms unless mΩ or kΩ is said; it
// is not negative.
func (s Style) ReadResistance(text string) (Resistance, error) {
	n, err := resistances.readPositive(text, ohm)
	return Resistance(n), err
}

// ReadVoltage reads a typed voltage, volts unless mV is said.
func (s Style) ReadVoltage(text string) (Voltage, error) {
	n, err := voltages.read(text, volt)
	return Voltage(n), err
}

// ReadCurrent reads a typed current, amperes unless mA is said.
func (s Style) ReadCurrent(text string) (Current, error) {
	n, err := currents.read(text, ampere)
	return Current(n), err
}

// ReadPower reads a typed power, watts unless kW is said.
func (s Style) ReadPower(text string) (Power, error) {
	n, err := powers.read(text, watt)
	return Power(n), err
}

// ReadLength reads a typed length, millimetres unless cm, m or in is said; it
// is not negative.
func (s Style) ReadLength(text string) (Length, error) {
	n, err := lengths.readPositive(text, millimetre)
	return Length(n), err
}

// ReadVolume reads a typed volume, litres unless ml or cm³ is said; it is not
// negative.
func (s Style) ReadVolume(text string) (Volume, error) {
	n, err := volumes.readPositive(text, litre)
	return Volume(n), err
}

// perMillion reads a percentage as parts per million.
var perMillion = unit{"%", []string{"%"}, 10_000, 1, 0, 4}

// ReadPercent reads a typed percentage, with or without its sign, as parts
// per million: "93.4" is 934000.
func (s Style) ReadPercent(text string) (int64, error) {
	return reading{"a percentage", "93.4", []unit{perMillion}}.read(text, perMillion)
}

// ReadNumber reads a typed number without unit as an integer that counts
// 10^-decimals: "12.5" with 2 decimals is 1250. Decimals are 0 to 6.
func (s Style) ReadNumber(text string, decimals int) (int64, error) {
	return numbers.read(text, bare(decimals))
}

// bare is a number without a unit.
func bare(decimals int) unit {
	return unit{"", nil, power10(decimals).Int64(), 1, 0, decimals}
}

// ReadCount reads a typed whole number, zero or more. A single comma or point
// is refused even where it might group thousands: nobody can tell.
func (s Style) ReadCount(text string) (int64, error) {
	const advice = "{} is not a whole number. Type a count like 12, without a comma or a point."
	n, f := parseDecimal(text)
	switch {
	case strings.TrimSpace(text) == "":
		return 0, refuse(text, "No count was typed. Type a whole number like 12.")
	case f == tooManyDigits:
		return 0, refuse(text, tooLong)
	case f != fine || n.scale > 0:
		return 0, refuse(text, advice)
	}
	count, _ := bare(0).from(n)
	if count < 0 {
		return 0, refuse(text, "{} is below zero. A count is 0 or more: type it like 12.")
	}
	return count, nil
}

const tooLong = "{} has more than 12 digits before the decimal mark. Check it and type it again."

func (r reading) readPositive(text string, usual unit) (int64, error) {
	n, err := r.read(text, usual)
	if err == nil && n < 0 {
		return 0, refuse(text, "{} is below zero, and "+r.noun+" is not. Type it like "+r.like()+".")
	}
	return n, err
}

// read turns typed text into the integer kept, in the usual unit unless the
// text names another of the reading's.
func (r reading) read(text string, usual unit) (int64, error) {
	if strings.TrimSpace(text) == "" {
		noun := strings.TrimPrefix(strings.TrimPrefix(r.noun, "an "), "a ")
		return 0, refuse(text, "No "+noun+" was typed. Type it like "+r.like()+".")
	}
	number, name := splitUnit(text)
	n, f := parseDecimal(number)
	if f == tooManyDigits {
		return 0, refuse(text, tooLong)
	}
	if f != fine {
		return 0, refuse(text, "{} is not a number. Type it like "+r.like()+".")
	}
	u, ok := r.unitNamed(name, usual)
	if !ok {
		return 0, refuse(text, r.wrongUnit(usual))
	}
	kept, ok := u.from(n)
	if !ok || len(strings.TrimPrefix(usual.fixed(kept, 0), "-")) > mostInteger {
		return 0, refuse(text, "{} is too large to be "+r.noun+" here. Check it and its unit, and type it again.")
	}
	return kept, nil
}

// like gives the example with either mark.
func (r reading) like() string {
	if comma := strings.Replace(r.example, ".", ",", 1); comma != r.example {
		return r.example + " or " + comma
	}
	return r.example
}

func (r reading) wrongUnit(usual unit) string {
	if len(r.units) == 0 {
		return "{} has something after the number. Type the number alone, like " + r.like() + "."
	}
	var symbols []string
	for _, u := range r.units {
		symbols = append(symbols, u.symbol)
	}
	return "{} ends in a unit that is not read here. Use " + strings.Join(symbols, ", ") +
		", or no unit for " + usual.symbol + "."
}

// unitNamed looks the usual unit up first, so that a bare degree sign means
// the shop's own degrees.
func (r reading) unitNamed(name string, usual unit) (unit, bool) {
	if name == "" || usual.named(name) {
		return usual, true
	}
	for _, u := range r.units {
		if u.named(name) {
			return u, true
		}
	}
	return unit{}, false
}

// splitUnit parts a number from the unit written after it.
func splitUnit(text string) (number, name string) {
	text = strings.TrimSpace(text)
	if rest, ok := strings.CutSuffix(text, "cm3"); ok {
		text = rest + "cm³" // its 3 is not part of the number
	}
	end := strings.LastIndexAny(text, "0123456789.,") + 1
	name = strings.ReplaceAll(strings.TrimSpace(text[end:]), " ", "")
	return text[:end], name
}
