// Package heat knows how much heat aluminium and its crucible take up on the
// way to a temperature. It knows nothing of furnaces: what a furnace wastes is
// not its business.
package heat

import "drosswise/foundry/quantity"

// The tables answer between MinTemperature and MaxTemperature: from a winter
// shed to well above any pouring temperature.
const (
	MinTemperature = -40 * quantity.Celsius
	MaxTemperature = 1200 * quantity.Celsius
)

// MeltingPoint is where pure aluminium turns liquid: 660.32 °C (ITS-90).
const MeltingPoint quantity.Temperature = 660_32

const (
	kelvin         = 273.15
	roomKelvin     = 20 + kelvin
	aluminiumMolar = 26.9815385 // g/mol
	fusionKelvin   = 933.45     // where the two fits below are joined
)

// shomate is a fit of the heat content H(T) − H(298.15 K, solid) in kJ/mol with
// t = T/1000 K: A·t + B·t²/2 + C·t³/3 + D·t⁴/4 − E/t + F.
//
// The published equation also subtracts H, the heat of formation. For the
// liquid that would move the datum to liquid aluminium at 298.15 K and lose
// 391 kJ/kg: with solid scrap as the start, H stays out.
type shomate struct{ a, b, c, d, e, f float64 }

// NIST-JANAF (Chase 1998, J. Phys. Chem. Ref. Data Monograph 9) as served by
// the NIST Chemistry WebBook, SRD 69. The solid fit holds from 298 K and is
// carried on to −40 °C here, where its slope is a few per cent low; the liquid
// fit holds to 2790 K.
var (
	solid  = shomate{28.0892, -5.414849, 8.560423, 3.42737, -0.277375, -9.147187}
	liquid = shomate{31.75104, 3.935826e-8, -1.786515e-8, 2.694171e-9, 5.480037e-9, -0.945684}
)

// content gives the heat content at a temperature in kelvin, in kJ/kg.
func (s shomate) content(k float64) float64 {
	t := k / 1000
	molar := s.a*t + s.b*t*t/2 + s.c*t*t*t/3 + s.d*t*t*t*t/4 - s.e/t + s.f
	return molar / aluminiumMolar * 1000
}

// FusionHeat is the heat of melting of pure aluminium in kJ/kg, as the step
// between the two fits: 396.9 (JANAF 397).
func FusionHeat() float64 { return liquid.content(fusionKelvin) - solid.content(fusionKelvin) }

// Aluminium gives the heat content of pure aluminium in kJ/kg, counted from
// solid metal at 20 °C; it is liquid from MeltingPoint up. It is good to about
// 1 % (the NASA fit of the same data lies 0.5 % higher) between MinTemperature
// and MaxTemperature; whoever calls it keeps to that range.
func Aluminium(t quantity.Temperature) float64 {
	k := t.Celsius() + kelvin
	if t >= MeltingPoint {
		return liquid.content(k) - solid.content(roomKelvin)
	}
	return solid.content(k) - solid.content(roomKelvin)
}
