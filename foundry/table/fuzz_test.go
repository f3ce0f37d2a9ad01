package table_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"drosswise/foundry/quantity"
	"drosswise/foundry/table"

	"github.com/stretchr/testify/require"
)

// FuzzRead holds that whatever is sent is a table with a cell for each column,
// or is refused with a sentence.
func FuzzRead(f *testing.F) {
	for _, seed := range []string{"", "a,b\n1,2\n", "a;b\r\n1,5;\"x;\n\"\"y\"\n", "a\tb\n1\t\"2", "sep=;\na;b\n1;2", "\xef\xbb\xbfa\n1", "\xff\xfea\x00,\x00b\x00", "\x80,\x81\n1,2",
		"PK\x03\x04", "title\n\na,b,c\n1\n1,2,3,4,5\n", "\"", ",\n,\n", "a,a,\n1,2,3"} {
		f.Add([]byte(seed), byte(0))
	}
	limits := table.Limits{Bytes: 1 << 16, Rows: 100, Columns: 20, Cell: 200}
	f.Fuzz(func(t *testing.T, body []byte, delimiter byte) {
		d := []table.Delimiter{0, table.Tab, table.Semicolon, table.Comma}[delimiter%4]
		got, err := table.Read(body, d, limits)
		if err != nil {
			var refusal *table.Refusal
			require.ErrorAs(t, err, &refusal)
			require.True(t, strings.HasSuffix(refusal.Sentence, "."), refusal.Sentence)
			return
		}
		require.NotEmpty(t, got.Rows)
		require.LessOrEqual(t, len(got.Rows), limits.Rows)
		seen := map[string]bool{}
		for _, c := range got.Columns {
			require.False(t, c == "" || seen[c], c)
			seen[c] = true
		}
		last := 0
		for _, r := range got.Rows {
			require.Len(t, r.Cells, len(got.Columns))
			require.Greater(t, r.Line, last)
			last = r.Line
			for _, c := range r.Cells {
				require.True(t, utf8.ValidString(c))
				require.LessOrEqual(t, len(c), limits.Cell)
			}
		}
		for i := range got.Columns {
			table.GuessMark(got.Column(i), table.Point)
			table.GuessOrder(got.Column(i))
		}
	})
}

// FuzzCells holds that a cell is read in one way or refused with a sentence, and
// that a date reads back from how it was understood.
func FuzzCells(f *testing.F) {
	for _, seed := range []string{"", "1.3.2024", "3/13/24 2:46 PM", "2024-03-01T14:46:05.25+01:00", "March 1, 2024", "1,234", "1.234,5 kg", "14h46", "Fri 1-Mar-24", "20240301", "٣", "1.3.2024 24:00"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, cell string) {
		for _, o := range []table.Order{table.DayFirst, table.MonthFirst, table.Serial} {
			date, err := table.Date(cell, o)
			if err != nil {
				requireSentence(t, err)
			} else {
				again, err := table.Date(date, table.DayFirst)
				require.NoError(t, err)
				require.Equal(t, date, again)
			}
			if _, _, err := table.Moment(cell, o, quantity.Style{}); err != nil {
				requireSentence(t, err)
			}
		}
		if clock, err := table.Clock(cell); err != nil {
			requireSentence(t, err)
		} else {
			_, err := quantity.Style{}.ReadMoment("2024-03-01", clock)
			require.NoError(t, err, clock)
		}
		for _, m := range []table.Mark{table.Point, table.CommaMark} {
			number := table.Number(cell, m)
			require.Equal(t, number, table.Number(number, m))
		}
		table.GuessMark([]string{cell}, table.Point)
		table.GuessOrder([]string{cell})
	})
}

func requireSentence(t *testing.T, err error) {
	t.Helper()
	var r *quantity.Refusal
	require.ErrorAs(t, err, &r)
	require.True(t, strings.HasSuffix(r.Sentence, "."), r.Sentence)
}
