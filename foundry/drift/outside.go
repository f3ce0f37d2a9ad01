package drift

import "math"

// Outside is how the outer face of a wall loses heat. The zero value is a face
// of brick or painted steel standing in still air.
type Outside struct {
	Coefficient float64 // W/(m²·K), 0 to work it out for still air
	Emissivity  float64 // 0 for 0.9, brick or paint; bright metal has far less
}

const (
	absoluteZero = -273.15
	boltzmann    = 5.670374419e-8 // W/(m²·K⁴), Stefan and Boltzmann, CODATA 2018
	painted      = 0.9
	// turbulent is natural convection at an upright face in air, 1.31·ΔT^⅓
	// W/(m²·K), the simplified form of heat-transfer textbooks (from memory).
	turbulent = 1.31
)

func (o Outside) usable() bool {
	return sound(o.Coefficient, o.Emissivity) && o.Coefficient >= 0 && o.Emissivity >= 0 && o.Emissivity <= 1
}

// carries is what a face gives off to a colder room, W/m², both in °C.
func (o Outside) carries(face, room float64) float64 {
	return o.coefficient(face, room) * (face - room)
}

// coefficient is radiation and convection together, W/(m²·K).
func (o Outside) coefficient(face, room float64) float64 {
	if o.Coefficient > 0 {
		return o.Coefficient
	}
	emissivity := o.Emissivity
	if emissivity == 0 {
		emissivity = painted
	}
	a, b := face-absoluteZero, room-absoluteZero
	radiation := emissivity * boltzmann * (a*a + b*b) * (a + b) // (a⁴ − b⁴)/(a − b)
	return radiation + turbulent*math.Cbrt(max(face-room, 0))
}
