package quantity

import (
	"math"
	"strconv"
)

// Round shows a value and its standard uncertainty rounded alike, so that no
// digit is shown that the uncertainty does not carry: 93.42 with 0.30 is
// "93.4" and "0.3". The uncertainty keeps one digit, or two where the first is
// a 1 (a third of it would be lost otherwise); never more than the two that
// GUM (JCGM 100:2008) 7.2.6 finds enough. At most `most` decimals are shown;
// an uncertainty finer than that is rounded up, never to nought. Without an
// uncertainty (0 or not a number) the value is shown with up to `most`
// decimals and the uncertainty is "".
func (s Style) Round(value, u float64, most int) (shown, shownU string) {
	if !(u > 0) || math.IsInf(u, 0) || math.IsNaN(value) || math.IsInf(value, 0) {
		if math.IsNaN(value) || math.IsInf(value, 0) {
			return unknown, ""
		}
		return s.dress(trim(strconv.FormatFloat(value, 'f', most, 64), 0)), ""
	}
	first, place := leading(u)
	digits := 1
	if first == 1 {
		digits = 2
	}
	decimals := min(digits-1-place, most)
	shownU = roundAt(u, decimals)
	if step := math.Pow10(-decimals); u < step {
		shownU = roundAt(step, decimals)
	}
	return s.dress(roundAt(value, decimals)), s.dress(shownU)
}

// MassTo shows a mass with no more digits than its standard uncertainty
// allows: to the place of the uncertainty's first digit. Without one it is
// shown as [Style.Mass] does.
func (s Style) MassTo(m, u Mass) string {
	if u <= 0 {
		return s.Mass(m)
	}
	unit := s.massUnit()
	_, place := leading(unit.of(float64(u)))
	return s.with(unit, unit.fixed(int64(m), min(-place, unit.decimals)))
}

// MassPair is Round for a mass: the mass, its standard uncertainty, and the
// symbol of the shop's unit that both are in.
func (s Style) MassPair(m, u Mass) (shown, shownU, symbol string) {
	unit := s.massUnit()
	most := 4 // a tenth of a gram, or a twentieth
	if s.MassUnit == Grams {
		most = 1
	}
	shown, shownU = s.Round(unit.of(float64(m)), unit.of(float64(u)), most)
	return shown, shownU, unit.symbol
}

// leading gives the first digit of a positive number and its power of ten,
// after rounding to two digits: 0.0996 is 0.10, so 1 and −1.
func leading(u float64) (digit, place int) {
	text := strconv.FormatFloat(u, 'e', 1, 64) // d.de±xx
	digit = int(text[0] - '0')
	place, _ = strconv.Atoi(text[4:])
	return digit, place
}

// roundAt writes x with that many decimals; negative ones round to tens,
// hundreds and so on.
func roundAt(x float64, decimals int) string {
	if decimals >= 0 {
		return strconv.FormatFloat(x, 'f', decimals, 64)
	}
	step := math.Pow10(-decimals)
	return strconv.FormatFloat(math.Round(x/step)*step, 'f', 0, 64)
}
