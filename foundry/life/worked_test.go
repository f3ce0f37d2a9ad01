package life_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/life"
	"drosswise/testdata"
)

// examples are the worked examples, with the columns of their data. Sources and
// tolerances stand beside each in testdata/statistics/e_*.md.
var examples = map[string][2]string{
	"e_nist_weibull":  {"hours", "failed"},               // NIST/SEMATECH e-Handbook 8.4.1.3, published
	"e_ball_bearings": {"million_revolutions", "failed"}, // Lieblein and Zelen 1956, R survival 3.5-3
	"e_generator_fan": {"hours", "status"},               // Nelson 1982, R survival 3.5-3
	"e_km_gehan":      {"time", "cens"},                  // Gehan 1965, R survival 3.5-3
	"e_km_nist":       {"hours", "failed"},               // NIST/SEMATECH e-Handbook 8.4.1.3, R survival 3.5-3
	"e_weak_prior_1":  {"melts", "failed"},               // constructed, NumPy by fine-grid integration
}

func example(t testing.TB, name string) (pieces []life.Piece) {
	for i, row := range testdata.Rows(t, "statistics/"+name+".csv") {
		p := life.Piece{ID: int64(i + 1), Age: row.Number(t, examples[name][0]), End: life.InService}
		if row[examples[name][1]] == "1" {
			p.End = life.WornOut
		}
		pieces = append(pieces, p)
	}
	return pieces
}

// check holds every expected answer of an example against of(quantity), and
// counts them.
func check(t *testing.T, name string, of func(quantity string) float64) (checked int) {
	for _, want := range testdata.Rows(t, "statistics/expected.csv") {
		if want["example"] != name {
			continue
		}
		q := want["quantity"]
		assert.InDelta(t, want.Number(t, "expected"), of(q), want.Number(t, "abs_tolerance"), "%s: %s", name, q)
		checked++
	}
	return checked
}

// after reads the number behind a word.
func after(t *testing.T, text, word string) float64 {
	_, rest, found := strings.Cut(text, word)
	require.True(t, found, "%q has no %q", text, word)
	digits, _, _ := strings.Cut(strings.Fields(rest)[0], ")")
	x, err := strconv.ParseFloat(digits, 64)
	require.NoError(t, err, text)
	return x
}

func TestMaximumWorked(t *testing.T) {
	checked := 0
	for _, name := range []string{"e_nist_weibull", "e_ball_bearings", "e_generator_fan"} {
		pieces := example(t, name)
		w, err := life.Maximize(pieces)
		require.NoError(t, err, name)
		checked += check(t, name, func(q string) float64 { return maximum(t, pieces, w, q) })
	}
	assert.Equal(t, 19+14+14, checked)
}

func maximum(t *testing.T, pieces []life.Piece, w life.WeibullFit, q string) float64 {
	switch {
	case strings.HasPrefix(q, "Weibayes"):
		scale, ok := life.ScaleAt(pieces, after(t, q, "beta="))
		require.True(t, ok)
		return scale
	case strings.HasPrefix(q, "eta"):
		return w.Scale
	case strings.HasPrefix(q, "log likelihood"):
		return w.LogLikelihood
	case q == "se of log eta (observed information)":
		return w.SELogScale
	case q == "se of log beta":
		return w.SELogShape
	case strings.HasSuffix(q, "lower"):
		return w.ShapeLow
	case strings.HasSuffix(q, "upper"):
		return w.ShapeHigh
	case strings.HasPrefix(q, "beta"):
		return w.Shape
	case strings.HasPrefix(q, "mean"):
		return w.Mean()
	case strings.HasPrefix(q, "standard deviation"):
		return w.SD()
	case q == "B10 life":
		return w.By(0.1)
	case strings.HasPrefix(q, "median remaining"):
		return w.More(after(t, q, "at age "), 0.5)
	case strings.HasPrefix(q, "P(fail within"):
		return w.Ends(after(t, q, "survived "), after(t, q, "within "))
	}
	require.Failf(t, "unknown quantity", "%s", q)
	return math.NaN()
}

func TestCurveWorked(t *testing.T) {
	checked := 0
	for _, name := range []string{"e_km_gehan", "e_km_nist"} {
		k := life.EstimateCurve(example(t, name))
		checked += check(t, name, func(q string) float64 { return curve(t, k, q) })
	}
	assert.Equal(t, 29+41, checked)
}

func curve(t *testing.T, k life.KaplanMeier, q string) float64 {
	if strings.HasPrefix(q, "median") {
		require.NotNil(t, k.Median)
		return *k.Median
	}
	word := " at "
	if strings.HasPrefix(q, "S(") {
		word = "S("
	}
	for _, s := range k.Steps {
		if s.Age != after(t, q, word) {
			continue
		}
		switch {
		case word == "S(":
			return s.Left
		case strings.HasPrefix(q, "Greenwood"):
			return s.SE
		case strings.Contains(q, "lower"):
			return *s.Low
		default:
			return *s.High
		}
	}
	require.Failf(t, "no such step", "%s", q)
	return math.NaN()
}

// Source: constructed; NumPy, by fine-grid integration over a fixed grid.
func TestWeakPriorWorked(t *testing.T) {
	l, err := life.Learn(example(t, "e_weak_prior_1"), life.Heats, 0)
	require.NoError(t, err)
	o, err := l.Outlook(40, 10)
	require.NoError(t, err)
	checked := check(t, "e_weak_prior_1", func(q string) float64 {
		of := map[string]float64{"beta 5 %": l.Shape.Low, "beta median": l.Shape.Middle, "beta 95 %": l.Shape.High}
		if x, ok := of[q]; ok {
			return x
		}
		switch {
		case strings.HasSuffix(q, ": 5 %"):
			return 40 + o.Left.Low
		case strings.HasSuffix(q, ": median"):
			return 40 + o.Left.Middle
		}
		return 40 + o.Left.High
	})
	assert.Equal(t, 6, checked)
}
