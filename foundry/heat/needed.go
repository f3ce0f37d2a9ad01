package heat

import (
	"errors"
	"fmt"
	"math"

	"drosswise/foundry/alloy"
	"drosswise/foundry/quantity"
)

// Refusals of Needed.
var (
	ErrTemperature = errors.New("temperature is outside −40 to 1200 °C")
	ErrOrder       = errors.New("metal ends colder than it starts")
	ErrMass        = errors.New("mass is negative")
)

// PureAluminium is the Result's LatentOf where no latent heat of the alloy is known.
const PureAluminium = "pure aluminium"

// Result is the heat some metal takes, and whose latent heat was counted.
type Result struct {
	Energy      quantity.Energy
	PerKilogram float64 // kJ/kg
	Latent      float64 // kJ/kg, of complete melting, as used
	LatentOf    string  // name of the alloy it belongs to, or PureAluminium
}

// Needed gives the heat to bring metal from one temperature to another, such as
// from the shed's to the pouring temperature. Solid and liquid are counted as
// pure aluminium, which is good to some 5 % for alloys; melting is spread
// evenly from the alloy's solidus to its liquidus, and takes the alloy's own
// latent heat where the table of alloys has one, otherwise that of pure
// aluminium. An unknown or empty alloy name counts as pure aluminium.
//
// It refuses temperatures outside −40 to 1200 °C, cooling, and negative mass.
func Needed(mass quantity.Mass, from, to quantity.Temperature, alloyName string) (Result, error) {
	for _, t := range []quantity.Temperature{from, to} {
		if !inRange(t) {
			return Result{}, fmt.Errorf("%w: %.0f °C", ErrTemperature, t.Celsius())
		}
	}
	if to < from {
		return Result{}, ErrOrder
	}
	if mass < 0 {
		return Result{}, ErrMass
	}

	m := meltingOf(alloyName)
	perKg := m.content(to) - m.content(from)
	return Result{
		Energy:      energy(mass, perKg),
		PerKilogram: perKg,
		Latent:      m.latent,
		LatentOf:    m.latentOf,
	}, nil
}

// melting is how a metal turns liquid.
type melting struct {
	solidus, liquidus quantity.Temperature
	latent            float64 // kJ/kg
	latentOf          string
}

func meltingOf(alloyName string) melting {
	m := melting{MeltingPoint, MeltingPoint, FusionHeat(), PureAluminium}
	a, ok := alloy.Find(alloyName)
	if !ok {
		return m
	}
	m.solidus, m.liquidus = a.Solidus, a.Liquidus
	if a.LatentHeat > 0 {
		m.latent, m.latentOf = a.LatentHeat, a.Name
	}
	return m
}

// content is the heat content in kJ/kg above solid metal at 20 °C.
func (m melting) content(t quantity.Temperature) float64 {
	sensible := Aluminium(t)
	if t >= MeltingPoint {
		sensible -= FusionHeat()
	}
	return sensible + m.latent*m.melted(t)
}

// melted is the share that is liquid, 0 to 1.
func (m melting) melted(t quantity.Temperature) float64 {
	switch {
	case t >= m.liquidus:
		return 1
	case t <= m.solidus:
		return 0
	}
	return float64(t-m.solidus) / float64(m.liquidus-m.solidus)
}

func inRange(t quantity.Temperature) bool { return t >= MinTemperature && t <= MaxTemperature }

// energy is mass times kJ/kg, to the nearest joule.
func energy(mass quantity.Mass, perKg float64) quantity.Energy {
	return quantity.Energy(math.Round(mass.Kilograms() * perKg * 1000))
}
