// Package element knows the heating wire of a resistance furnace: its gauge,
// its alloy, its ohms cold and hot, the power it gives, how hard its surface
// works, and whether readings taken on it can all be true. It does not say when
// an element is worn out.
package element

import (
	"errors"
	"fmt"
	"math"
)

// Refusals of this package's formulas.
var (
	ErrGauge       = errors.New("wire gauge is outside 0000 (−3) to 40")
	ErrNotPositive = errors.New("value is not above zero")
)

// AWG gives the diameter in mm of American wire gauge n, exactly as ASTM B258
// defines it: 0.127 mm · 92^((36 − n)/39). Gauges 00, 000 and 0000 are −1, −2
// and −3; the thinnest answered is 40. Real wire has a tolerance of its own.
func AWG(n int) (millimetres float64, err error) {
	if n < -3 || n > 40 {
		return 0, fmt.Errorf("%w: %d", ErrGauge, n)
	}
	return 0.127 * math.Pow(92, float64(36-n)/39), nil
}
