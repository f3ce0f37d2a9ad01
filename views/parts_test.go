package views

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"drosswise/foundry/quantity"
	"drosswise/static"

	"github.com/a-h/templ"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const nasty = `<script>alert("x")</script> & 'rims' "`

var long = strings.Repeat("Fensterrahmenverschnitt", 40)

func render(t *testing.T, c templ.Component) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, c.Render(context.Background(), &b))
	return b.String()
}

// inside renders a component with another as its content.
func inside(c templ.Component, content ...templ.Component) templ.Component {
	return templ.ComponentFunc(func(ctx context.Context, w io.Writer) error {
		return c.Render(templ.WithChildren(ctx, templ.Join(content...)), w)
	})
}

// everything is every part with the same text wherever a text can stand.
func everything(s string) []templ.Component {
	link := Link{Text: s, Href: "/x"}
	field := Field{Name: "n", Label: s, Value: s, Hint: s, Error: s, Unit: s, Required: true, Autocomplete: "off",
		Options: []Option{{Value: s, Label: s, Hint: s, Selected: true}, {Value: "2", Label: s}}}
	action := Action{Label: s, Under: s, Href: "/x", Post: true, Key: s, Fields: []Hidden{{s, s}}}
	parts := []Part{{Metal, s, 3, s, s}, {Dross, s, 2, s, s}, {Gone, s, -1, s, s}}
	frame := Frame{Title: s, Shop: s, Who: s, Role: s, Theme: s, Nav: s, Flash: s, Lang: "en",
		Undo: &Undo{"/x", s, s}, Dock: &Dock{Main: action, Side: []Action{action}, More: []Action{action}}}
	return []templ.Component{
		inside(Page(frame, &link), Heading(s, s, s)),
		inside(Section(s), Words(s)), Two(Words(s), Words(s)),
		TextField(field), TextArea(field), NumberField(field), ShortNumber(field), Select(field),
		Choices(field), Checkbox(field), DateTime(s, field, field),
		Weighings{Field: field, Values: []string{s, s}, Tare: &field}.View(),
		ErrorSummary([]string{s}, Faults(field)),
		Submit(Main, s, s, s), LinkButton(Quiet, link), Key(s),
		Advice{s, s, &link}.View(), Empty{s, s, link}.View(), Pager{&link, &link, s}.View(),
		Cautions{s, []Caution{{Text: s, Why: s, Source: s, Name: "c", Value: s}, {Text: s}}}.View(),
		Figures(Figure{Value: s, Range: s, Unit: s, Sentence: s, Rough: true}, Figure{Sentence: s, Missing: s}),
		Facts(Fact{s, s, s}),
		Bar{Title: s, Whole: 4, Beyond: s, Measure: s, Parts: parts}.View(), Bar{Missing: s}.View(),
		FillBar{Charged: s, Safe: s, Limit: 4, Share: s, Parts: parts, Over: s}.View(),
		Ledger{Rows: []Row{{ID: "l1", Day: s, Time: s, Verb: s, Text: s, Note: s, Value: s, Href: "/x", Hot: true,
			Struck: &Struck{s, s, s}, Tap: []Action{action}}}}.View(),
		Estimates(Scale{s, s, s}, []Estimate{{s, "/x", s, &Whisker{0, 1, .2, .3, .4, true, true, s}, s, s}}),
		Plot{Says: s, X: Axis{0, 1, []Rung{{0, s}}}, Y: Axis{0, 1, []Rung{{1, s}}}, Dots: []Dot{{0, .5, .4, .6, false, s}, {1, .6, .6, .6, true, s}}, Joined: true, Limits: []Rung{{.5, s}}}.View(),
		Table{s, []Column{{s, false}, {s, true}}, [][]Cell{{{s, s, "/x"}, {s, s, ""}, {s, s, ""}}}, s}.View(),
		Power{On: true, Act: s, State: s, Hint: s, Change: action, Under: s}.View(),
	}
}

// No part lets a text become markup, and none cuts a long one short.
func TestTextStaysText(t *testing.T) {
	for i, c := range everything(nasty) {
		html := render(t, c)
		assert.NotContains(t, html, "<script>alert", "part %d", i)
		assert.NotContains(t, html, `"x")`, "part %d", i)
	}
	for i, c := range everything(long) {
		assert.Contains(t, render(t, c), long, "part %d", i)
	}
}

