package main

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
)

// step is a line as it is typed into its form.
type step struct {
	kind  melt.Kind
	typed []string
}

func of(kind melt.Kind, typed ...string) step { return step{kind, typed} }

// onDay adds the day of these tests and a time to what is typed.
func onDay(clock string, typed ...string) []string {
	return append([]string{"at_date", "2026-03-14", "at_clock", clock}, typed...)
}

var wheels = []string{"source", "source-1"}

// refusals are lines that must not simply be written, after what was written
// before them in a melt begun at 14:00, in a shop whose clock stands at 20:00,
// with a pot of 5 L and a scale up to 10 kg.
var refusals = map[string]struct {
	given []step
	line  step
	says  string // beside a field, or above the form
	doubt bool   // it can be written all the same
	late  bool   // the form was open before the melt was closed or made void
}{
	"above the safe fill": {
		line:  of(melt.Charge, append(wheels, "mass", "9.9")...),
		says:  "With this the crucible holds 9.900 kg, above its safe fill of",
		doubt: true,
	},
	"above the safe fill together": {
		given: []step{of(melt.HeelIn, "mass", "2.5"), of(melt.Charge, append(wheels, "mass", "5")...)},
		line:  of(melt.Charge, append(wheels, "mass", "2.5")...),
		says:  "With this the crucible holds 10.000 kg, above its safe fill of",
		doubt: true,
	},
	"more poured than went in": {
		given: []step{of(melt.Charge, append(wheels, "mass", "2")...)},
		line:  of(melt.Pour, "mass", "2.5"),
		says:  "That is 2.500 kg, but only 2.000 kg went in.",
		doubt: true,
	},
	"more dross than the charge can make": {
		given: []step{of(melt.Charge, append(wheels, "mass", "2")...)},
		line:  of(melt.Skim, "mass", "5"),
		says:  "That is 5.000 kg, but only 2.000 kg went in.",
		doubt: true,
	},
	"poured twice what went in": {
		given: []step{of(melt.Charge, append(wheels, "mass", "2")...), of(melt.Pour, "mass", "1.8")},
		line:  of(melt.Pour, "mass", "1.8"),
		says:  "With this at least 3.600 kg came out",
		doubt: true,
	},
	"finer than the scale": {
		line:  of(melt.Charge, append(wheels, "mass", "1.8425")...),
		says:  "Bench scale goes in steps of",
		doubt: true,
	},
	"finer than the scale and above the safe fill": {
		line:  of(melt.Charge, append(wheels, "mass", "9.9005")...),
		says:  "choose the scale that was used. With this the crucible holds",
		doubt: true,
	},
	"beyond the scale": {
		line: of(melt.Charge, append(wheels, "mass", "12")...),
		says: "Bench scale shows at most 10.000 kg, so it cannot have shown 12.000 kg.",
	},
	"container heavier than all": {
		line: of(melt.Charge, append(wheels, "mass", "1", "tare", "1.2")...),
		says: "The container weighs more than container and metal together.",
	},
	"nothing weighed": {
		line: of(melt.Charge, wheels...),
		says: "Type the mass the scale shows.",
	},
	"charge of nothing": {
		line: of(melt.Charge, append(wheels, "mass", "0")...),
		says: "A charge of nothing is no charge.",
	},
	"scrap that is not there": {
		line: of(melt.Charge, "source", "source-999", "mass", "1"),
		says: "What was chosen is not there any more.",
	},
	"no scrap": {
		line: of(melt.Charge, "source", "what", "mass", "1"),
		says: "Choose what was charged.",
	},
	"isolated before power on": {
		given: []step{of(melt.PowerOn, onDay("15:00")...)},
		line:  of(melt.Isolated, onDay("14:30")...),
		says:  "The first power on is of 15:00, so this cannot have happened at 14:30.",
	},
	"isolated without power on": {
		line: of(melt.Isolated),
		says: "There is no power on in this melt yet.",
	},
	"power on twice": {
		given: []step{of(melt.PowerOn, onDay("15:00")...)},
		line:  of(melt.PowerOn, onDay("15:10")...),
		says:  "The power is on since 15:00 already",
	},
	"molten before it was charged": {
		given: []step{of(melt.Charge, append(onDay("15:00", "mass", "1"), wheels...)...)},
		line:  of(melt.AllMolten, onDay("14:50")...),
		says:  "The first charge is of 15:00, so this cannot have happened at 14:50.",
	},
	"liquid after all was molten": {
		given: []step{of(melt.Charge, append(onDay("14:10", "mass", "1"), wheels...)...), of(melt.AllMolten, onDay("16:00")...)},
		line:  of(melt.FirstLiquid, onDay("16:10")...),
		says:  "All was molten at 16:00, so the first liquid cannot have come at 16:10.",
	},
	"still to come": {
		line: of(melt.Note, onDay("21:00", "note", "x")...),
		says: "14 Mar 2026 21:00 is still to come",
	},
	"another day": {
		line: of(melt.Note, "at_date", "2026-03-11", "at_clock", "12:00", "note", "x"),
		says: "more than a day and a half from the melt's start",
	},
	"day without a time": {
		line: of(melt.Note, "at_date", "2026-03-14", "note", "x"),
		says: "No time was given.",
	},
	"no such time": {
		line: of(melt.Note, onDay("25:70", "note", "x")...),
		says: "25:70",
	},
	"meter runs back": {
		given: []step{of(melt.Meter, onDay("14:10", "meter", "1200")...)},
		line:  of(melt.Meter, onDay("14:20", "meter", "1190")...),
		says:  "The meter showed 1200.00 kWh at 14:10, so it cannot show 1190.00 kWh at 14:20.",
	},
	"closed before its last line": {
		given: []step{of(melt.Note, onDay("15:00", "note", "x")...)},
		line:  of(melt.Close, onDay("14:30")...),
		says:  "The last line is of 15:00, so the melt cannot have closed at 14:30.",
	},
	"closed with the power on and nothing poured": {
		given: []step{of(melt.Charge, append(onDay("14:10", "mass", "1"), wheels...)...), of(melt.PowerOn, onDay("15:00")...)},
		line:  of(melt.Close),
		says:  "The power is on since 15:00 and was not marked as isolated. Isolate the furnace, and write when that was. Nothing is poured",
		doubt: true,
	},
	"closed melt": {
		given: []step{of(melt.Close, "sure", "1")},
		line:  of(melt.Note, "note", "one more thing"),
		says:  "is closed, so nothing was added. Reopen it with a reason, then write the line.",
		late:  true,
	},
	"reopened without a reason": {
		given: []step{of(melt.Close, "sure", "1")},
		line:  of(melt.Reopen),
		says:  "Write a few words.",
	},
	"void melt": {
		given: []step{of(melt.Void, "note", "never lit")},
		line:  of(melt.Charge, append(wheels, "mass", "1")...),
		says:  "was made void, so nothing was added.",
		late:  true,
	},
	"mould like a novel": {
		line:  of(melt.Pour, "mould", strings.Repeat("m", 81)),
		given: []step{of(melt.Charge, append(wheels, "mass", "2")...)},
		says:  "Name the mould in up to 80 letters",
	},
	"no point ticked": {
		line: of(melt.Checked),
		says: "No point is ticked",
	},
	"no temperature": {
		line: of(melt.Temperature, "which", "metal", "temp", ""),
		says: "Type the temperature.",
	},
	"temperature nowhere": {
		line: of(melt.Temperature, "temp", "700", "which", ""),
		says: "Choose one of these.",
	},
	"hotter than any furnace": {
		line: of(melt.Temperature, "which", "metal", "temp", "7200"),
		says: "A temperature here is between",
	},
}

