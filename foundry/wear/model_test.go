package wear

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// The filter's sums are those of generalised least squares with the covariance
// of walk and noise written out: walk·min(t_i, t_j) + (σ² + u_i²)·[i = j], t from
// the first reading on.
func TestFilterAgainstTheDenseCovariance(t *testing.T) {
	const walk, noise = 0.03, 0.01
	set, readings := wornSet(t)
	series := Gather(set, readings)
	line, ok := theilSen(xy(series.Points))
	require.True(t, ok)
	now := stretch{points: series.Points, line: line, straight: true}
	m := newModel(now, series, *now.fit(14), nil)
	m.rows[3].other = true

	n := len(m.rows)
	v, x, y := mat.NewSymDense(n, nil), mat.NewDense(n, terms, nil), mat.NewVecDense(n, nil)
	for i, r := range m.rows {
		for j, s := range m.rows[:i+1] {
			v.SetSym(i, j, walk*min(r.u-m.rows[0].u, s.u-m.rows[0].u))
		}
		v.SetSym(i, i, v.At(i, i)+noise+r.variance)
		x.SetRow(i, []float64{level: 1, slope: r.u, offset: hit(r.other), bend: r.u * r.u, cube: math.Pow(r.u, 3)})
		y.SetVec(i, r.y)
	}
	var chol mat.Cholesky
	require.True(t, chol.Factorize(v))
	var vx mat.Dense
	require.NoError(t, chol.SolveTo(&vx, x))
	var vy, xy mat.VecDense
	require.NoError(t, chol.SolveVecTo(&vy, y))
	var xx mat.Dense
	xx.Mul(x.T(), &vx)
	xy.MulVec(x.T(), &vy)

	f := m.filter(walk, noise)
	assert.InDelta(t, chol.LogDet(), f.logDet, 1e-9)
	assert.InDelta(t, mat.Dot(y, &vy), f.yy, 1e-9)
	for i := range terms {
		assert.InDelta(t, xy.AtVec(i), f.xy[i], 1e-9)
		for j := i; j < terms; j++ {
			assert.InDelta(t, xx.At(i, j), f.xx[i][j], 1e-9)
		}
	}
}

// Hot readings laid beside cold new ohms are as doubtful as the wire's tables,
// which for 80/20 wire disagree by 3.6 points; counted from their own first
// reading they are not.
func TestTheTableIsDoubtedOnce(t *testing.T) {
	set := Set{Wire: "NiCr 80/20", New: ohm(10), Hot: deg(1000), Hours: 90}
	var readings []Reading
	for i := range 10 {
		now := 10.5 * (1 + 0.004*float64(i))
		readings = append(readings, Reading{ID: int64(i + 1), Hours: 10 * float64(i), Heats: 3 * i, Volts: volt(230), Amps: ampere(230 / now), Meter: Meter{Volts: 100, Amps: 10}})
	}
	beside := Look(set, readings)
	require.NotNil(t, beside.Line)
	// ± 1.645 × 0.036/√3 and a little for the digits and the temperature.
	half := (beside.Risen.High - beside.Risen.Low) / 2
	assert.InDelta(t, z95*0.036/math.Sqrt(3), half, 0.008)
	set.New = nil
	alone := Look(set, readings)
	assert.Less(t, alone.Risen.High-alone.Risen.Low, half/2)
}
