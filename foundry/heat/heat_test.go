package heat

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drosswise/foundry/quantity"
	"drosswise/testdata"
)

const kg = quantity.Kilogram

func celsius(c float64) quantity.Temperature {
	return quantity.Temperature(math.Round(c * float64(quantity.Celsius)))
}

// within checks a value against another to a share of it.
func within(t *testing.T, want, got, share float64, what string) {
	t.Helper()
	assert.InDelta(t, want, got, math.Abs(want)*share, what)
}

// Source: NIST-JANAF (Chase 1998) Shomate coefficients as in NIST SRD 69,
// published; a copied digit would show here.
func TestCoefficientsAreThePublishedOnes(t *testing.T) {
	for phase, fit := range map[string]shomate{"solid": solid, "liquid": liquid} {
		row := testdata.Find(t, "physics/al_shomate.csv", "phase", phase)
		want := shomate{
			row.Number(t, "A"), row.Number(t, "B"), row.Number(t, "C"),
			row.Number(t, "D"), row.Number(t, "E"), row.Number(t, "F"),
		}
		assert.Equal(t, want, fit, phase)
	}
}

// Sources: the Shomate column (NIST-JANAF, Chase 1998) to rounding, and the
// independent NASA column (TM-4513, McBride, Gordon, Reno 1993) to 1 %.
func TestAluminiumAgainstTwoTables(t *testing.T) {
	checked := 0
	for _, row := range testdata.Rows(t, "physics/al_enthalpy_check.csv") {
		datum := roomKelvin
		switch row["kind"] {
		case "point_from_298.15K":
			datum = 298.15
		case "from_20C":
		default:
			continue
		}
		fit := solid
		if row["phase"] == "liquid" {
			fit = liquid
		}
		got := fit.content(row.Number(t, "T_K")) - solid.content(datum)
		name := row["kind"] + " " + row["phase"] + " " + row["T_C"]
		within(t, row.Number(t, "dH_shomate_kJ_kg"), got, 0.0005, name)
		within(t, row.Number(t, "dH_nasa_kJ_kg"), got, 0.01, name)
		if row["kind"] == "from_20C" && row["phase"] == "liquid" {
			got := Aluminium(celsius(row.Number(t, "T_C")))
			within(t, row.Number(t, "dH_nasa_kJ_kg"), got, 0.01, name)
		}
		checked++
	}
	assert.Equal(t, 17, checked)
}

// Source: heat of fusion 397 kJ/kg, NIST-JANAF (Chase 1998), published.
func TestFusionHeat(t *testing.T) {
	within(t, 397, FusionHeat(), 0.001, "fusion")
}

// Source: 500 Btu/lb to 1370 °F = 1163.0 kJ/kg to 743.33 °C, trade answer page,
// published, undated. Not computed from either fit.
func TestAluminiumAgainstTradeFigure(t *testing.T) {
	within(t, 1163.0, Aluminium(celsius(743.33)), 0.01, "to 1370 °F")
}

// 0.309, 0.316 and 0.322 kWh/kg at 700, 720 and 740 °C: the Shomate fit again,
// in the unit people pay in; general heat-treat pages give 0.31 to 0.33.
func TestNeededInKilowattHours(t *testing.T) {
	for c, want := range map[float64]float64{700: 0.309, 720: 0.316, 740: 0.322} {
		r, err := Needed(kg, 20*quantity.Celsius, celsius(c), "")
		require.NoError(t, err)
		assert.InDelta(t, want, r.Energy.KilowattHours(), 0.001, "%v °C", c)
		assert.Equal(t, PureAluminium, r.LatentOf)
	}
	// Counting H against the liquid would give 0.2074 kWh/kg at 720 °C.
	r, err := Needed(kg, 20*quantity.Celsius, 720*quantity.Celsius, "")
	require.NoError(t, err)
	assert.Greater(t, r.Energy.KilowattHours(), 0.3)
}

// Source of 389 kJ/kg for A380.0: NADCA Product Specification Standards, table
// A-3-2, published. 3003 has no figure, so pure aluminium's is used and said.
func TestNeededSaysWhoseLatentHeat(t *testing.T) {
	pure, err := Needed(2*kg, 20*quantity.Celsius, 720*quantity.Celsius, "mixed scrap")
	require.NoError(t, err)

	die, err := Needed(2*kg, 20*quantity.Celsius, 720*quantity.Celsius, "a380")
	require.NoError(t, err)
	assert.Equal(t, "A380.0", die.LatentOf)
	assert.Equal(t, 389.0, die.Latent)
	assert.InDelta(t, pure.PerKilogram-FusionHeat()+389, die.PerKilogram, 1e-9)
	assert.InDelta(t, 2000*die.PerKilogram, float64(die.Energy), 0.5)

	sheet, err := Needed(2*kg, 20*quantity.Celsius, 720*quantity.Celsius, "3003")
	require.NoError(t, err)
	assert.Equal(t, PureAluminium, sheet.LatentOf)
	assert.Equal(t, pure.Energy, sheet.Energy)
}

// Between solidus and liquidus only part of the latent heat is counted.
func TestMeltingIsSpreadOverTheRange(t *testing.T) {
	m := meltingOf("A356")
	assert.Equal(t, 0.0, m.melted(557*quantity.Celsius))
	assert.Equal(t, 0.5, m.melted(585*quantity.Celsius))
	assert.Equal(t, 1.0, m.melted(613*quantity.Celsius))
}

func TestNeededRefuses(t *testing.T) {
	_, err := Needed(kg, -41*quantity.Celsius, 700*quantity.Celsius, "")
	assert.ErrorIs(t, err, ErrTemperature)
	_, err = Needed(kg, 20*quantity.Celsius, 1201*quantity.Celsius, "")
	assert.ErrorIs(t, err, ErrTemperature)
	_, err = Needed(kg, 700*quantity.Celsius, 20*quantity.Celsius, "")
	assert.ErrorIs(t, err, ErrOrder)
	_, err = Needed(-kg, 20*quantity.Celsius, 700*quantity.Celsius, "")
	assert.ErrorIs(t, err, ErrMass)

	r, err := Needed(kg, MinTemperature, MaxTemperature, "")
	require.NoError(t, err)
	assert.Positive(t, r.Energy)
}

func TestHotterNeverTakesLess(t *testing.T) {
	temperature := rapid.Int64Range(int64(MinTemperature), int64(MaxTemperature))
	names := []string{"", "brass"}
	for _, row := range testdata.Rows(t, "physics/alloys.csv") {
		names = append(names, row["alloy"])
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := temperature.Draw(t, "a"), temperature.Draw(t, "b"), temperature.Draw(t, "c")
		low, high := min(a, b, c), max(a, b, c)
		middle := a + b + c - low - high
		name := rapid.SampledFrom(names).Draw(t, "alloy")
		step := func(from, to int64) float64 {
			r, err := Needed(kg, quantity.Temperature(from), quantity.Temperature(to), name)
			require.NoError(t, err)
			require.GreaterOrEqual(t, r.PerKilogram, 0.0)
			return r.PerKilogram
		}
		// In two steps the metal takes what it takes in one.
		assert.InDelta(t, step(low, high), step(low, middle)+step(middle, high), 1e-6)
	})
}
