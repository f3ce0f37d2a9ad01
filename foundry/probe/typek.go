// Package probe knows the type K thermocouple: the voltage it gives at a
// temperature, the temperature a voltage means, and how far a new one may be
// off by standard. It does not know how an old one has drifted.
package probe

import (
	"errors"
	"fmt"
	"math"

	"drosswise/foundry/quantity"
)

// Bounds of the type K tables used here. The reference function goes on to
// −270 °C, where it is too flat to be read backwards.
const (
	MinTemperature = -200 * quantity.Celsius
	MaxTemperature = 1372 * quantity.Celsius
)

// ErrRange says that a temperature or voltage is beyond the tables.
var ErrRange = errors.New("beyond the type K tables, −200 to 1372 °C")

// Coefficients of the ITS-90 reference function in mV and °C, NIST Monograph
// 175 (Burns et al. 1993): a polynomial below 0 °C, and above it another with
// an exponential term a0·exp(a1·(t − a2)²).
var (
	below = []float64{
		0, 0.394501280250e-1, 0.236223735980e-4, -0.328589067840e-6, -0.499048287770e-8, -0.675090591730e-10,
		-0.574103274280e-12, -0.310888728940e-14, -0.104516093650e-16, -0.198892668780e-19, -0.163226974860e-22,
	}
	above = []float64{
		-0.176004136860e-1, 0.389212049750e-1, 0.185587700320e-4, -0.994575928740e-7, 0.318409457190e-9,
		-0.560728448890e-12, 0.560750590590e-15, -0.320207200030e-18, 0.971511471520e-22, -0.121047212750e-25,
	}
)

const (
	a0 = 0.118597600000
	a1 = -0.118343200000e-3
	a2 = 126.968600000
)

// Millivolts gives what a type K thermocouple with its reference junction at
// 0 °C shows at a temperature. It agrees with printed tables to 0.001 mV.
func Millivolts(t quantity.Temperature) (float64, error) {
	if t < MinTemperature || t > MaxTemperature {
		return 0, fmt.Errorf("%w: %.1f °C", ErrRange, t.Celsius())
	}
	return reference(t.Celsius()), nil
}

// Temperature gives the temperature that a voltage in mV means, reference
// junction at 0 °C, by searching the reference function, so that it and
// Millivolts agree to 0.01 °C.
func Temperature(millivolts float64) (quantity.Temperature, error) {
	low, high := MinTemperature.Celsius(), MaxTemperature.Celsius()
	// Written so that not-a-number is refused too.
	if !(millivolts >= reference(low) && millivolts <= reference(high)) {
		return 0, fmt.Errorf("%w: %.3f mV", ErrRange, millivolts)
	}
	// The function only rises, so halving finds the place: 1572 °C / 2^40 is
	// far below what is shown.
	for range 40 {
		middle := (low + high) / 2
		if reference(middle) < millivolts {
			low = middle
		} else {
			high = middle
		}
	}
	return quantity.Temperature(math.Round((low + high) / 2 * float64(quantity.Celsius))), nil
}

func reference(c float64) float64 {
	if c < 0 {
		return polynomial(below, c)
	}
	return polynomial(above, c) + a0*math.Exp(a1*(c-a2)*(c-a2))
}

func polynomial(coefficients []float64, x float64) float64 {
	sum := 0.0
	for i := len(coefficients) - 1; i >= 0; i-- {
		sum = sum*x + coefficients[i]
	}
	return sum
}
