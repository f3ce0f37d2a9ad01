package main

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"image/jpeg"
	"log/slog"
	"maps"
	"mime"
	"net/http"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/server/copies"
	"drosswise/store"
)

// apiDocument is the document of the API as a program reads it, and what of it was
// asked. Answers are held to it by a library that had no part in making it
// (JSON Schema 2020-12, on which OpenAPI 3.1 rests).
type apiDocument struct {
	t        *testing.T
	schemas  *jsonschema.Compiler
	paths    map[string]map[string]toldOperation
	answered map[string]int // successes, by operation
}

type toldOperation struct {
	OperationID string
	Responses   map[string]struct {
		Content map[string]struct{ Schema json.RawMessage }
	}
}

func readDocument(t *testing.T, m *machine) *apiDocument {
	t.Helper()
	g := m.do(get, "/api/v1/openapi.json", nil)
	require.Equal(t, http.StatusOK, g.status)
	whole, err := jsonschema.UnmarshalJSON(strings.NewReader(g.body))
	require.NoError(t, err)
	d := &apiDocument{t: t, schemas: jsonschema.NewCompiler(), answered: map[string]int{}}
	d.schemas.AssertFormat()
	require.NoError(t, d.schemas.AddResource("https://shed.test/openapi.json", whole))
	var read struct {
		OpenAPI string
		Paths   map[string]map[string]toldOperation
	}
	require.NoError(t, json.Unmarshal([]byte(g.body), &read))
	require.Equal(t, "3.1.0", read.OpenAPI)
	d.paths = read.Paths
	return d
}

// holds asserts that an answer is one that the document tells of.
func (d *apiDocument) holds(method, path string, g got) {
	d.t.Helper()
	pattern, op := d.operation(method, path)
	if !assert.NotEmpty(d.t, op.OperationID, "%s %s is not in the document", method, path) {
		return
	}
	answer, ok := op.Responses[fmt.Sprint(g.status)]
	if !assert.True(d.t, ok, "%s %s: %d is not in the document\n%s", method, path, g.status, g.body) {
		return
	}
	kind, _, err := mime.ParseMediaType(g.header.Get("Content-Type"))
	require.NoError(d.t, err)
	content, ok := answer.Content[kind]
	if !assert.True(d.t, ok, "%s %s: %d as %s is not in the document", method, path, g.status, kind) {
		return
	}
	if g.status < 300 {
		d.answered[op.OperationID]++
	}
	if !strings.Contains(kind, "json") { // a file
		assert.NotEmpty(d.t, g.body, "%s %s", method, path)
		assert.Empty(d.t, content.Schema, "%s %s", method, path)
		return
	}
	at := strings.NewReplacer("~", "~0", "/", "~1", "{", "%7B", "}", "%7D")
	schema, err := d.schemas.Compile(fmt.Sprintf("https://shed.test/openapi.json#/paths/%s/%s/responses/%d/content/%s/schema", at.Replace(pattern), strings.ToLower(method), g.status, at.Replace(kind)))
	require.NoError(d.t, err)
	body, err := jsonschema.UnmarshalJSON(strings.NewReader(g.body))
	require.NoError(d.t, err, g.body)
	assert.NoError(d.t, schema.Validate(body), "%s %s: %s", method, path, g.body)
}

func (d *apiDocument) operation(method, path string) (string, toldOperation) {
	path, _, _ = strings.Cut(path, "?")
	hole := regexp.MustCompile(`\\\{[^}]*\}`)
	for _, pattern := range slices.Sorted(maps.Keys(d.paths)) {
		if regexp.MustCompile("^" + hole.ReplaceAllString(regexp.QuoteMeta(pattern), "[^/]+") + "$").MatchString(path) {
			if op, ok := d.paths[pattern][strings.ToLower(method)]; ok {
				return pattern, op
			}
		}
	}
	return "", toldOperation{}
}

// client is a program that asks by the document.
type client struct {
	*machine
	doc *apiDocument
	n   int // of the key
}

func (c *client) key() string { c.n++; return fmt.Sprintf("program-%04d", c.n) }

