package drift

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/testdata"
)

// answer is an expected value of a worked example with its tolerance.
type answer struct{ value, tolerance float64 }

func answers(t *testing.T, example string) map[string]answer {
	all := map[string]answer{}
	for _, row := range testdata.Rows(t, "statistics/expected.csv") {
		if row["example"] == example {
			all[row["quantity"]] = answer{row.Number(t, "expected"), row.Number(t, "abs_tolerance")}
		}
	}
	require.NotEmpty(t, all)
	return all
}

func (a answer) holds(t *testing.T, got float64, what string) {
	t.Helper()
	assert.InDelta(t, a.value, got, a.tolerance, what)
}

func column(t *testing.T, table, name string) []float64 {
	var all []float64
	for _, row := range testdata.Rows(t, table) {
		all = append(all, row.Number(t, name))
	}
	return all
}

// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4 (λ 0.3,
// target 50, s 2.0539, k 3), published; limits at t = 1 and 5 recomputed.
func TestEWMAAgainstHandbook(t *testing.T) {
	const target, s = 50, 2.0539
	want := answers(t, "c_nist_ewma")
	e := EWMA{Lambda: 0.3, L: 3}
	signals := 0
	for i, y := range column(t, "statistics/c_nist_ewma.csv", "y") {
		z, limit := e.Add((y - target) / s)
		want["EWMA at t="+itoa(i+1)].holds(t, target+s*z, itoa(i+1))
		if math.Abs(z) > limit {
			signals++
		}
	}
	want["signals"].holds(t, float64(signals), "signals")
	want["UCL (steady state)"].holds(t, target+s*e.Steady(), "upper")
	want["LCL (steady state)"].holds(t, target-s*e.Steady(), "lower")
	want["UCL at t=1 (exact variance)"].holds(t, target+s*e.Limit(1), "first")
	want["UCL at t=5 (exact variance)"].holds(t, target+s*e.Limit(5), "fifth")
}

// Source: D. C. Montgomery, Introduction to Statistical Quality Control, table of
// the tabular CUSUM (target 10, σ 1, K 0.5, H 5), from memory, recomputed.
func TestCUSUMAgainstTextbook(t *testing.T) {
	want := answers(t, "c_montgomery_cusum")
	c := CUSUM{K: 0.5, H: 5}
	first, lowest := 0, 0.0
	for i, x := range column(t, "statistics/c_montgomery_cusum.csv", "x") {
		c.Add(x - 10)
		lowest = max(lowest, c.Low)
		if c.High > c.H && first == 0 {
			first = i + 1
			want["C+ at 29"].holds(t, c.High, "C+ at 29")
			want["N+ at 29"].holds(t, float64(c.SinceHigh), "N+ at 29")
		}
	}
	want["first signal (upper)"].holds(t, float64(first), "first")
	want["C+ at 30"].holds(t, c.High, "C+ at 30")
	want["largest C-"].holds(t, lowest, "C-")
}

// Source: NIST/SEMATECH e-Handbook, 6.3.2.2, published; σ and the limit of the
// moving range recomputed.
func TestIndividualsAgainstHandbook(t *testing.T) {
	want := answers(t, "c_nist_individuals")
	c, ok := ChartSingles(column(t, "statistics/c_nist_individuals.csv", "flow"))
	require.True(t, ok)
	want["mean"].holds(t, c.Mean, "mean")
	want["mean moving range"].holds(t, c.Sigma*d2, "moving range")
	want["UCL"].holds(t, c.High, "upper")
	want["LCL"].holds(t, c.Low, "lower")
	want["sigma = MRbar/1.128"].holds(t, c.Sigma, "sigma")
	want["UCL of the moving range (3.267 MRbar)"].holds(t, c.Range, "range")
	assert.Empty(t, c.Out)
}

func TestIndividualsOut(t *testing.T) {
	c, ok := ChartSingles([]float64{0.93, 0.92, 0.94, 0.93, 0.92, 0.93, 0.94, 0.93, 0.80, 0.93, 0.92, 0.93})
	require.True(t, ok)
	assert.Equal(t, []int{8}, c.Out)
	_, ok = ChartSingles([]float64{1, 2, 3})
	assert.False(t, ok, "too few")
	_, ok = ChartSingles(append(make([]float64, 12), math.NaN()))
	assert.False(t, ok)
	c, ok = ChartSingles([]float64{0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1})
	require.True(t, ok)
	assert.Empty(t, c.Out)
}

// Source: run lengths of Lucas and Saccucci 1990 and Montgomery, recomputed with
// the R package spc. The tolerance is the table's and three standard errors of
// the simulation (a run length scatters by about its mean).
func TestRunLengths(t *testing.T) {
	want := answers(t, "c_arl_table")
	const runs = 1500
	for name, c := range map[string]struct {
		lambda, l, h, shift float64
	}{
		"CUSUM two-sided k=0.5 h=5: ARL at shift 0":              {h: 5},
		"CUSUM two-sided k=0.5 h=5: ARL at shift 1":              {h: 5, shift: 1},
		"CUSUM two-sided k=0.5 h=4: ARL at shift 0":              {h: 4},
		"CUSUM two-sided k=0.5 h=4: ARL at shift 1":              {h: 4, shift: 1},
		"EWMA lambda=.2 L=2.86: ARL at shift 0 (steady limits)":  {lambda: 0.2, l: 2.86},
		"EWMA lambda=.2 L=2.86: ARL at shift 1 (steady limits)":  {lambda: 0.2, l: 2.86, shift: 1},
		"EWMA lambda=.1 L=2.7: ARL at shift 1 (steady limits)":   {lambda: 0.1, l: 2.7, shift: 1},
		"EWMA lambda=.2 L=2.962: ARL at shift 1 (steady limits)": {lambda: 0.2, l: 2.962, shift: 1},
	} {
		r := rand.New(rand.NewPCG(1, 90))
		total := 0
		for range runs {
			e, s := EWMA{Lambda: c.lambda, L: c.l}, CUSUM{K: 0.5, H: c.h}
			for alarm := false; !alarm; total++ {
				q := r.NormFloat64() + c.shift
				if c.h > 0 {
					s.Add(q)
					alarm = s.High > s.H || s.Low > s.H
				} else {
					z, _ := e.Add(q)
					alarm = math.Abs(z) > e.Steady()
				}
			}
		}
		w := want[name]
		require.NotZero(t, w.value, name)
		mean := float64(total) / runs
		assert.InDelta(t, w.value, mean, w.tolerance+3*mean/math.Sqrt(runs), name)
	}
}
