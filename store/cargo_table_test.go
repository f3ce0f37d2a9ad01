package store

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestEveryTableLeavesOrSaysWhyNot walks the schema: a table or a column that
// is neither exported nor left behind on purpose would be lost to whoever
// moves out.
func TestEveryTableLeavesOrSaysWhyNot(t *testing.T) {
	s, err := Open(t.Context(), t.TempDir(), time.Now)
	require.NoError(t, err)
	defer s.Close()
	type column struct {
		table, name string
		maybe       bool
	}
	var schema []column
	rows, err := s.read.Query(`SELECT t.name, c.name, c."notnull" = 0 AND c.pk = 0 FROM pragma_table_list t JOIN pragma_table_info(t.name) c
		WHERE t.schema = 'main' AND t.type IN ('table', 'virtual') AND t.name NOT LIKE 'sqlite_%' AND t.name NOT LIKE 'goose_%'`)
	require.NoError(t, err)
	for rows.Next() {
		var c column
		require.NoError(t, rows.Scan(&c.table, &c.name, &c.maybe))
		schema = append(schema, c)
	}
	require.NoError(t, rows.Err())
	require.Greater(t, len(schema), 200)

	leaves, had := map[string]cargoColumn{}, map[string]bool{}
	for _, table := range cargoTables {
		for _, c := range table.columns {
			leaves[table.name+"."+c.name] = c
			if to := c.form.refers; to != "" && to != table.name {
				assert.True(t, had[to], "%s comes before %s, to which it refers", table.name, to)
			}
		}
		had[table.name] = true
	}
	for _, c := range schema {
		name := c.table + "." + c.name
		it, ok := leaves[name]
		why := leftBehind[c.table] + leftBehind[name]
		assert.NotEqual(t, ok, why != "", "%s either leaves with the shop or is left behind for a reason", name)
		assert.True(t, !ok || it.maybe == c.maybe, "%s: may it be empty?", name)
		delete(leaves, name)
	}
	assert.Empty(t, leaves, "no such column any more")
	assert.True(t, strings.Contains(Columns(), "gross_kg"))
}
