package element

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drosswise/foundry/quantity"
	"drosswise/testdata"
)

const practice = "physics/limits_practice.csv"

func celsius(c float64) quantity.Temperature {
	return quantity.Temperature(math.Round(c * float64(quantity.Celsius)))
}

// Source: ASTM B258, published; the inch column is read from a standard copper
// wire table, not computed.
func TestAWGAgainstTable(t *testing.T) {
	printed := 0
	for _, row := range testdata.Rows(t, "physics/awg_check.csv") {
		n, err := strconv.Atoi(row["awg"])
		require.NoError(t, err)
		got, err := AWG(n)
		require.NoError(t, err)
		assert.InDelta(t, row.Number(t, "diameter_mm"), got, 0.000006, "AWG %d", n)
		assert.InDelta(t, row.Number(t, "area_mm2"), area(got), 0.000006, "AWG %d", n)
		if row["printed_table_diameter_in"] != "" {
			assert.InDelta(t, row.Number(t, "printed_table_diameter_in"), got/25.4, 0.00005, "AWG %d", n)
			printed++
		}
		for column, rho := range map[string]float64{"ohm_per_m_rho1_45": 1.45, "ohm_per_m_rho1_35": 1.35, "ohm_per_m_rho1_09": 1.09} {
			ohms, err := Ohms(Wire{Resistivity: rho}, 1, got)
			require.NoError(t, err)
			assert.InDelta(t, row.Number(t, column), ohms, 0.00006, "AWG %d at %v", n, rho)
		}
	}
	assert.Equal(t, 15, printed)
	for _, n := range []int{-4, 41} {
		_, err := AWG(n)
		assert.ErrorIs(t, err, ErrGauge)
	}
}

// Source: makers' handbook of resistance heating alloys (2003), datasheets and
// GB/T 1234, row by row in the table; guards against slips of the pen.
func TestWiresAreThePublishedOnes(t *testing.T) {
	rows := testdata.Rows(t, "physics/wire_alloys.csv")
	require.Len(t, Wires(), len(rows))
	for _, row := range rows {
		w, ok := Find(row["alloy"])
		require.True(t, ok, row["alloy"])
		assert.Equal(t, row["standard_note"], w.Standard, w.Name)
		assert.Equal(t, row["flag"], w.Flag, w.Name)
		assert.Equal(t, row.Number(t, "resistivity_20C_ohm_mm2_m"), w.Resistivity, w.Name)
		assert.Equal(t, row.Number(t, "resistivity_tol_pct"), w.Tolerance, w.Name)
		assert.Equal(t, row.Number(t, "density_g_cm3"), w.Density, w.Name)
		assert.Equal(t, row.Number(t, "max_element_temp_C"), w.MaxTemperature.Celsius(), w.Name)
		assert.Equal(t, row.Number(t, "melting_C"), w.Melting.Celsius(), w.Name)
		if row["emissivity_oxidised"] == "" {
			assert.Zero(t, w.Emissivity, w.Name)
		} else {
			assert.Equal(t, row.Number(t, "emissivity_oxidised"), w.Emissivity, w.Name)
		}
	}
	_, ok := Find("copper")
	assert.False(t, ok)
	w, ok := Find(" nicr80/20")
	require.True(t, ok)
	assert.Equal(t, "NiCr 80/20", w.Name)
}

// Source: makers' handbook (2003) and GB/T 1234 as an alloy maker prints it;
// every row of every table.
func TestCtAgainstTables(t *testing.T) {
	seen := map[string]bool{}
	for _, row := range testdata.Rows(t, "physics/wire_ct.csv") {
		got, ok := Ct(row["alloy"], celsius(row.Number(t, "temperature_C")))
		require.True(t, ok, row["alloy"])
		assert.Equal(t, row.Number(t, "Ct_ratio"), got, "%s at %s °C", row["alloy"], row["temperature_C"])
		seen[row["alloy"]] = true
	}
	assert.Len(t, ctTables, len(seen))
}