// asks sends a request that must be answered with the status, and reads the
// answer.
func (c *client) asks(status int, method, path, body string, header ...string) map[string]any {
	c.t.Helper()
	if method != get && !slices.Contains(header, "Idempotency-Key") {
		header = append(header, "Idempotency-Key", c.key())
	}
	g := c.ask(method, path, body, header...)
	require.Equal(c.t, status, g.status, "%s %s %s\n%s", method, path, body, g.body)
	c.doc.holds(method, path, g)
	var read map[string]any
	require.NoError(c.t, json.Unmarshal([]byte(g.body), &read))
	return read
}

// gets asks for a file.
func (c *client) gets(path string) string {
	c.t.Helper()
	g := c.ask(get, path, "")
	require.Equal(c.t, http.StatusOK, g.status, "%s\n%s", path, g.body)
	c.doc.holds(get, path, g)
	return g.body
}

func (s *shed) client(t *testing.T, scope store.Scope) *client {
	m := s.machine(t, "Workshop", scope)
	return &client{machine: m, doc: readDocument(t, m)}
}

// TestDocumentTellsOfEveryAddress that a token reaches, and of nothing else.
func TestDocumentTellsOfEveryAddress(t *testing.T) {
	s := newShed(t)
	s.settled(t, habits["kg and point"])
	doc := readDocument(t, s.machine(t, "Workshop", store.ScopeRead))
	var served, described []string
	for _, rt := range s.routes() {
		if reaches(store.ScopeAll, rt) && rt.pattern != "/api/v1/openapi.json" {
			served = append(served, rt.method+" "+rt.pattern)
		}
	}
	for pattern, ops := range doc.paths {
		for method := range ops {
			described = append(described, strings.ToUpper(method)+" "+pattern)
		}
	}
	assert.ElementsMatch(t, served, described)
}

