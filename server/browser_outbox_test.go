package main

import (
	"fmt"
	"io"
	"log"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// inHouse is a shop's address as in a house: plain http by a name that the
// browser does not take for its own machine, so without what only secure pages
// may do.
func inHouse(address string) string { return strings.Replace(address, "127.0.0.1", trustedHost, 1) }

// network cuts the page off, or lets it through again, as the browser itself
// does; a service worker it lets through, see gate. The page is not told: a phone with Wi-Fi and no
// shop behind it does not know either.
func (b *tab) network(on bool) {
	b.t.Helper()
	cut := cutOff{Offline: !on, Conditions: []*network.Conditions{}}
	if !on {
		cut.Conditions = append(cut.Conditions, &network.Conditions{Offline: true, DownloadThroughput: -1, UploadThroughput: -1})
	}
	b.do(call(cdp.Command[cutOff, network.EmulateNetworkConditionsByRuleResult]{Method: network.CommandEmulateNetworkConditionsByRule}, cut))
}

// cutOff says it to browsers of either kind: older ones ask for offline beside
// the conditions, newer ones in them.
type cutOff struct {
	Offline    bool                  `json:"offline"`
	Conditions []*network.Conditions `json:"matchedNetworkConditions"`
}

// kept counts what waits in the phone.
func (b *tab) kept() int {
	b.t.Helper()
	return ask[int](b, "Outbox.all().then((all) => all.length)")
}

// keeps waits until so much waits in the phone and no more.
func (b *tab) keeps(most int) {
	b.t.Helper()
	for began := time.Now(); b.kept() > most; time.Sleep(50 * time.Millisecond) {
		require.Less(b.t, time.Since(began), patience, "too much waits still")
	}
	require.Equal(b.t, most, b.kept())
}

// drained waits until all is sent.
func (b *tab) drained() {
	b.t.Helper()
	b.keeps(0)
}

// shows waits until the page says something.
func (b *tab) shows(words string) {
	b.t.Helper()
	for began := time.Now(); !strings.Contains(b.text(), words); time.Sleep(20 * time.Millisecond) {
		if time.Since(began) > patience {
			require.Fail(b.t, "the page never says it", "%s\n%s", words, b.text())
		}
	}
}

// ready waits until the page of a melt can do without the shop.
func (b *tab) ready() {
	b.t.Helper()
	for began := time.Now(); !b.sees("document.querySelector('[data-melt][data-forms]')"); time.Sleep(20 * time.Millisecond) {
		require.Less(b.t, time.Since(began), patience, "the forms never come")
	}
}

// steps are a melt by touch, one thing after another.
var steps = []struct {
	name string
	do   func(b *tab)
}{
	{"weigh in", func(b *tab) {
		b.tap("Weigh in")
		b.enter("mass", "2.150")
		b.choose("source", "Wheels")
		b.tap("Weigh in")
	}},
	{"power on", func(b *tab) { b.tap("Mark power on") }},
	{"mark the time", func(b *tab) { b.tap("Mark the time") }},
	{"weigh in again", func(b *tab) {
		b.tap("Weigh in")
		b.enter("mass", "412 g")
		b.tap("Weigh in")
	}},
	{"a wrong weight, undone", func(b *tab) {
		b.tap("Weigh in")
		b.enter("mass", "4.12")
		b.tap("Weigh in")
		b.tap("Undo")
	}},
	{"temperature", func(b *tab) {
		b.tap("Temp")
		b.enter("temp", "725")
		b.press("In the metal")
		b.tap("Write the temperature")
	}},
	{"all molten", func(b *tab) {
		b.press("More")
		b.tap("All molten")
		b.tap("Mark all molten")
	}},
	{"isolated", func(b *tab) { b.tap("Mark isolated") }},
	{"skim", func(b *tab) {
		b.tap("Skim")
		b.enter("mass", "0.085")
		b.tap("Skim")
	}},
	{"pour", func(b *tab) {
		b.tap("Pour")
		b.press("Scale shows")
		b.enter("mass", "2.43")
		b.tap("Pour")
	}},
}

// told is what counts of a melt's lines: what happened, in the order in which
// it did.
func told(lines []melt.Line) (all []string) {
	for _, l := range lines {
		text := fmt.Sprint(l.Kind, " ", l.Mass(), " ", l.Source, " ", l.Which, " ", l.Stands())
		if l.Temp != nil {
			text += fmt.Sprint(" ", *l.Temp)
		}
		all = append(all, text)
	}
	return all
}

// TestAMeltWithoutTheNetwork logs a melt by touch on the page that stays open,
// with the network cut at every step: before each and back after it, at every
// second one, and for the whole of the melt. Nothing is lost, nothing is there
// twice, and the melt is that of an undisturbed run.
func TestAMeltWithoutTheNetwork(t *testing.T) {
	var undisturbed []string
	for _, run := range []struct {
		name string
		cut  func(step int) bool
	}{
		{"undisturbed", func(int) bool { return false }},
		{"at every step", func(int) bool { return true }},
		{"at every second step", func(step int) bool { return step%2 == 1 }},
		{"at the other steps", func(step int) bool { return step%2 == 0 }},
	} {
		t.Run(run.name, func(t *testing.T) {
			s := newShed(t)
			s.runs()
			p := s.settled(t, habits["kg and point"])
			code := p.start("")
			b := browse(t, inHouse(s.server.URL))
			b.signIn()
			b.open("/melts/" + string(code))
			require.False(t, ask[bool](b, "isSecureContext"))
			b.ready()
			for n, step := range steps {
				b.network(!run.cut(n))
				step.do(b)
				if run.cut(n) {
					b.shows("kept here, not sent")
					assert.Contains(t, b.text(), "Kept here, not sent.", step.name)
					if !run.cut(n + 1) {
						b.network(true)
						b.press("Send now")
						b.drained()
					}
				}
				assert.False(t, b.sees("document.querySelector('.writing')"), step.name)
			}
			if run.cut(0) && run.cut(1) {
				assert.Empty(t, s.lines(t, code))
				assert.Equal(t, len(steps)+1, b.kept())
				assert.Contains(t, b.text(), "Isolated. Tap when the power is on again")
				b.network(true)
				ask[bool](b, "(dispatchEvent(new Event('online')), true)")
			}
			b.drained()
			b.shows("2.430 kg")
			lines := s.lines(t, code)
			assert.Len(t, lines, len(steps))
			got := told(melt.Standing(lines))
			if undisturbed == nil {
				undisturbed = got
			}
			assert.Equal(t, undisturbed, got)
			b.shows("Poured Bench scale 2.430 kg")
			assert.NotContains(t, b.text(), "not sent")
		})
	}
	require.NotEmpty(t, undisturbed)
}

// TestTheTimeOfTheTap logs without the network on phones whose clocks are
// wrong: a line has the time of its tap by the shop's clock.
func TestTheTimeOfTheTap(t *testing.T) {
	for _, wrong := range []time.Duration{0, -47 * time.Minute, 3 * time.Hour} {
		t.Run(wrong.String(), func(t *testing.T) {
			s := newShed(t)
			s.runs()
			p := s.settled(t, habits["kg and point"])
			code := p.start("")
			b := browse(t, inHouse(s.server.URL))
			b.stub(fmt.Sprintf("{ const real = Date.now; Date.now = () => real() + %d; }", wrong.Milliseconds()))
			b.signIn()
			b.open("/melts/" + string(code))
			b.ready()
			b.network(false)
			var taps []quantity.Moment
			for range 3 {
				taps = append(taps, s.store.Now())
				b.tap("Mark the time")
				time.Sleep(time.Second) // sooner it would be the same tap
			}
			zone := s.shopStyle(t).Zone
			assert.Contains(t, b.text(), taps[0].Time().In(zone).Format("15:04")+" Time marked", "the page shows the shop's time")
			b.network(true)
			b.press("Send now")
			b.drained()
			lines := s.lines(t, code)
			require.Len(t, lines, 3)
			for i, l := range lines {
				late := l.At.Since(taps[i])
				assert.Less(t, max(late, -late), 500*quantity.Span(1), "%d ms late", late)
				assert.Greater(t, l.Noted, l.At)
			}
		})
	}
}

// TestASignInThatRanOut keeps what is logged, asks to sign in again, and sends
// it then.
func TestASignInThatRanOut(t *testing.T) {
	s, p := afternoon(t)
	code := p.start("")
	b := browse(t, inHouse(s.server.URL))
	b.signIn()
	b.open("/melts/" + string(code))
	b.ready()
	s.endSignIns(t)
	b.tap("Mark the time")
	b.shows("Your sign-in ran out. 1 line kept here, not sent")
	time.Sleep(time.Second)
	b.tap("Mark the time")
	b.shows("2 lines kept here")
	require.Empty(t, s.lines(t, code))
	b.tap("Sign in")
	b.shows("2 lines kept on this phone, not sent")
	b.press("Name")
	b.enter("name", "Workshop")
	b.press("Password")
	b.enter("password", "rims and cranks")
	b.tap("Sign in")
	assert.Equal(t, "/melts/"+string(code), b.where(), "back at the melt")
	b.drained()
	assert.Len(t, s.lines(t, code), 2)
	b.shows("Time marked")
	assert.NotContains(t, b.text(), "not sent")
}

// TestAnotherPersonOnThePhone signs somebody else in on a phone that holds
// lines: they are not sent as that person's.
func TestAnotherPersonOnThePhone(t *testing.T) {
	s, p := afternoon(t)
	code := p.start("")
	token, _, err := s.store.Invite(t.Context(), 1, "melter")
	require.NoError(t, err)
	crew := s.phone(t)
	crew.save(crew.fill("/join/"+token, "/join/"+token, "name", "Crew", "password", "just looking", "again", "just looking"))

	b := browse(t, inHouse(s.server.URL))
	b.signIn()
	b.open("/melts/" + string(code))
	b.ready()
	b.network(false)
	b.tap("Mark the time")
	b.shows("1 line kept here, not sent")
	s.endSignIns(t)
	b.network(true)
	b.open("/signin")
	b.press("Name")
	b.enter("name", "Crew")
	b.press("Password")
	b.enter("password", "just looking")
	b.tap("Sign in")
	b.shows("1 line of somebody else kept on this phone, not sent")
	b.open("/melts/" + string(code))
	b.ready()
	b.tap("Mark the time")
	lines := s.lines(t, code)
	require.Len(t, lines, 1)
	assert.Equal(t, int64(2), lines[0].By)
	assert.Contains(t, b.text(), "1 line of somebody else")

	s.endSignIns(t)
	b.signIn()
	b.shows("Today")
	b.drained()
	lines = s.lines(t, code)
	require.Len(t, lines, 2)
	assert.Equal(t, int64(1), lines[1].By)
}

// endSignIns ends the sign-ins of everybody.
func (s *shed) endSignIns(t *testing.T) {
	t.Helper()
	everybody, err := s.store.People(t.Context())
	require.NoError(t, err)
	for _, one := range everybody {
		all, err := s.store.SignIns(t.Context(), one.ID)
		require.NoError(t, err)
		for _, in := range all {
			require.NoError(t, s.store.EndSignIn(t.Context(), one.ID, in.ID))
		}
	}
}

// TestARefusedLine keeps a line that the shop does not take, with the reason,
// until it is mended or thrown away; the others go on.
func TestARefusedLine(t *testing.T) {
	s, p := afternoon(t)
	code := p.start("")
	b := browse(t, inHouse(s.server.URL))
	b.signIn()
	b.open("/melts/" + string(code))
	b.ready()
	b.network(false)
	b.tap("Weigh in")
	b.enter("mass", "1,2,3")
	b.choose("source", "Wheels")
	b.tap("Weigh in")
	b.tap("Mark power on")
	b.tap("Mark the time")
	b.network(true)
	b.press("Send now")
	b.shows("Not taken. “1,2,3” is not a number")
	b.keeps(1)
	require.Len(t, s.lines(t, code), 2, "what does not hang on it goes on")

	b.shows("Balance so far") // the page has what was sent
	assert.Contains(t, b.text(), "1 line not taken. Next", "it is said at the top, beside what comes next")
	assert.Contains(t, b.text(), "Time marked. Saved.", "the strip speaks of the last tap as it stands")
	assert.Empty(t, b.small())
	b.tap("1 line not taken.")
	b.tap("Mend it")
	assert.Contains(t, b.text(), "This was not written. It is kept here. “1,2,3” is not a number")
	assert.Empty(t, b.violations())
	assert.Equal(t, "1,2,3", ask[string](b, "document.querySelector('[name=mass]').value"))
	assert.Equal(t, "source-1", ask[string](b, "document.querySelector('[name=source]').value"))
	ask[bool](b, "(document.querySelector('[name=mass]').value = '1.23', true)")
	b.tap("Weigh in")
	b.drained()
	b.shows("Charged Wheels Bench scale 1.230 kg")
	lines := s.lines(t, code)
	require.Len(t, lines, 3)
	assert.Less(t, lines[2].At, lines[1].At+quantity.Moment(quantity.Second), "it has the time of its first tap")

	b.tap("Weigh in")
	b.enter("mass", "1,2,3")
	b.press("Weigh in")
	b.shows("This was not written")
	b.tap("Back without saving")
	b.shows("Not taken.")
	b.press("Throw it away")
	b.shows("thrown away")
	assert.Zero(t, b.kept())
	assert.Len(t, s.lines(t, code), 3)
}

// TestWhatIsUndoneIsNotAskedFor undoes, without the network, a charge that the
// shop does not take: nobody is bothered with it afterwards.
func TestWhatIsUndoneIsNotAskedFor(t *testing.T) {
	s, p := afternoon(t)
	code := p.start("")
	b := browse(t, inHouse(s.server.URL))
	b.signIn()
	b.open("/melts/" + string(code))
	b.ready()
	b.network(false)
	b.tap("Weigh in")
	b.press("Weigh in")
	b.shows("This is not kept yet. Choose one. Type a number above zero.")
	b.choose("source", "Wheels")
	types := func(mass string) { ask[bool](b, "(document.querySelector('[name=mass]').value = '"+mass+"', true)") }
	types("much")
	b.press("Weigh in")
	b.shows("This is not kept yet. Type a number above zero.")
	assert.Zero(t, b.kept(), "what the phone can tell to be wrong is not found out in an hour")
	types("9.9")
	b.tap("Weigh in")
	b.shows("9.9 kg kept here, not in this bar yet.")
	assert.Contains(t, b.text(), "Charged 0.00 kg without what is kept here Expect – without what is kept here")
	b.tap("Undo")
	b.shows("Struck: Charged Wheels 9.9 kg. Kept here, not sent.")
	b.tap("Weigh in")
	assert.Equal(t, "source-1", ask[string](b, "document.querySelector('[name=source]').value"), "the last source")
	b.tap("Back without saving")
	b.tap("Temp")
	b.enter("temp", "725")
	b.press("In the metal")
	b.tap("Write the temperature")
	b.shows("What comes next is told once all is sent.")
	assert.Contains(t, b.text(), "Last read 725 °C kept here")
	b.network(true)
	b.press("Send now")
	b.drained()
	lines := s.lines(t, code)
	require.Len(t, lines, 1)
	assert.Equal(t, melt.Temperature, lines[0].Kind)
	b.shows("Next")
	assert.NotContains(t, b.text(), "Not taken")
	assert.NotContains(t, b.text(), "Kept here")
}

// TestKeptBeforeTheFormsAreThere logs on a page whose forms did not come, over
// a charge that waits already: the page stays, and all is kept.
func TestKeptBeforeTheFormsAreThere(t *testing.T) {
	s, p := afternoon(t)
	code := p.start("")
	without := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasSuffix(r.URL.Path, "/forms") {
			panic(http.ErrAbortHandler)
		}
		s.ServeHTTP(w, r)
	}))
	without.Config.ErrorLog = log.New(io.Discard, "", 0)
	t.Cleanup(without.Close)
	b := browse(t, inHouse(without.URL))
	b.signIn()
	b.open("/melts/" + string(code))
	b.network(false)
	put := `Outbox.put({person: Outbox.me, melt: Melt.code, path: Melt.home + "/lines", key: Shop.key(), kind: "charge",
		fields: [["mass", "2"]], tapped: Date.now() - 5000}).then(() => true, () => false)`
	assert.True(t, ask[bool](b, put), "what is kept is kept, whether its weight can be told or not")
	b.tap("Mark the time")
	b.shows("2 lines kept here, not sent.")
	assert.Equal(t, 2, b.kept())
	require.False(t, b.sees("document.querySelector('[data-forms]')"))
}

