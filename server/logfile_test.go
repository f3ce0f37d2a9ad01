package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html/atom"

	"drosswise/foundry/curve"
	"drosswise/foundry/quantity"
	"drosswise/store"
)

// logged is a file of a logger: a thermocouple and a plug meter, one row in ten
// seconds for some minutes from a moment on.
func logged(from quantity.Moment, minutes int) string {
	var b strings.Builder
	b.WriteString("Logger in the shed\r\n\r\nTime;Metal (°C);Plug (W);Door\r\n")
	for i := range minutes * 6 {
		at := (from + quantity.Moment(i)*10_000).Time().UTC().Format(time.RFC3339)
		fmt.Fprintf(&b, "%s;%d,5;%d;shut\r\n", at, 20+i, 1900+i%3)
	}
	return b.String()
}

// leads sends a logger's file and gives the address where it waits.
func (p *phone) leads(melt, name, body string) string {
	p.t.Helper()
	g := p.handsTo(melt+"/readings", name, body)
	require.Equal(p.t, http.StatusSeeOther, g.status, g.faults())
	return g.header.Get("Location")
}

func TestALoggersFileBecomesReadings(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.workedMelt(habits["kg and point"])
	h, _, err := s.store.Melt(t.Context(), code)
	require.NoError(t, err)
	melt := "/melts/" + string(code)
	assert.Contains(t, p.open(melt).text(), "Readings from a file")

	at := p.leads(melt, "shed.csv", logged(h.At, 30))
	page := p.open(at)
	for _, told := range []string{"180 rows and 4 columns", "As found: semicolon", "As found: a comma", "360 readings by 2 sensors would be stored.", "Metal (°C) 20.5 °C, Plug (W) 1900.0 W"} {
		assert.Contains(t, page.text(), told)
	}
	f := page.form(t, at)
	for field, want := range map[string]string{"column1": "date", "column2": "C", "column3": "W", "column4": "", "off_way": ""} {
		assert.Equal(t, want, f.values.Get(field), field)
	}
	shown := p.save(f.typed("do", "take"))
	assert.Contains(t, shown.text(), "360 readings stored.")
	assert.Contains(t, shown.text(), "Temperature · Metal (°C)")
	all, err := s.store.MeltSeries(t.Context(), h.ID)
	require.NoError(t, err)
	require.Len(t, all, 2)
	samples, err := s.store.Readings(t.Context(), all[0].ID, 0, 2)
	require.NoError(t, err)
	assert.Equal(t, []curve.Sample{{At: h.At, Value: 20_50}, {At: h.At + 10_000, Value: 21_50}}, samples)

	shown = p.save(p.open(at).form(t, at).typed("do", "take"))
	assert.Contains(t, shown.text(), "0 readings stored. 360 were there already.")

	// The same columns again are matched as they were.
	more := p.leads(melt, "more.csv", logged(h.At+quantity.Moment(30*quantity.Minute), 10))
	assert.Contains(t, p.open(more).text(), "Matched as the last file with these columns was.")
	assert.Len(t, p.open(melt+"/readings").codesOfFiles(), 2)

	// Taken for the wrong unit, said, struck and stored again under another name.
	page = p.send(p.open(at).form(t, at).typed("do", "take", "column2", "F"))
	require.Equal(t, http.StatusSeeOther, page.status)
	assert.Contains(t, p.open(melt).text(), "180 have another value there already, which stays")
	path := fmt.Sprintf("%s/series/%d", melt, all[0].ID)
	p.save(p.open(melt).form(t, path+"/strike"))
	page = p.open(at)
	assert.Contains(t, page.text(), "were struck before, so these come as “Metal (°C) (2)”.")
	p.save(page.form(t, at).typed("do", "take"))
	assert.Contains(t, p.open(melt).text(), "Metal (°C) (2)")
}

// codesOfFiles are the links to files that wait.
func (g got) codesOfFiles() (all []string) {
	for n := range g.nodes(atom.A) {
		for _, a := range n.Attr {
			if a.Key == "href" && strings.Contains(a.Val, "/readings/") {
				all = append(all, a.Val)
			}
		}
	}
	return all
}

