package alloy

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/testdata"
)

// Guards the table against slips of the pen: every row and every flag is the
// one of testdata/physics/alloys.csv, which names the source of each row.
func TestTableIsThePublishedOne(t *testing.T) {
	rows := testdata.Rows(t, "physics/alloys.csv")
	require.Len(t, names(), len(rows))
	for i, row := range rows {
		a, ok := Find(row["alloy"])
		require.True(t, ok, row["alloy"])
		assert.Equal(t, row["alloy"], names()[i])
		assert.Equal(t, row["standard_family"], a.Family, a.Name)
		assert.Equal(t, row["equivalents"], a.Equivalents, a.Name)
		assert.Equal(t, row.Number(t, "solidus_C"), a.Solidus.Celsius(), a.Name)
		assert.Equal(t, row.Number(t, "liquidus_C"), a.Liquidus.Celsius(), a.Name)
		assert.Equal(t, row.Number(t, "density_g_cm3"), a.Density, a.Name)
		assert.Equal(t, row.Number(t, "pour_min_C"), a.PourMin.Celsius(), a.Name)
		assert.Equal(t, row.Number(t, "pour_max_C"), a.PourMax.Celsius(), a.Name)
		if row["latent_heat_kJ_kg"] == "" {
			assert.Zero(t, a.LatentHeat, a.Name)
		} else {
			assert.Equal(t, row.Number(t, "latent_heat_kJ_kg"), a.LatentHeat, a.Name)
		}
		assert.Equal(t,
			[]string{row["flag_melting_range"], row["flag_density"], row["flag_latent_cp"], row["flag_pour"]},
			[]string{a.MeltingFlag, a.DensityFlag, a.LatentFlag, a.PourFlag}, a.Name)
	}
}

// Pure aluminium freezes at 660.323 °C (ITS-90 fixed point, Preston-Thomas
// 1990): an alloy of it starts to melt below that, and is poured liquid.
func TestRangesMakeSense(t *testing.T) {
	for _, name := range names() {
		a, _ := Find(name)
		assert.Less(t, a.Solidus, a.Liquidus, name)
		assert.Less(t, a.Liquidus.Celsius(), 660.323, name)
		assert.LessOrEqual(t, a.PourMin, a.PourMax, name)
		assert.Greater(t, a.PourMin, a.Liquidus, name)
	}
}

// The aluminium-silicon eutectic at 577 °C (Murray and McAlister 1984, from
// memory) lies within the range of 413.0, which is nearly that composition.
func TestEutecticAlloy(t *testing.T) {
	a, ok := Find("413.0")
	require.True(t, ok)
	assert.Less(t, a.Solidus.Celsius(), 577.0)
	assert.Greater(t, a.Liquidus.Celsius(), 577.0)
}

func TestFindIsForgiving(t *testing.T) {
	for typed, want := range map[string]string{
		" a356 ": "A356.0", "a380.0": "A380.0", "adc 12": "ADC12", "lm-25": "LM25", "Lm 6": "LM6", "319": "319.0", "6061": "6061",
	} {
		a, ok := Find(typed)
		require.True(t, ok, typed)
		assert.Equal(t, want, a.Name)
	}
	for _, typed := range []string{"", "unobtainium", "LM", "60 60"} {
		_, ok := Find(typed)
		assert.False(t, ok, typed)
	}
}

func TestNamesAreDistinctWhenTyped(t *testing.T) {
	seen := map[string]string{}
	for _, name := range names() {
		assert.Empty(t, seen[key(name)], "%s and %s are the same when typed", name, seen[key(name)])
		seen[key(name)] = name
		lower, ok := Find(strings.ToLower(name))
		require.True(t, ok)
		assert.Equal(t, name, lower.Name)
	}
}

// names lists the alloys in the order of the table.
func names() []string {
	all := make([]string, len(table))
	for i, a := range table {
		all[i] = a.Name
	}
	return all
}