// TestADoubtIsAskedAgain lets a charge above the safe fill be meant.
func TestADoubtIsAskedAgain(t *testing.T) {
	s, p := afternoon(t)
	code := p.start("")
	b := browse(t, inHouse(s.server.URL))
	b.signIn()
	b.open("/melts/" + string(code))
	b.ready()
	b.tap("Weigh in")
	b.enter("mass", "9.9")
	b.choose("source", "Wheels")
	b.press("Weigh in")
	b.shows("above its safe fill")
	b.press("It is right: write it all the same")
	b.tap("Weigh in")
	b.drained()
	b.shows("Over the safe fill")
	assert.Len(t, s.lines(t, code), 1)

	s.pass(time.Minute)
	b.press("More")
	b.tap("Close the melt")
	b.shows("Still open: Nothing is poured")
	b.press("Close the melt")
	b.shows("This was not written")
	b.press("It is right: write it all the same")
	b.tap("Close the melt")
	b.drained()
	b.shows("Reopen with a reason")
}

// TestStrikingWithoutTheNetwork strikes a line of the shop's and one of the
// phone's.
func TestStrikingWithoutTheNetwork(t *testing.T) {
	s, p := afternoon(t)
	code := p.start("")
	p.log(code, melt.Charge, append(wheels, "mass", "2")...)
	b := browse(t, inHouse(s.server.URL))
	b.signIn()
	b.open("/melts/" + string(code))
	b.ready()
	b.network(false)
	b.tap("Mark the time")
	b.shows("Time marked Kept here, not sent.")
	b.tap("Strike")
	b.shows("Struck. Kept here, not sent.")
	b.tap("Charged Wheels")
	b.press("Why it is struck")
	b.enter("reason", "read in pounds")
	b.tap("Strike the line")
	b.shows("Struck: Charged Wheels. Kept here, not sent.")
	b.tap("Temp")
	b.enter("temp", "700")
	b.press("In the metal")
	b.tap("Write the temperature")
	b.press("Set-up")
	b.shows("This page stays open")
	assert.Empty(t, b.violations())
	assert.Empty(t, b.sideways())
	assert.Empty(t, b.small())
	require.Len(t, s.lines(t, code), 1)
	b.network(true)
	b.press("Send now")
	b.drained()
	lines := s.lines(t, code)
	require.Len(t, lines, 3)
	assert.Equal(t, "read in pounds", lines[0].Strike.Reason)
	assert.False(t, lines[1].Stands())
	assert.True(t, lines[2].Stands())
}

