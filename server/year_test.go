package main

import (
	"encoding/csv"
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A year of six melts like the trade notes' test vector (TRADE.md §4), scaled to
// 2 kg in, 1.868 kg out (93.4 %) and 2.9 kWh (1.45 kWh/kg).
func TestAYearToLookBackOn(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	assert.NotContains(t, g.seen("/melts"), "/years/")
	assert.Contains(t, g.seen("/years/2026"), "Nothing was melted")
	for _, nowhere := range []string{"/years/26", "/years/1999", "/years/2100", "/years/last", "/years/26.csv"} {
		assert.Equal(t, http.StatusNotFound, g.get(nowhere).StatusCode, nowhere)
	}
	furnace := strings.TrimPrefix(g.saved("/kit", "kind", "furnace", "name", "Yard furnace", "letter", "A"), "/kit/")
	g.saved("/kit", "kind", "crucible", "name", "Pot 3", "cost", "60", "expected_heats", "100")
	g.saved("/kit", "kind", "element", "name", "E2", "cost", "45", "expected_heats", "100")
	scale := strings.TrimPrefix(g.saved("/kit", "kind", "scale", "name", "Kitchen scale", "resolution", "0.001"), "/kit/")
	g.saved("/shop/tariffs", "from", "2026-01-01", "price", "0.20")
	g.saved("/scrap", "name", "=Rims", "form", "profile", "paid", "0", "fetches", "0.7")
	melts := func(n int, crucible, ingots string) {
		for range n {
			path := g.saved("/melts", "furnace", furnace, "crucible", crucible, "element", "3", "warm", "cold", "target", "ingots")
			g.saved(path+"/lines", "kind", "charge", "source", "source-1", "mass", "2", "scale", scale, "dry", "1")
			g.saved(path+"/lines", "kind", "energy", "energy", "2.9")
			d.pass(time.Hour)
			g.saved(path+"/lines", "kind", "pour", "mass", ingots, "scale", scale, "count", "4")
			g.saved(path+"/lines", "kind", "close")
		}
	}
	melts(1, "2", "1.868")
	assert.Contains(t, g.seen("/years/2026"), "With one melt the figures tell of those melts, not of the year.")
	melts(5, "2", "1.868")
	g.saved("/kit/2/lines", "kind", "retired", "cause", "worn", "note", "thin at the spout")

	assert.Contains(t, g.seen("/melts"), `href="/years/2026"`)
	page := g.seen("/years/2026")
	// Cash by hand: 2.9 kWh at 0.20, 60/100 and 45/100 a heat: 1.63 for 1.868 kg.
	for _, told := range []string{
		"So far, until 2 Mar 2026", "<b>6</b> <span> melts</span>", "<b>12.00</b> <span> kg</span>", "<b>11.21</b> <span> kg</span>", "<b>93.4</b> <span> %</span>",
		"<b>1.45</b> <span> kWh/kg</span>", "17.40 kWh in all", "<b>0.87</b> <span> GBP</span>", "9.78 GBP for 6 melts",
		"93.4 % of the charge came back as metal.", "There are too few melts in 2025 to compare 2026 with.",
		`href="/melts?from=2026-03&to=2026-03"`, "March", "=Rims", "100 %", "Pot 3", "retired 2 Mar 2026: worn", "in use", `href="/years/2026.csv"`,
	} {
		assert.Contains(t, strings.Join(strings.Fields(page), " "), told)
	}

	res := g.get("/years/2026.csv")
	assert.Equal(t, "text/csv; charset=utf-8; header=present", res.Header.Get("Content-Type"))
	rows, err := csv.NewReader(strings.NewReader(res.text)).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 3)
	assert.Equal(t, []string{"month", "2026-03", "6", "12", "12", "11.208", "12", "17.4", "6", "9.78", "11.208"}, rows[1])
	assert.Equal(t, []string{"source", "'=Rims", "6", "12", "", "", "", "", "", "", ""}, rows[2], "harmless in a spreadsheet")

	var told struct {
		Total struct {
			Melts   int
			Yield   float64
			Cash    float64 `json:"cash"`
			PerKg   float64 `json:"kwh_per_kg_charged"`
			CashPer float64 `json:"cash_per_kg"`
		}
		Months, Sources, Kit, Retired []map[string]any
		Says                          []string
	}
	require.NoError(t, json.Unmarshal([]byte(g.get("/api/v1/years/2026").text), &told))
	assert.Equal(t, 6, told.Total.Melts)
	assert.InDelta(t, 0.934, told.Total.Yield, 1e-9)
	assert.InDelta(t, 1.45, told.Total.PerKg, 1e-9)
	assert.InDelta(t, 9.78, told.Total.Cash, 1e-9)
	assert.InDelta(t, 1.63/1.868, told.Total.CashPer, 1e-9)
	assert.Equal(t, "2026-03", told.Months[0]["month"])
	assert.Equal(t, 12.0, told.Sources[0]["charged_kg"])
	assert.Len(t, told.Kit, 2)
	assert.Equal(t, "Pot 3", told.Retired[0]["name"])
	assert.Contains(t, page, told.Says[0])
	assert.Equal(t, http.StatusUnprocessableEntity, g.get("/api/v1/years/1999").StatusCode)

	// The next year is held against this one.
	d.pass(365 * 24 * time.Hour)
	require.Equal(t, http.StatusSeeOther, g.signsIn("Shed keeper", goodPassword).StatusCode)
	melts(5, "", "1.8")
	page = g.seen("/years/2027")
	assert.Contains(t, page, "90.0 % of the charge came back as metal, 3.4 points less than in 2026.")
	assert.Contains(t, page, "1.45 kWh for each kg charged, as in 2026.")
	assert.Contains(t, g.seen("/years/2026"), "The whole year")
	assert.Contains(t, page, `href="/years/2026"`)
}