// The pages' policy has neither inline style nor inline script.
func TestNothingInline(t *testing.T) {
	bad := regexp.MustCompile(`(?i)<[^>]*\s(style|on[a-z]+)\s*=|<style|<script(?:[^>]*)>[^<]|javascript:`)
	for i, c := range everything("rims") {
		assert.NotRegexp(t, bad, render(t, c), "part %d", i)
	}
}

func TestLinksLeadNowhereBad(t *testing.T) {
	html := render(t, LinkButton(Main, Link{Text: "x", Href: "javascript:alert(1)"}))
	assert.NotContains(t, html, "javascript")
	html = render(t, Row{Href: "javascript:alert(1)"}.View())
	assert.NotContains(t, html, "javascript")
}

// Ids are what labels, errors and the summary point at: on a page with many
// fields each may occur once, and all that is pointed at has to be there.
func TestEveryReferenceIsThere(t *testing.T) {
	tare := Field{Name: "tare", Label: "Container", Unit: "kg"}
	w := Weighings{Field: Field{Name: "gross", Label: "Scale shows", Hint: "Bench scale.", Error: "Too heavy.", Unit: "kg"},
		Values: []string{"1", "2"}, Tare: &tare}
	basis := Field{Name: "basis", Label: "Weighed", Error: "Choose one.", Options: []Option{{Value: "a"}, {Value: "b"}}}
	html := render(t, inside(Page(Frame{Shop: "Shop", Who: "Bench", Nav: "melts"}, nil),
		ErrorSummary(nil, Faults(w.Field, basis)), w.View(), Choices(basis),
		Checkbox(Field{Name: "dry", Label: "Dry", Hint: "Warm to the hand.", Error: "Say so."}),
		DateTime("When", Field{Name: "day", Label: "Day"}, Field{Name: "time", Label: "Time", Error: "No such time."})))

	ids := map[string]int{}
	for _, m := range regexp.MustCompile(`\sid="([^"]+)"`).FindAllStringSubmatch(html, -1) {
		ids[m[1]]++
	}
	for id, n := range ids {
		assert.Equal(t, 1, n, "id %s", id)
	}
	refs := regexp.MustCompile(`(?:\sfor="|href="#|aria-describedby="|url\(#)([^")]+)`).FindAllStringSubmatch(html, -1)
	require.Greater(t, len(refs), 10)
	for _, m := range refs {
		for id := range strings.FieldsSeq(m[1]) {
			assert.Contains(t, ids, id)
		}
	}
}

func TestAFieldSaysItsErrorToAScreenReader(t *testing.T) {
	html := render(t, NumberField(Field{Name: "mass", Label: "Scale shows", Unit: "kg", Hint: "1 g.", Error: "Too heavy."}))
	assert.Contains(t, html, `aria-describedby="f-mass-unit f-mass-hint f-mass-error"`)
	assert.Contains(t, html, `aria-invalid="true"`)
	assert.Contains(t, html, `inputmode="decimal"`)
	assert.Contains(t, html, `<p class="error" id="f-mass-error">Too heavy.</p>`)

	html = render(t, NumberField(Field{Name: "mass", Label: "Scale shows"}))
	assert.NotContains(t, html, "aria-")
}

func TestEmptyOneAndMany(t *testing.T) {
	assert.Empty(t, render(t, ErrorSummary(nil, nil)))
	assert.Contains(t, render(t, ErrorSummary(nil, []Fault{{"f-a", "A", "b"}})), "One thing to put right")
	assert.Contains(t, render(t, ErrorSummary([]string{"x"}, []Fault{{"f-a", "A", "b"}})), "2 things to put right")

	assert.Contains(t, render(t, Ledger{Empty: "Nothing yet."}.View()), "Nothing yet.")
	rows := make([]Row, 200)
	assert.Equal(t, 200, strings.Count(render(t, Ledger{Rows: rows}.View()), `class="row"`))

	assert.Contains(t, render(t, Table{Empty: "No melts yet."}.View()), "No melts yet.")
	assert.NotContains(t, render(t, Bar{}.View()), "<rect x")
	assert.NotContains(t, render(t, Figures()), "<dt>")
	assert.Empty(t, render(t, Pager{Says: "All of it"}.View()))
	assert.Empty(t, render(t, Cautions{Title: "Before charging"}.View()))

	w := Weighings{Field: Field{Name: "gross", Required: true}}
	assert.Equal(t, 1+spare, strings.Count(render(t, w.View()), `name="gross"`))
	assert.Equal(t, 1, strings.Count(render(t, w.View()), ` required`), "only the first of several is needed")
}

