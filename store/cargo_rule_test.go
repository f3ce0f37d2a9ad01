package store

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// inSQL finds what only a database says.
var inSQL = regexp.MustCompile(`CHECK|constraint|FOREIGN|UNIQUE|NULL|BETWEEN|GLOB|\bIN \(|length\(|json_valid|[<>=]`)

// rulesOf are the CHECKs of a table as the schema writes them.
func rulesOf(sql string) (all []string) {
	for _, part := range strings.Split(sql, "CHECK (")[1:] {
		deep := 1
		for i, r := range part {
			switch r {
			case '(':
				deep++
			case ')':
				deep--
			}
			if deep == 0 {
				all = append(all, part[:i])
				break
			}
		}
	}
	return all
}

// plainRow is a row that breaks no rule about one column.
func plainRow(table cargoTable, rules []string) map[string]any {
	row := map[string]any{}
	for _, col := range table.columns {
		switch {
		case col.maybe:
			row[col.name] = nil
		case col.form.kind == cargoText:
			row[col.name] = "text-text"
		case col.form.kind == cargoPicture:
			row[col.name] = []byte("x")
		default:
			row[col.name] = int64(1)
		}
	}
	for _, rule := range rules {
		rule = strings.Join(strings.Fields(rule), " ")
		if m := ruleIn.FindStringSubmatch(rule); m != nil {
			if col, ok := table.column(m[1]); ok && col.form.kind == cargoText {
				row[m[1]] = strings.Trim(strings.TrimSpace(strings.Split(m[2], ",")[0]), "'")
			}
		}
		if m := ruleBetween.FindStringSubmatch(rule); m != nil && row[m[1]] != nil {
			row[m[1]], _ = strconv.ParseInt(m[2], 10, 64)
		}
		if m := ruleLength.FindStringSubmatch(rule); m != nil && m[2] == "=" {
			row[m[1]] = "EUR"
		}
		if m := ruleLetter.FindStringSubmatch(rule); m != nil {
			row[m[1]] = "Q"
		}
		if m := ruleJSON.FindStringSubmatch(rule); m != nil {
			row[m[1]] = "{}"
		}
	}
	for _, one := range []string{"line_id", "source_id"} { // of several columns of which one has something
		if _, ok := table.column(one); ok {
			row[one] = int64(1)
		}
	}
	return row
}

// breaking is a value that breaks a rule about one column.
func breaking(rule string) (column string, value any) {
	rule = strings.Join(strings.Fields(rule), " ")
	if m := ruleIn.FindStringSubmatch(rule); m != nil {
		if strings.Contains(m[2], "'") {
			return m[1], "nonsense"
		}
		return m[1], int64(7)
	}
	if m := ruleAbove.FindStringSubmatch(rule); m != nil {
		return m[1], int64(-1)
	}
	if m := ruleBetween.FindStringSubmatch(rule); m != nil {
		most, _ := strconv.ParseInt(m[3], 10, 64)
		return m[1], most + 1
	}
	if m := ruleOne.FindStringSubmatch(rule); m != nil {
		return m[1], int64(3)
	}
	if m := ruleLength.FindStringSubmatch(rule); m != nil {
		if m[2] == ">" {
			return m[1], []byte{}
		}
		return m[1], strings.Repeat("x", 3000)
	}
	if m := ruleLetter.FindStringSubmatch(rule); m != nil {
		return m[1], "7"
	}
	if m := ruleJSON.FindStringSubmatch(rule); m != nil {
		return m[1], "{"
	}
	return "", nil
}

// brokenRows break each rule about several columns.
var brokenRows = map[string]map[string]any{
	"kit.(kind = 'furnace') = (letter IS NOT NULL)":                                       {"kind": "furnace", "letter": nil},
	"kit.kind <> 'scale' OR resolution IS NOT NULL":                                       {"kind": "scale", "letter": nil},
	"line.kind <> 'charge' OR (source_id IS NULL) <> (pour_id IS NULL)":                   {"kind": "charge", "source_id": nil},
	"line.kind <> 'temperature' OR temp IS NOT NULL":                                      {"kind": "temperature"},
	"line.kind <> 'meter' OR meter IS NOT NULL":                                           {"kind": "meter"},
	"strike.(line_id IS NOT NULL) + (kit_line_id IS NOT NULL) + (lot_id IS NOT NULL) = 1": {"lot_id": int64(1)},
	"photo.(line_id IS NOT NULL) + (kit_line_id IS NOT NULL) + (lot_id IS NOT NULL) = 1":  {"lot_id": int64(1)},
	"belief.(metal_mean IS NULL) = (metal_sd IS NULL)":                                    {"metal_mean": int64(1)},
	"belief.(dross_mean IS NULL) = (dross_sd IS NULL)":                                    {"dross_mean": int64(1)},
	"import.(struck_at IS NULL) = (struck_by IS NULL)":                                    {"struck_at": int64(1)},
}

