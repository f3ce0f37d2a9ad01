package main

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/store"
)

// logger is a shed with a running melt A26-001 and a token that sends readings.
func (s *shed) logger(t *testing.T) *machine {
	t.Helper()
	s.settled(t, habits["kg and point"])
	all := s.machine(t, "Workshop", store.ScopeAll)
	g := all.ask(post, "/api/v1/melts", `{"furnace":1,"crucible":2}`, "Idempotency-Key", "start-0001")
	require.Equal(t, http.StatusCreated, g.status, g.body)
	return s.machine(t, "Workshop", store.ScopeReadings)
}

const toMelt = "/api/v1/melts/A26-001/readings"

// sends sends a batch and reads the answer.
func sends(t *testing.T, q *machine, status int, path, list string, header ...string) map[string]any {
	t.Helper()
	g := q.ask(post, path, list, append(header, "Content-Type", "application/senml+json")...)
	require.Equal(t, status, g.status, g.body)
	var read map[string]any
	require.NoError(t, json.Unmarshal([]byte(g.body), &read))
	return read
}

// stored gives the values of all readings by series and second since the epoch.
func (s *shed) readings(t *testing.T) map[string][]string {
	t.Helper()
	ctx := context.Background()
	h, err := s.store.Heading(ctx, "A26-001")
	require.NoError(t, err)
	all, err := s.store.MeltSeries(ctx, h.ID)
	require.NoError(t, err)
	told := map[string][]string{}
	for _, one := range all {
		samples, err := s.store.Readings(ctx, one.ID, 0, 0)
		require.NoError(t, err)
		for _, x := range samples {
			name := string(one.Channel) + " " + one.Name
			told[name] = append(told[name], fmt.Sprintf("%.1f %g", float64(x.At-s.store.Now())/1000, one.Channel.Plain(x.Value)))
		}
	}
	return told
}

// Units are those of RFC 8428 (12.1) and RFC 8798 (table 1): 1 kWh is 3.6 MJ,
// 1 Wh 3.6 kJ, 0 °C 273.15 K (SI Brochure, 9th edition).
func TestReadingsFindTheirChannelByUnit(t *testing.T) {
	s := newShed(t)
	q := s.logger(t)
	now := float64(s.store.Now()) / 1000
	told := sends(t, q, 200, toMelt, fmt.Sprintf(`[{"bn":"shed:","bt":%.3f,"n":"metal","u":"Cel","v":712.34},{"n":"wall","u":"K","v":1000.15},{"n":"plug","u":"W","v":1500.5,"s":7200},
		{"n":"big","u":"kW","v":2.5},{"n":"meter","u":"kWh","v":12.5},{"n":"small","u":"Wh","v":3},{"n":"plug","u":"V","v":230.1},{"n":"plug","u":"mA","v":6500},
		{"n":"air","u":"%%RH","v":40},{"n":"door","vb":true},{"n":"broken","u":"Cel","v":65535}]`, now))
	assert.Equal(t, 9.0, told["stored"])
	assert.Equal(t, 3.0, told["passed"])
	says := fmt.Sprint(told["says"])
	assert.Contains(t, says, "shed:air, shed:door")
	assert.Contains(t, says, "shed:broken")
	assert.Equal(t, map[string][]string{
		"temperature shed:metal": {"0.0 712.34"}, "temperature shed:wall": {"0.0 727"}, "power shed:plug": {"0.0 1500.5"}, "energy shed:plug": {"0.0 7200"},
		"power shed:big": {"0.0 2500"}, "energy shed:meter": {"0.0 4.5e+07"}, "energy shed:small": {"0.0 10800"}, "voltage shed:plug": {"0.0 230.1"}, "current shed:plug": {"0.0 6.5"},
	}, s.readings(t))
}