// TestProgramDoesAllThatAPersonDoes does everything the document tells of, each
// thing at least once, and holds every answer to the document.
func TestProgramDoesAllThatAPersonDoes(t *testing.T) {
	s := newShed(t)
	s.settled(t, habits["lb and °F"])
	c := s.client(t, store.ScopeAll)
	made, ok := http.StatusCreated, http.StatusOK

	assert.Equal(t, "all", c.asks(ok, get, "/api/v1/me", "")["scope"])
	source := c.asks(made, post, "/api/v1/sources", `{"name":"Crank arms","form":"casting","coating":"anodised","paid_per_kg":0.8,"wet":true}`)
	path := fmt.Sprintf("/api/v1/sources/%v", source["id"])
	changed := c.asks(ok, http.MethodPut, path, `{"name":"Crank arms, sorted","form":"casting","fetches_per_kg":1.1}`)
	assert.Equal(t, 1.1, changed["fetches_per_kg"])
	assert.Nil(t, changed["paid_per_kg"], "what is left out is not said any more")
	c.asks(ok, http.MethodPut, path+"/belief", `{"metal_percent":94,"metal_sd_percent":2}`)
	lot := c.asks(made, post, path+"/lots", `{"as_found_kg":12.5,"as_charged_kg":11.25,"steel_kg":0.75}`)
	assert.Equal(t, 11.25, lot["as_charged_kg"])
	lotPath := fmt.Sprintf("%s/lots/%v", path, lot["id"])
	c.asks(ok, post, lotPath+"/strike", `{"reason":"weighed wet"}`)
	c.asks(ok, post, lotPath+"/lift", `{}`)
	assert.Len(t, c.asks(ok, get, path+"/lots", "")["lots"], 1)
	c.asks(made, post, path+"/prices", `{"price_per_kg":0.95,"note":"by telephone"}`)
	price := c.asks(made, post, "/api/v1/prices", `{"of":"ingots","price_per_kg":1.55}`)
	c.asks(ok, post, fmt.Sprintf("/api/v1/prices/%v/strike", price["id"]), `{}`)
	c.asks(ok, post, fmt.Sprintf("/api/v1/prices/%v/lift", price["id"]), `{}`)
	assert.Len(t, c.asks(ok, get, "/api/v1/prices", "")["prices"], 2)

	item := c.asks(made, post, "/api/v1/kit", `{"kind":"crucible","name":"Second pot","material":"clay-graphite","brim_l":1.5,"mass_kg":2.85,"cost":60}`)
	kitPath := fmt.Sprintf("/api/v1/kit/%v", item["id"])
	assert.Equal(t, 2.85, c.asks(ok, http.MethodPut, kitPath, `{"name":"Second pot","material":"clay-graphite","brim_l":1.4,"mass_kg":2.85}`)["mass_kg"])
	item = c.asks(made, post, kitPath+"/lines", `{"kind":"inspected","mass_kg":2.8,"ring":"clear"}`)
	line := item["lines"].([]any)[0].(map[string]any)
	kitLine := fmt.Sprintf("%s/lines/%v", kitPath, line["id"])
	c.asks(ok, post, kitLine+"/strike", `{"reason":"scale was off"}`)
	c.asks(ok, post, kitLine+"/lift", `{}`)
	c.asks(made, post, kitLine+"/photos", string(dross(t, 640, 480)), "Content-Type", "image/jpeg")
	assert.Len(t, c.asks(ok, get, kitPath+"/photos", "")["photos"], 1)
	c.asks(ok, get, kitPath, "")
	c.asks(ok, http.MethodPut, "/api/v1/due/rules", `{"rules":[{"kind":"crucible","heats":10,"days":null},{"kind":"scale","heats":null,"days":30}]}`)
	c.asks(ok, get, "/api/v1/due", "")
	c.asks(ok, get, "/api/v1/years/2019", "")

	melt := c.asks(made, post, "/api/v1/melts", `{"furnace":1,"crucible":2,"element":3,"at":"2026-03-14T14:00:00Z","ambient_c":18.5}`)
	assert.Equal(t, 18.5, melt["ambient_c"])
	meltPath := fmt.Sprintf("/api/v1/melts/%v", melt["code"])
	charge := c.asks(made, post, meltPath+"/lines", fmt.Sprintf(`{"kind":"charge","source":%v,"gross_kg":[1.25,0.755],"scale":4,"at":"2026-03-14T14:05:00Z"}`, source["id"]))
	assert.Equal(t, 2.005, charge["mass_kg"])
	c.asks(made, post, meltPath+"/lines", `{"kind":"temperature","temp_c":712.5,"which":"metal","at":"2026-03-14T16:05:30Z"}`)
	linePath := fmt.Sprintf("%s/lines/%v", meltPath, charge["id"])
	c.asks(made, post, linePath+"/photos?note=oily", string(dross(t, 640, 480)), "Content-Type", "image/jpeg")
	photos := c.asks(ok, get, meltPath+"/photos", "")["photos"].([]any)
	require.Len(t, photos, 1)
	photo := fmt.Sprintf("/api/v1/photos/%v", photos[0].(map[string]any)["id"])
	c.asks(ok, post, photo+"/strike", `{"reason":"blurred"}`)
	c.asks(ok, post, photo+"/lift", `{}`)
	life := c.asks(ok, get, "/api/v1/kit/2/life", "")["photos"].([]any)
	require.Len(t, life, 1)
	assert.Equal(t, melt["code"], life[0].(map[string]any)["melt"])
	assert.Equal(t, "oily", life[0].(map[string]any)["note"])
	assert.Len(t, c.asks(ok, get, kitPath+"/life", "")["photos"], 1)
	c.asks(made, post, lotPath+"/photos", string(dross(t, 640, 480)), "Content-Type", "image/jpeg")
	assert.Len(t, c.asks(ok, get, path+"/photos", "")["photos"], 1)
	again := c.asks(made, post, linePath+"/replace", fmt.Sprintf(`{"kind":"charge","source":%v,"gross_kg":[2.1],"scale":4,"at":"2026-03-14T14:05:00Z","reason":"misread"}`, source["id"]))
	second := fmt.Sprintf("%s/lines/%v", meltPath, again["id"])
	c.asks(ok, post, second+"/strike", `{"reason":"not this melt"}`)
	c.asks(ok, post, second+"/lift", `{}`)
	whole := c.asks(ok, get, meltPath, "")
	assert.Nil(t, c.asks(ok, get, meltPath+"/expected", "")["expected"], "too few melts")
	assert.Contains(t, c.gets("/melts.csv?from=2026-03"), fmt.Sprint(melt["code"]))
	assert.Contains(t, c.gets("/lines.csv"), "misread")
	assert.Contains(t, c.gets("/years/2026.csv"), "2026-03")
	for _, size := range []string{".jpg", "/thumb.jpg"} {
		_, err := jpeg.DecodeConfig(strings.NewReader(c.gets(strings.TrimPrefix(photo, "/api/v1") + size)))
		assert.NoError(t, err)
	}
	c.asks(http.StatusNotFound, get, "/photos/999.jpg", "")
	c.asks(http.StatusNotFound, get, "/years/1066.csv", "")
	assert.Contains(t, c.gets("/metrics"), "drosswise_melts_running")
	assert.Equal(t, 2.1, whole["sheet"].(map[string]any)["charged"].(map[string]any)["x"])
	assert.Len(t, c.asks(ok, get, "/api/v1/melts?running=true", "")["melts"], 1)
	assert.Len(t, c.asks(ok, get, "/api/v1/melts?from=2026-03&limit=1", "")["melts"], 1)
	c.asks(ok, get, "/api/v1/melts?q=nothing", "")
	c.asks(ok, post, fmt.Sprintf("/api/v1/kit/1/alarms/%v", melt["code"]), `{"how":"one_off"}`)

	notes := `"file":"blue notebook","text":"Date;Scrap;Charged kg;Ingots kg\n1.2.2025;Rims;5,5;5\n2.2.2025;Rims;5;51\nSum;;10,5;\n","furnace":1,"scale":4`
	looked := c.asks(ok, post, "/api/v1/imports", `{`+notes+`,"look":true}`)
	assert.Nil(t, looked["import"])
	assert.Equal(t, "new", looked["rows"].([]any)[0].(map[string]any)["state"])
	doubted := c.asks(http.StatusUnprocessableEntity, post, "/api/v1/imports", `{`+notes+`}`)
	assert.Contains(t, fmt.Sprint(doubted["errors"]), "doubted:true location:body.text line 3 Ingots kg")
	brought := c.asks(ok, post, "/api/v1/imports", `{`+notes+`,"sure":true}`)
	assert.Equal(t, 2.0, brought["import"].(map[string]any)["melts"])
	assert.Equal(t, "A25-002", brought["rows"].([]any)[1].(map[string]any)["code"])
	assert.Equal(t, "out", brought["rows"].([]any)[2].(map[string]any)["state"])
	assert.Nil(t, c.asks(ok, post, "/api/v1/imports", `{`+notes+`,"sure":true}`)["import"], "the rows are there already")
	importPath := fmt.Sprintf("/api/v1/imports/%v", brought["import"].(map[string]any)["id"])
	assert.Len(t, c.asks(ok, get, importPath, "")["codes"], 2)
	c.asks(http.StatusUnprocessableEntity, post, importPath+"/strike", `{}`)
	c.asks(ok, post, importPath+"/strike", `{"reason":"not ours"}`)
	assert.NotNil(t, c.asks(ok, get, "/api/v1/imports", "")["imports"].([]any)[0].(map[string]any)["struck"])
	for _, wrong := range []string{`"columns":{"Date":"day"}`, `"columns":{"Nothing":"date"}`, `"columns":{"Scrap":"scrap"}`, `"text":"PK\u0003\u0004"`} {
		c.asks(http.StatusUnprocessableEntity, post, "/api/v1/imports", `{`+notes+`,`+wrong+`}`)
	}

	c.asks(ok, post, meltPath+"/readings", `[{"bn":"shed:","bt":1773498000,"n":"metal","u":"Cel","v":21.5},{"n":"metal","t":10,"u":"Cel","v":22},{"n":"plug","u":"W","v":1500}]`, "Content-Type", "application/senml+json")
	told := c.asks(ok, get, meltPath+"/readings?series=1&after=2026-03-14T14:20:00Z", "")
	assert.Len(t, told["series"], 2)
	assert.Equal(t, []any{map[string]any{"at": "2026-03-14T14:20:10Z", "value": 22.0}}, told["readings"])
	c.asks(ok, post, meltPath+"/series/2/strike", `{"reason":"another plug"}`)
	assert.Len(t, c.asks(ok, get, meltPath+"/readings", "")["series"], 2)
	c.asks(ok, post, meltPath+"/series/2/lift", `{}`)
	assert.Len(t, c.asks(ok, get, meltPath+"/curve", "")["sensors"], 2)
	assert.Equal(t, 1.0, c.asks(ok, post, meltPath+"/log-files", `{"file":"probe.txt","text":"Time,Probe\n2026-03-14T15:00:00Z,640.5\n"}`)["stored"])
	was := c.asks(ok, get, "/api/v1/shop", "")
	assert.Equal(t, "F", was["temperature"])
	set, err := json.Marshal(was)
	require.NoError(t, err)
	assert.Equal(t, was, c.asks(ok, http.MethodPut, "/api/v1/shop", string(set)), "what was read can be sent back and changes nothing")
	tariff := c.asks(made, post, "/api/v1/tariffs", `{"from":"2026-02-01","price_per_kwh":0.31,"bands":[{"from":"23:00","to":"06:30","price_per_kwh":0.19}]}`)
	assert.Equal(t, "06:30", tariff["bands"].([]any)[0].(map[string]any)["to"])
	assert.Len(t, c.asks(ok, get, "/api/v1/tariffs", "")["tariffs"], 2)
	c.asks(ok, post, fmt.Sprintf("/api/v1/tariffs/%v/strike", tariff["id"]), "")

	s.app.copies = copies.In(filepath.Join(t.TempDir(), "copies"), s.dir, slog.New(slog.DiscardHandler))
	assert.Empty(t, c.asks(ok, get, "/api/v1/copies", "")["copies"])
	copied := c.asks(ok, post, "/api/v1/copies", "")
	assert.Equal(t, copied, c.asks(ok, get, "/api/v1/copies", ""))
	assert.NotContains(t, copied, "failure")
	assert.Len(t, copied["copies"], 1)
	name := copied["copies"].([]any)[0].(map[string]any)["name"]
	assert.True(t, strings.HasPrefix(c.gets(fmt.Sprintf("/api/v1/copies/%v", name)), "SQLite format 3\x00"))
	c.asks(http.StatusNotFound, get, "/api/v1/copies/drosswise-20000101-000000.db", "")
	export := c.gets("/api/v1/export")
	_, err = zip.NewReader(strings.NewReader(export), int64(len(export)))
	require.NoError(t, err)
	for _, scope := range []store.Scope{store.ScopeRead, store.ScopeLog, store.ScopeReadings} {
		narrow := s.machine(t, "Workshop", scope)
		assert.Equal(t, http.StatusForbidden, narrow.ask(get, "/api/v1/export", "").status, scope)
		assert.Equal(t, http.StatusForbidden, narrow.ask(get, fmt.Sprintf("/api/v1/copies/%v", name), "").status, scope)
	}

	link := c.asks(made, post, "/api/v1/people/links", `{"role":"melter"}`)["link"].(string)
	assert.Equal(t, 1.0, c.asks(ok, get, "/api/v1/people", "")["open_links"])
	p := s.phone(t)
	p.save(p.fill(link, link, "name", "Second", "password", "crank arm and rim", "again", "crank arm and rim"))
	c.asks(ok, http.MethodPut, "/api/v1/people/2/role", `{"role":"reader"}`)
	c.asks(made, post, "/api/v1/people/2/link", "")
	c.asks(ok, post, "/api/v1/people/2/end", "")
	c.asks(ok, post, "/api/v1/people/links/end", "")
	assert.Equal(t, 0.0, c.asks(ok, get, "/api/v1/people", "")["open_links"])
	assert.Len(t, c.asks(ok, get, "/api/v1/people", "")["people"], 2)

	s.worked(t)
	c.asks(ok, get, "/api/v1/sources", "")
	assert.Equal(t, map[string]any{"metal_percent": 94.0, "metal_sd_percent": 2.0}, c.asks(ok, get, path, "")["belief"])
	c.asks(ok, get, "/api/v1/compare?a=1&b=2", "")
	c.asks(ok, get, "/api/v1/findings", "")
	c.asks(ok, get, "/api/v1/kit", "")

	for _, ops := range c.doc.paths {
		for _, op := range ops {
			assert.Positive(t, c.doc.answered[op.OperationID], "%s was never done", op.OperationID)
		}
	}
}

