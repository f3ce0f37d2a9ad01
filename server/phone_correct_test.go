package main

import (
	"fmt"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// correct fills in the form that writes a line anew, as a kind.
func (p *phone) correct(code melt.Code, l melt.Line, kind melt.Kind, typed ...string) filledForm {
	p.t.Helper()
	return p.fill(fmt.Sprintf("/melts/%s/add/%s?of=%d", code, kind, l.ID), fmt.Sprintf("/melts/%s/lines/%d/replace", code, l.ID), typed...)
}

// TestCorrecting strikes a wrong weight, puts it back, and writes it anew, and
// looks at the yield each time.
func TestCorrecting(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.start("14:00")
	p.log(code, melt.Charge, append(onDay("14:01", "mass", "2"), wheels...)...)
	page := p.log(code, melt.Pour, onDay("17:00", "mass", "1.8", "count", "3")...)
	recovery := func(page got) string { return page.facts()["Recovery"] }
	assert.True(t, strings.HasPrefix(recovery(page), "90.0 "), recovery(page))

	page = p.log(code, melt.Charge, append(onDay("14:02", "mass", "4.12", "note", "412 g"), wheels...)...)
	wrong := s.lines(t, code)[2]
	assert.True(t, strings.HasPrefix(recovery(page), "29.4 "), recovery(page))
	path := fmt.Sprintf("/melts/%s/lines/%d", code, wrong.ID)
	page = p.save(p.fill(path, path+"/strike", "reason", "read in grams"))
	assert.True(t, strings.HasPrefix(recovery(page), "90.0 "), recovery(page))
	assert.Contains(t, page.text(), "Struck: read in grams, by Workshop")
	assert.Contains(t, page.text(), "Charged Wheels", "it stays readable")

	page = p.save(p.fill(path, path+"/lift"))
	assert.True(t, strings.HasPrefix(recovery(page), "29.4 "), recovery(page))

	f := p.correct(code, wrong, melt.Charge)
	assert.Equal(t, url.Values{"mass": {"4.12", "", "", ""}, "source": {"source-1"}, "scale": {"4"}, "note": {"412 g"}, "at_date": {"2026-03-14"}, "at_clock": {"14:02"}},
		pick(f.values, "mass", "source", "scale", "note", "at_date", "at_clock"), "what was typed comes back")
	page = p.save(f.typed("mass", "0.412", "reason", "grams, not kilograms"))
	assert.True(t, strings.HasPrefix(recovery(page), "74.6 "), recovery(page))
	lines := s.lines(t, code)
	require.Len(t, lines, 4)
	assert.Equal(t, "grams, not kilograms", lines[2].Strike.Reason)
	assert.Equal(t, wrong.At, lines[3].At)
}

func pick(all url.Values, names ...string) url.Values {
	some := url.Values{}
	for _, n := range names {
		some[n] = all[n]
	}
	return some
}

// TestMarkOfTime marks the time with one tap while both hands are full, and
// says afterwards that it was a skim.
func TestMarkOfTime(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.start("14:00")
	p.log(code, melt.Charge, append(onDay("14:01", "mass", "2"), wheels...)...)
	s.pass(7 * time.Minute)
	action := "/melts/" + string(code) + "/lines"
	page := p.save(p.open("/melts/"+string(code)).stamp(t, action))
	mark := s.lines(t, code)[1]
	require.Equal(t, melt.Stamp, mark.Kind)
	assert.Equal(t, quantity.At(evening.Add(7*time.Minute)), mark.At)
	assert.Contains(t, page.text(), "Time marked")
	assert.Contains(t, p.open("/").text(), "Say what it was, while you still know.")

	s.pass(20 * time.Minute)
	asked := p.open(fmt.Sprintf("/melts/%s/lines/%d", code, mark.ID))
	assert.Contains(t, asked.text(), "What was it?")
	p.save(p.correct(code, mark, melt.Skim, "mass", "0.2", "which", "grey dry"))
	lines := s.lines(t, code)
	require.Len(t, lines, 3)
	assert.False(t, lines[1].Stands())
	assert.Equal(t, melt.Skim, lines[2].Kind)
	assert.Equal(t, mark.At, lines[2].At, "the skim has the time that was marked")
	assert.NotContains(t, p.open("/").text(), "Say what it was")
}

// A line keeps its second when it is written anew with the same minute.
func TestCorrectingKeepsTheSecond(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.start("14:00")
	s.pass(7*time.Minute + 23*time.Second + 57*time.Millisecond)
	p.log(code, melt.Note, "note", "smoke")
	old := s.lines(t, code)[0]
	f := p.correct(code, old, melt.Note)
	assert.Equal(t, "20:07", f.values.Get("at_clock"))
	p.save(f.typed("note", "much smoke"))
	anew := s.lines(t, code)[1]
	assert.Equal(t, old.At, anew.At)
	p.save(p.correct(code, anew, melt.Note, "at_clock", "20:06"))
	assert.Equal(t, quantity.At(evening.Add(6*time.Minute)), s.lines(t, code)[2].At)
}

// The furnace is taken to be hot by when it was, not by when that was written,
// and by no melt that was void.
func TestTheFurnaceIsStillHot(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	warm := func() string { return p.open("/melts/start").form(t, "/melts").values.Get("warm") }
	assert.Equal(t, "cold", warm(), "no melt yet")
	code := p.start("12:00")
	assert.Equal(t, "cold", warm(), "started, and never powered")
	p.log(code, melt.PowerOn, onDay("12:10")...)
	p.log(code, melt.Isolated, onDay("13:00")...)
	assert.Equal(t, "cold", warm(), "written now, and hot seven hours ago")
	code = p.start("18:00")
	p.log(code, melt.PowerOn, onDay("18:10")...)
	p.log(code, melt.Isolated, onDay("18:50")...)
	assert.Equal(t, "warm", warm())
	p.log(code, melt.Void, "note", "another furnace")
	assert.Equal(t, "cold", warm())
}

// A power that seems to be on for half a day is asked about.
func TestPowerLeftOn(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.start("19:00")
	p.log(code, melt.PowerOn, onDay("19:10")...)
	assert.NotContains(t, p.open("/melts/"+string(code)).text(), "isolate the furnace now")
	s.pass(12 * time.Hour)
	page := p.open("/melts/" + string(code))
	assert.Contains(t, page.text(), "The power is on since 14 Mar 2026 19:10. If it still is, isolate the furnace now.")
	s.pass(48 * time.Hour)
	g := p.send(p.line(code, melt.Isolated).typed("at_date", "", "at_clock", ""))
	assert.Contains(t, g.faults(), "close it or make it void")
}

// stamp is the form that marks the time, among those of a page that write a
// line at once.
func (g got) stamp(t testing.TB, action string) filledForm {
	t.Helper()
	for f := range g.forms(action) {
		if f.values.Get("kind") == string(melt.Stamp) {
			return f
		}
	}
	require.FailNow(t, "no button marks the time")
	return filledForm{}
}
