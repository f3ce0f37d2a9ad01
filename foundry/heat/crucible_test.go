package heat

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drosswise/foundry/quantity"
	"drosswise/testdata"
)

// Source: heat contents of graphite and silicon carbide, NASA TM-4513 (McBride,
// Gordon, Reno 1993), C(gr) and SiC(b), published; every row.
func TestCrucibleHeatAgainstTable(t *testing.T) {
	checked := 0
	for _, row := range testdata.Rows(t, "physics/crucible.csv") {
		kind, ok := strings.CutPrefix(row["item"], "heat content of ")
		if !ok {
			continue
		}
		from, to := celsius(row.Number(t, "from_C")), celsius(row.Number(t, "to_C"))
		got, ok := CrucibleHeat(Crucible(kind), kg, from, to)
		require.True(t, ok, kind)
		within(t, row.Number(t, "value"), float64(got)/1000, 0.001, kind+" to "+row["to_C"])
		checked++
	}
	assert.Equal(t, 14, checked)
}

// Source: worked value of limits_practice.csv, 2.000 kg of graphite from 20 to
// 720 °C, computed there from NASA TM-4513, published.
func TestWorkedCrucibleHeat(t *testing.T) {
	row := testdata.Find(t, "physics/limits_practice.csv", "item", "worked_crucible_heat")
	got, ok := CrucibleHeat(Graphite, 2*kg, 20*quantity.Celsius, 720*quantity.Celsius)
	require.True(t, ok)
	assert.InDelta(t, row.Number(t, "value"), got.KilowattHours(), 0.0003)

	clay, ok := CrucibleHeat(ClayGraphite, 2*kg, 20*quantity.Celsius, 720*quantity.Celsius)
	require.True(t, ok)
	assert.Equal(t, got, clay, "clay-graphite is counted as graphite")
}

// Sources: specific heat at 25 °C of graphite 0.71 and of silicon carbide
// 0.67 kJ/kgK, NIST-JANAF (Chase 1998), from memory.
func TestSpecificHeatOfColdCrucibles(t *testing.T) {
	for kind, want := range map[Crucible]float64{Graphite: 0.71, SiliconCarbide: 0.67} {
		got, ok := CrucibleHeat(kind, 100*kg, 24*quantity.Celsius, 26*quantity.Celsius)
		require.True(t, ok)
		within(t, want, float64(got)/200_000, 0.01, string(kind))
	}
}

// Sources: a mean of about 0.62 kJ/kgK from 20 to 700 °C for mild steel, from
// memory of handbooks; and the specific heat of EN 1993-1-2:2005, 3.4.1.2, at
// points where its branches are easily worked by hand.
func TestSteel(t *testing.T) {
	got, ok := CrucibleHeat(Steel, kg, 20*quantity.Celsius, 700*quantity.Celsius)
	require.True(t, ok)
	within(t, 0.62, float64(got)/680_000, 0.02, "mean")

	for c, want := range map[float64]float64{
		20:   439.8, // 425 + 15.46 − 0.676 + 0.018
		400:  425 + 309.2 - 270.4 + 142.08,
		700:  666 + 13002.0/38,
		800:  545 + 17820.0/69,
		1000: 650,
	} {
		slope := (steelContent(c+0.01) - steelContent(c-0.01)) / 0.02 * 1000
		within(t, want, slope, 0.001, "specific heat")
	}
}

func TestCrucibleHeatNotKnown(t *testing.T) {
	room, hot := 20*quantity.Celsius, 720*quantity.Celsius
	for name, try := range map[string]struct {
		kind     Crucible
		mass     quantity.Mass
		from, to quantity.Temperature
	}{
		"other":     {Other, kg, room, hot},
		"unheard":   {"clay", kg, room, hot},
		"no mass":   {Graphite, 0, room, hot},
		"cooling":   {Graphite, kg, hot, room},
		"too hot":   {Steel, kg, room, 1201 * quantity.Celsius},
		"too cold":  {Steel, kg, -41 * quantity.Celsius, hot},
		"below all": {SiliconCarbide, -kg, room, hot},
	} {
		_, ok := CrucibleHeat(try.kind, try.mass, try.from, try.to)
		assert.False(t, ok, name)
	}
}

func TestCrucibleTakesMoreWhenHotter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]Crucible{Graphite, ClayGraphite, SiliconCarbide, Steel}).Draw(t, "kind")
		to := quantity.Temperature(rapid.Int64Range(int64(MinTemperature), int64(MaxTemperature)-100).Draw(t, "to"))
		cooler, ok := CrucibleHeat(kind, kg, MinTemperature, to)
		require.True(t, ok)
		hotter, ok := CrucibleHeat(kind, kg, MinTemperature, to+100)
		require.True(t, ok)
		assert.Greater(t, hotter, cooler)
	})
}
