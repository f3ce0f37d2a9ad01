package table_test

import (
	"strings"
	"testing"

	"drosswise/foundry/table"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var limits = table.Limits{Bytes: 1 << 20, Rows: 1000, Columns: 50, Cell: 2000}

func read(t *testing.T, body string) table.Table {
	t.Helper()
	got, err := table.Read([]byte(body), 0, limits)
	require.NoError(t, err)
	return got
}

// What programs write was taken down from memory of their usual output, no
// source; the rules for quotation marks are those of RFC 4180 (2005), section 2.
func TestReadsWhatProgramsWrite(t *testing.T) {
	rows := []table.Row{{Line: 2, Cells: []string{"2024-03-01", "Rims", "1.5"}}, {Line: 3, Cells: []string{"2024-03-08", "Cans", "2.25"}}}
	for name, body := range map[string]string{
		"comma":           "Date,Scrap,kg\n2024-03-01,Rims,1.5\n2024-03-08,Cans,2.25\n",
		"semicolon":       "Date;Scrap;kg\r\n2024-03-01;Rims;1.5\r\n2024-03-08;Cans;2.25\r\n",
		"tab":             "Date\tScrap\tkg\n2024-03-01\tRims\t1.5\n2024-03-08\tCans\t2.25",
		"UTF-8 mark":      "\xef\xbb\xbfDate,Scrap,kg\n2024-03-01,Rims,1.5\n2024-03-08,Cans,2.25\n",
		"quoted":          "\"Date\",\"Scrap\",\"kg\"\n\"2024-03-01\",\"Rims\",\"1.5\"\n\"2024-03-08\",\"Cans\",\"2.25\"\n",
		"space and blank": "Date , Scrap,kg,,\n2024-03-01, Rims ,1.5,,\n2024-03-08,Cans,2.25,,\n,,,,\n\n",
		"UTF-16":          utf16le("Date\tScrap\tkg\r\n2024-03-01\tRims\t1.5\r\n2024-03-08\tCans\t2.25\r\n"),
	} {
		t.Run(name, func(t *testing.T) {
			got := read(t, body)
			assert.True(t, got.Titled)
			assert.Equal(t, []string{"Date", "Scrap", "kg"}, got.Columns)
			assert.Equal(t, rows, got.Rows)
		})
	}
}

func utf16le(text string) string {
	b := []byte{0xff, 0xfe}
	for _, r := range text {
		b = append(b, byte(r), byte(r>>8))
	}
	return string(b)
}

func TestReadsTheLettersOfOlderPrograms(t *testing.T) {
	// 0xE9 é, 0x80 €, 0x92 ’ (Windows-1252 to Unicode, unicode.org, 1998).
	got := read(t, "Scrap,Note\nAlliage l\xe9ger,\x805 \x92n\x92\n")
	assert.Equal(t, table.Windows1252, got.Encoding.Is)
	assert.False(t, got.Encoding.Sure)
	assert.Equal(t, []string{"Alliage léger", "€5 ’n’"}, got.Rows[0].Cells)
	assert.Equal(t, table.UTF8, read(t, "Scrap,Note\nAlliage léger,x\n").Encoding.Is)
}

func TestFindsTheDelimiterBesideDecimalCommas(t *testing.T) {
	got := read(t, "Datum;Schrott;kg;Bemerkung\n1.3.2024;Felgen;1,5;gut, trocken\n8.3.2024;Dosen;2,25;\n9.3.2024;Dosen;2,25;nass, kalt, spät\n")
	assert.Equal(t, table.Semicolon, got.Delimiter.Is)
	assert.Equal(t, []string{"9.3.2024", "Dosen", "2,25", "nass, kalt, spät"}, got.Rows[2].Cells)

	got = read(t, "Date,Scrap,Note\n2024-03-01,Rims,dry; warm\n2024-03-02,Rims,cold; wet\n")
	assert.Equal(t, table.Comma, got.Delimiter.Is)

	got = read(t, "sep=;\nDate,x;kg\n2024-03-01;1\n")
	assert.Equal(t, table.Semicolon, got.Delimiter.Is)
	assert.True(t, got.Delimiter.Sure)
	assert.Equal(t, 3, got.Rows[0].Line)

	chosen, err := table.Read([]byte("a;b\n1,2;3\n"), table.Comma, limits)
	require.NoError(t, err)
	assert.Equal(t, []string{"a;b", "Column 2"}, chosen.Columns)
}

func TestKeepsQuotedCellsWhole(t *testing.T) {
	got := read(t, "Date,Note\n2024-03-01,\"said \"\"dry\"\", was\nwet\"\n2024-03-02,5\" rims\n")
	assert.Equal(t, "said \"dry\", was\nwet", got.Rows[0].Cells[1])
	assert.Equal(t, `5" rims`, got.Rows[1].Cells[1])
	assert.Equal(t, 4, got.Rows[1].Line, "the line in the file, not the row")
}

func TestFindsTheHeadings(t *testing.T) {
	for name, c := range map[string]struct {
		body    string
		titled  bool
		columns []string
		rows    int
	}{
		"none":           {"2024-03-01,Rims,1.5\n2024-03-02,Cans,2\n", false, []string{"Column 1", "Column 2", "Column 3"}, 2},
		"below a title":  {"Old notebook\nkept in the shed\nDate,Scrap,kg\n2024-03-01,Rims,1.5\n2024-03-02,Cans,2\n", true, []string{"Date", "Scrap", "kg"}, 2},
		"twice the same": {"Date,kg,kg,\n2024-03-01,3,1.5,dry\n", true, []string{"Date", "kg", "kg (2)", "Column 4"}, 1},
		"partial rows":   {"Date,Scrap,kg,Out,Note\n2024-03-01,Rims,1.5\n2024-03-02,Cans\n2024-03-03\n", true, []string{"Date", "Scrap", "kg", "Out", "Note"}, 3},
		"with a digit":   {"Date,2nd pan,kg\n2024-03-01,Rims,1.5\n", true, []string{"Date", "2nd pan", "kg"}, 1},
	} {
		t.Run(name, func(t *testing.T) {
			got := read(t, c.body)
			assert.Equal(t, c.titled, got.Titled)
			assert.Equal(t, c.columns, got.Columns)
			assert.Len(t, got.Rows, c.rows)
			for _, r := range got.Rows {
				assert.Len(t, r.Cells, len(c.columns))
			}
		})
	}
}

func TestTellsOfCellsBeyondTheColumns(t *testing.T) {
	got := read(t, "Date,Scrap,kg\n2024-03-01,Rims,1,5\n2024-03-02,Cans,2\n2024-03-03,Cans,2\n")
	assert.Equal(t, []string{"5"}, got.Rows[0].Extra)
	assert.Nil(t, got.Rows[1].Extra)
}

func TestRefusesWhatIsNoTable(t *testing.T) {
	for name, c := range map[string]struct {
		body string
		line int
		says string
	}{
		"nothing":         {"", 0, "nothing in the file"},
		"blanks":          {" \n,,\n\n", 0, "nothing in the file"},
		"headings alone":  {"Date,Scrap\n", 0, "no rows under them"},
		"workbook":        {"PK\x03\x04....", 0, "save the sheet as CSV"},
		"not text":        {"a,b\n\x00\x01,2\n", 0, "not a text file"},
		"open quote":      {"Date,Note\n2024-03-01,fine\n2024-03-02,\"open\n2024-03-03,lost\n", 3, "quotation mark opens here"},
		"too many rows":   {"Date,kg\n" + strings.Repeat("2024-03-01,1\n", 1001), 0, "more than 1000 rows"},
		"too long":        {"Date,Note\n2024-03-01," + strings.Repeat("x", 2001) + "\n", 2, "more than 2000 letters"},
		"too wide":        {strings.Repeat("a,", 60) + "a\n", 1, "more than 50 cells"},
		"too large":       {strings.Repeat("2024-03-01,1\n", 100_000), 0, "larger than 1 MB"},
		"half of a UTF16": {"\xff\xfeD\x00a", 0, ""},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := table.Read([]byte(c.body), 0, limits)
			if c.says == "" {
				return // it only must not fail badly
			}
			var refusal *table.Refusal
			require.ErrorAs(t, err, &refusal)
			assert.Equal(t, c.line, refusal.Line)
			assert.Contains(t, refusal.Sentence, c.says)
		})
	}
}
