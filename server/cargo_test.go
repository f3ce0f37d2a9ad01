package main

import (
	"archive/zip"
	"bytes"
	"context"
	"database/sql"
	"encoding/csv"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/curve"
	"drosswise/foundry/kit"
	"drosswise/foundry/logfile"
	"drosswise/foundry/notebook"
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/table"
	"drosswise/server/demo"
	"drosswise/store"
)

// commandLine runs a command as a person would type it.
func commandLine(t *testing.T, args ...string) (status int, out, errOut string) {
	var o, e bytes.Buffer
	status = run(context.Background(), args, func(string) string { return "" }, strings.NewReader(""), &o, &e)
	return status, o.String(), e.String()
}

// TestTheDemoMovesOutAndIn exports the demo shop, takes it into an empty folder
// and exports it again: the same bytes, and the same figures.
func TestTheDemoMovesOutAndIn(t *testing.T) {
	dir := t.TempDir()
	was, is := filepath.Join(dir, "was"), filepath.Join(dir, "is")
	_, err := demo.Make(t.Context(), was, "no hash")
	require.NoError(t, err)
	pictured(t, was)
	lived(t, was)
	first, second := filepath.Join(dir, "first.zip"), filepath.Join(dir, "second.zip")
	status, out, errOut := commandLine(t, "export", "-data", was, "-to", first)
	require.Zero(t, status, errOut)
	assert.Contains(t, out, "columns.txt")
	status, _, errOut = commandLine(t, "export", "-data", was, "-to", first)
	assert.Equal(t, 1, status)
	assert.Contains(t, errOut, "not overwritten")

	status, out, errOut = commandLine(t, "import", "-data", is, "-from", first, "-dry-run")
	require.Zero(t, status, errOut)
	assert.Contains(t, out, "Nothing was taken in")
	require.NoDirExists(t, is, "a check leaves nothing")
	status, out, errOut = commandLine(t, "import", "-data", is, "-from", first)
	require.Zero(t, status, errOut)
	assert.Contains(t, out, "-reset NAME")
	status, _, errOut = commandLine(t, "import", "-data", is, "-from", first)
	assert.Equal(t, 1, status)
	assert.Contains(t, errOut, "people have accounts")

	status, _, errOut = commandLine(t, "export", "-data", is, "-to", second)
	require.Zero(t, status, errOut)
	a, err := os.ReadFile(first)
	require.NoError(t, err)
	b, err := os.ReadFile(second)
	require.NoError(t, err)
	require.True(t, bytes.Equal(a, b), "the same bytes")
	withCurves(t, was)
	withCurves(t, is)
	for _, table := range []string{"figure", "figure_source", "figure_lot", "lot_sum", "tally", "source_sum", "wear", "melt_record", "cash_month", "kit_month", "melt_curve"} {
		assert.Equal(t, tableText(t, was, table), tableText(t, is, table), table)
	}
	assert.NotContains(t, string(a), "no hash")
	z, err := zip.NewReader(bytes.NewReader(a), int64(len(a)))
	require.NoError(t, err)
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(t, err)
		body, err := io.ReadAll(r)
		require.NoError(t, err)
		assert.NotContains(t, string(body), "no hash", f.Name)
		if strings.HasSuffix(f.Name, ".csv") {
			assert.Greater(t, strings.Count(string(body), "\r\n"), 1, "%s has rows, or the test shows nothing of it", f.Name)
		}
	}
	status, out, errOut = commandLine(t, "user", "-data", is, "-reset", demo.People[demo.Workshop].Name)
	require.Zero(t, status, errOut)
	assert.Contains(t, out, "/")
}

// pictured adds photos of a line, of a crucible and of a delivery to a shop,
// one of them struck, with a note that a spreadsheet program would run.
func pictured(t *testing.T, dir string) {
	st, err := open(t.Context(), dir)
	require.NoError(t, err)
	defer st.Close()
	picture := store.Pictures{Full: dross(t, 64, 48), Thumb: dross(t, 16, 12)}
	for i, of := range []store.PhotoOf{{Line: 1}, {KitLine: 1}, {Lot: 1}} {
		key := fmt.Sprintf("picture-%d", i)
		require.NoError(t, st.AddPhoto(t.Context(), 1, store.Photo{Key: key, Of: of, At: st.Now(), Width: 64, Height: 48, Note: "=1+1, \"oily\"\nand 'wet'"}, picture))
	}
	require.NoError(t, st.StrikePhoto(t.Context(), 1, 2, store.Mark{Key: "picture-strike", Struck: true, Reason: "'blurred'"}))
}

