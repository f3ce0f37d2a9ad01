package main

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/curve"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/store"
)

// logger is a running melt A26-001 with a token that sends readings, and the
// phone of whoever runs it.
func (s *shed) logger(t testing.TB) (*machine, *phone) {
	t.Helper()
	p := s.settled(t, habits["kg and point"])
	all := s.machine(t, "Workshop", store.ScopeAll)
	g := all.ask(post, "/api/v1/melts", `{"furnace":1,"crucible":2}`, "Idempotency-Key", "start-0001")
	require.Equal(t, http.StatusCreated, g.status, g.body)
	return s.machine(t, "Workshop", store.ScopeReadings), p
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

// RFC 8428, 5.1.2: a stream may end amid a record, a list may not.
func TestAStreamThatBreaksOffIsKeptAsFarAsItGoes(t *testing.T) {
	s := newShed(t)
	q, _ := s.logger(t)
	begin := float64(s.store.Now()) / 1000
	stream := fmt.Sprintf(`[{"bn":"probe","bt":%.3f,"bu":"Cel","v":20}, {"t":1,"v":21}, {"t":2,"v":2`, begin)
	sends(t, q, http.StatusUnprocessableEntity, toMelt, stream)
	assert.Empty(t, s.readings(t))
	for range 2 {
		g := q.ask(post, toMelt, stream, "Content-Type", "application/sensml+json; charset=utf-8")
		assert.Equal(t, http.StatusOK, g.status, g.body)
		assert.Equal(t, map[string][]string{"temperature probe": {"0.0 20", "1.0 21"}}, s.readings(t))
	}
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
	q, _ := s.logger(t)
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
	q, _ := s.logger(t)
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

// README and the document say how many readings one batch may have: as many as
// that must come in, written as JSON libraries write them.
func TestFullBatchComesIn(t *testing.T) {
	s := newShed(t)
	q, _ := s.logger(t)
	var b strings.Builder
	for i := range 5000 {
		fmt.Fprintf(&b, `, {"n": "shed:furnace/thermocouple-1", "t": %.3f, "u": "Cel", "v": %.12f}`, float64(s.store.Now())/1000-5000+float64(i), 700+math.Sin(float64(i)))
	}
	got := sends(t, q, http.StatusOK, toMelt, "["+b.String()[2:]+"]")
	assert.EqualValues(t, 5000, got["stored"])
	assert.Equal(t, http.StatusRequestEntityTooLarge, q.ask(post, toMelt, "["+strings.Repeat(" ", maxReadings)+"]", "Content-Type", "application/senml+json").status)
}

// A key stands for one batch, whether or not its times hang on when it came.
func TestAKeyOfReadingsStandsForOneBatch(t *testing.T) {
	s := newShed(t)
	q, _ := s.logger(t)
	key := func(n int) []string { return []string{"Idempotency-Key", fmt.Sprintf("batch-%04d", n)} }
	timed := fmt.Sprintf(`[{"n":"a","u":"Cel","t":%d,"v":20}]`, s.store.Now()/1000)
	loose := `[{"n":"b","u":"Cel","t":-5,"v":20}]`
	clock := toMelt + "?clock=" + s.store.Now().Time().Add(time.Second).UTC().Format(time.RFC3339Nano) // too little to move times
	for n, one := range []struct{ path, list, other string }{
		{toMelt, timed, strings.Replace(timed, ":20}", ":21}", 1)}, {toMelt, timed, strings.Replace(timed, `"a"`, `"c"`, 1)},
		{toMelt, loose, strings.Replace(loose, ":20}", ":21}", 1)}, {toMelt, loose, strings.Replace(loose, "-5", "-6", 1)},
		{clock, strings.Replace(timed, `"a"`, `"d"`, 1), timed},
	} {
		first := sends(t, q, 200, one.path, one.list, key(n)...)
		s.pass(3300 * time.Millisecond)
		again := sends(t, q, 200, one.path, one.list, key(n)...)
		assert.Equal(t, first["stored"].(float64)+first["had"].(float64), again["had"], one.list)
		was := s.readings(t)
		refused := sends(t, q, http.StatusConflict, one.path, one.other, key(n)...)
		assert.Contains(t, refused["detail"], "This Idempotency-Key came before with other content")
		assert.Equal(t, was, s.readings(t))
	}
	assert.Contains(t, fmt.Sprint(sends(t, q, 422, toMelt, timed, "Idempotency-Key", "short")["errors"]), "header.Idempotency-Key")
}

// A logger whose clock stands still in another hour says what it shows.
func TestReadingsOfAClockThatIsOff(t *testing.T) {
	s := newShed(t)
	q, _ := s.logger(t)
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
	q, _ := s.logger(t)
	now := s.store.Now() / 1000
	for list, sentence := range map[string]string{
		``:                                      "square brackets",
		`{}`:                                    "square brackets",
		`[]`:                                    "No record is a reading",
		`[{"n":"a","u":"Cel","v":1},{"v":"x"}]`: "Record 2",
		`[{"n":"a","u":"lm","v":1}]`:            "No record is a reading",
		fmt.Sprintf(`[{"n":"a","u":"Cel","t":%d,"v":1}]`, now-8*24*3600):            "more than a week",
		`[{"n":"a","u":"Cel","t":1.7e12,"v":1}]`:                                    "not in milliseconds",
		`[` + strings.Repeat(`{"n":"a","u":"W","v":1},`, 5000) + `{"n":"a","v":1}]`: "more than 5000",
	} {
		g := q.ask(post, toMelt, list, "Content-Type", "application/senml+json", "Idempotency-Key", "batch-0001")
		assert.GreaterOrEqual(t, g.status, 400, list)
		assert.Less(t, g.status, 500, list)
		assert.Equal(t, "application/problem+json", g.header.Get("Content-Type"))
		if list != "" { // without a body it does not come so far
			assert.Contains(t, g.body, sentence)
		}
	}
	for _, kind := range []string{"text/xml", "application/x-www-form-urlencoded", "senml", "application/senml+cbor"} {
		g := q.ask(post, toMelt, fmt.Sprintf(`[{"n":"a","u":"Cel","t":%d,"v":20}]`, now), "Content-Type", kind)
		assert.Equal(t, http.StatusUnsupportedMediaType, g.status, kind)
		assert.Equal(t, "application/problem+json", g.header.Get("Content-Type"))
		assert.Contains(t, g.body, "application/senml+json")
	}
	assert.Empty(t, s.readings(t))
	sends(t, q, 404, "/api/v1/melts/Z99-999/readings", `[{"n":"a","u":"Cel","v":1}]`, "Idempotency-Key", "batch-0001")
	g := q.ask(get, toMelt, "")
	assert.Equal(t, http.StatusForbidden, g.status, "a token for readings sends and does not read")
}

// curved fills a melt with readings of a metal's temperature and a plug's power,
// n each, one a second, ending now.
func curved(t testing.TB, s *shed, code melt.Code, n int) {
	ctx := context.Background()
	now := s.store.Now()
	var temp, power []curve.Sample
	for i := range n {
		at := now - quantity.Moment(n-1-i)*1000
		share := float64(i) / float64(n)
		temp = append(temp, curve.Sample{At: at, Value: int64(20_00 + 700_00*math.Sin(share*math.Pi/2))})
		power = append(power, curve.Sample{At: at, Value: 1_500_000 * int64(i/60%2)})
	}
	for c, all := range map[curve.Channel][]curve.Sample{curve.Temperature: temp, curve.Power: power} {
		sent := store.Sending{Series: []store.Sent{{Series: curve.Series{Channel: c, Name: "shed:" + string(c), Samples: all}}}}
		_, err := s.store.AddReadings(ctx, 1, code, sent, now)
		require.NoError(t, err)
	}
}

func TestPageOfAMeltShowsItsReadings(t *testing.T) {
	s := newShed(t)
	_, p := s.logger(t)
	assert.NotContains(t, p.open("/melts/A26-001").body, "<h2>Readings</h2>")
	curved(t, s, "A26-001", 7200)
	page := p.open("/melts/A26-001")
	assert.Contains(t, page.body, "Readings</h2>")
	assert.Equal(t, 2, strings.Count(page.body, `<path class="course"`))
	text := page.text()
	// 1500 W every other minute of two hours but the last second's: 1.5 kWh.
	assert.Regexp(t, `Energy 1\.50\d* ± 0\.00\d+ kWh power of shed:power over time`, text)
	assert.Contains(t, text, "Fastest heating")
	assert.Contains(t, text, "Above 600 °C")

	struck := strings.Count(page.body, `/series/`)
	assert.Equal(t, 2, struck)
	p.save(page.form(t, "/melts/A26-001/series/2/strike"))
	page = p.open("/melts/A26-001")
	assert.Equal(t, 1, strings.Count(page.body, `<path class="course"`))
	p.save(page.form(t, "/melts/A26-001/series/2/lift"))
	assert.Equal(t, 2, strings.Count(p.open("/melts/A26-001").body, `<path class="course"`))
}

// TestProgramIsToldWhatReadingsComeTo holds what a program is told to what the
// page shows of the same readings, and to what they were made of.
func TestProgramIsToldWhatReadingsComeTo(t *testing.T) {
	s := newShed(t)
	s.logger(t)
	c := s.client(t, store.ScopeRead)
	path := "/api/v1/melts/A26-001/curve"
	none := c.asks(200, get, path, "")
	assert.Nil(t, none["from"])
	assert.Nil(t, none["energy"])
	c.asks(404, get, "/api/v1/melts/Z99-001/curve", "")

	curved(t, s, "A26-001", 7200)
	h, err := s.store.Heading(t.Context(), "A26-001")
	require.NoError(t, err)
	// A meter beside the plug that counted 1.6 kWh, with an hour in which it said nothing.
	now := s.store.Now()
	var counted []curve.Sample
	for i := range 120 {
		if i < 30 || i > 90 {
			counted = append(counted, curve.Sample{At: now - quantity.Moment(119-i)*60_000, Value: int64(1_600 * 3_600 * float64(i) / 119)})
		}
	}
	_, err = s.store.AddReadings(t.Context(), 1, "A26-001", store.Sending{Series: []store.Sent{{Series: curve.Series{Channel: curve.Energy, Name: "meter", Samples: counted}}}}, now)
	require.NoError(t, err)
	_, err = s.store.MakeCurve(t.Context(), h.ID)
	require.NoError(t, err)

	told := c.asks(200, get, path, "")
	energy := told["energy"].(map[string]any)
	assert.Equal(t, "counter", energy["by"])
	assert.InDelta(t, 1.6, energy["energy_kwh"], 0.001)
	// 1500 W every other minute of two hours but the last second's: 1.5 kWh.
	other := told["other_energies"].([]any)[0].(map[string]any)
	assert.Equal(t, "power", other["by"])
	assert.InDelta(t, 1.5, other["energy_kwh"], 0.01)
	assert.Positive(t, other["energy_u_kwh"])
	heat := told["heats"].([]any)[0].(map[string]any)
	assert.InDelta(t, 720, heat["hottest_c"], 0.1)
	// The sine rises fastest at its start: 700 K times pi/2 over two hours.
	assert.InDelta(t, 700*math.Pi/2/2, heat["fastest"].(map[string]any)["rate_k_per_h"], 5)
	// Above 600 °C from where the sine is 580/700.
	assert.InDelta(t, 7200*(1-math.Asin(580.0/700)/(math.Pi/2)), heat["stays"].([]any)[0].(map[string]any)["seconds"], 5)
	for _, one := range told["sensors"].([]any) {
		if sensor := one.(map[string]any); sensor["name"] == "meter" {
			doubt := sensor["doubts"].([]any)[0].(map[string]any)
			assert.Equal(t, "gap", doubt["kind"])
			assert.InDelta(t, 3600, doubt["lasted_s"], 120)
			assert.Contains(t, doubt["says"], "Nothing was read for")
		}
	}
	assert.Len(t, told["sensors"], 3)
	assert.Contains(t, fmt.Sprint(told["sensors"]), "name:meter")
	assert.Equal(t, h.At.Time().UTC().Format("2006-01-02"), told["from"].(string)[:10])
}

// What comes later is in the curve without anybody waiting for it.
func TestCurvesFollowTheReadings(t *testing.T) {
	s := newShed(t)
	q, _ := s.logger(t)
	h, err := s.store.Heading(context.Background(), "A26-001")
	require.NoError(t, err)
	for n := range 2 {
		sends(t, q, 200, toMelt, fmt.Sprintf(`[{"n":"a","u":"Cel","t":%d,"v":20},{"n":"a","u":"Cel","t":%d,"v":21}]`, int64(s.store.Now()/1000)-10, int64(s.store.Now()/1000)-int64(n)))
		require.Eventually(t, func() bool {
			report, _, made, old, err := s.store.Curve(context.Background(), h.ID)
			return err == nil && made && !old && report.Curves[0].Count == 2+n
		}, 10*time.Second, 20*time.Millisecond)
	}
}

// BenchmarkCurvePage times the page of a melt with 100,000 readings from the
// request to the last byte, and making what it shows anew.
//
//	go test ./server -run '^$' -bench CurvePage
func BenchmarkCurvePage(b *testing.B) {
	s := newShed(b)
	_, p := s.logger(b)
	curved(b, s, "A26-001", 50_000)
	h, err := s.store.Heading(context.Background(), "A26-001")
	require.NoError(b, err)
	_, err = s.store.MakeCurve(context.Background(), h.ID)
	require.NoError(b, err)
	b.Run("page", func(b *testing.B) {
		for b.Loop() {
			if g := p.do(get, "/melts/A26-001", nil); g.status != http.StatusOK {
				b.Fatal(g.status)
			}
		}
	})
	b.Run("made-anew", func(b *testing.B) {
		for b.Loop() {
			if _, err := s.store.MakeCurve(context.Background(), h.ID); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkReadingsSent sends batches of 100 over the API on one connection, one
// after another, from the request to the answer, which comes when all are on disk.
//
//	go test ./server -run '^$' -bench ReadingsSent -benchtime 10000x
func BenchmarkReadingsSent(b *testing.B) {
	s := newShed(b)
	q, _ := s.logger(b)
	at := int64(s.store.Now()/1000) - 3600
	n := 0
	var list strings.Builder
	for b.Loop() {
		list.Reset()
		fmt.Fprintf(&list, `[{"bn":"shed:metal","bu":"Cel","bt":%d}`, at)
		for range 100 {
			fmt.Fprintf(&list, `,{"t":%.3f,"v":%.2f}`, float64(n)/1000, 20+float64(n%70000)/100)
			n++
		}
		list.WriteString("]")
		if g := q.ask(post, toMelt, list.String(), "Content-Type", "application/senml+json"); g.status != http.StatusOK {
			b.Fatal(g.status, g.body)
		}
	}
	b.ReportMetric(float64(100*b.N)/b.Elapsed().Seconds(), "readings/s")
}
