package main

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// TestTappedTwice sends forms once more, some time later, as a thumb or a bad
// line does: what is written is written once.
func TestTappedTwice(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	for name, typed := range map[string][]string{
		"now":           append(wheels, "mass", "1.5"),
		"at a time":     append(onDay("14:10", "mass", "1.5"), wheels...),
		"estimated":     append(wheels, "mass", "1.5", "scale", "0"),
		"several goes":  append(wheels, "mass", "1.5", "tare", "0.3", "spread", "0.01", "note", "in two pots"),
		"doubtful, yes": append(wheels, "mass", "9.9", "sure", "1"),
	} {
		t.Run(name, func(t *testing.T) {
			p := p.in(t)
			code := p.start("14:00")
			f := p.line(code, melt.Charge, typed...)
			first := p.send(f)
			require.Equal(t, http.StatusSeeOther, first.status, first.faults())
			before := s.lines(t, code)
			s.pass(3 * time.Second)
			second := p.send(f)
			require.Equal(t, http.StatusSeeOther, second.status)
			assert.Equal(t, first.header.Get("Location"), second.header.Get("Location"))
			assert.Equal(t, before, s.lines(t, code))

			p.log(code, melt.Close)
			third := p.send(f)
			assert.Equal(t, http.StatusSeeOther, third.status, "what was saved before the melt was closed is still saved")
			assert.Len(t, s.lines(t, code), 2)
		})
	}
	t.Run("another content", func(t *testing.T) {
		p := p.in(t)
		code := p.start("14:00")
		f := p.line(code, melt.Charge, append(wheels, "mass", "1.5")...)
		require.Equal(t, http.StatusSeeOther, p.send(f).status)
		before := s.lines(t, code)
		for _, other := range []filledForm{f.typed("mass", "1.6"), f.typed("source", "source-2"), f.typed(onDay("14:10")...), f.typed("kind", "heel_in"), f.typed("note", "x")} {
			g := p.send(other)
			assert.Equal(t, http.StatusConflict, g.status)
			assert.Contains(t, g.text(), "nothing was changed")
			g = p.do(http.MethodPost, other.action, strings.NewReader(other.values.Encode()), "Accept", "application/json")
			assert.Equal(t, http.StatusConflict, g.status)
			assertProblem(t, g)
		}
		assert.Equal(t, before, s.lines(t, code))
	})
	t.Run("start", func(t *testing.T) {
		p := p.in(t)
		f := p.fill("/melts/start", "/melts")
		first := p.send(f)
		s.pass(time.Minute)
		assert.Equal(t, first.header.Get("Location"), p.send(f).header.Get("Location"), "one melt is started")
	})
	t.Run("one tap", func(t *testing.T) {
		p := p.in(t)
		code := p.start("14:00")
		action := "/melts/" + string(code) + "/lines"
		page := p.open("/melts/" + string(code))
		f := page.form(t, action)
		require.Equal(t, "power_on", f.values.Get("kind"))
		p.save(f)
		s.pass(2 * time.Second)
		p.save(f)
		assert.Len(t, s.lines(t, code), 1)
	})
	t.Run("strike and put back", func(t *testing.T) {
		p := p.in(t)
		code := p.start("14:00")
		page := p.log(code, melt.Charge, append(wheels, "mass", "1.5")...)
		where := fmt.Sprintf("/melts/%s/lines/%d/", code, s.lines(t, code)[0].ID)
		undo := page.form(t, where+"strike")
		p.save(undo)
		page = p.save(undo)
		require.False(t, s.lines(t, code)[0].Stands())
		back := page.form(t, where+"lift")
		p.save(back)
		p.save(back)
		require.True(t, s.lines(t, code)[0].Stands())
		p.save(undo)
		assert.True(t, s.lines(t, code)[0].Stands(), "a strike that was lifted since is not made again by an old tap")
	})
	t.Run("correction", func(t *testing.T) {
		p := p.in(t)
		code := p.start("14:00")
		p.log(code, melt.Charge, append(wheels, "mass", "1.5")...)
		f := p.correct(code, s.lines(t, code)[0], melt.Charge, "mass", "1.4")
		p.save(f)
		before := s.lines(t, code)
		require.Len(t, before, 2)
		p.save(f)
		assert.Equal(t, before, s.lines(t, code))
		g := p.send(f.typed("key", newKey()))
		assert.Equal(t, http.StatusConflict, g.status, "somebody else corrected it first")
		assert.Equal(t, before, s.lines(t, code))
	})
}

// correct fills in the form that writes a line anew, as a kind.
func (p *phone) correct(code melt.Code, l melt.Line, kind melt.Kind, typed ...string) filledForm {
	p.t.Helper()
	return p.fill(fmt.Sprintf("/melts/%s/add/%s?of=%d", code, kind, l.ID), fmt.Sprintf("/melts/%s/lines/%d/replace", code, l.ID), typed...)
}