func TestALoggersClockThatIsOff(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.workedMelt(habits["kg and point"])
	h, _, err := s.store.Melt(t.Context(), code)
	require.NoError(t, err)
	melt := "/melts/" + string(code)
	at := p.leads(melt, "shed.csv", logged(h.At-quantity.Moment(9*quantity.Hour), 30))
	page := p.open(at)
	assert.Contains(t, page.text(), "180 rows are left out: from")
	assert.Contains(t, page.text(), "If the logger's clock was 7 h behind, all of it lies on the melt")
	g := p.send(page.form(t, at).typed("do", "take"))
	assert.Equal(t, http.StatusUnprocessableEntity, g.status, "nothing to store")
	g = p.send(page.form(t, at).typed("off_way", "behind", "off_by", "soon"))
	require.Equal(t, http.StatusUnprocessableEntity, g.status)
	assert.Contains(t, g.text(), "“soon” is not a length of time.")
	assert.Equal(t, "soon", g.form(t, at).values.Get("off_by"), "what was typed is still there")
	p.save(g.form(t, at).typed("off_by", "9:00:05"))
	page = p.open(at)
	assert.Contains(t, page.text(), "360 readings by 2 sensors would be stored.")
	assert.Equal(t, "9:00:05", page.form(t, at).values.Get("off_by"))
	p.save(page.form(t, at).typed("do", "take"))
	all, err := s.store.MeltSeries(t.Context(), h.ID)
	require.NoError(t, err)
	require.Len(t, all, 2)
	assert.Equal(t, 9*quantity.Hour+5*quantity.Second, all[0].Shift)
}

func TestALoggersTimesMayCountFromTheStart(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.workedMelt(habits["kg and point"])
	h, lines, err := s.store.Melt(t.Context(), code)
	require.NoError(t, err)
	at := p.leads("/melts/"+string(code), "s.csv", "Elapsed s,T1\n0,20\n60,25.5\n")
	page := p.open(at)
	assert.Contains(t, page.text(), "Its times count from")
	p.save(page.form(t, at).typed("do", "take"))
	all, err := s.store.MeltSeries(t.Context(), h.ID)
	require.NoError(t, err)
	require.Len(t, all, 1)
	samples, err := s.store.Readings(t.Context(), all[0].ID, 0, 0)
	require.NoError(t, err)
	on := poweredAt(h, lines)
	assert.Equal(t, []curve.Sample{{At: on, Value: 20_00}, {At: on + 60_000, Value: 25_50}}, samples)

	g := p.send(page.form(t, at).typed("start_date", "", "start_clock", ""))
	require.Equal(t, http.StatusSeeOther, g.status)
	g = p.send(p.open(at).form(t, at).typed("start_date", "2026-02-31", "start_clock", "14:00", "do", "take"))
	assert.Equal(t, http.StatusUnprocessableEntity, g.status)
}

func TestALoggersFileThatIsNone(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.workedMelt(habits["kg and point"])
	other := p.start("15:00")
	melt := "/melts/" + string(code)
	for body, told := range map[string]string{"": "There is nothing in the file.", "PK\x03\x04zip": "workbook", "Time,Temp\n": "no rows under them"} {
		g := p.handsTo(melt+"/readings", "x.csv", body)
		assert.Equal(t, http.StatusUnprocessableEntity, g.status)
		assert.Contains(t, g.text(), told)
	}
	g := p.handsTo(melt+"/readings", "x.csv", strings.Repeat("1,2\n", 100_100))
	assert.Equal(t, http.StatusUnprocessableEntity, g.status)
	at := p.leads(melt, "x.csv", "a,b\nred,blue\n")
	page := p.open(at)
	assert.Contains(t, page.text(), "Nothing can be taken in yet")
	g = p.send(page.form(t, at).typed("do", "take"))
	assert.Equal(t, http.StatusUnprocessableEntity, g.status)
	assert.Contains(t, g.text(), "No column is the time.")
	for _, elsewhere := range []string{"/melts/" + string(other) + at[len(melt):], melt + "/readings/none", "/melts/old/" + at[len(melt+"/readings/"):], "/melts/A01-999/readings"} {
		assert.Equal(t, http.StatusNotFound, p.do(http.MethodGet, elsewhere, nil).status, elsewhere)
	}
}

// logFile is a program's body with a file, and more members beside it.
func logFile(t *testing.T, text string, more map[string]any) string {
	t.Helper()
	body := map[string]any{"file": "shed.csv", "text": text}
	maps.Copy(body, more)
	b, err := json.Marshal(body)
	require.NoError(t, err)
	return string(b)
}

