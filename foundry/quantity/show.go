package quantity

import (
	"math"
	"strconv"
	"strings"
)

const (
	minus     = "\u2212" // the minus sign, as wide as a digit
	thousands = "\u202f" // narrow no-break space
	unknown   = "—"      // shown for a figure that is not a number
)

// Mass shows a mass in the shop's unit: kg and lb with three decimals, g whole
// (below 100 g with one decimal if it has any).
func (s Style) Mass(m Mass) string {
	u := s.massUnit()
	switch {
	case s.MassUnit != Grams:
		return s.with(u, u.fixed(int64(m), 3))
	case m > -100*Gram && m < 100*Gram:
		return s.with(u, trim(u.fixed(int64(m), 1), 0))
	default:
		return s.with(u, u.fixed(int64(m), 0))
	}
}

// Energy shows an energy in kWh with two decimals.
func (s Style) Energy(e Energy) string {
	return s.with(kilowattHour, kilowattHour.fixed(int64(e), 2))
}

// Temperature shows a temperature in whole degrees of the shop's unit.
func (s Style) Temperature(t Temperature) string {
	u := s.temperatureUnit()
	return s.with(u, u.fixed(int64(t), 0))
}

// Resistance shows a resistance in ohms to three digits: "28.8 Ω".
func (s Style) Resistance(r Resistance) string {
	return s.with(ohm, ohm.threeDigits(int64(r), 3))
}

// Voltage shows a voltage in volts: to three digits below 10 V, above it with
// one decimal where it has one, for meters read finer than a volt.
func (s Style) Voltage(v Voltage) string {
	if v > -10*Volt && v < 10*Volt {
		return s.with(volt, volt.threeDigits(int64(v), 3))
	}
	return s.with(volt, trim(volt.fixed(int64(v), 1), 0))
}

// Current shows a current in amperes to three digits: "8.05 A".
func (s Style) Current(c Current) string {
	return s.with(ampere, ampere.threeDigits(int64(c), 3))
}

// Power shows a power in watts, from 1000 W on in kilowatts to three digits.
func (s Style) Power(p Power) string {
	if p > -1000*Watt && p < 1000*Watt {
		return s.with(watt, watt.fixed(int64(p), 0))
	}
	return s.with(kilowatt, kilowatt.threeDigits(int64(p), 2))
}

// Length shows a length in millimetres, from one metre on in metres, with as
// many decimals as it has, three at most.
func (s Style) Length(l Length) string {
	if l > -Metre && l < Metre {
		return s.with(millimetre, trim(millimetre.fixed(int64(l), 3), 0))
	}
	return s.with(metre, trim(metre.fixed(int64(l), 3), 0))
}

// Volume shows a volume in litres with two decimals, below one litre in whole
// millilitres.
func (s Style) Volume(v Volume) string {
	if v > -Litre && v < Litre {
		return s.with(millilitre, millilitre.fixed(int64(v), 0))
	}
	return s.with(litre, litre.fixed(int64(v), 2))
}

// Money shows an amount with its currency's code: "8.71 GBP".
func (s Style) Money(m Money) string {
	u := s.money()
	return s.with(u, u.fixed(int64(m), s.Exponent()))
}

// Price shows a price with its currency's code and as many decimals as it
// has, but no fewer than the currency: "0.2573 GBP".
func (s Style) Price(p Price) string {
	u := s.price()
	return s.with(u, trim(u.fixed(int64(p), 6), s.Exponent()))
}

// Percent shows a fraction as a percentage: 0.934 with one decimal is
// "93.4 %".
func (s Style) Percent(fraction float64, decimals int) string {
	text := s.Number(fraction*100, decimals)
	if text == unknown {
		return text
	}
	return text + " %"
}

// Number shows a plain number with that many decimals; what is not finite is
// shown as a dash.
func (s Style) Number(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return unknown
	}
	return s.dress(strconv.FormatFloat(x, 'f', decimals, 64))
}

// threeDigits writes three digits that count, and at most that many decimals.
func (u unit) threeDigits(n int64, most int) string {
	for d := most; d > 0; d-- {
		text := u.fixed(n, d)
		if whole, _, _ := strings.Cut(strings.TrimPrefix(text, "-"), "."); whole == "0" || len(whole)+d <= 3 {
			return text
		}
	}
	return u.fixed(n, 0)
}

// trim takes zeros off the end, down to that many decimals.
func trim(text string, least int) string {
	at := strings.IndexByte(text, '.')
	if at < 0 {
		return text
	}
	for len(text)-at-1 > least && text[len(text)-1] == '0' {
		text = text[:len(text)-1]
	}
	return strings.TrimSuffix(text, ".")
}

// decimals counts the digits after the point.
func decimals(text string) int {
	_, fraction, _ := strings.Cut(text, ".")
	return len(fraction)
}

// atLeast puts zeros at the end, up to that many decimals.
func atLeast(text string, least int) string {
	short := least - decimals(text)
	if short <= 0 {
		return text
	}
	if !strings.Contains(text, ".") {
		text += "."
	}
	return text + strings.Repeat("0", short)
}

// with puts the unit behind a number.
func (s Style) with(u unit, plain string) string {
	if u.symbol == "" {
		return s.dress(plain)
	}
	return s.dress(plain) + " " + u.symbol
}

// dress gives a plain number the shop's decimal mark, a real minus sign and,
// from 10 000 on, groups of three. A rounded zero has no sign.
func (s Style) dress(plain string) string {
	digits, negative := strings.CutPrefix(plain, "-")
	whole, fraction, found := strings.Cut(digits, ".")
	var b strings.Builder
	if negative && strings.Trim(digits, "0.") != "" {
		b.WriteString(minus)
	}
	for i := range whole {
		if i > 0 && len(whole) > 4 && (len(whole)-i)%3 == 0 {
			b.WriteString(thousands)
		}
		b.WriteByte(whole[i])
	}
	if found {
		b.WriteString(s.mark() + fraction)
	}
	return b.String()
}

func (s Style) mark() string {
	if s.Comma {
		return ","
	}
	return "."
}
