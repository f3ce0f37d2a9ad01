package findings

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/recovery"
	"drosswise/testdata"
)

// expected gives the answers of a worked example with their tolerances.
func expected(t *testing.T, example string) map[string][2]float64 {
	t.Helper()
	answers := map[string][2]float64{}
	for _, row := range testdata.Rows(t, "statistics/expected.csv") {
		if row["example"] == example {
			answers[row["quantity"]] = [2]float64{row.Number(t, "expected"), row.Number(t, "abs_tolerance")}
		}
	}
	require.NotEmpty(t, answers)
	return answers
}

func agree(t *testing.T, example string, got map[string]float64) {
	t.Helper()
	for quantity, want := range expected(t, example) {
		value, ok := got[quantity]
		if assert.True(t, ok, "%s is not worked out", quantity) {
			assert.InDelta(t, want[0], value, want[1], quantity)
		}
	}
}

// Source: b_bayes_closed_form_1, constructed; recomputed with NumPy. A source
// is the shop's level plus its own part, as in Effects.
func TestModelAgainstClosedForm(t *testing.T) {
	m := &model{mean: []float64{0.88, 0, 0}, sd: []float64{0.08, 0.05, 0.05}}
	for _, line := range testdata.Rows(t, "statistics/b_bayes_closed_form_1.csv") {
		w := line.Number(t, "weighing_sd")
		r := row{y: line.Number(t, "yield"), doubt: w * w}
		r.add(0, 1)
		r.add(1, line.Number(t, "x1"))
		r.add(2, line.Number(t, "x2"))
		m.rows = append(m.rows, r)
	}
	f, ok := m.solve(0.012)
	require.True(t, ok)
	mixture := []component{{1, f.s, f.mean, m.cov(f)}}
	first, second := linear(mixture, []float64{1, 1, 0}), linear(mixture, []float64{1, 0, 1})
	less := linear(mixture, []float64{0, 1, -1})
	both := (first.sd[0]*first.sd[0] + second.sd[0]*second.sd[0] - less.sd[0]*less.sd[0]) / 2
	agree(t, "b_bayes_closed_form_1", map[string]float64{
		"posterior mean r1": first.mean[0], "posterior mean r2": second.mean[0],
		"posterior sd r1": first.sd[0], "posterior sd r2": second.sd[0],
		"posterior correlation r1,r2":       both / first.sd[0] / second.sd[0],
		"log marginal likelihood":           f.fits - float64(len(m.rows))/2*math.Log(2*math.Pi),
		"P(r1 > r2), Gaussian, box ignored": 1 - less.below(0),
	})
}

func energyExample(t *testing.T) []heat {
	var heats []heat
	for _, l := range testdata.Rows(t, "statistics/c_energy_1.csv") {
		heats = append(heats, heat{
			id: int64(l.Number(t, "melt")), cold: l.Number(t, "cold_start"), kg: l.Number(t, "charged_kg"),
			hours: l.Number(t, "hours"), kwh: l.Number(t, "kwh"), first: l.Number(t, "cold_start") == 1,
		})
	}
	return heats
}

// Source: c_energy_1, constructed; recomputed with R 4.2.2. With a prior that
// says nothing, the fit is plain least squares.
func TestEnergyAgainstPlainLeastSquares(t *testing.T) {
	m := energyModel(energyExample(t), 1)
	m.sd = []float64{1e5, 1e5, 1e5}
	f, ok := m.solve(1)
	require.True(t, ok)
	rss := 0.0
	for i := range m.rows {
		e := m.rows[i].residual(f.mean)
		rss += e * e
	}
	sigma := math.Sqrt(rss / float64(len(m.rows)-3))
	f, ok = m.solve(sigma)
	require.True(t, ok)
	cov := m.cov(f)
	got := map[string]float64{
		"coef start-up kWh": f.mean[0], "coef kWh per kg": f.mean[1], "coef kWh per hour": f.mean[2],
		"se start-up": math.Sqrt(cov[0]), "se per kg": math.Sqrt(cov[4]), "se per hour": math.Sqrt(cov[8]),
		"residual sd": sigma,
	}
	const largest = "largest |externally studentised residual|"
	for i, x := range m.studentised() {
		if math.Abs(x) > got[largest] {
			got[largest], got["its melt"] = math.Abs(x), float64(i+1)
		}
	}
	agree(t, "c_energy_1", got)
}

// Source: the normal mean with a normal prior, by hand: prior N(0, 1), two
// readings 1 and 3 of variance 1 give precision 3, mean 4/3, variance 1/3.
func TestModelByHand(t *testing.T) {
	m := &model{mean: []float64{0}, sd: []float64{1}, rows: []row{{at: []int{0}, x: []float64{1}, y: 1}, {at: []int{0}, x: []float64{1}, y: 3}}}
	f, ok := m.solve(1)
	require.True(t, ok)
	assert.InDelta(t, 4.0/3, f.mean[0], 1e-12)
	assert.InDelta(t, 1.0/3, m.cov(f)[0], 1e-12)
}

// With s unknown and a prior that says nothing, the curve of a mean must be
// Student's t: for ten readings 0.95 lies at 1.833 standard errors (9 degrees
// of freedom; table of Student's t, from memory), for the prior 1/s on s. The
// prior on s here is not quite that, hence the tolerance.
func TestScatterIsLearnt(t *testing.T) {
	m := &model{mean: []float64{0}, sd: []float64{1e4}, scatter: 1, widely: 50, slip: 1e9}
	var mean, squares float64
	for i := range 10 {
		y := float64(i) - 4.5
		mean += y / 10
		squares += y * y
		m.rows = append(m.rows, row{at: []int{0}, x: []float64{1}, y: y, chance: 1e-12})
	}
	error := math.Sqrt(squares / 9 / 10)
	r := one(m.learn(), 0, 1).span(anywhere)
	assert.InDelta(t, mean, r.Middle, 1e-3)
	assert.InDelta(t, 1.833*error, r.High, 0.03*error)
}

// A mistake of a hundred standard deviations must not move the others.
func TestMistakeIsTurnedDown(t *testing.T) {
	m := &model{mean: []float64{0}, sd: []float64{1}, scatter: 0.015, widely: 0.8, slip: 0.25}
	for i := range 10 {
		y := 0.01 * float64(i%3-1)
		if i == 5 {
			y = 1
		}
		m.rows = append(m.rows, row{at: []int{0}, x: []float64{1}, y: y, chance: mistake})
	}
	r := one(m.learn(), 0, 1).span(anywhere)
	assert.Greater(t, m.rows[5].suspect, 0.99)
	assert.Less(t, math.Abs(r.Middle), 0.01)
	assert.Less(t, r.Width(), 0.03)
}

func TestAboveKeepsToTheRange(t *testing.T) {
	r := recovery.Range{Low: 0.7, Middle: 0.9, High: 0.95}
	assert.InDelta(t, 0.95, above(r, 0.7), 1e-9)
	assert.InDelta(t, 0.5, above(r, 0.9), 1e-9)
	assert.InDelta(t, 0.05, above(r, 0.95), 1e-9)
	assert.InDelta(t, 0.9, above(r, 0.9-0.2*1.2815515655/1.6448536270), 1e-9, "the 90 % point of the normal curve")
	point := recovery.Range{Low: 1, Middle: 1, High: 1}
	assert.Equal(t, []float64{1, 0.5, 0}, []float64{above(point, 0.9), above(point, 1), above(point, 1.1)})
}
