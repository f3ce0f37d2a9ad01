package quantity

import (
	"math/big"
	"strings"
)

// unit is one way to write a quantity: one unit is num/den of the integer
// that the quantity is kept in, counted from zero hundredths of the unit
// (only temperature scales start elsewhere).
type unit struct {
	symbol   string
	names    []string // what may stand after a typed number
	num, den int64
	zero     int64
	decimals int // enough to write every kept value so that it reads back
}

// Conversion factors are exact by definition. Pound: 0.453 592 37 kg; ounce:
// a sixteenth of it; inch: 25.4 mm; t/°C = (t/°F − 32)/1.8 and
// T/K = t/°C + 273.15 (NIST SP 811, 2008, appendix B.8 and its footnotes).
var (
	kilogram  = unit{"kg", []string{"kg", "Kg", "KG"}, 1_000_000, 1, 0, 6}
	gram      = unit{"g", []string{"g", "G"}, 1_000, 1, 0, 3}
	milligram = unit{"mg", []string{"mg"}, 1, 1, 0, 0}
	tonne     = unit{"t", []string{"t"}, 1_000_000_000, 1, 0, 9}
	pound     = unit{"lb", []string{"lb", "Lb", "LB", "lbs", "Lbs", "LBS"}, 45_359_237, 100, 0, 6}
	ounce     = unit{"oz", []string{"oz", "Oz", "OZ"}, 45_359_237, 1_600, 0, 5}

	kilowattHour = unit{"kWh", []string{"kWh", "kwh", "KWh", "KWH", "Kwh"}, 3_600_000, 1, 0, 7}
	wattHour     = unit{"Wh", []string{"Wh", "wh", "WH"}, 3_600, 1, 0, 4}
	megajoule    = unit{"MJ", []string{"MJ"}, 1_000_000, 1, 0, 6}

	celsius    = unit{"°C", []string{"°C", "C", "°c", "c", "ºC", "℃", "°"}, 100, 1, 0, 2}
	fahrenheit = unit{"°F", []string{"°F", "F", "°f", "f", "ºF", "℉", "°"}, 500, 9, 3_200, 2}
	kelvin     = unit{"K", []string{"K"}, 100, 1, 27_315, 2}

	ohm      = unit{"Ω", []string{"Ω", "\u2126", "ohm", "Ohm", "ohms", "Ohms"}, 1_000, 1, 0, 3}
	milliohm = unit{"mΩ", []string{"mΩ", "m\u2126", "mohm"}, 1, 1, 0, 0}
	kiloohm  = unit{"kΩ", []string{"kΩ", "k\u2126", "kohm"}, 1_000_000, 1, 0, 6}

	volt      = unit{"V", []string{"V", "v"}, 1_000, 1, 0, 3}
	millivolt = unit{"mV", []string{"mV"}, 1, 1, 0, 0}

	ampere      = unit{"A", []string{"A", "a"}, 1_000, 1, 0, 3}
	milliampere = unit{"mA", []string{"mA"}, 1, 1, 0, 0}

	watt     = unit{"W", []string{"W", "w"}, 1_000, 1, 0, 3}
	kilowatt = unit{"kW", []string{"kW", "kw", "KW", "Kw"}, 1_000_000, 1, 0, 6}

	millimetre = unit{"mm", []string{"mm", "Mm", "MM"}, 1_000, 1, 0, 3}
	centimetre = unit{"cm", []string{"cm", "Cm", "CM"}, 10_000, 1, 0, 4}
	metre      = unit{"m", []string{"m", "M"}, 1_000_000, 1, 0, 6}
	inch       = unit{"in", []string{"in", "In", "IN", "\"", "″"}, 25_400, 1, 0, 5}

	litre      = unit{"L", []string{"L", "l"}, 1_000_000, 1, 0, 6}
	millilitre = unit{"ml", []string{"ml", "mL", "Ml", "ML", "cm³", "cc"}, 1_000, 1, 0, 3}
)

// named says whether the unit may be written so.
func (u unit) named(name string) bool {
	for _, n := range u.names {
		if n == name {
			return true
		}
	}
	return false
}

// from turns a typed number of this unit into the integer kept.
func (u unit) from(d decimal) (n int64, ok bool) {
	x := d.rat()
	x.Sub(x, big.NewRat(u.zero, 100))
	x.Mul(x, big.NewRat(u.num, u.den))
	return nearest(x)
}

// of gives the number of these units in a kept integer, for figures that are
// rounded anyway.
func (u unit) of(n float64) float64 {
	return n*float64(u.den)/float64(u.num) + float64(u.zero)/100
}

// fixed writes a kept integer in this unit, rounded half away from zero, with
// that many decimals and a point; a negative number of decimals rounds to
// tens, hundreds and so on. There is no grouping and no "-0".
func (u unit) fixed(n int64, decimals int) string {
	// n·den/num + zero/100, over one denominator.
	top := new(big.Int).Mul(big.NewInt(n), big.NewInt(u.den))
	bottom := big.NewInt(u.num)
	if u.zero != 0 {
		top.Mul(top, big.NewInt(100))
		top.Add(top, new(big.Int).Mul(big.NewInt(u.zero), bottom))
		bottom.Mul(bottom, big.NewInt(100))
	}
	if decimals >= 0 {
		top.Mul(top, power10(decimals))
	} else {
		bottom.Mul(bottom, power10(-decimals))
	}
	return point(divide(top, bottom).String(), decimals)
}

// point puts the decimal point into a whole number that counts units of
// 10^-decimals.
func point(digits string, decimals int) string {
	sign := ""
	if rest, ok := strings.CutPrefix(digits, "-"); ok {
		sign, digits = "-", rest
	}
	switch {
	case decimals < 0 && digits != "0":
		digits += strings.Repeat("0", -decimals)
	case decimals > 0:
		if short := decimals + 1 - len(digits); short > 0 {
			digits = strings.Repeat("0", short) + digits
		}
		digits = digits[:len(digits)-decimals] + "." + digits[len(digits)-decimals:]
	}
	return sign + digits
}

// shortest writes a kept integer with as few decimals as read back to it.
func (u unit) shortest(n int64) string {
	for d := range u.decimals {
		text := u.fixed(n, d)
		if number, f := parseDecimal(text); f == fine {
			if back, ok := u.from(number); ok && back == n {
				return text
			}
		}
	}
	return u.fixed(n, u.decimals)
}
