package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
)

// assertProblem makes sure that a program was told what went wrong in the form
// of RFC 9457.
func assertProblem(t *testing.T, g got) {
	t.Helper()
	assert.Equal(t, "application/problem+json", g.header.Get("Content-Type"))
	var problem struct {
		Title, Detail string
		Status        int
	}
	require.NoError(t, json.Unmarshal([]byte(g.body), &problem), g.body)
	assert.Equal(t, g.status, problem.Status)
	assert.NotEmpty(t, problem.Title)
	assert.NotEmpty(t, problem.Detail)
}

// oddTexts are typed into every field of every kind of line.
var oddTexts = []string{
	"rims", "-1", "−0.5", "0", "1,842", "1.842,5", "1e400", "NaN", "Infinity", "0x10", "9223372036854775808", "99999999999999999999999999",
	"1.2.3.4", "١٢", "½", "🔥🔥", "👩‍🏭 kg", "1\u00a0000,5", "a\x00b", "\x1b[31m", "<script>alert(1)</script>", `"><img src=x>`, "'; DROP TABLE line; --",
	"=1+1", "%s%n", "\u202eevil", strings.Repeat("9", 100), strings.Repeat("ü", 2001), strings.Repeat("🔥", 2001), " \t ", "5 kg 3", "2026-02-30", "24:00", "../../etc/passwd",
}

// TestOddTexts types what makes no sense into every form of a line: each text
// into all of its fields at once, and into some of them alone. The answer is
// never a failure of ours; what was refused is not written and stands in the
// form as it was typed.
func TestOddTexts(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	p.save(p.fill("/kit/new/probe", "/kit", "name", "Probe", "couple", "K"))
	for k, spec := range melt.Specs() {
		t.Run(string(spec.Kind), func(t *testing.T) {
			t.Parallel()
			p := p.in(t)
			code := p.start("14:00")
			if spec.Kind == melt.Reopen {
				p.log(code, melt.Close, "sure", "1")
			}
			blank := p.line(code, spec.Kind)
			fields := slices.Sorted(maps.Keys(blank.values))
			fields = slices.DeleteFunc(fields, func(field string) bool { return field == "key" || field == "kind" })
			for i, odd := range oddTexts {
				s.oddFields(t, p, code, blank, fields, odd)
				for j, field := range fields {
					if (i+j+k)%6 == 0 {
						s.oddFields(t, p, code, blank, []string{field}, odd)
					}
				}
			}
			p.open("/melts/" + string(code))
		})
	}
}

func (s *shed) oddFields(t *testing.T, p *phone, code melt.Code, blank filledForm, fields []string, odd string) {
	f := blank.typed("key", newKey())
	for _, field := range fields {
		f.values.Set(field, odd)
	}
	before := s.lines(t, code)
	g := p.send(f)
	after := s.lines(t, code)
	if len(before) > 0 {
		require.Equal(t, before, after[:len(before)], "%s=%.40q changed a line", fields, odd)
	}
	switch g.status {
	case http.StatusSeeOther:
		require.Len(t, after, len(before)+1, "%s=%.40q", fields, odd)
		l := after[len(before)]
		g := p.post(fmt.Sprintf("/melts/%s/lines/%d/strike", code, l.ID), url.Values{"key": {newKey()}})
		require.Equal(t, http.StatusSeeOther, g.status, "%s=%.40q: the line can be struck", fields, odd)
	case http.StatusUnprocessableEntity:
		require.Len(t, after, len(before), "%s=%.40q", fields, odd)
		require.NotEmpty(t, g.faults(), "%s=%.40q", fields, odd)
		again := g.form(t, blank.action)
		for _, field := range fields {
			assertStillTyped(t, again, field, odd)
		}
	default:
		require.Fail(t, "neither taken nor refused", "%s=%.40q: %d %s", fields, odd, g.status, g.text())
	}
}

// assertStillTyped makes sure that a text field still has what was typed.
// Lists and ticks have no place for it.
func assertStillTyped(t *testing.T, f filledForm, field, odd string) {
	switch field {
	case "source", "scale", "which", "basis", "probe", "crucible", "element", "dry", "preheated", "into_hot", "tick", "sure":
		return
	}
	plain := func(text string) string {
		return strings.Map(func(r rune) rune {
			if unicode.IsControl(r) || r == unicode.ReplacementChar {
				return -1
			}
			return r
		}, text)
	}
	require.Equal(t, strings.TrimSpace(plain(odd)), strings.TrimSpace(plain(f.values.Get(field))), field)
}

// TestOddAddresses asks for what is not there, and for lists with filters that
// make no sense.
func TestOddAddresses(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.workedMelt(habits["kg and point"])
	for _, odd := range oddTexts {
		q := url.QueryEscape(odd)
		for _, path := range []string{
			"/melts?q=" + q, "/melts?source=" + q + "&furnace=" + q, "/melts?from=" + q + "&to=" + q, "/melts?before=" + q, "/melts?after=" + q + "-" + q, "/melts.csv?q=" + q, "/lines.csv?from=" + q,
			"/melts/" + string(code) + "?done=" + q, "/signin?next=" + q,
		} {
			g := p.do(http.MethodGet, path, nil)
			assert.Contains(t, []int{http.StatusOK, http.StatusSeeOther}, g.status, path)
		}
		if len(odd) > 1000 {
			continue // addresses are short
		}
		e := url.PathEscape(odd)
		for _, path := range []string{
			"/melts/" + e, "/melts/" + e + "/add/charge", "/melts/" + string(code) + "/add/" + e, "/melts/" + string(code) + "/add/charge?of=" + q, "/melts/" + string(code) + "/lines/" + e,
			"/scrap/" + e, "/scrap/" + e + "/lots/new", "/kit/" + e, "/kit/new/" + e, "/kit/" + e + "/add/read", "/shop/people/" + e, "/setup/" + e, "/join/" + e, "/static/" + e,
		} {
			g := p.do(http.MethodGet, path, nil)
			if strings.Contains(path, "?of=") && pathID(odd) == 0 {
				assert.Equal(t, http.StatusOK, g.status, path)
				continue
			}
			assert.NotEqual(t, http.StatusInternalServerError, g.status, path)
			assert.Contains(t, []int{http.StatusNotFound, http.StatusMovedPermanently, http.StatusTemporaryRedirect, http.StatusBadRequest}, g.status, path)
		}
	}
}
