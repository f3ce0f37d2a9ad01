package main

import (
	"bytes"
	"fmt"
	"mime/multipart"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// hands sends a file of old notes through its form, as a browser does.
func (p *phone) hands(name, body string) got {
	p.t.Helper()
	return p.handsTo("/melts/old", name, body)
}

// handsTo sends a file through the form of a page.
func (p *phone) handsTo(path, name, body string) got {
	p.t.Helper()
	var b bytes.Buffer
	form := multipart.NewWriter(&b)
	part, err := form.CreateFormFile("file", name)
	require.NoError(p.t, err)
	_, err = part.Write([]byte(body))
	require.NoError(p.t, err)
	require.NoError(p.t, form.Close())
	return p.do(http.MethodPost, path, &b, "Content-Type", form.FormDataContentType())
}

// waits sends a file that can be read and gives the address where it waits.
func (p *phone) waits(name, body string) string {
	p.t.Helper()
	g := p.hands(name, body)
	require.Equal(p.t, http.StatusSeeOther, g.status, g.faults())
	return g.header.Get("Location")
}

// A notebook as an older spreadsheet program of the continent saves it.
const oldBook = "Nr;Datum;Schrott;Einsatz;Barren;Kr\xe4tze g;Energie kWh;Bemerkung\r\n" +
	"1;3.11.2025;Wheels;5,25;4,9;310;9,1;trocken\r\n" +
	"2;14.11.2025;Pr\xe4gebleche;4;3,55;;;\r\n" +
	"3;21.11.2025;Wheels;;4,2;;8,4;Waage leer\r\n" +
	"4;28.11.2025;Wheels;5;51;;;vertippt\r\n" +
	";;;;;;;\r\n" +
	"Summe;;;14,25;;;;\r\n"

func TestOldNotesComeIn(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	assert.Contains(t, p.open("/melts").text(), "Bring in a spreadsheet")
	at := p.waits(`C:\notes\Schmelzen "alt".csv`, oldBook)
	page := p.open(at)
	for _, told := range []string{"Schmelzen", "5 rows and 8 columns", "Windows-1252", "As found: semicolon", "As found: the day", "28.11.2025 can only have the day first.", "As found: a comma",
		"4 rows would come in as melts. 1 of them is doubted: see below. 1 row stays out: see below why.", "There is no date in this row.", "Prägebleche", "Skimmed 0.310 kg", "only 5.000 kg went in",
		"Kept in the note. “Schrott”: There is no mass with it"} {
		assert.Contains(t, page.text(), told)
	}
	f := page.form(t, at)
	for field, want := range map[string]string{"column1": "number", "column2": "date", "column3": "scrap", "column4": "charged", "column5": "ingots", "column6": "dross", "column7": "energy", "column8": "note", "furnace": "1", "scale": "4", "order": "", "mark": ""} {
		assert.Equal(t, want, f.values.Get(field), field)
	}

	g := p.send(f.typed("do", "take"))
	require.Equal(t, http.StatusUnprocessableEntity, g.status)
	assert.Contains(t, g.text(), "1 row is doubted. Look at them below")
	assert.Empty(t, p.open("/melts").codes(), "nothing of it is written")
	done := p.send(g.form(t, at).typed("do", "take", "sure", "1", "mass", "kg", "crucible", "2"))
	require.Equal(t, http.StatusSeeOther, done.status, done.faults())
	again := p.send(g.form(t, at).typed("do", "take", "sure", "1", "mass", "kg", "crucible", "2"))
	assert.Equal(t, done.header.Get("Location"), again.header.Get("Location"), "tapped twice, brought in once")
	result := p.open(done.header.Get("Location"))
	assert.Contains(t, result.text(), "4 melts brought in by Workshop")
	assert.Equal(t, []string{"A25-004", "A25-003", "A25-002", "A25-001"}, p.open("/melts").codes())

	one := p.open("/melts/A25-001")
	assert.Equal(t, "4.900 ± 0.001 kg", one.facts()["Metal recovered"], "a scale of 1 g, as the worked melt has it")
	assert.Contains(t, one.text(), "Nr: 1")
	h, lines, err := s.store.Melt(t.Context(), "A25-003")
	require.NoError(t, err)
	assert.Equal(t, int64(2), h.Crucible)
	assert.Equal(t, "21 Nov 2025 12:00", quantity.Style{}.DateTime(h.At))
	kinds := []melt.Kind{}
	for _, l := range lines {
		kinds = append(kinds, l.Kind)
	}
	assert.Equal(t, []melt.Kind{melt.Energy, melt.Note, melt.Close}, kinds, "no mass: figures blank")

	page = p.open(at)
	assert.Contains(t, page.text(), "4 rows are in the book already and are left as they are. 1 row stays out")
	for range page.forms(at) {
		assert.NotContains(t, page.text(), "Bring in 4 melts")
	}
	same := p.send(page.form(t, at).typed("do", "take"))
	require.Equal(t, http.StatusSeeOther, same.status, same.faults())
	assert.Equal(t, at, same.header.Get("Location"))
	assert.Contains(t, p.open(at).text(), "Every row that can be a melt is in the book already")
	assert.Len(t, p.open("/melts").codes(), 4)
}

// TestOldNotesNameTheirKitAndCountDays has dates as the plain numbers of a
// spreadsheet: 45352 is 1 March 2024 (ECMA-376-1, 2016, 18.17.4.1).
func TestOldNotesNameTheirKitAndCountDays(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	items, err := s.store.Kit(t.Context())
	require.NoError(t, err)
	var coil kit.Item
	for _, it := range items {
		if it.Kind == kit.Element {
			coil = it
		}
	}
	require.NotZero(t, coil.ID)
	at := p.waits("days.csv", "Date,Coil,Scrap,Charged kg,Ingots kg\n45352,"+coil.Name+",Wheels,5.5,5\n45353,,Wheels,6.5,6\n")
	page := p.open(at)
	assert.Contains(t, page.text(), "All cells are numbers like 45352, as spreadsheet programs count days: that one is 2024-03-01.")
	p.save(page.form(t, at).typed("do", "take", "mass", "kg"))
	one, _, err := s.store.Melt(t.Context(), "A24-001")
	require.NoError(t, err)
	assert.Equal(t, coil.ID, one.Element)
	assert.Equal(t, "1 Mar 2024 12:00", quantity.Style{}.DateTime(one.At))
	two, _, err := s.store.Melt(t.Context(), "A24-002")
	require.NoError(t, err)
	assert.Zero(t, two.Element)
}

// The same columns again, in UTF-8 and with commas: the match is remembered, and
// only the new row comes in.
func TestOldNotesRememberTheMatch(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	at := p.waits("a.csv", "Wann,Was,Rein,Raus\n01/02/2025,Wheels,5.5,5\n02/02/2025,Wheels,6.5,6\n")
	page := p.open(at)
	assert.Contains(t, page.text(), "No date tells whether the day or the month comes first.")
	f := page.form(t, at)
	assert.Equal(t, []string{"date", "note", "note", "note"}, []string{f.values.Get("column1"), f.values.Get("column2"), f.values.Get("column3"), f.values.Get("column4")})
	looked := p.save(f.typed("do", "look", "column2", "scrap", "column3", "charged", "column4", "ingots", "order", "day", "mass", "lb"))
	assert.Contains(t, looked.text(), "1 Feb 2025")
	p.save(looked.form(t, at).typed("do", "take"))
	assert.Equal(t, 2_494_758, int(s.lines(t, "A25-001")[0].Mass()), "5.5 lb of 0.453 592 37 kg (NIST SP 811, 2008, appendix B.8)")

	at = p.waits("b.csv", "\xef\xbb\xbfWann;Was;Rein;Raus\r\n01/02/2025;Wheels;5.5;5\r\n02/02/2025;Wheels;6.5;6\r\n03/02/2025;Wheels;7.5;7\r\n")
	page = p.open(at)
	assert.Contains(t, page.text(), "Matched as the last file with these columns was.")
	assert.Contains(t, page.text(), "2 rows are in the book already and are left as they are. 1 row would come in as a melt.")
	p.save(page.form(t, at).typed("do", "take"))
	assert.Equal(t, []string{"A25-003", "A25-002", "A25-001"}, p.open("/melts").codes())
	assert.Contains(t, p.open("/melts/old").text(), "b.csv")
}

func TestOldNotesAreTakenBackAsOne(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	at := p.waits("a.csv", "Date,Scrap,Charged,Ingots\n2025-02-01,Wheels,5.5,5\n2025-02-02,Wheels,6.5,6\n")
	result := p.save(p.open(at).form(t, at).typed("do", "take"))
	strike := result.path + "/strike"
	g := p.send(result.form(t, strike))
	require.Equal(t, http.StatusUnprocessableEntity, g.status)
	assert.Contains(t, g.faults(), "Write a few words on why")
	struck := p.save(g.form(t, strike).typed("reason", "they were pounds"))
	assert.Contains(t, struck.text(), "Struck: they were pounds, by Workshop")
	assert.Contains(t, p.open("/melts/A25-001").text(), "void")
	page := p.open(at)
	assert.Contains(t, page.text(), "2 rows would come in as melts.")
	p.save(page.form(t, at).typed("do", "take", "mass", "lb"))
	assert.Len(t, p.open("/melts").codes(), 4)
}

// A shop with two furnaces is taken to have melted in the last one used, until
// somebody says otherwise.
func TestOldNotesOfTwoFurnaces(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	p.save(p.fill("/kit/new/furnace", "/kit", "name", "Small one", "letter", "B"))
	at := p.waits("a.csv", "Date,Charged,Furnace\n2025-02-01,5.5,\n2025-02-02,6.5,small one\n2025-02-03,6.5,A\n")
	page := p.open(at)
	assert.Contains(t, page.text(), "2 rows would come in as melts. 1 row stays out")
	assert.Contains(t, page.text(), "Nothing says which furnace it was.")
	p.start("14:00")
	page = p.open(at)
	assert.Equal(t, "1", page.form(t, at).values.Get("furnace"))
	p.save(page.form(t, at).typed("do", "take"))
	assert.Equal(t, []string{"A26-001", "A25-002", "B25-001", "A25-001"}, p.open("/melts").codes())
}

func TestOldNotesRefused(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	for name, c := range map[string]struct{ body, says string }{
		"nothing":     {"", "There is nothing in the file."},
		"a workbook":  {"PK\x03\x04xl/workbook.xml", "save the sheet as CSV"},
		"a picture":   {"\x89PNG\r\n\x1a\n\x00\x00", "This is not a text file."},
		"open quote":  {"Date,Note\n2025-02-01,\"dry\n2025-02-02,wet\n", "Line 2 of the file: a quotation mark opens here"},
		"many rows":   {"Date,kg\n" + strings.Repeat("2025-02-01,5\n", 5001), "more than 5000 rows"},
		"large":       {"Date,kg\n" + strings.Repeat("2025-02-01,5\n", 340_000), "larger than 4 MB"},
		"no headings": {"2025-02-01,5\n", ""},
	} {
		t.Run(name, func(t *testing.T) {
			p := p.in(t)
			g := p.hands("x.csv", c.body)
			if c.says == "" {
				require.Equal(t, http.StatusSeeOther, g.status)
				return
			}
			require.Equal(t, http.StatusUnprocessableEntity, g.status, g.text())
			assert.Contains(t, g.faults(), c.says)
		})
	}
	g := p.hands("x.csv", strings.Repeat("x", 6<<20))
	assert.Equal(t, http.StatusRequestEntityTooLarge, g.status)
	assert.Equal(t, http.StatusNotFound, p.do(http.MethodGet, "/melts/old/nothing-here", nil).status)
	assert.Equal(t, http.StatusNotFound, p.do(http.MethodGet, "/melts/old/imports/7", nil).status)

	at := p.waits("x.csv", "Date,Rein,Raus\n2025-02-01,5,4\n")
	form := p.open(at).form(t, at)
	for name, c := range map[string]struct {
		typed []string
		says  string
	}{
		"no date":        {[]string{"column1", "note"}, "No column is the date."},
		"twice the same": {[]string{"column2", "charged", "column3", "charged"}, "“Rein” is “Charged, mass” already."},
		"no furnace":     {[]string{"furnace", ""}, "no row can be a melt yet"},
		"a gone furnace": {[]string{"furnace", "99"}, "Something it names is not there any more."},
		"a gone scale":   {[]string{"scale", "99", "column2", "charged"}, "Something it names is not there any more."},
		"an odd field":   {[]string{"column1", "<script>", "delimiter", "pipe", "order", "year"}, "No column is the date."},
	} {
		t.Run(name, func(t *testing.T) {
			p := p.in(t)
			g := p.send(form.typed(append([]string{"do", "take", "key", newKey()}, c.typed...)...))
			require.Equal(t, http.StatusUnprocessableEntity, g.status, g.text())
			assert.Contains(t, g.text(), c.says)
			assert.Empty(t, p.open("/melts").codes())
			assert.Equal(t, http.StatusOK, p.open(at).status)
		})
	}
	again := p.save(form.typed("do", "take", "key", newKey(), "delimiter", "tab"))
	assert.Contains(t, again.text(), "“Date,Rein,Raus” is", "with other columns they are matched first")
	assert.Contains(t, again.text(), "No column is the date.")
	back := p.save(again.form(t, at).typed("do", "look", "delimiter", ""))
	assert.Equal(t, "date", back.form(t, at).values.Get("column1"))
	assert.Empty(t, p.open("/melts").codes())
	require.Equal(t, http.StatusBadRequest, p.send(form.typed("do", "take", "key", "x")).status)
}

// Nothing of a file is shown but as text, and a long one is shown in part.
func TestOldNotesLongAndOdd(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	var b strings.Builder
	b.WriteString("Date,Scrap,kg,<b>Note</b>\n")
	for i := range 2000 {
		fmt.Fprintf(&b, "2024-%02d-%02d,<script>alert(1)</script>,about %d,%s\n", 1+i%12, 1+i%28, i, strings.Repeat("long ", 100))
	}
	at := p.waits("<img src=x>.csv", b.String())
	page := p.open(at)
	assert.NotContains(t, page.body, "<script>alert")
	assert.NotContains(t, page.body, "<b>Note")
	assert.Contains(t, page.text(), "2000 rows would come in as melts.")
	assert.Contains(t, page.text(), "more.")
	assert.Less(t, len(page.body), 60_000)
	result := p.save(page.form(t, at).typed("do", "take"))
	assert.Contains(t, result.text(), "And 1950 more, up to A24-2000.")
	assert.Less(t, len(result.body), 60_000)
}