// lived adds to a shop what the demo has none of: readings of loggers, series
// struck and put back, old notes brought in and taken back, matches that are
// remembered, rules and beliefs of its own, a price struck, an alarm closed.
func lived(t *testing.T, dir string) {
	st, err := open(t.Context(), dir)
	require.NoError(t, err)
	defer st.Close()
	ctx := t.Context()
	h, err := st.LastHeading(ctx)
	require.NoError(t, err)
	var metal, plug, counter []curve.Sample
	for i := range 600 {
		at := h.At + quantity.Moment(i)*10_000 + quantity.Moment(i%7)
		metal = append(metal, curve.Sample{At: at, Value: int64(20_00 + 123*i)})
		plug = append(plug, curve.Sample{At: at, Value: -int64(i % 3)})
		counter = append(counter, curve.Sample{At: at, Value: int64(i) * 19_000})
	}
	_, err = st.AddReadings(ctx, 1, h.Code, store.Sending{Key: "logger:=monday 1", Series: []store.Sent{
		{Series: curve.Series{Channel: curve.Temperature, Name: "=metal, \"K\"", Samples: metal}, Loose: true},
		{Series: curve.Series{Channel: curve.Power, Name: "plug", Samples: plug}, Shift: -3 * quantity.Minute},
		{Series: curve.Series{Channel: curve.Energy, Name: "plug", Samples: counter}},
	}}, st.Now())
	require.NoError(t, err)
	for i, m := range []struct {
		series int64
		struck bool
	}{{1, true}, {1, false}, {2, true}} {
		require.NoError(t, st.StrikeSeries(ctx, 1, h.Code, m.series, store.Mark{Key: fmt.Sprintf("series-strike-%d", i), Struck: m.struck, Reason: "-off"}))
	}

	require.NoError(t, st.SetDueRules(ctx, 1, []kit.Rule{{Kind: kit.Scale, Days: new(90)}, {Kind: kit.Probe}}))
	require.NoError(t, st.Believe(ctx, 1, 1, "own-belief", store.Belief{Metal: &recovery.Belief{Mean: 0.9, SD: 0.05}}))
	require.NoError(t, st.StrikeQuote(ctx, 1, 1, store.Mark{Key: "price-strike", Struck: true, Reason: "+1"}))
	require.NoError(t, st.CloseAlarm(ctx, 1, h.Furnace, "alarm-close", store.AlarmClose{Melt: h.Code, How: "one_off", Note: "@home"}))

	file, err := table.Read([]byte(logged(h.At, 5)), 0, table.Limits{})
	require.NoError(t, err)
	require.NoError(t, st.RememberLogMatch(ctx, 1, file.Columns, logfile.Guess(file, quantity.Style{})))

	for i, body := range []string{oldBook, "Date,Scrap,Charged kg,Ingots kg\n2023-05-04,Wheels,5.5,5\n"} {
		notes, err := table.Read([]byte(body), 0, table.Limits{})
		require.NoError(t, err)
		match := notebook.Guess(notes, quantity.Style{})
		match.Furnace = h.Furnace
		var ready []notebook.Draft
		for _, d := range notebook.Drafts(notes, match, notebook.Shop{Now: st.Now()}) {
			if len(d.Faults) == 0 {
				ready = append(ready, d)
			}
		}
		require.NotEmpty(t, ready)
		in, err := st.Import(ctx, 1, store.OldNotes{Key: fmt.Sprintf("old-notes-%d", i), File: "'notes'.csv", Columns: notes.Columns, Match: match, Drafts: ready})
		require.NoError(t, err)
		if i > 0 {
			require.NoError(t, st.StrikeImport(ctx, 1, in.ID, "twice"))
		}
	}
}

// withCurves has the curves of the newest melt with readings made.
func withCurves(t *testing.T, dir string) {
	st, err := open(t.Context(), dir)
	require.NoError(t, err)
	defer st.Close()
	db := besideOf(t, dir)
	var melt int64
	require.NoError(t, db.QueryRow("SELECT melt_id FROM series").Scan(&melt))
	_, err = st.MakeCurve(t.Context(), melt)
	require.NoError(t, err)
}