func TestLinesThatAreRefused(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	for name, c := range refusals {
		t.Run(name, func(t *testing.T) {
			p := p.in(t)
			code := p.start("14:00")
			var f filledForm
			if c.late {
				f = p.line(code, c.line.kind, c.line.typed...)
			}
			for _, g := range c.given {
				p.log(code, g.kind, g.typed...)
			}
			before := s.lines(t, code)
			if !c.late {
				f = p.line(code, c.line.kind, c.line.typed...)
			}
			g := p.send(f)
			require.Equal(t, http.StatusUnprocessableEntity, g.status)
			assert.Contains(t, g.faults(), c.says)
			assert.Equal(t, before, s.lines(t, code), "nothing is written, and nothing lost")
			again := g.form(t, f.action)
			for i := 0; i < len(c.line.typed); i += 2 {
				if field, text := c.line.typed[i], c.line.typed[i+1]; field != "source" && field != "which" {
					assert.Equal(t, text, again.values.Get(field), "what was typed as %s is still there", field)
				}
			}

			assert.Equal(t, c.doubt, strings.Contains(g.text(), "It is right: write it all the same"), "the tick to write it all the same")
			g = p.send(again.typed("sure", "1"))
			if c.doubt {
				assert.Equal(t, http.StatusSeeOther, g.status, g.faults())
				assert.Len(t, s.lines(t, code), len(before)+1)
			} else {
				assert.Equal(t, http.StatusUnprocessableEntity, g.status, "a tick does not make it so")
				assert.Equal(t, before, s.lines(t, code))
			}
		})
	}
}

