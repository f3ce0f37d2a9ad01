package regress_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/regress"
	"drosswise/testdata"
)

// Source: NIST Statistical Reference Datasets, linear regression, certified
// values (a public copy), each to the tolerance stated in expected.csv.
func TestNIST(t *testing.T) {
	checked := 0
	for name, degree := range map[string]int{
		"norris": 1, "pontius": 2, "noint1": 1, "noint2": 1, "longley": 0,
		"filip": 10, "wampler1": 5, "wampler4": 5, "wampler5": 5,
	} {
		table := "statistics/b_strd_" + name + ".csv"
		y, columns := design(t, table, degree)
		fit, first := regress.Line, 0
		if strings.HasPrefix(name, "noint") {
			fit, first = regress.Origin, 1
		}
		got, err := fit(y, columns...)
		require.NoError(t, err, name)
		for _, want := range testdata.Rows(t, "statistics/expected.csv") {
			if want["example"] != "b_strd_"+name {
				continue
			}
			value := quantityOf(t, got, want["quantity"], first)
			assert.InDelta(t, want.Number(t, "expected"), value, want.Number(t, "abs_tolerance"), name+" "+want["quantity"])
			checked++
		}
	}
	assert.Equal(t, 104, checked)
}

// design reads y and its columns: powers of x up to the degree, or all x1, x2,
// … as they stand when the degree is 0.
func design(t *testing.T, table string, degree int) (y []float64, columns [][]float64) {
	rows := testdata.Rows(t, table)
	for _, row := range rows {
		y = append(y, row.Number(t, "y"))
	}
	if degree == 0 {
		for j := 1; rows[0]["x"+strconv.Itoa(j)] != ""; j++ {
			columns = append(columns, nil)
			for _, row := range rows {
				columns[j-1] = append(columns[j-1], row.Number(t, fmt.Sprintf("x%d", j)))
			}
		}
		return y, columns
	}
	for power := 1; power <= degree; power++ {
		var c []float64
		for _, row := range rows {
			c = append(c, math.Pow(row.Number(t, "x"), float64(power)))
		}
		columns = append(columns, c)
	}
	return y, columns
}

func quantityOf(t *testing.T, f regress.Fit, name string, first int) float64 {
	switch {
	case name == "residual SD":
		return f.Sigma
	case name == "R squared":
		return f.RSquared
	case strings.HasPrefix(name, "SE B"):
		return f.SE[index(t, name[4:])-first]
	}
	return f.Coef[index(t, name[1:])-first]
}

func index(t *testing.T, digits string) int {
	i, err := strconv.Atoi(digits)
	require.NoError(t, err)
	return i
}

func TestRefuses(t *testing.T) {
	_, err := regress.Line([]float64{1, 2}, []float64{1, 2})
	assert.ErrorIs(t, err, regress.ErrFew)
	_, err = regress.Line([]float64{1, 2, 3})
	assert.ErrorIs(t, err, regress.ErrFew)
	_, err = regress.Line([]float64{1, 2, 4}, []float64{1, 2})
	assert.Error(t, err)
	same := []float64{1, 2, 3, 5, 8}
	_, err = regress.Line([]float64{1, 2, 4, 4, 7}, same, same)
	assert.ErrorIs(t, err, regress.ErrIllConditioned)
	_, err = regress.Line([]float64{1, 2, 4, 4, 7}, []float64{2, 2, 2, 2, 2})
	assert.ErrorIs(t, err, regress.ErrIllConditioned, "a constant beside an intercept")
}
