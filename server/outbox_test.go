package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/store"
)

// sends sends a form as the script of a phone does.
func (p *phone) sends(path string, values url.Values, header ...string) got {
	p.t.Helper()
	return p.do(http.MethodPost, path, strings.NewReader(values.Encode()), append([]string{"Accept", "application/json"}, header...)...)
}

// with copies values and sets more.
func with(values url.Values, more ...string) url.Values {
	all := maps.Clone(values)
	for i := 0; i < len(more); i += 2 {
		all.Set(more[i], more[i+1])
	}
	return all
}

// TestAScriptIsAnswered sends lines as a script does: it is told that a line is
// stored, also when it was before, and by field what is wrong with one.
func TestAScriptIsAnswered(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.start("14:00")
	path := "/melts/" + string(code) + "/lines"
	charge := url.Values{"kind": {"charge"}, "key": {"phone-0001"}, "source": {"source-1"}, "scale": {"4"}, "mass": {"1.5"}}
	for range 2 {
		g := p.sends(path, charge)
		require.Equal(t, http.StatusOK, g.status, g.body)
		assert.JSONEq(t, `{"key": "phone-0001"}`, g.body)
	}
	require.Len(t, s.lines(t, code), 1)

	refusal := func(g got) (p struct {
		Detail string
		Faults map[string]string
		Doubts map[string]string
	}) {
		t.Helper()
		require.Equal(t, http.StatusUnprocessableEntity, g.status, g.body)
		assertProblem(t, g)
		require.NoError(t, json.Unmarshal([]byte(g.body), &p))
		return p
	}
	no := refusal(p.sends(path, with(charge, "key", "phone-0002", "mass", "heavy", "at_date", "2026-03-14")))
	assert.Contains(t, no.Faults["mass"], "heavy")
	assert.Equal(t, "No time was given. Type it like 14:46.", no.Faults["at"])
	assert.Empty(t, no.Doubts)
	no = refusal(p.sends(path, with(charge, "key", "phone-0002", "mass", "9.9")))
	assert.Empty(t, no.Faults)
	assert.Contains(t, no.Doubts["mass"], "safe fill")
	assert.Equal(t, no.Doubts["mass"], no.Detail)
	no = refusal(p.sends(path, url.Values{"kind": {"isolated"}, "key": {"phone-0002"}}))
	assert.Contains(t, no.Detail, "There is no power on")
	assert.Len(t, s.lines(t, code), 1)

	assert.Equal(t, http.StatusConflict, p.sends(path, with(charge, "mass", "1.6")).status)
	assert.Equal(t, http.StatusBadRequest, p.sends(path, with(charge, "key", "?")).status)
	assert.Equal(t, http.StatusNotFound, p.sends("/melts/Z99-001/lines", charge).status)
}

// TestALineThatWaited keeps the time of the tap, whatever the phone's clock
// says and however often it is sent.
func TestALineThatWaited(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.start("14:00")
	path := "/melts/" + string(code) + "/lines"
	tapped := s.store.Now()
	s.pass(25 * time.Minute)
	line := url.Values{"kind": {"stamp"}, "key": {"phone-0001"}}
	for range 3 {
		wait := s.store.Now().Since(tapped)
		require.Equal(t, http.StatusOK, p.sends(path, with(line, "ago", fmt.Sprint(int64(wait)))).status)
		s.pass(time.Minute)
	}
	lines := s.lines(t, code)
	require.Len(t, lines, 1)
	assert.Equal(t, tapped, lines[0].At)
	assert.Equal(t, tapped+quantity.Moment(25*quantity.Minute), lines[0].Noted)

	for n, odd := range []string{"-5000", "x", "", "1e9"} {
		require.Equal(t, http.StatusOK, p.sends(path, with(line, "key", fmt.Sprintf("phone-odd-%d", n), "ago", odd)).status)
	}
	for _, l := range s.lines(t, code)[1:] {
		assert.Equal(t, s.store.Now(), l.At, "what is no time ago is now")
	}
	// What the phone reckons is taken within the ten seconds that a way may take.
	now := s.store.Now()
	for reckoned, want := range map[int64]int64{7_000: 7_000, 5_000: 5_000, 4_999: 5_000, 15_000: 15_000, 15_001: 5_000, -600_000: 5_000} {
		key := fmt.Sprintf("phone-way%d", reckoned+600_000)
		require.Equal(t, http.StatusOK, p.sends(path, with(line, "key", key, "ago", "5000", "reckoned", fmt.Sprint(int64(now)-reckoned))).status)
		lines := s.lines(t, code)
		assert.Equal(t, want, int64(now-lines[len(lines)-1].At), "reckoned %d ms before now", reckoned)
	}
	g := p.sends(path, with(line, "key", "phone-old", "ago", "9223372036854775807"))
	assert.Equal(t, http.StatusUnprocessableEntity, g.status, "nobody waits that long")
	typed := with(line, "key", "phone-typed", "ago", "60000", "at_date", "2026-03-14", "at_clock", "14:10")
	require.Equal(t, http.StatusOK, p.sends(path, typed).status)
	last := s.lines(t, code)[11]
	assert.Equal(t, "14:10", s.shopStyle(t).Clock(last.At), "a typed time counts")
}