// in is the same phone, telling another test.
func (p *phone) in(t testing.TB) *phone { return &phone{t: t, home: p.home, Client: p.Client} }

// What is chosen and not there, or of another kind, is told at its own field,
// and nothing that was typed is lost.
func TestKitThatIsNotThere(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.start("14:00")
	for says, line := range map[string]step{
		"Scale: What was chosen is not there any more.":        of(melt.Charge, append(wheels, "mass", "1", "scale", "999", "note", "heavy")...),
		"Crucible: What was chosen is not there any more.":     of(melt.Using, "crucible", "1", "note", "heavy"),
		"Thermocouple: What was chosen is not there any more.": of(melt.Temperature, "which", "metal", "temp", "700", "probe", "4", "note", "heavy"),
	} {
		f := p.line(code, line.kind, line.typed...)
		g := p.send(f)
		require.Equal(t, http.StatusUnprocessableEntity, g.status, says)
		assert.Contains(t, g.faults(), says)
		assert.Equal(t, "heavy", g.form(t, f.action).values.Get("note"))
		assert.Empty(t, s.lines(t, code))
	}
}

// A form that cannot be written says so before anything is typed into it.
func TestNoFormForWhatIsOver(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	closed, void := p.start("14:00"), p.start("15:00")
	p.log(closed, melt.Close, "sure", "1")
	p.log(void, melt.Void, "note", "never lit")
	for code, says := range map[melt.Code]string{closed: "is closed, so nothing was added", void: "was made void, so nothing was added"} {
		page := p.open("/melts/" + string(code) + "/add/charge")
		assert.Contains(t, page.text(), says)
		assert.Equal(t, "/melts/"+string(code)+"/add/reopen", page.link("Reopen"))
		for range page.forms("/melts/" + string(code) + "/lines") {
			assert.Fail(t, "there is a form", code)
		}
	}
	assert.Contains(t, p.open("/melts/"+string(p.start("16:00"))+"/add/reopen").text(), "is open already.")
}

func TestReopening(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.start("14:00")
	p.log(code, melt.Charge, append(onDay("14:10", "mass", "2"), wheels...)...)
	form := p.open("/melts/" + string(code) + "/add/close")
	assert.Contains(t, form.text(), "Still open: Nothing is poured", "told before it is closed")
	assert.Contains(t, form.text(), "It is right: write it all the same")
	page := p.log(code, melt.Close, "sure", "1")
	assert.Contains(t, page.text(), "Reopen with a reason")
	for f := range page.forms("/melts/" + string(code) + "/lines") {
		assert.Fail(t, "a closed melt has no button that writes", f.values)
	}

	s.pass(72 * time.Hour)
	page = p.log(code, melt.Reopen, "note", "the ingots were not weighed")
	assert.Contains(t, page.text(), "the ingots were not weighed")
	p.log(code, melt.Pour, onDay("17:00", "mass", "1.9", "count", "4")...)
	page = p.log(code, melt.Close)
	assert.Equal(t, "95.0", page.figure(t, "of the charge became metal"))
}