// TestLiveOnEveryPhone shows on one phone within a second what another logs,
// also after the stream was cut.
func TestLiveOnEveryPhone(t *testing.T) {
	s, p := afternoon(t)
	code := p.start("")
	b := browse(t, s.server.URL)
	b.signIn()
	b.open("/melts/" + string(code))
	b.ready()
	lines := "/melts/" + string(code) + "/lines"
	write := func(n int, note string) {
		t.Helper()
		require.Equal(t, http.StatusOK, p.sends(lines, url.Values{"kind": {"note"}, "note": {note}, "key": {fmt.Sprintf("phone-%04d", n)}}).status)
		began := time.Now()
		b.shows("Noted " + note)
		t.Logf("seen after %s", time.Since(began).Round(time.Millisecond))
		assert.Less(t, time.Since(began), time.Second)
	}
	write(1, "lid on")
	b.press("5 more points")
	write(2, "lid off")
	assert.True(t, ask[bool](b, "document.querySelector('.more-cautions').open"), "what was open stays open")
	b.tap("Weigh in")
	b.enter("mass", "1.")
	require.Equal(t, http.StatusOK, p.sends(lines, url.Values{"kind": {"note"}, "note": {"while typing"}, "key": {"phone-0003"}}).status)
	time.Sleep(time.Second)
	assert.Equal(t, "1.", ask[string](b, "document.querySelector('[name=mass]').value"), "what is being typed stays")
	b.tap("Back without saving")
	b.shows("Noted while typing")
	s.server.CloseClientConnections()
	time.Sleep(time.Second)
	write(4, "on again")

	// Of another version of the program the page is loaded as a whole.
	ask[bool](b, `(window.before = true, document.querySelector("script[src]").setAttribute("src", "/static/of-yesterday.js"), true)`)
	write(5, "new version")
	assert.False(t, b.sees("window.before"))
}

