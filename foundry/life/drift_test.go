package life

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"drosswise/testdata"
)

// Without wander it is least squares. Source: NIST Statistical Reference
// Datasets, Norris, certified slope, its standard error and residual sum of
// squares.
func TestLineWorked(t *testing.T) {
	var x, y []float64
	for _, row := range testdata.Rows(t, "statistics/b_strd_norris.csv") {
		x, y = append(x, row.Number(t, "x")/1000), append(y, row.Number(t, "y"))
	}
	l, rest, _, ok := fitLine(x, mat.NewVecDense(len(y), y), 0, 0)
	require.True(t, ok)
	assert.InDelta(t, 1002.11681802045, l.slope, 1e-7)
	assert.InDelta(t, 0.429796848199937, l.se, 1e-8)
	assert.InDelta(t, 26.6173985294224, rest, 1e-6)
}

// With wander only, readings between tell nothing of the slope: it is that
// between the first and the last, as for a random walk with drift.
func TestLineOfRandomWalk(t *testing.T) {
	y := []float64{4, 9, 1, 7, 6.5}
	l, _, _, ok := fitLine([]float64{0, 0.1, 0.4, 0.8, 1}, mat.NewVecDense(5, y), 1e5, 0)
	require.True(t, ok)
	assert.InDelta(t, 2.5, l.slope, 1e-6)
}

// Source: Hollander and Wolfe, Nonparametric Statistical Methods, cloud seeding
// (five pairs from memory), recomputed with SciPy 1.10.1.
func TestTheilSen(t *testing.T) {
	slope, intercept := theilSen([]Reading{{1, 1.26}, {2, 1.27}, {3, 1.12}, {4, 1.16}, {5, 1.03}})
	assert.InDelta(t, -0.05625, slope, 1e-9)
	assert.InDelta(t, 1.31625, intercept, 1e-9)
}