func TestProgramBringsALoggersFileIn(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["lb and °F"])
	code := p.workedMelt(habits["lb and °F"])
	h, _, err := s.store.Melt(t.Context(), code)
	require.NoError(t, err)
	c := s.client(t, store.ScopeLog)
	path := "/api/v1/melts/" + string(code) + "/log-files"
	file := logged(h.At, 30)

	looked := c.asks(200, post, path, logFile(t, file, map[string]any{"look": true}))
	assert.Equal(t, map[string]any{"Time": "date", "Metal (°C)": "C", "Plug (W)": "W", "Door": ""}, looked["columns"])
	assert.Equal(t, "comma", looked["mark"].(map[string]any)["is"])
	assert.Nil(t, looked["start"])
	assert.Len(t, looked["series"], 2)
	row := looked["rows"].([]any)[0].(map[string]any)
	assert.Equal(t, 4.0, row["line"])
	assert.Equal(t, h.At.Time().UTC().Truncate(time.Second).Format(time.RFC3339), row["at"])
	assert.Equal(t, map[string]any{"column": "Metal (°C)", "value": 20.5, "unit": "Cel"}, row["values"].([]any)[0])
	all, err := s.store.MeltSeries(t.Context(), h.ID)
	require.NoError(t, err)
	assert.Empty(t, all, "only looked at")

	assert.Equal(t, 360.0, c.asks(200, post, path, logFile(t, file, nil))["stored"])
	again := c.asks(200, post, path, logFile(t, file, nil))
	assert.Equal(t, []any{0.0, 360.0, true}, []any{again["stored"], again["had"], again["remembered"]})
	all, err = s.store.MeltSeries(t.Context(), h.ID)
	require.NoError(t, err)
	require.Len(t, all, 2)
	samples, err := s.store.Readings(t.Context(), all[0].ID, 0, 2)
	require.NoError(t, err)
	assert.Equal(t, []curve.Sample{{At: h.At / 1000 * 1000, Value: 20_50}, {At: h.At/1000*1000 + 10_000, Value: 21_50}}, samples)

	// Two columns with names of their own, one of them left out; struck, it comes under another name.
	named := map[string]any{"columns": map[string]string{"Time": "date", "Metal (°C)": "F"}}
	assert.Equal(t, 180.0, c.asks(200, post, path, logFile(t, file, named))["other"], "another unit gives other values, and the first stay")
	require.NoError(t, s.store.StrikeSeries(t.Context(), 1, code, all[0].ID, store.Mark{Key: "strike-0001", Struck: true}))
	taken := c.asks(200, post, path, logFile(t, file, named))
	assert.Equal(t, 180.0, taken["stored"])
	assert.Equal(t, "Metal (°C) (2)", taken["series"].([]any)[0].(map[string]any)["name"])
}

func TestProgramIsToldWhatOfALoggersFileCannotBe(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.workedMelt(habits["kg and point"])
	h, lines, err := s.store.Melt(t.Context(), code)
	require.NoError(t, err)
	c := s.client(t, store.ScopeLog)
	path := "/api/v1/melts/" + string(code) + "/log-files"
	for _, one := range []struct {
		text     string
		more     map[string]any
		location string
		sentence string
	}{
		{"PK\x03\x04zip", nil, "body.text", "workbook"},
		{"Time,Temp\n", nil, "body.text", "no rows under them"},
		{strings.Repeat("1,2\n", 100_100), nil, "body.text", ""},
		{"a,b\nred,blue\n", nil, "body.columns", "No column is the time."},
		{logged(h.At, 1), map[string]any{"columns": map[string]string{"Hour": "date"}}, "body.columns.Hour", "no such column"},
		{logged(h.At, 1), map[string]any{"columns": map[string]string{"Time": "moment"}}, "body.columns.Time", "no such field"},
		{logged(h.At, 1), map[string]any{"columns": map[string]string{"Time": "date"}}, "body.columns", "No column is a reading."},
		{"Time,T1\nsoon,20\n", map[string]any{"columns": map[string]string{"Time": "date", "T1": "C"}}, "body.text", "Line 2, “Time”"},
		{logged(h.At-quantity.Moment(9*quantity.Hour), 30), nil, "body.text", "clock_ahead_s"},
	} {
		refused := c.asks(422, post, path, logFile(t, one.text, one.more))
		said, err := json.Marshal(refused["errors"])
		require.NoError(t, err)
		assert.Contains(t, string(said), `"location":"`+one.location+`"`)
		assert.Contains(t, string(said), one.sentence)
	}
	all, err := s.store.MeltSeries(t.Context(), h.ID)
	require.NoError(t, err)
	assert.Empty(t, all)
	c.asks(404, post, "/api/v1/melts/Z99-001/log-files", logFile(t, logged(h.At, 1), nil))
	large := c.ask(post, path, logFile(t, strings.Repeat("1,2\n", maxLogJSON/4), nil))
	assert.Equal(t, http.StatusRequestEntityTooLarge, large.status)

	// A clock that is off is told, and times that count from the start are laid on power on.
	off := c.asks(200, post, path, logFile(t, logged(h.At-quantity.Moment(9*quantity.Hour), 30), map[string]any{"clock_ahead_s": -9 * 3600}))
	assert.Equal(t, 360.0, off["stored"])
	since := c.asks(200, post, path, logFile(t, "Elapsed s,T1\n0,20\n60,25.5\n", nil))
	assert.Equal(t, 2.0, since["stored"])
	assert.Equal(t, poweredAt(h, lines).Time().UTC().Format(time.RFC3339Nano), since["start"])
	from := h.At.Time().UTC().Add(time.Minute).Truncate(time.Second)
	since = c.asks(200, post, path, logFile(t, "Elapsed s,T2\n0,20\n", map[string]any{"start": from.Format(time.RFC3339)}))
	assert.Equal(t, from.Format(time.RFC3339), since["from"])
}
