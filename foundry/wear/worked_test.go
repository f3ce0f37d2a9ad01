package wear

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/testdata"
)

// columns reads two columns of an example.
func columns(t *testing.T, example, nameX, nameY string) (x, y []float64) {
	for _, row := range testdata.Rows(t, "statistics/"+example+".csv") {
		x, y = append(x, row.Number(t, nameX)), append(y, row.Number(t, nameY))
	}
	return x, y
}

// agrees holds figures against all expected answers of an example.
func agrees(t *testing.T, example string, got map[string]float64) {
	seen := 0
	for _, row := range testdata.Rows(t, "statistics/expected.csv") {
		if row["example"] != example {
			continue
		}
		seen++
		require.Contains(t, got, row["quantity"])
		assert.InDelta(t, row.Number(t, "expected"), got[row["quantity"]], row.Number(t, "abs_tolerance"), row["quantity"])
	}
	assert.Equal(t, len(got), seen)
}

func equal(n int) []float64 { return slices.Repeat([]float64{1}, n) }

func straight(t *testing.T, x, y []float64) Line {
	l, err := fitLine(x, y, equal(len(x)), 0)
	require.NoError(t, err)
	return l
}

func reach(t *testing.T, l Line, y float64, reading bool) Range {
	r, ok := l.Reach(y, reading)
	require.True(t, ok)
	return r
}

// Source: d_resistance_1, constructed; recomputed with R 4.2.2.
func TestResistanceToALimit(t *testing.T) {
	x, y := columns(t, "d_resistance_1", "hours", "ohm")
	l := straight(t, x, y)
	line, one := reach(t, l, 15.4, false), reach(t, l, 15.4, true)
	agrees(t, "d_resistance_1", map[string]float64{
		"intercept": l.Intercept, "slope per hour": l.Slope, "residual sd": l.Sigma,
		"90 % prediction at 250 h, lower": l.At(250).Low, "90 % prediction at 250 h, upper": l.At(250).High,
		"hours to 15.4 ohm": line.Middle, "Fieller 90 % lower": line.Low, "Fieller 90 % upper": line.High,
		"one future reading, lower": one.Low, "one future reading, upper": one.High, "g": l.g(),
	})
}

// Source: d_cars_prediction, Ezekiel 1930; recomputed with R 4.2.2.
func TestPredictionAndInverse(t *testing.T) {
	x, y := columns(t, "d_cars_prediction", "speed", "dist")
	l := straight(t, x, y)
	line, one := reach(t, l, 60, false), reach(t, l, 60, true)
	agrees(t, "d_cars_prediction", map[string]float64{
		"intercept": l.Intercept, "slope": l.Slope, "residual sd": l.Sigma,
		"90 % prediction interval at speed 21: fit":   l.At(21).Middle,
		"90 % prediction interval at speed 21: lower": l.At(21).Low,
		"90 % prediction interval at speed 21: upper": l.At(21).High,
		"90 % prediction interval at speed 30: fit":   l.At(30).Middle,
		"90 % prediction interval at speed 30: lower": l.At(30).Low,
		"90 % prediction interval at speed 30: upper": l.At(30).High,
		"speed at which dist = 60":                    line.Middle,
		"Fieller 90 % lower (line crosses)":           line.Low, "Fieller 90 % upper (line crosses)": line.High,
		"Fieller 90 % lower (one future reading)": one.Low, "Fieller 90 % upper (one future reading)": one.High,
		"g": l.g(),
	})
}

// Source: d_gum_h3, JCGM 100:2008 annex H.3 (from memory, recomputed with R).
func TestCalibrationLine(t *testing.T) {
	x, y := columns(t, "d_gum_h3", "t_C", "correction_C")
	for i := range x {
		x[i] -= 20
	}
	l := straight(t, x, y)
	at0, u0 := l.mean(0)
	at10, u10 := l.mean(10)
	covariance := (sq(u10) - sq(u0) - 100*sq(l.SlopeSE)) / 20
	agrees(t, "d_gum_h3", map[string]float64{
		"intercept at 20 C": at0, "u(intercept)": u0, "slope": l.Slope, "u(slope)": l.SlopeSE,
		"correlation": covariance / u0 / l.SlopeSE, "s": l.Sigma,
		"prediction at 30 C": at10, "u(prediction of the mean)": u10, "slope, full precision": l.Slope,
	})
}

// Source: d_theilsen_small, Hollander and Wolfe, cloud seeding example (from
// memory, recomputed with SciPy 1.10.1).
func TestTheilSenSmall(t *testing.T) {
	x, y := columns(t, "d_theilsen_small", "x", "y")
	l, ok := theilSen(x, y)
	require.True(t, ok)
	slopes := pairSlopes(x, y)
	agrees(t, "d_theilsen_small", map[string]float64{
		"slope": l.slope, "smallest pairwise slope": slices.Min(slopes), "largest pairwise slope": slices.Max(slopes),
		"intercept med(y)-b med(x)": median(slices.Clone(y)) - l.slope*median(slices.Clone(x)),
		"intercept med(y - b x)":    l.intercept,
	})
}

// With equal weights of any size the line is the same; a reading of little
// weight hardly moves it.
func TestWeights(t *testing.T) {
	x, y := columns(t, "d_resistance_1", "hours", "ohm")
	plain := straight(t, x, y)
	x, y = append(x, 220), append(y, 30)
	w := append(equal(10), 1e-9)
	l, err := fitLine(x, y, w, 0)
	require.NoError(t, err)
	assert.InDelta(t, plain.Slope, l.Slope, 1e-6)
	floor, err := fitLine(x[:10], y[:10], equal(10), 0.5)
	require.NoError(t, err)
	assert.Equal(t, 0.5, floor.Sigma, "no better than the meter")
	_, ok := floor.Reach(15.4, false)
	assert.False(t, ok)
	assert.False(t, floor.Trend())
	assert.False(t, math.IsNaN(floor.g()))
}
