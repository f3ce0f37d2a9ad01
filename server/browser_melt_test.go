package main

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// afternoon is a settled shop some hours ago by the browser's clock, so that
// the clocks on its pages run.
func afternoon(t *testing.T) (*shed, *phone) {
	t.Helper()
	s := newShed(t)
	s.clock.Store(time.Now().Add(-5 * time.Hour).Truncate(time.Minute).UnixMilli())
	return s, s.settled(t, habits["kg and point"])
}

// TestAMeltByTapping logs a whole melt on a phone by touching what can be seen,
// with the script and without it, and counts the taps.
func TestAMeltByTapping(t *testing.T) {
	for name, scripts := range map[string]bool{"with script": true, "without script": false} {
		t.Run(name, func(t *testing.T) {
			s, _ := afternoon(t)
			b := browse(t, s.server.URL)
			b.scripts(scripts)
			b.signIn()
			b.wholeMelt(s)
			assert.Empty(t, b.complained())
		})
	}
}

// since counts the taps of what is done, besides what is typed.
func (b *tab) since(what string, most int, do func()) {
	b.t.Helper()
	before := b.taps
	do()
	b.t.Logf("%s: %d taps", what, b.taps-before)
	assert.LessOrEqual(b.t, b.taps-before, most, "taps: %s", what)
}

func (b *tab) wholeMelt(s *shed) {
	t := b.t
	b.since("start", 2, func() {
		b.tap("Start a melt")
		b.tap("Start the melt")
	})
	code := melt.Code(strings.TrimPrefix(b.where(), "/melts/"))
	require.Contains(t, b.text(), "Power is off")
	b.since("first weighing, of scrap that has to be chosen", 4, func() {
		b.tap("Weigh in")
		b.enter("mass", "2.150")
		b.choose("source", "Wheels")
		b.tap("Weigh in")
	})
	require.Contains(t, b.text(), "Charged Wheels 2.150 kg. Saved.")
	b.since("power on", 1, func() { b.tap("Mark power on") })
	require.Contains(t, b.text(), "Power on. Tap when isolated")
	s.pass(50 * time.Minute)
	time.Sleep(time.Second) // sooner it would be the same tap
	b.since("isolated", 1, func() { b.tap("Mark isolated") })
	b.since("weighing", 2, func() {
		b.tap("Weigh in")
		b.enter("mass", "412 g")
		b.tap("Weigh in")
	})
	require.Contains(t, b.text(), "Charged Wheels 0.412 kg. Saved.")
	b.since("power on", 1, func() { b.tap("Mark power on") })
	s.pass(40 * time.Minute)
	b.since("mark the time", 1, func() { b.tap("Mark the time") })
	require.Contains(t, b.text(), "Time marked. Saved.")
	s.pass(time.Minute)
	b.since("temperature", 3, func() {
		b.tap("Temp")
		b.enter("temp", "725")
		b.press("In the metal")
		b.tap("Write the temperature")
	})
	b.since("all molten", 3, func() {
		b.press("More")
		b.tap("All molten")
		b.tap("Mark all molten")
	})
	b.since("isolated", 1, func() { b.tap("Mark isolated") })
	b.since("skim", 2, func() {
		b.tap("Skim")
		b.enter("mass", "0.085")
		b.tap("Skim")
	})
	b.since("pour", 3, func() {
		b.tap("Pour")
		b.enter("count", "6")
		b.press("Scale shows")
		b.enter("mass", "2.43")
		b.tap("Pour")
	})
	b.since("close, with a marked time that nobody named", 3, func() {
		b.tap("Close the melt")
		b.press("It is right: write it all the same")
		b.tap("Close the melt")
	})
	t.Logf("the whole melt: %d taps", b.taps)
	text := b.text()
	assert.Contains(t, text, "Closed "+s.shopStyle(t).DateTime(s.store.Now()))
	// 2.43 / (2.150 + 0.412), read on a scale in steps of 1 g
	assert.Contains(t, text, "of the charge became metal 94.8 ± 0.1 %")

	kinds := []melt.Kind{}
	for _, l := range s.lines(t, code) {
		kinds = append(kinds, l.Kind)
	}
	assert.Equal(t, []melt.Kind{melt.Charge, melt.PowerOn, melt.Isolated, melt.Charge, melt.PowerOn, melt.Stamp, melt.Temperature, melt.AllMolten, melt.Isolated, melt.Skim, melt.Pour, melt.Close}, kinds)
	b.markedTime(s, code)
}

