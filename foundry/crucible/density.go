// Package crucible knows how much liquid aluminium a crucible may hold: from
// the volume to its brim, found by weighing water, or from a maker's rating in
// another metal. It does not know whether a crucible is sound.
package crucible

import (
	"errors"
	"fmt"

	"drosswise/foundry/quantity"
)

// Bounds of the two densities.
const (
	MinLiquid = 600 * quantity.Celsius
	MaxLiquid = 950 * quantity.Celsius
	MinWater  = 0 * quantity.Celsius
	MaxWater  = 100 * quantity.Celsius
)

// Refusals.
var (
	ErrLiquid   = errors.New("temperature is outside 600 to 950 °C")
	ErrWater    = errors.New("water temperature is outside 0 to 100 °C")
	ErrMass     = errors.New("mass is not above zero")
	ErrVolume   = errors.New("volume is not above zero")
	ErrFraction = errors.New("fill fraction is not above 0 and at most 1")
	ErrMetal    = errors.New("no liquid density is known for this metal")
)

const kelvin = 273.15

// LiquidDensity gives the density of liquid aluminium in kg/m³ from 600 to
// 950 °C: 2377.23 − 0.311·(T − 933.47 K), good to 0.7 % from 660 to 917 °C
// (Assael et al. 2006, J. Phys. Chem. Ref. Data 35:285; coefficients from
// memory). The line is carried on at both ends, for alloys that pour below
// 660 °C. Copper and zinc make an alloy a few per cent denser, magnesium
// lighter: a mass from here fills the crucible to less, or to up to some 3 %
// more.
func LiquidDensity(t quantity.Temperature) (float64, error) {
	if t < MinLiquid || t > MaxLiquid {
		return 0, fmt.Errorf("%w: %.0f °C", ErrLiquid, t.Celsius())
	}
	return 2377.23 - 0.311*(t.Celsius()+kelvin-933.47), nil
}

// WaterDensity gives the density of air-free water in kg/m³ from 0 to 100 °C at
// 1 atm (Kell 1975, J. Chem. Eng. Data 20:97, stated to 150 °C). Modern
// formulas differ by less than 0.004 kg/m³ up to 40 °C.
func WaterDensity(t quantity.Temperature) (float64, error) {
	if t < MinWater || t > MaxWater {
		return 0, fmt.Errorf("%w: %.0f °C", ErrWater, t.Celsius())
	}
	c := t.Celsius()
	above := 999.83952 + c*(16.945176+c*(-7.9870401e-3+c*(-46.170461e-6+c*(105.56302e-9-c*280.54253e-12))))
	return above / (1 + 16.879850e-3*c), nil
}