func besideOf(t *testing.T, dir string) *sql.DB {
	db, err := sql.Open("sqlite", "file:"+filepath.Join(dir, store.FileName)+"?mode=ro")
	require.NoError(t, err)
	t.Cleanup(func() { db.Close() })
	return db
}

// tableText is everything a table of a shop holds.
func tableText(t *testing.T, dir, table string) string {
	rows, err := besideOf(t, dir).Query("SELECT * FROM " + table + " ORDER BY 1, 2")
	require.NoError(t, err)
	defer rows.Close()
	columns, err := rows.Columns()
	require.NoError(t, err)
	var text strings.Builder
	for rows.Next() {
		cells := make([]any, len(columns))
		for i := range cells {
			cells[i] = new(any)
		}
		require.NoError(t, rows.Scan(cells...))
		for _, c := range cells {
			fmt.Fprintf(&text, "%v|", *c.(*any))
		}
		text.WriteByte('\n')
	}
	require.NoError(t, rows.Err())
	require.NotEmpty(t, text.String(), table)
	return text.String()
}

// TestFaultsAsTheyAreTold edits an exported shop by hand and reads what the
// command says of it, on the screen and in the file of faults.
func TestFaultsAsTheyAreTold(t *testing.T) {
	dir := t.TempDir()
	was, first := filepath.Join(dir, "was"), filepath.Join(dir, "first.zip")
	_, err := demo.Make(t.Context(), was, "no hash")
	require.NoError(t, err)
	status, _, errOut := commandLine(t, "export", "-data", was, "-to", first)
	require.Zero(t, status, errOut)

	edited, list := filepath.Join(dir, "edited.zip"), filepath.Join(dir, "list.csv")
	repacked(t, first, edited, func(name, body string) string {
		if name == "shop.csv" {
			return strings.Replace(body, "Europe/", "Mars/", 1)
		}
		return body
	})
	status, _, errOut = commandLine(t, "import", "-from", edited, "-data", filepath.Join(dir, "is"), "-faults", list)
	assert.Equal(t, 1, status)
	assert.Contains(t, errOut, "shop.csv, row 2, column zone, \"Mars/")
	assert.Contains(t, errOut, ": There is no such time zone. Put in one of the IANA list, such as Europe/London.\n")
	assert.Contains(t, errOut, "nothing was taken in: 1 fault. Mend it in the file")

	repacked(t, first, edited, func(name, body string) string {
		if name == "melt.csv" {
			return ""
		}
		return body
	})
	status, _, errOut = commandLine(t, "import", "-from", edited, "-data", filepath.Join(dir, "is"), "-faults", list)
	assert.Equal(t, 1, status)
	assert.Less(t, strings.Count(errOut, "\n"), 12, errOut)
	assert.Contains(t, errOut, "melt.csv: This file is missing.")
	assert.Regexp(t, `line\.csv: \d+ rows could not be checked, because of what is wrong in melt\.csv\.`, errOut)
	written, err := os.ReadFile(list)
	require.NoError(t, err)
	rows, err := csv.NewReader(bytes.NewReader(written)).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, []string{"file", "row", "column", "cell", "fault"}, rows[0])
	assert.Equal(t, []string{"melt.csv", "", "", ""}, rows[1][:4])
	assert.Contains(t, rows[len(rows)-1][4], "could not be checked")
}

// repacked writes a zip with its files changed; those that come to nothing are
// left out.
func repacked(t *testing.T, from, to string, edit func(name, body string) string) {
	r, err := zip.OpenReader(from)
	require.NoError(t, err)
	defer r.Close()
	file, err := os.Create(to)
	require.NoError(t, err)
	w := zip.NewWriter(file)
	for _, f := range r.File {
		in, err := f.Open()
		require.NoError(t, err)
		body, err := io.ReadAll(in)
		require.NoError(t, err)
		text := edit(f.Name, string(body))
		if text == "" {
			continue
		}
		out, err := w.Create(f.Name)
		require.NoError(t, err)
		_, err = out.Write([]byte(text))
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	require.NoError(t, file.Close())
}
