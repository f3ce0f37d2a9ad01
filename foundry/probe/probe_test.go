package probe

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drosswise/foundry/quantity"
	"drosswise/testdata"
)

const table = "physics/type_k_check.csv"

func celsius(c float64) quantity.Temperature {
	return quantity.Temperature(math.Round(c * float64(quantity.Celsius)))
}

// Source: NIST Monograph 175 (Burns et al. 1993), ITS-90, published; where the
// printed table's figure was seen it is held against too.
func TestMillivoltsAgainstTable(t *testing.T) {
	printed := 0
	for _, row := range testdata.Rows(t, table) {
		got, err := Millivolts(celsius(row.Number(t, "t_C")))
		require.NoError(t, err)
		assert.InDelta(t, row.Number(t, "emf_mV"), got, 0.0001, "%s °C", row["t_C"])
		if row["printed_table_mV"] != "" {
			assert.InDelta(t, row.Number(t, "printed_table_mV"), got, 0.0006, "%s °C", row["t_C"])
			printed++
		}
	}
	assert.Equal(t, 5, printed)
}

// Source: printed type K table, NIST Monograph 175: −1.889 mV at −50 °C,
// −3.554 at −100 °C, −5.891 at −200 °C; from memory.
func TestMillivoltsBelowFreezing(t *testing.T) {
	for c, want := range map[float64]float64{-50: -1.889, -100: -3.554, -200: -5.891} {
		got, err := Millivolts(celsius(c))
		require.NoError(t, err)
		assert.InDelta(t, want, got, 0.001, "%v °C", c)
	}
}

// Source: NIST Monograph 175 read backwards, printed figures only.
func TestTemperatureAgainstTable(t *testing.T) {
	for _, row := range testdata.Rows(t, table) {
		if row["printed_table_mV"] == "" {
			continue
		}
		got, err := Temperature(row.Number(t, "printed_table_mV"))
		require.NoError(t, err)
		assert.InDelta(t, row.Number(t, "t_C"), got.Celsius(), 0.03)
	}
}

// Source: the inverse polynomials of NIST Monograph 175 are stated to agree
// with the reference function to ±0.06 °C; the one for 500 to 1372 °C is typed
// here, so that the search is held against a fit of other hands.
func TestTemperatureAgainstInversePolynomial(t *testing.T) {
	inverse := []float64{-1.318058e2, 4.830222e1, -1.646031, 5.464731e-2, -9.650715e-4, 8.802193e-6, -3.110810e-8}
	for mv := 21.0; mv < 54.8; mv += 0.1 {
		got, err := Temperature(mv)
		require.NoError(t, err)
		assert.InDelta(t, polynomial(inverse, mv), got.Celsius(), 0.06, "%.1f mV", mv)
	}
}

func TestThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := quantity.Temperature(rapid.Int64Range(int64(MinTemperature), int64(MaxTemperature)).Draw(t, "t"))
		mv, err := Millivolts(want)
		require.NoError(t, err)
		got, err := Temperature(mv)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	})
}

func TestBeyondTheTables(t *testing.T) {
	for _, c := range []float64{-200.01, 1372.01} {
		_, err := Millivolts(celsius(c))
		assert.ErrorIs(t, err, ErrRange)
	}
	for _, mv := range []float64{-6, 55, math.NaN(), math.Inf(1)} {
		_, err := Temperature(mv)
		assert.ErrorIs(t, err, ErrRange, "%v", mv)
	}
}

// Source: IEC 60584-1:2013 / JIS C1602, published; the table rounds to 0.01.
// At 720 °C a class 2 probe may be 5.4 °C off.
func TestToleranceAgainstTable(t *testing.T) {
	for _, row := range testdata.Rows(t, table) {
		for class, column := range map[Class]string{Class1: "iec_class1_tol_C", Class2: "iec_class2_tol_C"} {
			got, ok := Tolerance(class, celsius(row.Number(t, "t_C")))
			if row[column] == "" {
				assert.False(t, ok, "%s at %s °C", column, row["t_C"])
				continue
			}
			require.True(t, ok)
			assert.InDelta(t, row.Number(t, column), got, 0.0051, "%s at %s °C", column, row["t_C"])
		}
	}
	_, ok := Tolerance(3, celsius(100))
	assert.False(t, ok)
	_, ok = Tolerance(Class2, celsius(-41))
	assert.False(t, ok)
}
