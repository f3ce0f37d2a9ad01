package main

import (
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/store"
)

// TestMetrics reads what a machine that watches reads, line by line as the
// OpenMetrics specification 1.0 has it (metric families with TYPE and HELP,
// samples, # EOF), by a token that may only look.
func TestMetrics(t *testing.T) {
	s := newShed(t)
	s.settled(t, habits["kg and point"])
	watch := s.client(t, store.ScopeRead)
	assert.NotEqual(t, http.StatusOK, s.phone(t).do(http.MethodGet, "/metrics", nil).status)
	assert.Equal(t, http.StatusForbidden, s.client(t, store.ScopeReadings).ask(get, "/metrics", "").status)
	watch.ask(get, "/api/v1/melts", "")
	res := watch.ask(get, "/metrics", "", "Accept", "application/openmetrics-text; version=1.0.0")
	require.Equal(t, http.StatusOK, res.status)
	assert.Contains(t, res.header.Get("Content-Type"), "application/openmetrics-text")
	text, ok := strings.CutSuffix(res.body, "# EOF\n")
	require.True(t, ok, "ends as the format says")
	sample := regexp.MustCompile(`^([a-z_]+)(\{[a-z_]+="[^"]*"(?:,[a-z_]+="[^"]*")*\})? (\S+)$`)
	typed, seen := map[string]bool{}, map[string]float64{}
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		if f := strings.Fields(line); f[0] == "#" {
			require.Contains(t, []string{"HELP", "TYPE", "UNIT"}, f[1])
			typed[f[2]] = true
			continue
		}
		m := sample.FindStringSubmatch(line)
		require.NotNil(t, m, line)
		v, err := strconv.ParseFloat(m[3], 64)
		require.NoError(t, err)
		family := strings.TrimSuffix(strings.TrimSuffix(strings.TrimSuffix(m[1], "_bucket"), "_sum"), "_count")
		require.True(t, typed[family] || typed[m[1]], line)
		seen[m[1]+m[2]] = v
	}
	assert.Equal(t, 1.0, seen[`drosswise_request_duration_seconds_count{method="GET",route="/api/v1/melts",status="200"}`])
	assert.Contains(t, seen, "drosswise_melts_running")
	assert.Equal(t, 0.0, seen["drosswise_last_copy_timestamp_seconds"])
	assert.NotContains(t, res.body, "Workshop", "no names of people")
}