// stub runs a script before those of every page.
func (b *tab) stub(script string) {
	b.t.Helper()
	b.do(call(page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: script}))
}

// TestAPhoneThatCanKeepNothing logs as without script where the browser lets
// pages keep nothing.
func TestAPhoneThatCanKeepNothing(t *testing.T) {
	s, p := afternoon(t)
	code := p.start("")
	b := browse(t, inHouse(s.server.URL))
	b.stub(`Object.defineProperty(window, "indexedDB", {get() { throw new DOMException("no", "SecurityError"); }})`)
	b.signIn()
	b.open("/melts/" + string(code))
	b.ready()
	b.tap("Mark the time")
	b.shows("Time marked. Saved.")
	b.tap("Weigh in")
	b.enter("mass", "1.5")
	b.choose("source", "Wheels")
	b.tap("Weigh in")
	b.shows("Charged Wheels 1.500 kg. Saved.")
	assert.Len(t, s.lines(t, code), 2)
}

// TestTheHandFeelsIt vibrates when a line is kept, and keeps the screen on, also
// after the page was out of sight.
func TestTheHandFeelsIt(t *testing.T) {
	s, p := afternoon(t)
	code := p.start("")
	b := browse(t, s.server.URL)
	b.stub(`window.felt = []; navigator.vibrate = (ms) => { felt.push("vibrate " + ms); return true; };
		navigator.wakeLock.request = async (what) => { felt.push("awake " + what); return {}; };`)
	b.signIn()
	assert.Empty(t, ask[[]string](b, "felt"))
	b.open("/melts/" + string(code))
	b.ready()
	b.tap("Mark the time")
	ask[bool](b, "document.dispatchEvent(new Event('visibilitychange'))")
	assert.Equal(t, []string{"awake screen", "vibrate 40", "awake screen"}, ask[[]string](b, "felt"))
}
