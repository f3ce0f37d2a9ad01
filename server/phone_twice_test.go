package main

import (
	"context"
	"fmt"
	"net/http"
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

			p.log(code, melt.Close, "sure", "1")
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
