package element

import "math"

// Ohms gives the cold resistance (20 °C) in Ω of a length of wire in m with a
// diameter in mm. It is as good as the wire's resistivity, some 5 %.
func Ohms(w Wire, metres, millimetres float64) (float64, error) {
	if !positive(w.Resistivity, metres, millimetres) {
		return 0, ErrNotPositive
	}
	return w.Resistivity * metres / area(millimetres), nil
}

// LengthFor gives the length in m of wire with a diameter in mm that has these
// cold ohms.
func LengthFor(w Wire, ohms, millimetres float64) (metres float64, err error) {
	if !positive(w.Resistivity, ohms, millimetres) {
		return 0, ErrNotPositive
	}
	return ohms * area(millimetres) / w.Resistivity, nil
}

// Watts gives the power in W of an element by Ohm's and Joule's laws, V²/R. Take
// hot ohms for the power in use.
func Watts(volts, ohms float64) (float64, error) {
	if !positive(volts, ohms) {
		return 0, ErrNotPositive
	}
	return volts * volts / ohms, nil
}

// SurfaceLoad gives the power per wire surface in W/cm² of a length in m with a
// diameter in mm. What a coil bears depends on its temperature and seat: 1 to
// 2 W/cm² for small coils in brick grooves is common practice, no source.
func SurfaceLoad(watts, metres, millimetres float64) (float64, error) {
	if !positive(watts, metres, millimetres) {
		return 0, ErrNotPositive
	}
	squareCentimetres := math.Pi * millimetres / 10 * metres * 100
	return watts / squareCentimetres, nil
}

// area is the cross-section in mm² of round wire.
func area(millimetres float64) float64 { return math.Pi / 4 * millimetres * millimetres }

// positive is written so that not-a-number is refused too.
func positive(values ...float64) bool {
	for _, v := range values {
		if !(v > 0) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