// TestRepeatedRequestIsDoneOnce sends everything twice that adds something.
func TestRepeatedRequestIsDoneOnce(t *testing.T) {
	s := newShed(t)
	s.settled(t, habits["kg and point"])
	c := s.client(t, store.ScopeLog)
	for _, one := range []struct{ path, body, other string }{
		{"/api/v1/melts", `{"furnace":1,"crucible":2,"ambient_c":18}`, `{"furnace":1,"crucible":2,"ambient_c":28}`},
		{"/api/v1/sources", `{"name":"Brake levers","form":"casting"}`, `{"name":"Brake levers","form":"sheet"}`},
		{"/api/v1/sources/1/lots", `{"as_found_kg":2}`, `{"as_found_kg":3}`},
		{"/api/v1/sources/1/prices", `{"price_per_kg":1}`, `{"price_per_kg":2}`},
		{"/api/v1/kit", `{"kind":"scale","name":"Third","resolution_kg":0.001}`, `{"kind":"scale","name":"Third","resolution_kg":0.01}`},
		{"/api/v1/kit/2/lines", `{"kind":"note","note":"rim chipped"}`, `{"kind":"note","note":"rim whole"}`},
		{"/api/v1/melts/A26-001/lines", `{"kind":"note","note":"quiet evening"}`, `{"kind":"note","note":"loud evening"}`},
	} {
		key := []string{"Idempotency-Key", c.key()}
		first := c.asks(http.StatusCreated, post, one.path, one.body, key...)
		assert.Equal(t, first, c.asks(http.StatusCreated, post, one.path, one.body, key...), one.path)
		assert.Equal(t, first, c.asks(http.StatusCreated, post, one.path, one.body, "Idempotency-Key", `"`+key[1]+`"`), "%s, with the quotes of a structured field", one.path)
		refused := c.asks(http.StatusConflict, post, one.path, one.other, key...)
		assert.Contains(t, refused["detail"], "This Idempotency-Key came before with other content", one.path)
	}
	assert.Len(t, s.lines(t, "A26-001"), 1)
	for _, path := range []string{"/api/v1/sources/1/lots/1", "/api/v1/prices/1", "/api/v1/kit/2/lines/1", "/api/v1/melts/A26-001/lines/1"} {
		strike, key := path+"/strike", []string{"Idempotency-Key", c.key()}
		c.asks(http.StatusOK, post, strike, `{"reason":"misread"}`, key...)
		c.asks(http.StatusOK, post, strike, `{"reason":"misread"}`, key...)
		c.asks(http.StatusConflict, post, strike, `{"reason":"twice"}`, key...)
		c.asks(http.StatusConflict, post, path+"/lift", `{"reason":"misread"}`, key...)
		c.asks(http.StatusOK, post, strike, `{"reason":"struck by somebody else too"}`)
	}
}