func TestSignedOutThereIsNowhereToGo(t *testing.T) {
	html := render(t, Page(Frame{Title: "Sign in", Shop: "Shop"}, nil))
	assert.NotContains(t, html, "<nav")
	assert.Contains(t, html, "<title>Sign in · Shop</title>")

	html = render(t, Page(Frame{Who: "Bench", Nav: "kit"}, nil))
	assert.Equal(t, 1, strings.Count(html, "aria-current"))
	assert.Contains(t, html, `href="/kit" aria-current="page"`)
}

func TestThemes(t *testing.T) {
	for theme, want := range map[string]string{"dark": `data-theme="dark"`, "glare": `data-theme="glare"`, "light": `data-theme="light"`} {
		assert.Contains(t, render(t, Page(Frame{Theme: theme}, nil)), want)
	}
	assert.NotContains(t, render(t, Page(Frame{Theme: "pink"}, nil)), "data-theme")
}

// The browser's own bars have the colour of the page's head.
func TestTheBrowsersBarsMatchTheStyleSheet(t *testing.T) {
	w := httptest.NewRecorder()
	static.Handler().ServeHTTP(w, httptest.NewRequest(http.MethodGet, static.Path("app.css"), nil))
	assert.Contains(t, w.Body.String(), "--sheet: "+lightSheet+";")
	assert.Contains(t, w.Body.String(), "--sheet: "+darkSheet+";")
}

// A struck line stays readable, and says so in words, not by the stroke alone.
func TestAStruckLineStays(t *testing.T) {
	html := render(t, Row{Verb: "Charged", Text: "crank arms", Value: "4120 g", Struck: &Struck{"read wrong", "Bench two", "14:42"}}.View())
	assert.Contains(t, html, "<del>4120 g</del>")
	assert.Contains(t, html, "Struck: read wrong, by Bench two, 14:42")
	assert.Equal(t, "Struck", Struck{}.sentence())
}

func TestAFigureWithoutItsInputsIsNotZero(t *testing.T) {
	html := render(t, Figures(Figure{Value: "0.00", Unit: "kWh/kg", Sentence: "used", Missing: "No meter reading at the end."}))
	assert.NotContains(t, html, "0.00")
	assert.Contains(t, html, "not known")
	assert.Contains(t, html, "No meter reading at the end.")
}

func TestOverTheSafeFillIsSaidInWords(t *testing.T) {
	f := FillBar{Charged: "2.7 kg", Safe: "2.6 kg", Limit: 2600, Over: "Add nothing.", Parts: []Part{{Amount: 2700}}}
	assert.Contains(t, render(t, f.View()), "Over the safe fill.")
	assert.Contains(t, render(t, f.View()), `class="limit"`)
	f.Parts[0].Amount = 2600
	assert.NotContains(t, render(t, f.View()), "Over the safe fill.")
	assert.NotContains(t, render(t, f.View()), `class="limit"`)
}

func TestSince(t *testing.T) {
	at := quantity.Moment(1_793_716_000_000)
	html := render(t, Since(at, at+quantity.Moment(34*quantity.Minute), quantity.Style{}))
	assert.Equal(t, `<time datetime="2026-11-03T14:26:40Z" data-since="1793716000000">0:34</time>`, html)
}

func TestAReasonIsGivenOnce(t *testing.T) {
	facts := once([]Fact{{"Recovery", "not known", "Weigh the ingots."}, {"Loss", "not known", "Weigh the ingots."}, {"Energy", "not known", "Read the meter."}, {"Cost", "1.00 EUR", "Read the meter."}})
	assert.Equal(t, []string{"Weigh the ingots.", "", "Read the meter.", "Read the meter."}, []string{facts[0].Note, facts[1].Note, facts[2].Note, facts[3].Note})
}