// markedTime reopens the melt and says what the marked time was.
func (b *tab) markedTime(s *shed, code melt.Code) {
	b.tap("Reopen with a reason")
	b.press("In words")
	b.enter("note", "a time was marked")
	b.tap("Reopen")
	b.tap("Time marked")
	b.since("say what a marked time was", 2, func() {
		b.tap("First liquid")
		b.tap("Write it anew")
	})
	lines := s.lines(b.t, code)
	last := lines[len(lines)-1]
	assert.Equal(b.t, melt.FirstLiquid, last.Kind)
	assert.Equal(b.t, lines[5].At, last.At, "it has the time that was marked")
}

func (s *shed) shopStyle(t testing.TB) quantity.Style {
	shop, err := s.store.Shop(t.Context())
	require.NoError(t, err)
	return shop.Style()
}

// TestAWrongWeightIsStruck charges 4120 g that were 412 g, sees the yield fall,
// and sees it move back when the line is struck: by Undo at once, and later by
// the line's own page.
func TestAWrongWeightIsStruck(t *testing.T) {
	s, p := afternoon(t)
	code := p.start("")
	s.pass(2 * time.Hour)
	p.log(code, melt.Charge, append(wheels, "mass", "2")...)
	p.log(code, melt.Pour, "mass", "1.8", "count", "4")
	b := browse(t, s.server.URL)
	b.signIn()
	recovery := func() string {
		b.t.Helper()
		if !ask[bool](b, `document.querySelector("dl.facts").checkVisibility()`) {
			b.press("Balance so far")
		}
		return ask[string](b, `[...document.querySelectorAll("dl.facts > div")].find((d) => d.querySelector("dt").innerText === "Recovery").querySelector("dd").firstChild.textContent.trim()`)
	}
	b.open("/melts/" + string(code))
	assert.Equal(t, "90.0", strings.Fields(recovery())[0])
	weigh := func() {
		b.t.Helper()
		b.open("/melts/" + string(code) + "/add/charge")
		b.enter("mass", "4120 g")
		b.tap("Weigh in")
		require.Contains(t, b.text(), "Charged Wheels 4.120 kg. Saved.")
		assert.Equal(t, "29.4", strings.Fields(recovery())[0])
	}
	weigh()
	b.since("undo", 1, func() { b.tap("Undo") })
	assert.Contains(t, b.text(), "Charged Wheels 4.120 kg: struck.")
	assert.Equal(t, "90.0", strings.Fields(recovery())[0])
	time.Sleep(time.Second) // sooner it would be the same tap
	b.since("put back", 1, func() { b.tap("Put back") })
	assert.Equal(t, "29.4", strings.Fields(recovery())[0])
	time.Sleep(time.Second)
	b.tap("Undo")

	weigh()
	lines := s.lines(t, code)
	b.tap("Charged Wheels") // the newest is on top
	require.Equal(t, fmt.Sprintf("/melts/%s/lines/%d", code, lines[len(lines)-1].ID), b.where())
	b.press("Why it is struck")
	b.enter("reason", "grams, not kilograms")
	b.tap("Strike the line")
	assert.Equal(t, "90.0", strings.Fields(recovery())[0])
	assert.Contains(t, b.text(), "Struck: grams, not kilograms, by Workshop")

	b.open("/melts/" + string(code) + "/add/charge")
	b.enter("mass", "412 g")
	b.tap("Weigh in")
	assert.Equal(t, "74.6", strings.Fields(recovery())[0], "1.8 of 2.412 kg")
	assert.Empty(t, b.complained())
}