// TestProgramIsToldWhatIsWrong sends what does not fit.
func TestProgramIsToldWhatIsWrong(t *testing.T) {
	s := newShed(t)
	s.settled(t, habits["kg and comma"])
	c := s.client(t, store.ScopeAll)
	c.asks(http.StatusCreated, post, "/api/v1/melts", `{"furnace":1,"crucible":2}`)
	lines := "/api/v1/melts/A26-001/lines"
	for _, one := range []struct {
		path, body string
		status     int
		location   string
		sentence   string
	}{
		{lines, `{"kind":"charge","source":1,"gross_kg":[-2]}`, 422, "body.gross_kg", ""},
		{lines, `{"kind":"charge","source":99,"gross_kg":[2]}`, 422, "body", ""},
		{lines, `{"kind":"temperature","temp_c":5000,"which":"metal"}`, 422, "body.temp_c", ""},
		{lines, `{"kind":"temperature","temp_c":-300,"which":"metal"}`, 422, "body.temp_c", ""},
		{lines, `{"kind":"temperature"}`, 422, "", ""},
		{lines, `{"kind":"explosion"}`, 422, "body.kind", ""},
		{lines, `{"kind":"note","note":"x","colour":"red"}`, 422, "body.colour", ""},
		{lines, `{"kind":"charge","source":1,"gross_kg":[1e300]}`, 422, "body.gross_kg", ""},
		{lines, `{"kind":"charge","source":1,"gross_kg":"two"}`, 422, "body.gross_kg", ""},
		{lines, `{"kind":`, 400, "", ""},
		{lines, ``, 400, "", ""},
		{"/api/v1/melts", `{"furnace":0}`, 422, "body.furnace", "Choose the furnace."},
		{"/api/v1/melts", `{"furnace":2}`, 422, "body.furnace", ""},
		{"/api/v1/sources", `{"name":"Wheels","form":"casting"}`, 422, "body.name", "in the book already"},
		{"/api/v1/sources", `{"name":"Hub\ncaps","form":"casting"}`, 422, "body.name", "Keep it on one line."},
		{"/api/v1/kit", `{"kind":"scale","name":"Shelf\nscale","resolution_kg":0.001}`, 422, "body.name", "Keep it on one line."},
		{"/api/v1/kit", `{"kind":"scale","name":"X","resolution_kg":-1}`, 422, "body.resolution_kg", ""},
		{"/api/v1/kit/1/lines", `{"kind":"fitted","furnace":1}`, 422, "body.kind", "no such line"},
		{"/api/v1/tariffs", `{"from":"2026-13-45","price_per_kwh":1}`, 422, "body.from", ""},
	} {
		got := c.asks(one.status, post, one.path, one.body)
		said, err := json.Marshal(got)
		require.NoError(t, err)
		assert.Contains(t, string(said), one.location, one.body)
		assert.Contains(t, string(said), one.sentence, one.body)
	}
	assert.Empty(t, s.lines(t, "A26-001"), "nothing of it was written")

	c.asks(http.StatusNotFound, get, "/api/v1/melts/Z99-001", "")
	c.asks(http.StatusNotFound, post, "/api/v1/sources/99/lots", `{"as_found_kg":2}`)
	doubted := c.asks(422, post, lines, `{"kind":"charge","source":1,"gross_kg":[9,9,9],"scale":4}`)
	assert.Contains(t, fmt.Sprint(doubted["errors"]), "doubted:true")
	c.asks(201, post, lines, `{"kind":"charge","source":1,"gross_kg":[9,9,9],"scale":4,"sure":true}`)
	g := c.ask(post, lines, `{"kind":"note","note":"no key"}`)
	assert.Equal(t, http.StatusUnprocessableEntity, g.status)
	assert.Contains(t, g.body, "header.Idempotency-Key")
	large := c.ask(post, lines, `{"kind":"note","note":"`+string(bytes.Repeat([]byte("a"), 300<<10))+`"}`, "Idempotency-Key", c.key())
	assert.Equal(t, http.StatusRequestEntityTooLarge, large.status, large.body)
	c.asks(422, post, "/api/v1/melts/A26-001/lines/1/photos", "this is no picture", "Content-Type", "image/jpeg")
}

// worked waits until what all melts tell is worked out.
func (s *shed) worked(t *testing.T) {
	t.Helper()
	require.Eventually(t, func() bool {
		est, oldYields := s.yields.latest(t.Context())
		book, oldAges := s.ages.latest(t.Context())
		return est != nil && book != nil && !oldYields && !oldAges
	}, 10*time.Second, 5*time.Millisecond)
}
