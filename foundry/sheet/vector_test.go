package sheet_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/sheet"
	"drosswise/testdata"
)

// The test vector of the trade notes, §4, worked out there by hand; every
// figure to half of the last digit that is printed. The formulas are those of
// American Foundry Society practice for the metal, and of the heat content of
// aluminium (NIST-JANAF) for the efficiency.
func TestVector(t *testing.T) {
	s := sheet.Of(vectorHeading(), vectorLines(), vectorFacts())
	for _, c := range []struct {
		name       string
		got        sheet.Figure
		want, half float64
	}{
		{"recovered, kg", s.Recovered, 7.47, 0.0005},
		{"yield", s.Yield, 0.934, 0.0005},
		{"melt loss", s.Loss, 0.066, 0.0005},
		{"dross rate", s.DrossRate, 0.069, 0.0005},
		{"unaccounted, kg", s.Unaccounted, -0.02, 0.0005},
		{"kWh per kg charged", s.PerCharged, 1.45, 0.005},
		{"kWh per kg recovered", s.PerUsable, 1.55, 0.005},
		{"efficiency", s.Efficiency, 0.218, 0.0005},
		{"kg/h", s.Rate, 2.53, 0.005},
		{"hours to all molten", s.TimeMolten, 3 + 10.0/60, 1e-9},
		{"cash", s.Cash, 8.71, 0.005},
		{"cash per kg", s.CashPerKg, 1.17, 0.005},
		{"opportunity", s.Opportunity, 10.11, 0.005},
		{"opportunity per kg", s.OpportunityPerKg, 1.35, 0.005},
	} {
		require.Empty(t, c.got.Lacks, c.name)
		assert.Empty(t, c.got.Without, c.name)
		assert.InDelta(t, c.want, c.got.X, c.half, c.name)
	}
	assert.InDelta(t, -0.0025, s.Unaccounted.X/s.Charged.X, 0.00005, "unaccounted as a share of the charge")
	assert.InDelta(t, 0.0030, s.Yield.U, 0.00005, "σ_Y in fractions, 0.30 points")
	assert.Equal(t, s.Yield.U, s.Loss.U)
	assert.Equal(t, melt.Closed, s.State)
	assert.Equal(t, sheet.ByMeter, s.EnergyBasis)
	assert.Equal(t, 9, s.PouredCount)
	assert.Empty(t, s.Flags)
	// 6.00 at 0.80; 11.6 kWh at 0.2573; 60/100 and 45/200; 2.00 at 0.70.
	assert.Equal(t, sheet.Costs{Scrap: 4.8, Energy: 2.98468, Added: 0.1, Crucible: 0.6, Element: 0.225, Forgone: 1.4}, s.Costs)
}

// The heat of the vector's crucible: graphite takes 973.1 kJ/kg from 20 to
// 720 °C (NASA TM-4513 in testdata), so 3 kg take 0.811 kWh; what neither metal
// nor crucible took is the rest.
func TestHeatOfTheCrucibleAndTheRest(t *testing.T) {
	s := sheet.Of(vectorHeading(), vectorLines(), vectorFacts())
	assert.InDelta(t, 3*973.1/3600, s.IntoPot.X, 0.001*s.IntoPot.X)
	assert.InDelta(t, 11.6, s.IntoMetal.X+s.IntoPot.X+s.Rest.X, 1e-8)
	// 0.316 kWh/kg at 720 °C (trade notes, §4).
	assert.InDelta(t, 0.316, s.IntoMetal.X/8, 0.0005)
	assert.Equal(t, []string{"pure aluminium"}, s.LatentOf)

	h := vectorHeading()
	h.Warm = true
	warm := sheet.Of(h, vectorLines(), vectorFacts())
	assert.Equal(t, sheet.Figure{}, warm.IntoPot, "a crucible still hot takes none")
	assert.InDelta(t, s.Rest.X+s.IntoPot.X, warm.Rest.X, 1e-8)

	h.Warm, h.Ambient = false, new(-10*quantity.Celsius)
	cold := sheet.Of(h, vectorLines(), vectorFacts())
	assert.Greater(t, cold.IntoMetal.X, s.IntoMetal.X, "the heading's own temperature is used")
	assert.Greater(t, cold.IntoPot.X, s.IntoPot.X)
}

// Published results of remelting. The weights logged are made from the printed
// yields, so this does not test the metal: it tests that the sheet's yield is
// the ratio that the publications print, over the charge as it went in where
// they say "yield of the scrap", and over the net metal where they say so.
func TestPublishedYields(t *testing.T) {
	const table, column = "physics/melt_loss.csv", "scrap_or_residue"
	charge := quantity.Mass(1000 * quantity.Gram)
	for _, name := range []string{
		"can bodies, small lab melt with flux", // yields by charge, a study of 2017
		"can lids, small lab melt with flux",
		"unalloyed aluminium scrap", // usual metal yield of EN 13920-2
		"dross and skimmings",       // metal yield at the limit of EN 13920-16
		"laminated packaging",       // metal yield named in EN 13920-14
	} {
		row := testdata.Find(t, table, column, name)
		require.Equal(t, "published", row["flag"], name)
		for _, end := range []string{"metal_min_wt_pct", "metal_max_wt_pct"} {
			if row[end] == "" {
				continue
			}
			yield := row.Number(t, end) / 100
			s := sheet.Of(vectorHeading(), remelted(charge, 0, yield), vectorFacts())
			assert.InDelta(t, yield, s.Yield.X, 1e-9, "%s, %s", name, end)
			assert.InDelta(t, 1-yield, s.Loss.X, 1e-9, "%s, %s", name, end)
		}
	}

	// Product over net metal input of refiners and remelters: 98 %, from scrap
	// of which 94 % was metal (Boin and Bertram 2005). What was not metal is
	// logged as found beside it, so that the yield is over the net charge.
	net := testdata.Find(t, table, column, "net metal recovery, EU-15 refiners and remelters 2002")
	content := testdata.Find(t, table, column, "all scrap, EU-15 2002 mean")
	require.Equal(t, []string{"published", "published"}, []string{net["flag"], content["flag"]})
	share, yield := content.Number(t, "metal_min_wt_pct")/100, net.Number(t, "metal_min_wt_pct")/100
	s := sheet.Of(vectorHeading(), remelted(charge, 1-share, yield), vectorFacts())
	assert.InDelta(t, 0.98, s.Yield.X, 1e-9)
	assert.InDelta(t, 0.94*0.98, s.Recovered.X/s.Charged.X, 1e-9, "over all that was charged")
}

// remelted logs a charge of which a share is not metal, and the ingots that a
// yield gives.
func remelted(charge quantity.Mass, foreign, yield float64) []melt.Line {
	steel := quantity.Mass(float64(charge)*foreign + 0.5)
	metal := quantity.Mass(float64(charge-steel)*yield + 0.5)
	on := func(m quantity.Mass) func(*melt.Line) {
		return func(l *melt.Line) { l.Gross, l.Scale = []quantity.Mass{m}, scale }
	}
	return written(
		line(melt.Charge, 0, on(charge), of(wheels)),
		line(melt.Steel, 10, on(steel)),
		line(melt.Pour, 20, on(metal)),
	)
}