// TestNoSQLReachesAPerson breaks every rule of the schema that a table of a
// shop's folder has, one after the other: each is told beside the column that it
// is about, in words.
func TestNoSQLReachesAPerson(t *testing.T) {
	s, err := Open(t.Context(), t.TempDir(), time.Now)
	require.NoError(t, err)
	defer s.Close()
	done := errors.New("taken back")
	seen := 0
	for _, table := range cargoTables {
		var sql string
		require.NoError(t, s.read.QueryRow("SELECT sql FROM sqlite_schema WHERE name = ?", table.name).Scan(&sql))
		rules := rulesOf(sql)
		for _, rule := range rules {
			t.Run(table.name+"."+rule, func(t *testing.T) {
				seen++
				row := plainRow(table, rules)
				if table.name == "kit" {
					row["letter"] = "Q"
				}
				column, value := breaking(rule)
				if column != "" {
					row[column] = value
				} else {
					bad, ok := brokenRows[table.name+"."+rule]
					require.True(t, ok, "nobody has broken this rule")
					for name, v := range bad {
						row[name] = v
					}
				}
				var values []any
				for _, col := range table.columns {
					values = append(values, row[col.name])
				}
				if table.name == "person" {
					values = append(values, "")
				}
				c := newCargo(0)
				require.ErrorIs(t, s.change(t.Context(), 0, func(tx *tx) error {
					require.NoError(t, c.put(t.Context(), tx, table, cargoBatch{rows: 1, at: []int{2}, values: values}))
					return done
				}), done)
				require.Len(t, c.faults.Listed, 1)
				f := c.faults.Listed[0]
				assert.NotRegexp(t, inSQL, f.Sentence)
				assert.Regexp(t, `Put |Mend `, f.Sentence, "what to do")
				about, _, ok := table.rule(rule)
				require.True(t, ok, "nobody has put this rule into words")
				assert.Equal(t, about.heading(), f.Column)
				if column != "" {
					assert.Equal(t, column, about.name)
				}
			})
		}
	}
	assert.Greater(t, seen, 100)
}

// TestEveryReferenceIsLookedAt walks the references of the schema: each is one
// that rows are held against before the database sees them, and those to kit say
// of which kind. So are the rules of what may be there once: each names columns.
func TestEveryReferenceIsLookedAt(t *testing.T) {
	s, err := Open(t.Context(), t.TempDir(), time.Now)
	require.NoError(t, err)
	defer s.Close()
	references, once := 0, 0
	for _, table := range cargoTables {
		for _, row := range texts(t, s.read, fmt.Sprintf(`SELECT "from", "table" FROM pragma_foreign_key_list('%s')`, table.name)) {
			from, to, _ := strings.Cut(row, "\x1f")
			col, ok := table.column(from)
			require.True(t, ok, "%s.%s", table.name, from)
			assert.Equal(t, to, col.form.refers, "%s.%s", table.name, from)
			if to == "kit" && from != "kit_id" {
				assert.NotEmpty(t, col.form.of, "%s.%s: which kind of kit?", table.name, from)
			}
			references++
		}
		for _, index := range texts(t, s.read, fmt.Sprintf(`SELECT name FROM pragma_index_list('%s') WHERE "unique"`, table.name)) {
			names := texts(t, s.read, fmt.Sprintf("SELECT name FROM pragma_index_info('%s')", index))
			about, sentence := table.twice(table.name + "." + strings.Join(names, ", "+table.name+"."))
			assert.NotEmpty(t, about.name, index)
			assert.NotRegexp(t, inSQL, sentence)
			once++
		}
	}
	assert.Greater(t, references, 50)
	assert.Greater(t, once, 20)
}