func TestReadingsSentAgainAreStoredOnce(t *testing.T) {
	s := newShed(t)
	q := s.logger(t)
	timed := fmt.Sprintf(`[{"n":"a","u":"Cel","t":%d,"v":20}]`, s.store.Now()/1000)
	assert.Equal(t, 1.0, sends(t, q, 200, toMelt, timed)["stored"])
	assert.Equal(t, 1.0, sends(t, q, 200, toMelt, timed)["had"])
	assert.Equal(t, 1.0, sends(t, q, 200, toMelt, strings.Replace(timed, ":20}", ":21}", 1))["other"])

	loose := `[{"n":"b","u":"Cel","t":-5,"v":20},{"n":"b","u":"Cel","v":21}]`
	refused := sends(t, q, 422, toMelt, loose)
	assert.Contains(t, fmt.Sprint(refused["errors"]), "header.Idempotency-Key")
	assert.Equal(t, 2.0, sends(t, q, 200, toMelt, loose, "Idempotency-Key", "batch-0001")["stored"])
	s.pass(3300 * time.Millisecond)
	assert.Equal(t, 2.0, sends(t, q, 200, toMelt, loose, "Idempotency-Key", "batch-0001")["had"])
	assert.Equal(t, []string{"-8.3 20", "-3.3 21"}, s.readings(t)["temperature b"])
}

// A logger whose clock stands still in another hour says what it shows.
func TestReadingsOfAClockThatIsOff(t *testing.T) {
	s := newShed(t)
	q := s.logger(t)
	wrong := s.store.Now().Time().Add(90 * time.Minute)
	list := fmt.Sprintf(`[{"n":"a","u":"Cel","t":%d,"v":20}]`, wrong.Unix()-10)
	assert.Contains(t, sends(t, q, 422, toMelt, list)["detail"], "clock is ahead")
	path := toMelt + "?clock=" + wrong.UTC().Format(time.RFC3339)
	told := sends(t, q, 200, path, list, "Idempotency-Key", "batch-0001")
	assert.Equal(t, -5400.0, told["moved_s"])
	assert.Contains(t, fmt.Sprint(told["says"]), "1h30m0s ahead")
	s.pass(time.Minute)
	assert.Equal(t, 1.0, sends(t, q, 200, path, list, "Idempotency-Key", "batch-0001")["had"], "the same request, a minute later")
	assert.Equal(t, []string{"-70.0 20"}, s.readings(t)["temperature a"])
}

func TestReadingsThatCannotBeAreRefused(t *testing.T) {
	s := newShed(t)
	q := s.logger(t)
	now := s.store.Now() / 1000
	for list, sentence := range map[string]string{
		``:                                      "square brackets",
		`{}`:                                    "Expected array",
		`[]`:                                    "No record is a reading",
		`[{"n":"a","u":"Cel","v":1},{"v":"x"}]`: "body[1].v",
		`[{"n":"a","u":"lm","v":1}]`:            "No record is a reading",
		fmt.Sprintf(`[{"n":"a","u":"Cel","t":%d,"v":1}]`, now-8*24*3600):            "more than a week",
		`[{"n":"a","u":"Cel","t":1.7e12,"v":1}]`:                                    "not in milliseconds",
		`[` + strings.Repeat(`{"n":"a","u":"W","v":1},`, 5000) + `{"n":"a","v":1}]`: "more than 5000",
	} {
		g := q.ask(post, toMelt, list, "Content-Type", "application/senml+json", "Idempotency-Key", "batch-0001")
		assert.GreaterOrEqual(t, g.status, 400, list)
		assert.Less(t, g.status, 500, list)
		assert.Equal(t, "application/problem+json", g.header.Get("Content-Type"))
		if list != "" {
			assert.Contains(t, g.body, sentence)
		}
	}
	assert.Empty(t, s.readings(t))
	sends(t, q, 404, "/api/v1/melts/Z99-999/readings", `[{"n":"a","u":"Cel","v":1}]`, "Idempotency-Key", "batch-0001")
	g := q.ask(get, toMelt, "")
	assert.Equal(t, http.StatusForbidden, g.status, "a token for readings sends and does not read")
}
