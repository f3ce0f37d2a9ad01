package main

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
)

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
