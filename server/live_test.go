package main

import (
	"bufio"
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
)

// watch opens a stream of a melt and gives its versions as they come. The
// channel is closed when the stream ends.
func (p *phone) watch(ctx context.Context, code melt.Code) <-chan string {
	p.t.Helper()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, p.home+"/melts/"+string(code)+"/live", nil)
	require.NoError(p.t, err)
	r.Header.Set("Accept", "text/event-stream")
	resp, err := p.Do(r)
	require.NoError(p.t, err)
	require.Equal(p.t, "text/event-stream", resp.Header.Get("Content-Type"))
	versions := make(chan string)
	go func() {
		defer close(versions)
		defer resp.Body.Close()
		for lines := bufio.NewScanner(resp.Body); lines.Scan(); {
			if v, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
				versions <- v
			}
		}
	}()
	return versions
}

// within waits a second for the next version, "" for the end of the stream.
func within(t *testing.T, versions <-chan string) string {
	t.Helper()
	select {
	case v := <-versions:
		return v
	case <-time.After(time.Second):
		require.Fail(t, "nothing came within a second")
		return ""
	}
}

// TestWatching hears of every line and strike of the melt within a second, and
// of no other melt's. Nothing is asked of the database while nothing changes.
func TestWatching(t *testing.T) {
	s := newShed(t)
	ending := make(chan struct{})
	s.ending = ending
	p := s.settled(t, habits["kg and point"])
	code, other := p.start("14:00"), p.start("14:05")
	path := "/melts/" + string(code) + "/lines"
	versions := p.watch(t.Context(), code)
	assert.Equal(t, "0-0-0-0-0", within(t, versions))
	stamp := func(path, key string) {
		t.Helper()
		require.Equal(t, http.StatusOK, p.sends(path, url.Values{"kind": {"stamp"}, "key": {key}}).status)
	}
	stamp(path, "phone-0001")
	assert.Equal(t, "1-0-0-0-0", within(t, versions))
	stamp("/melts/"+string(other)+"/lines", "phone-0002")
	require.Equal(t, http.StatusOK, p.sends(path+"/key-phone-0001/strike", url.Values{"key": {"phone-0003"}}).status)
	assert.Equal(t, "1-1-0-0-0", within(t, versions), "and not the line of another melt")
	asked := p.do(http.MethodGet, "/melts/"+string(code)+"/live", nil, "Accept", "application/json")
	assert.JSONEq(t, `{"version": "1-1-0-0-0"}`, asked.body)
	assert.Equal(t, http.StatusNotFound, p.do(http.MethodGet, "/melts/Z99-001/live", nil).status)

	require.NoError(t, s.store.Close())
	time.Sleep(5 * lookEvery)
	select {
	case v, open := <-versions:
		require.Fail(t, "a stream at rest needs no database", "%q %t", v, open)
	default:
	}
	close(ending)
	assert.Equal(t, "", within(t, versions), "it ends when the server is to stop")
}

// TestWatchingALogger has the page of a running melt go on as its probe sends,
// not with each reading, and what somebody wrote down later stand before it.
func TestWatchingALogger(t *testing.T) {
	s := newShed(t)
	q, p := s.logger(t)
	versions := p.watch(t.Context(), "A26-001")
	version := within(t, versions)
	begin := s.store.Now() / 10_000 * 10_000
	send := func(second int, celsius string) {
		t.Helper()
		sends(t, q, http.StatusOK, toMelt, fmt.Sprintf(`[{"bn":"probe","bt":%d,"bu":"Cel","v":%s}]`, int64(begin)/1000+int64(second), celsius))
	}
	next := func() string {
		t.Helper()
		select {
		case v := <-versions:
			return v
		case <-time.After(10 * time.Second):
			require.Fail(t, "nothing came")
			return ""
		}
	}
	glance := func() string { return p.open("/melts/A26-001").facts()["Last read"] }
	assert.Equal(t, "–", glance())
	send(0, "611")
	was, version := version, next()
	assert.NotEqual(t, was, version)
	assert.Equal(t, "611 °C", glance())
	send(3, "612")
	require.Eventually(t, func() bool { return glance() == "612 °C" }, 10*time.Second, 50*time.Millisecond)
	send(12, "613")
	was, version = version, next()
	assert.NotEqual(t, was, version, "one that is 10 s newer is heard of, the one before was not")
	assert.Equal(t, "613 °C", glance())

	s.clock.Add(60_000)
	p.log("A26-001", melt.Temperature, "temp", "705", "which", "metal")
	assert.Equal(t, "705 °C", glance(), "written down later")
}
