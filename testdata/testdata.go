// Package testdata carries published figures and worked examples to the tests
// that check the foundry against them. Only tests import it.
package testdata

import (
	"embed"
	"encoding/csv"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

//go:embed physics statistics
var files embed.FS

// Row is one line of a table, by column name.
type Row map[string]string

// Rows reads a table, such as "physics/alloys.csv"; the test fails when it is
// missing or empty.
func Rows(t testing.TB, name string) []Row {
	t.Helper()
	f, err := files.Open(name)
	require.NoError(t, err)
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(lines), 1, "%s has no rows", name)

	rows := make([]Row, 0, len(lines)-1)
	for _, line := range lines[1:] {
		row := Row{}
		for i, column := range lines[0] {
			row[column] = line[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// Find gives the row of a table whose column holds a value.
func Find(t testing.TB, name, column, value string) Row {
	t.Helper()
	for _, row := range Rows(t, name) {
		if row[column] == value {
			return row
		}
	}
	require.Failf(t, "no such row", "%s has no %s %q", name, column, value)
	return nil
}

// Number gives a column as a number; the test fails when it is blank.
func (r Row) Number(t testing.TB, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	require.NoError(t, err, "column %s", column)
	return v
}
