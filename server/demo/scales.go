package demo

import (
	"math"
	"math/rand/v2"

	"drosswise/foundry/quantity"
)

// scale is a scale as it really weighs: in steps, and a little wrong.
type scale struct {
	name     string
	step     quantity.Mass
	capacity quantity.Mass
	gain     float64 // share by which it shows too much
}

var (
	kitchenScale  = scale{"Kitchen scale", quantity.Gram, 5 * quantity.Kilogram, 0}
	platformScale = scale{"Bench scale", 5 * quantity.Gram, 15 * quantity.Kilogram, 0.0004}
)

// shows is what the scale shows for a true mass in kg. A reading near the edge
// of a step falls to either side.
func (s scale) shows(r *rand.Rand, kg float64) quantity.Mass {
	step := s.step.Kilograms()
	return quantity.Mass(math.Round(kg*(1+s.gain)/step+0.2*r.NormFloat64())) * s.step
}

// weigh fills in a mass as people weigh it: in so many readings, each with the
// container (kg) in it.
func (n *note) weigh(r *rand.Rand, s scale, kg, tare float64, readings int) {
	n.scale = s.name
	if tare > 0 {
		n.Tare = s.shows(r, tare)
	}
	for i := range readings {
		part := kg / float64(readings-i)
		if i < readings-1 {
			part *= 0.85 + 0.3*r.Float64()
		}
		kg -= part
		n.Gross = append(n.Gross, max(s.shows(r, part+tare), n.Tare))
	}
}

// weighEach weighs pieces one by one.
func (n *note) weighEach(r *rand.Rand, s scale, pieces []float64) {
	n.scale = s.name
	for _, kg := range pieces {
		n.Gross = append(n.Gross, s.shows(r, kg))
	}
}

// guess fills in a mass judged by eye, to 50 g, with how far off it may be.
func (n *note) guess(kg float64) {
	const step = 0.05
	n.Gross = []quantity.Mass{quantity.Mass(math.Round(kg/step)) * 50 * quantity.Gram}
	n.Spread = new(50 * quantity.Gram)
}

// keyOff is what a person types whose finger lands one row off on the number
// pad: three hundreds of grams too many, where the key three higher is there.
func keyOff(m quantity.Mass) (typed quantity.Mass, can bool) {
	hundreds := m / (100 * quantity.Gram) % 10
	return m + 300*quantity.Gram, hundreds >= 1 && hundreds <= 6
}