// TestDoubleTaps touches a button twice in quick succession, and goes back and
// forth after saving: each thing is saved once, and nothing is lost.
func TestDoubleTaps(t *testing.T) {
	for name, scripts := range map[string]bool{"with script": true, "without script": false} {
		t.Run(name, func(t *testing.T) {
			s, p := afternoon(t)
			code := p.start("")
			b := browse(t, slowly(t, s))
			b.scripts(scripts)
			b.signIn()
			b.open("/melts/" + string(code))
			for i, words := range []string{"Mark the time", "Mark power on"} {
				b.tapTwice(words)
				assert.Len(t, s.lines(t, code), i+1, words)
			}
			b.tap("Weigh in")
			b.choose("source", "Wheels")
			b.enter("mass", "1.5")
			b.tapTwice("Weigh in")
			require.Len(t, s.lines(t, code), 3, "a weighing")
			require.Contains(t, b.text(), "1.500 kg")

			before := s.lines(t, code)
			b.history(-1)
			if scripts { // the form was open in the melt's page, which is the one entry
				assert.Equal(t, "/", b.where())
			} else {
				assert.Equal(t, "/melts/"+string(code)+"/add/charge", b.where())
			}
			b.history(+1)
			require.Contains(t, b.text(), "1.500 kg")
			b.loads(chromedp.Reload())
			require.Contains(t, b.text(), "1.500 kg")
			if !scripts {
				b.history(-2)
				require.Equal(t, "/melts/"+string(code), strings.Split(b.where(), "?")[0])
			}
			assert.Equal(t, before, s.lines(t, code), "going back and forth writes nothing and loses nothing")

			b.open("/melts/start")
			b.tapTwice("Start the melt")
			require.NotEqual(t, "/melts/start", b.where())
			codes := p.open("/melts").codes()
			assert.Len(t, codes, 2, "one melt was started")
			assert.Empty(t, b.complained())
		})
	}
}

// slowly serves a shop over a bad line: what is sent takes its time, so that a
// thumb is faster.
func slowly(t *testing.T, s *shed) string {
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodPost {
			time.Sleep(400 * time.Millisecond)
		}
		s.ServeHTTP(w, r)
	}))
	t.Cleanup(server.Close)
	return server.URL
}

// TestBackToAForm goes back to a form on a page of its own that was saved. Sent once more as it
// stands it is the same line; with another number it is another.
func TestBackToAForm(t *testing.T) {
	s, p := afternoon(t)
	code := p.start("")
	b := browse(t, s.server.URL)
	b.signIn()
	b.open("/melts/" + string(code) + "/add/charge")
	b.enter("mass", "1.5")
	b.choose("source", "Wheels")
	b.tap("Weigh in")
	require.Len(t, s.lines(t, code), 1)
	b.history(-1)
	if ask[string](b, `document.querySelector("[name=mass]").value`) == "" {
		t.Skip("this browser does not keep pages in memory, so there is nothing to send again")
	}
	b.tap("Weigh in")
	assert.Len(t, s.lines(t, code), 1, "sent again as it stood")
	assert.Contains(t, b.text(), "Charged Wheels 1.500 kg. Saved.")
	b.history(-1)
	b.press("Scale shows")
	b.do(chromedp.KeyEvent("7"))
	b.tap("Weigh in")
	lines := s.lines(t, code)
	require.Len(t, lines, 2, "changed, it is another weighing")
	assert.Equal(t, quantity.Mass(1570*quantity.Gram), lines[1].Mass())
}

// TestBackToWhatWasNotTaken leaves a form that was refused and comes back: the
// form is there, and nobody is asked whether to send it once more.
func TestBackToWhatWasNotTaken(t *testing.T) {
	s := newShed(t)
	s.settled(t, habits["kg and point"])
	b := browse(t, s.server.URL)
	b.signIn()
	b.open("/scrap/new")
	for range 2 { // refused twice
		b.tap("Save")
		require.Contains(t, b.text(), "Not saved yet.")
		assert.Equal(t, "/scrap/new", ask[string](b, `location.pathname`))
	}
	b.open("/kit")
	b.history(-1)
	assert.Contains(t, b.text(), "New scrap")
	b.press("Name")
	b.enter("name", "Stems")
	b.choose("form", "Casting")
	b.tap("Save")
	assert.Contains(t, b.text(), "Stems is in the book.")
}