// TestTwoPhones lets two people log the same melt at once, each line of theirs
// twice.
func TestTwoPhones(t *testing.T) {
	s := newShed(t)
	one := s.settled(t, habits["kg and point"])
	two := s.phone(t)
	g := two.send(two.fill("/signin", "/signin", "name", "Workshop", "password", "rims and cranks"))
	require.Equal(t, http.StatusSeeOther, g.status)
	code := one.start("14:00")
	const each = 15
	var all sync.WaitGroup
	for _, p := range []*phone{one, two} {
		for n := range each {
			f := p.line(code, melt.Charge, append(onDay(fmt.Sprintf("14:%02d", n), "mass", "0.1"), wheels...)...)
			for range 2 {
				all.Go(func() {
					g := p.send(f)
					assert.Equal(t, http.StatusSeeOther, g.status, g.faults())
				})
			}
		}
	}
	all.Wait()
	lines := s.lines(t, code)
	assert.Len(t, lines, 2*each)
	assert.Equal(t, 2*each*100*quantity.Gram, melt.Charged(melt.Standing(lines)))
	h, _, err := s.store.Melt(context.Background(), code)
	require.NoError(t, err)
	sheet, err := s.store.Sheet(context.Background(), h.ID)
	require.NoError(t, err)
	assert.InDelta(t, 3.0, sheet.Charged.X, 1e-9, "the figures are those of all lines")
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

// TestLinesOfAnotherMelt asks for a line under the code of a melt that it is
// not of.
func TestLinesOfAnotherMelt(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	one, two := p.start("14:00"), p.start("15:00")
	p.log(one, melt.Charge, append(wheels, "mass", "1")...)
	p.log(two, melt.Charge, append(wheels, "mass", "2")...)
	theirs := s.lines(t, two)
	path := fmt.Sprintf("/melts/%s/lines/%d", one, theirs[0].ID)
	for _, ask := range []string{path, fmt.Sprintf("/melts/%s/add/charge?of=%d", one, theirs[0].ID), "/melts/A26-999", "/melts/A26-999/add/charge"} {
		assert.Equal(t, http.StatusNotFound, p.do(http.MethodGet, ask, nil).status, ask)
	}
	f := p.line(one, melt.Charge, append(wheels, "mass", "3")...)
	for _, ask := range []string{path + "/strike", path + "/lift", path + "/replace", "/melts/A26-999/lines", fmt.Sprintf("/melts/A26-999/lines/%d/strike", theirs[0].ID)} {
		g := p.post(ask, f.values)
		assert.Equal(t, http.StatusNotFound, g.status, ask)
		g = p.do(http.MethodPost, ask, strings.NewReader(f.values.Encode()), "Accept", "application/json")
		assert.Equal(t, http.StatusNotFound, g.status, ask)
		assertProblem(t, g)
	}
	assert.Len(t, s.lines(t, one), 1)
	assert.Equal(t, theirs, s.lines(t, two))
}

// TestWhoMayLog keeps those who only look, and those who are not signed in,
// from writing.
func TestWhoMayLog(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.start("14:00")
	p.log(code, melt.Charge, append(wheels, "mass", "1")...)
	before := s.lines(t, code)
	f := p.line(code, melt.Charge, append(wheels, "mass", "3")...)
	strike := fmt.Sprintf("/melts/%s/lines/%d/strike", code, before[0].ID)

	token, _, err := s.store.Invite(context.Background(), 1, "reader")
	require.NoError(t, err)
	looker := s.phone(t)
	looker.save(looker.fill("/join/"+token, "/join/"+token, "name", "Visitor", "password", "just looking", "again", "just looking"))
	page := looker.open("/melts/" + string(code))
	assert.Contains(t, page.text(), "Charged Wheels")
	for a := range page.forms("") {
		assert.NotContains(t, a.action, "/melts/", "no button that writes")
	}
	stranger := s.phone(t)
	for _, path := range []string{f.action, strike, "/melts", "/melts/paper"} {
		g := looker.post(path, f.values)
		assert.Equal(t, http.StatusForbidden, g.status, path)
		assert.Contains(t, g.text(), "That is not yours to do")
		g = stranger.post(path, f.values)
		assert.Equal(t, http.StatusSeeOther, g.status, path)
		assert.Equal(t, "/signin", g.header.Get("Location"), path)
		for who, status := range map[*phone]int{looker: http.StatusForbidden, stranger: http.StatusUnauthorized} {
			g = who.do(http.MethodPost, path, strings.NewReader(f.values.Encode()), "Accept", "application/json")
			assert.Equal(t, status, g.status, path)
			assertProblem(t, g)
		}
	}
	assert.Equal(t, before, s.lines(t, code))
}
