package heat

import (
	"math"

	"drosswise/foundry/quantity"
)

// Crucible is what a crucible is made of.
type Crucible string

// Kinds of crucible. Clay-graphite is counted as graphite: its clay takes up
// less heat per kilogram, but no mix is published here, so the figure is on
// the high side. A silicon carbide crucible holds some carbon; it is counted
// as pure silicon carbide, on the low side.
const (
	Graphite       Crucible = "graphite"
	ClayGraphite   Crucible = "clay-graphite"
	SiliconCarbide Crucible = "silicon carbide"
	Steel          Crucible = "steel"
	Other          Crucible = "other"
)

// CrucibleHeat gives the heat a crucible takes up between two temperatures. It
// says false where that is not known: another kind of crucible, a mass that is
// not above zero, a temperature outside −40 to 1200 °C, or an end colder than
// the start.
func CrucibleHeat(kind Crucible, mass quantity.Mass, from, to quantity.Temperature) (quantity.Energy, bool) {
	content, ok := contents[kind]
	if !ok || mass <= 0 || !inRange(from) || !inRange(to) || to < from {
		return 0, false
	}
	return energy(mass, content(to.Celsius())-content(from.Celsius())), true
}

// contents gives each kind's heat content in kJ/kg at a temperature in °C,
// above an origin of its own: only differences count.
var contents = map[Crucible]func(c float64) float64{
	Graphite:       graphite.content,
	ClayGraphite:   graphite.content,
	SiliconCarbide: siliconCarbide.content,
	Steel:          steelContent,
}

// nasa7 is a NASA seven-coefficient fit without its entropy term, below and
// above 1000 K: H/R = a1·T + a2·T²/2 + a3·T³/3 + a4·T⁴/4 + a5·T⁵/5 + a6.
type nasa7 struct {
	low, high [6]float64
	molar     float64 // g/mol
}

const gasConstant = 8.314462618 // J/(mol·K), CODATA 2018

// C(gr) and SiC(b) of NASA TM-4513 (McBride, Gordon, Reno 1993). Graphite holds
// from 200 K, silicon carbide from 300 K and is carried on to −40 °C here.
var (
	graphite = nasa7{
		low:   [6]float64{-0.310872072, 4.40353686e-3, 1.90394118e-6, -6.38546966e-9, 2.98964248e-12, -108.650794},
		high:  [6]float64{1.45571829, 1.71702216e-3, -6.97562786e-7, 1.35277032e-10, -9.67590652e-15, -695.138814},
		molar: 12.011,
	}
	siliconCarbide = nasa7{
		low:   [6]float64{-2.4715907, 3.0693783e-2, -4.9263085e-5, 3.8626389e-8, -1.1761621e-11, -9069.126},
		high:  [6]float64{3.7974809, 3.1872886e-3, -1.4502334e-6, 3.1549744e-10, -2.6158991e-14, -10291.937},
		molar: 40.096,
	}
)

func (n nasa7) content(celsius float64) float64 {
	t := celsius + kelvin
	a := n.low
	if t > 1000 {
		a = n.high
	}
	h := a[5] + t*(a[0]+t*(a[1]/2+t*(a[2]/3+t*(a[3]/4+t*a[4]/5))))
	return h * gasConstant / n.molar
}

// steelContent integrates the specific heat of carbon steel of EN 1993-1-2:2005,
// 3.4.1.2 (read in copies), which has four branches with a peak at 735 °C where
// the steel changes structure. It is stated from 20 °C and carried on to −40 °C
// here.
func steelContent(c float64) float64 {
	first := func(c float64) float64 {
		return c * (425 + c*(0.773/2+c*(-1.69e-3/3+c*2.22e-6/4)))
	}
	joules := first(min(c, 600))
	if c > 600 {
		end := min(c, 735)
		joules += 666*(end-600) + 13002*math.Log((738-600)/(738-end))
	}
	if c > 735 {
		end := min(c, 900)
		joules += 545*(end-735) + 17820*math.Log((end-731)/(735-731))
	}
	if c > 900 {
		joules += 650 * (c - 900)
	}
	return joules / 1000
}