// TestALineIsStruckByItsKey strikes and lifts by the key that the phone made.
func TestALineIsStruckByItsKey(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code, other := p.start("14:00"), p.start("14:05")
	path := "/melts/" + string(code) + "/lines"
	require.Equal(t, http.StatusOK, p.sends(path, url.Values{"kind": {"stamp"}, "key": {"phone-0001"}}).status)
	for range 2 {
		g := p.sends(path+"/key-phone-0001/strike", url.Values{"key": {"phone-0002"}, "reason": {"slipped"}})
		require.Equal(t, http.StatusOK, g.status, g.body)
		assert.JSONEq(t, `{"key": "phone-0001"}`, g.body)
	}
	require.Equal(t, "slipped", s.lines(t, code)[0].Strike.Reason)
	require.Equal(t, http.StatusOK, p.sends(path+"/key-phone-0001/lift", url.Values{"key": {"phone-0003"}}).status)
	assert.True(t, s.lines(t, code)[0].Stands())
	p.open(path + "/key-phone-0001")
	g := p.sends(path+"/key-phone-0001/replace", url.Values{"kind": {"note"}, "note": {"lid off"}, "key": {"phone-0004"}})
	require.Equal(t, http.StatusOK, g.status, g.body)
	assert.False(t, s.lines(t, code)[0].Stands())
	assert.Equal(t, http.StatusNotFound, p.sends(path+"/key-phone-9999/strike", url.Values{"key": {"phone-0005"}}).status)
	assert.Equal(t, http.StatusNotFound, p.sends("/melts/"+string(other)+"/lines/key-phone-0001/strike", url.Values{"key": {"phone-0006"}}).status, "a line of another melt")
	long := p.sends(path+"/key-phone-0001/strike", url.Values{"key": {"phone-0007"}, "reason": {strings.Repeat("x", 2001)}})
	assert.Equal(t, http.StatusUnprocessableEntity, long.status)
	assertProblem(t, long)
}

// TestNobodySendsForAnother keeps what one person logged from being written as
// another's.
func TestNobodySendsForAnother(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.start("14:00")
	path := "/melts/" + string(code) + "/lines"
	tag := p.open("/").header.Get(personHeader)
	require.NotEmpty(t, tag)
	line := url.Values{"kind": {"stamp"}, "key": {"phone-0001"}}

	token, _, err := s.store.Invite(t.Context(), 1, "melter")
	require.NoError(t, err)
	two := s.phone(t)
	two.save(two.fill("/join/"+token, "/join/"+token, "name", "Crew", "password", "just looking", "again", "just looking"))
	require.NotEqual(t, tag, two.open("/").header.Get(personHeader))
	g := two.sends(path, line, personHeader, tag)
	assert.Equal(t, http.StatusForbidden, g.status)
	assertProblem(t, g)
	assert.Empty(t, s.lines(t, code))

	nobody := s.phone(t)
	assert.Empty(t, nobody.open("/signin").header.Get(personHeader))
	assert.Equal(t, http.StatusUnauthorized, nobody.sends(path, line, personHeader, tag).status)
	assert.Empty(t, s.lines(t, code))

	require.Equal(t, http.StatusOK, p.sends(path, line, personHeader, tag).status)
	assert.Len(t, s.lines(t, code), 1)
	require.NotEqual(t, visit{person: store.Person{ID: 1, Since: 5}}.tag(), visit{person: store.Person{ID: 1, Since: 6}}.tag(), "another shop at the same address")
}

// TestLateLinesComeInAnyOrder sends what two phones kept, the later hours
// first: the melt is the same as if it had come as it happened.
func TestLateLinesComeInAnyOrder(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code := p.start("14:00")
	path := "/melts/" + string(code) + "/lines"
	for n, ago := range []int{30, 10, 40, 20} { // minutes
		line := url.Values{"kind": {"charge"}, "key": {fmt.Sprintf("phone-%04d", n)}, "source": {"source-1"}, "scale": {"4"}, "mass": {fmt.Sprintf("0.%d", ago)}, "ago": {fmt.Sprint(ago * 60_000)}}
		require.Equal(t, http.StatusOK, p.sends(path, line).status)
	}
	var masses []quantity.Mass
	for _, l := range melt.Standing(s.lines(t, code)) {
		masses = append(masses, l.Mass()/quantity.Gram)
	}
	assert.Equal(t, []quantity.Mass{400, 300, 200, 100}, masses)
}
