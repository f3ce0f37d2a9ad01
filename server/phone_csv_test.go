package main

import (
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
)

// table downloads a spreadsheet and reads its rows by the names of the
// columns.
func (p *phone) table(path string) []map[string]string {
	p.t.Helper()
	g := p.open(path)
	require.True(p.t, strings.HasPrefix(g.header.Get("Content-Type"), "text/csv"), g.header)
	require.Contains(p.t, g.header.Get("Content-Disposition"), "attachment")
	require.Equal(p.t, strings.Count(g.body, "\n"), strings.Count(g.body, "\r\n"), "lines end as RFC 4180 says")
	rows, err := csv.NewReader(strings.NewReader(g.body)).ReadAll()
	require.NoError(p.t, err)
	var all []map[string]string
	for _, row := range rows[1:] {
		one := map[string]string{}
		for i, name := range rows[0] {
			one[name] = row[i]
		}
		all = append(all, one)
	}
	return all
}

// TestSpreadsheets downloads what was logged and reads it again.
func TestSpreadsheets(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and comma"])
	code := p.workedMelt(habits["kg and comma"])
	melts := p.table("/melts.csv")
	require.Len(t, melts, 1)
	y, err := strconv.ParseFloat(melts[0]["recovery"], 64)
	require.NoError(t, err)
	assert.InDelta(t, 7.47/8, y, 1e-9)
	delete(melts[0], "recovery")
	delete(melts[0], "recovery_u")
	delete(melts[0], "unaccounted_u_kg")
	assert.Equal(t, map[string]string{
		"code": string(code), "state": "closed", "started": "2026-03-14T14:00:00.000Z", "furnace": "Yard furnace", "crucible": "Pot", "element": "Coil",
		"charged_kg": "8", "recovered_kg": "7.47", "energy_kwh": "11.6", "scrap": "Wheels; Profile",
		"dross_kg": "0.55", "unaccounted_kg": "-0.02", "cash_cost": "8.71", "opportunity_cost": "10.11", "currency": "EUR", "void_reason": "",
	}, melts[0])
	lines := p.table("/lines.csv")
	require.Len(t, lines, 13)
	assert.Equal(t, "6", lines[0]["mass_kg"])
	assert.Equal(t, "0.01", lines[0]["spread_kg"])
	assert.Equal(t, "2026-03-14T14:01:00.000Z", lines[0]["happened"])
	assert.Equal(t, "Wheels", lines[0]["scrap"])

	void := p.start("18:00")
	p.log(void, melt.Void, "note", "not lit after all")
	melts = p.table("/melts.csv")
	assert.Equal(t, "not lit after all", melts[0]["void_reason"])
	assert.Empty(t, melts[0]["dross_kg"]+melts[0]["cash_cost"], "nothing is known of it")
}

// TestSpreadsheetsRunNothing logs text that a spreadsheet program would run,
// wherever text can be logged.
func TestSpreadsheetsRunNothing(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	formulas := []string{`=1+1`, `+1`, `-1`, `@SUM(A1)`, `=HYPERLINK("http://elsewhere.example","x")`, "＝1+1", `"=1"`, "=1;2", "a,b\n\"c\"", "\t=1"}
	for i, text := range formulas {
		p.save(p.fill("/scrap/new", "/scrap", "name", strings.ReplaceAll(text, "\n", " ")+" ", "form", "other"))
		code := p.start("14:00")
		p.log(code, melt.Charge, append(wheels, "mass", "2", "note", text)...)
		p.log(code, melt.Charge, "source", fmt.Sprintf("source-%d", 3+i), "mass", "1")
		p.log(code, melt.Pour, "mould", text, "mass", "1.9")
		path := fmt.Sprintf("/melts/%s/lines/%d", code, s.lines(t, code)[2].ID)
		p.save(p.fill(path, path+"/strike", "reason", text))
	}
	for _, path := range []string{"/melts.csv", "/lines.csv"} {
		rows := p.table(path)
		require.NotEmpty(t, rows)
		for _, row := range rows {
			for column, cell := range row {
				if cell == "" || strings.ContainsRune("0123456789", rune(cell[0])) {
					continue
				}
				assert.NotContains(t, "=+-@\t\r＝", cell[:1], "%s of %s: %q", column, path, cell)
				assert.False(t, strings.HasPrefix(cell, "＝"), "%s of %s: %q", column, path, cell)
			}
		}
	}
	notes := map[string]bool{}
	for _, row := range p.table("/lines.csv") {
		notes[strings.TrimPrefix(row["note"], "'")] = true
	}
	for _, text := range formulas {
		assert.True(t, notes[strings.TrimSpace(text)], "%q is all there", text)
	}
}