func TestCtBetweenRowsAndBeyond(t *testing.T) {
	w, _ := Find("NiCr 80/20")
	got, ok := w.Ct(60 * deg) // half way from 20 to 100 °C
	require.True(t, ok)
	assert.InDelta(t, 1.005, got, 1e-12)
	got, ok = w.Ct(450 * deg)
	require.True(t, ok)
	assert.InDelta(t, 1.045, got, 1e-12)
	got, ok = w.Ct(-10 * deg)
	require.True(t, ok)
	assert.Equal(t, 1.0, got)
	_, ok = w.Ct(1200*deg + 1)
	assert.False(t, ok)
	_, ok = Ct("copper", 100*deg)
	assert.False(t, ok)
	noTable, _ := Find("FeCrAl 15Cr-4.3Al")
	_, ok = noTable.Ct(100 * deg)
	assert.False(t, ok)
}

// The two printed tables for 80/20 wire disagree; both can be read.
func TestCtWhereSourcesDisagree(t *testing.T) {
	w, _ := Find("NiCr 80/20")
	require.Len(t, w.CtTables(), 2)
	for i, want := range []float64{1.05, 1.014} {
		got, ok := Ct(w.CtTables()[i], 1000*deg)
		require.True(t, ok)
		assert.Equal(t, want, got)
	}
	for _, w := range Wires() {
		for _, name := range w.CtTables() {
			assert.Contains(t, ctTables, name)
		}
	}
}

// Source: worked element of limits_practice.csv, computed there from ASTM B258
// and the handbook's 1.45 Ω·mm²/m and Ct 1.04: the figures are in its note.
func TestWorkedElement(t *testing.T) {
	row := testdata.Find(t, practice, "item", "worked_element")
	note := regexp.MustCompile(`230 V cold ([\d.]+) W; hot Ct ([\d.]+) -> ([\d.]+) ohm, ([\d.]+) W; surface ([\d.]+) cm2, hot surface load ([\d.]+)`).
		FindStringSubmatch(row["note"])
	require.Len(t, note, 7)
	want := make([]float64, 7)
	for i := 1; i < 7; i++ {
		var err error
		want[i], err = strconv.ParseFloat(note[i], 64)
		require.NoError(t, err)
	}

	wire, ok := Find("FeCrAl 22Cr-5.8Al")
	require.True(t, ok)
	diameter, err := AWG(14)
	require.NoError(t, err)
	metres, err := LengthFor(wire, 10, diameter)
	require.NoError(t, err)
	assert.InDelta(t, row.Number(t, "value"), metres, 0.00006)
	cold, err := Watts(230, 10)
	require.NoError(t, err)
	assert.InDelta(t, want[1], cold, 0.05)
	ct, ok := wire.Ct(1000 * deg)
	require.True(t, ok)
	assert.Equal(t, want[2], ct)
	assert.InDelta(t, want[3], 10*ct, 0.0005)
	hot, err := Watts(230, 10*ct)
	require.NoError(t, err)
	assert.InDelta(t, want[4], hot, 0.05)
	load, err := SurfaceLoad(hot, metres, diameter)
	require.NoError(t, err)
	assert.InDelta(t, want[5], hot/load, 0.05)
	assert.InDelta(t, want[6], load, 0.0005)
}

func TestFormulasRefuseWhatIsNotPositive(t *testing.T) {
	wire := Wire{Resistivity: 1.45}
	for _, bad := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		for name, try := range map[string]func() (float64, error){
			"ohms":     func() (float64, error) { return Ohms(wire, bad, 1) },
			"diameter": func() (float64, error) { return Ohms(wire, 1, bad) },
			"wire":     func() (float64, error) { return Ohms(Wire{Resistivity: bad}, 1, 1) },
			"length":   func() (float64, error) { return LengthFor(wire, bad, 1) },
			"volts":    func() (float64, error) { return Watts(bad, 10) },
			"watts":    func() (float64, error) { return Watts(230, bad) },
			"load":     func() (float64, error) { return SurfaceLoad(bad, 1, 1) },
		} {
			_, err := try()
			assert.ErrorIs(t, err, ErrNotPositive, "%s of %v", name, bad)
		}
	}
}

func TestLengthThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wire := rapid.SampledFrom(Wires()).Draw(t, "wire")
		metres := rapid.Float64Range(0.01, 1000).Draw(t, "metres")
		millimetres := rapid.Float64Range(0.05, 12).Draw(t, "millimetres")
		ohms, err := Ohms(wire, metres, millimetres)
		require.NoError(t, err)
		back, err := LengthFor(wire, ohms, millimetres)
		require.NoError(t, err)
		assert.InEpsilon(t, metres, back, 1e-12)
	})
}