// figure is the large number of a page that a sentence stands under.
func (g got) figure(t testing.TB, sentence string) string {
	t.Helper()
	for n := range g.elements("figures") {
		for cell := range n.ChildNodes() {
			if text := textOf(cell); strings.HasPrefix(text, sentence) {
				value, _, _ := strings.Cut(strings.TrimSpace(strings.TrimPrefix(text, sentence)), " ")
				return value
			}
		}
	}
	require.FailNow(t, "no such figure", sentence)
	return ""
}

// brokenRequests are what no page of the shop sends.
var brokenRequests = map[string]struct {
	header []string
	body   func(good url.Values) string
	status int
}{
	"no key":            {body: without("key"), status: http.StatusBadRequest},
	"short key":         {body: changed("key", "1"), status: http.StatusBadRequest},
	"endless key":       {body: changed("key", strings.Repeat("k", 65)), status: http.StatusBadRequest},
	"key with a quote":  {body: changed("key", "abcdefgh'--"), status: http.StatusBadRequest},
	"no kind":           {body: without("kind"), status: http.StatusBadRequest},
	"unknown kind":      {body: changed("kind", "explode"), status: http.StatusBadRequest},
	"JSON":              {header: []string{"Content-Type", "application/json"}, body: func(url.Values) string { return `{"kind":"note","note":"x"}` }, status: http.StatusBadRequest},
	"plain text":        {header: []string{"Content-Type", "text/plain"}, body: url.Values.Encode, status: http.StatusBadRequest},
	"no type":           {header: []string{"Content-Type", ""}, body: url.Values.Encode, status: http.StatusBadRequest},
	"broken type":       {header: []string{"Content-Type", ";;;"}, body: url.Values.Encode, status: http.StatusBadRequest},
	"broken escapes":    {body: func(url.Values) string { return "kind=note&note=%zz" }, status: http.StatusBadRequest},
	"semicolons":        {body: func(v url.Values) string { return strings.ReplaceAll(v.Encode(), "&", ";") }, status: http.StatusBadRequest},
	"nothing":           {body: func(url.Values) string { return "" }, status: http.StatusBadRequest},
	"four megabytes":    {body: changed("note", strings.Repeat("dross ", 700_000)), status: http.StatusRequestEntityTooLarge},
	"from another site": {header: []string{"Origin", "https://elsewhere.example"}, body: url.Values.Encode, status: http.StatusForbidden},
}

func without(field string) func(url.Values) string {
	return func(v url.Values) string {
		v.Del(field)
		return v.Encode()
	}
}

func changed(field, text string) func(url.Values) string {
	return func(v url.Values) string {
		v.Set(field, text)
		return v.Encode()
	}
}

func TestBrokenRequests(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.start("14:00")
	p.log(code, melt.Charge, append(wheels, "mass", "2")...)
	before := s.lines(t, code)
	for name, c := range brokenRequests {
		t.Run(name, func(t *testing.T) {
			p := p.in(t)
			f := p.line(code, melt.Note, "note", "x")
			for _, accept := range []string{"text/html", "application/json"} {
				g := p.do(http.MethodPost, f.action, strings.NewReader(c.body(f.typed().values)), append([]string{"Accept", accept}, c.header...)...)
				assert.Equal(t, c.status, g.status)
				if accept == "application/json" {
					assertProblem(t, g)
				}
			}
			assert.Equal(t, before, s.lines(t, code))
		})
	}
}
