package crucible

import (
	"drosswise/foundry/quantity"
)

// CommonFill is the share of the brim volume usually filled with metal: common
// practice, no source. The shop sets its own.
const CommonFill = 0.80

// BrimVolume gives the volume to the brim from the mass of water the crucible
// holds and the water's temperature. The lift of air is left out: it makes the
// volume 0.1 % too small, which is the safe side. Only a cold crucible that
// may be wetted is measured so, and it is dried again as its maker says.
func BrimVolume(water quantity.Mass, t quantity.Temperature) (quantity.Volume, error) {
	if water <= 0 {
		return 0, ErrMass
	}
	density, err := WaterDensity(t)
	if err != nil {
		return 0, err
	}
	const cubicMillimetres = 1e9 // in a cubic metre
	return quantity.Volume(water.Kilograms() / density * cubicMillimetres), nil
}

// SafeFill gives the most liquid aluminium to have in a crucible: its brim
// volume times a fraction (above 0, at most 1; see CommonFill) times the
// density at the pouring temperature, rounded down. The hottest metal takes the
// most room, so t is the highest temperature of the melt.
func SafeFill(brim quantity.Volume, fraction float64, t quantity.Temperature) (quantity.Mass, error) {
	if brim <= 0 {
		return 0, ErrVolume
	}
	if !isFraction(fraction) {
		return 0, ErrFraction
	}
	density, err := LiquidDensity(t)
	if err != nil {
		return 0, err
	}
	return milligrams(brim.Litres() / 1000 * fraction * density), nil
}

// FromRating turns a maker's rating in some metal into liquid aluminium of the
// same volume, by the ratio of liquid densities, at aluminium's temperature t
// and rounded down. A rating usually means a working fill, and then the
// fraction is 1; where it means the brim, as a rating in water does, the
// fraction is that of SafeFill. Makers differ: ask the maker when in doubt, and
// take the smaller.
func FromRating(rated quantity.Mass, metal Metal, fraction float64, t quantity.Temperature) (quantity.Mass, error) {
	if rated <= 0 {
		return 0, ErrMass
	}
	if !isFraction(fraction) {
		return 0, ErrFraction
	}
	aluminium, err := LiquidDensity(t)
	if err != nil {
		return 0, err
	}
	if metal == Aluminium {
		return milligrams(rated.Kilograms() * fraction), nil
	}
	other, ok := ratingDensity(metal)
	if !ok {
		return 0, ErrMetal
	}
	return milligrams(rated.Kilograms() * fraction * aluminium / other), nil
}

// isFraction is written so that not-a-number is no fraction.
func isFraction(f float64) bool { return f > 0 && f <= 1 }

// milligrams rounds kilograms down to a mass.
func milligrams(kilograms float64) quantity.Mass {
	return quantity.Mass(kilograms * float64(quantity.Kilogram))
}
