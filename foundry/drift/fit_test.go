package drift

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"drosswise/foundry/regress"
	"drosswise/testdata"
)

func itoa(i int) string { return strconv.Itoa(i) }

// energyRows are the melts of the worked example.
func energyRows(t *testing.T) []Row {
	var rows []Row
	for i, row := range testdata.Rows(t, "statistics/c_energy_1.csv") {
		rows = append(rows, Row{
			ID: int64(i + 1),
			X:  []float64{row.Number(t, "cold_start"), row.Number(t, "charged_kg"), row.Number(t, "hours")},
			Y:  row.Number(t, "kwh"),
		})
	}
	return rows
}

// Source: c_energy_1, constructed, recomputed with R 4.2.2 (stats).
func TestFitAgainstWorkedExample(t *testing.T) {
	want := answers(t, "c_energy_1")
	rows := energyRows(t)
	f := NewFit(3)
	for _, r := range rows {
		f.Add(r.X, r.Y)
	}
	for j, name := range []string{"start-up", "per kg", "per hour"} {
		b, se, ok := f.Coef(j)
		require.True(t, ok)
		want["coef "+[]string{"start-up kWh", "kWh per kg", "kWh per hour"}[j]].holds(t, b, name)
		want["se "+name].holds(t, se, name)
	}
	want["residual sd"].holds(t, f.Sigma(), "sigma")
	largest, which := 0.0, 0
	for i, r := range rows {
		u, ok := f.Studentised(r.X, r.Y)
		require.True(t, ok)
		if math.Abs(u) > math.Abs(largest) {
			largest, which = u, i+1
		}
	}
	want["largest |externally studentised residual|"].holds(t, math.Abs(largest), "studentised")
	want["its melt"].holds(t, float64(which), "melt")
}

// The last melt's one-step residual is its externally studentised residual in
// the fit of all (Cook and Weisberg 1982): two ways to the same number.
func TestOneStepResidual(t *testing.T) {
	rows := energyRows(t)
	before, all := NewFit(3), NewFit(3)
	for i, r := range rows {
		all.Add(r.X, r.Y)
		if i < len(rows)-1 {
			before.Add(r.X, r.Y)
		}
	}
	last := rows[len(rows)-1]
	q, ok := before.Residual(last.X, last.Y, 0)
	require.True(t, ok)
	u, ok := all.Studentised(last.X, last.Y)
	require.True(t, ok)
	chance := distuv.StudentsT{Sigma: 1, Nu: float64(before.DF())}.CDF(u)
	assert.InDelta(t, distuv.UnitNormal.Quantile(chance), q, 1e-9)
}

func TestFitOfColumnsNotTold(t *testing.T) {
	f := NewFit(3)
	for i := range 8 { // never a cold start, and always half an hour a kilogram
		kg := 4 + float64(i%5)
		f.Add([]float64{0, kg, kg / 2}, kg+0.1*float64(i%3))
	}
	assert.Equal(t, 7, f.DF())
	y, _, ok := f.Predict([]float64{0, 6, 3})
	require.True(t, ok)
	assert.InDelta(t, 6.1, y, 0.2)
	_, _, ok = f.Predict([]float64{1, 6, 3})
	assert.False(t, ok, "the first cold start")
	_, _, ok = f.Predict([]float64{0, 6, 4})
	assert.False(t, ok, "hours unlike all before")
	_, _, ok = f.Coef(2)
	assert.False(t, ok)
	_, told := f.Add([]float64{1, 6, 3}, 8)
	assert.False(t, told)
	b, _, ok := f.Coef(0)
	require.True(t, ok)
	assert.InDelta(t, 1.9, b, 0.2)
}

// Recursive and batch least squares agree, whatever the order of rows.
func TestRecursionIsBatch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(6, 40).Draw(t, "n")
		f := NewFit(3)
		columns, y := make([][]float64, 3), []float64(nil)
		sum := 0.0 // of the squared recursive residuals
		for range n {
			x := []float64{
				float64(rapid.IntRange(0, 1).Draw(t, "cold")),
				rapid.Float64Range(1, 20).Draw(t, "kg"),
				rapid.Float64Range(0.5, 6).Draw(t, "hours"),
			}
			y = append(y, rapid.Float64Range(1, 30).Draw(t, "kwh"))
			for j := range x {
				columns[j] = append(columns[j], x[j])
			}
			w, _ := f.Add(x, y[len(y)-1])
			sum += w * w
		}
		batch, err := regress.Origin(y, columns...)
		if err != nil {
			t.Skip("columns cannot be told apart")
		}
		assert.Equal(t, batch.DF, f.DF())
		assert.InDelta(t, batch.Sigma, f.Sigma(), 1e-6*(1+batch.Sigma))
		assert.InDelta(t, batch.Sigma, math.Sqrt(sum/float64(f.DF())), 1e-6*(1+batch.Sigma))
		for j := range columns {
			b, se, ok := f.Coef(j)
			require.True(t, ok)
			assert.InDelta(t, batch.Coef[j], b, 1e-6*(1+batch.SE[j]))
			assert.InDelta(t, batch.SE[j], se, 1e-6*(1+batch.SE[j]))
		}
	})
}

func TestNormalOf(t *testing.T) {
	assert.InDelta(t, 1.959964, normalOf(2.228139, 10), 1e-5) // t table, 2.228 at 0.975 with 10 df
	assert.Equal(t, -normalOf(1.5, 4), normalOf(-1.5, 4))
	assert.Equal(t, float64(furthest), normalOf(math.Inf(1), 60))
	assert.Zero(t, normalOf(0, 3))
}
