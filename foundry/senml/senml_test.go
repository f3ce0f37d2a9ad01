package senml_test

import (
	"encoding/json"
	"strconv"
	"strings"
	"testing"

	"drosswise/foundry/quantity"
	"drosswise/foundry/senml"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// now is a moment at which lists are read, 2026-11-27 12:00:00 UTC.
const now = quantity.Moment(1795780800000)

var limits = senml.Limits{Records: 1000, Name: 200}

// want is a record in resolved form as the RFC writes it, a list of them in JSON.
func want(t *testing.T, list string) []senml.Record {
	t.Helper()
	var rows []struct {
		N  string
		U  string
		T  float64
		V  *float64
		Vs *string
		Vb *bool
		Vd *string
	}
	require.NoError(t, json.Unmarshal([]byte(list), &rows))
	var all []senml.Record
	for _, r := range rows {
		one := senml.Record{Name: r.N, Unit: r.U, Value: r.V, Text: r.Vs, Bool: r.Vb, Data: r.Vd, At: now, Now: true}
		if r.T != 0 {
			one.At, one.Now = quantity.Moment(r.T*1000+0.5), false
		}
		all = append(all, one)
	}
	return all
}

// The examples of RFC 8428 (August 2018), section 5.1, with what its text says
// of each. What the RFC gives in resolved form (5.1.4) stands as it is there.
func TestReadsTheExamplesOfTheRFC(t *testing.T) {
	const humid = `[{"bn":"urn:dev:ow:10e2073a01080063","bt":1.320067464e+09,"bu":"%RH","v":20},
		{"u":"lon","v":24.30621},{"u":"lat","v":60.07965},{"t":60,"v":20.3},{"u":"lon","t":60,"v":24.30622},{"u":"lat","t":60,"v":60.07965},
		{"t":120,"v":20.7},{"u":"lon","t":120,"v":24.30623},{"u":"lat","t":120,"v":60.07966},{"u":"%EL","t":150,"v":98},
		{"t":180,"v":21.2},{"u":"lon","t":180,"v":24.30628},{"u":"lat","t":180,"v":60.07967}]`
	const resolved = `[{"n":"urn:dev:ow:10e2073a01080063","u":"%RH","t":1.320067464e+09,"v":20},
		{"n":"urn:dev:ow:10e2073a01080063","u":"lon","t":1.320067464e+09,"v":24.30621},
		{"n":"urn:dev:ow:10e2073a01080063","u":"lat","t":1.320067464e+09,"v":60.07965},
		{"n":"urn:dev:ow:10e2073a01080063","u":"%RH","t":1.320067524e+09,"v":20.3},
		{"n":"urn:dev:ow:10e2073a01080063","u":"lon","t":1.320067524e+09,"v":24.30622},
		{"n":"urn:dev:ow:10e2073a01080063","u":"lat","t":1.320067524e+09,"v":60.07965},
		{"n":"urn:dev:ow:10e2073a01080063","u":"%RH","t":1.320067584e+09,"v":20.7},
		{"n":"urn:dev:ow:10e2073a01080063","u":"lon","t":1.320067584e+09,"v":24.30623},
		{"n":"urn:dev:ow:10e2073a01080063","u":"lat","t":1.320067584e+09,"v":60.07966},
		{"n":"urn:dev:ow:10e2073a01080063","u":"%EL","t":1.320067614e+09,"v":98},
		{"n":"urn:dev:ow:10e2073a01080063","u":"%RH","t":1.320067644e+09,"v":21.2},
		{"n":"urn:dev:ow:10e2073a01080063","u":"lon","t":1.320067644e+09,"v":24.30628},
		{"n":"urn:dev:ow:10e2073a01080063","u":"lat","t":1.320067644e+09,"v":60.07967}]`
	for _, c := range []struct{ section, list, is string }{
		{"5.1.1 single data point", `[{"n":"urn:dev:ow:10e2073a01080063","u":"Cel","v":23.1}]`, `[{"n":"urn:dev:ow:10e2073a01080063","u":"Cel","v":23.1}]`},
		{"5.1.2 voltage and current now", `[{"bn":"urn:dev:ow:10e2073a01080063:","n":"voltage","u":"V","v":120.1},{"n":"current","u":"A","v":1.2}]`,
			`[{"n":"urn:dev:ow:10e2073a01080063:voltage","u":"V","v":120.1},{"n":"urn:dev:ow:10e2073a01080063:current","u":"A","v":1.2}]`},
		{"5.1.2 current in each of the 5 seconds before", `[{"bn":"urn:dev:ow:10e2073a0108006:","bt":1.276020076001e+09,"bu":"A","bver":5,"n":"voltage","u":"V","v":120.1},
			{"n":"current","t":-5,"v":1.2},{"n":"current","t":-4,"v":1.3},{"n":"current","t":-3,"v":1.4},{"n":"current","t":-2,"v":1.5},{"n":"current","t":-1,"v":1.6},{"n":"current","v":1.7}]`,
			`[{"n":"urn:dev:ow:10e2073a0108006:voltage","u":"V","t":1276020076.001,"v":120.1},
			{"n":"urn:dev:ow:10e2073a0108006:current","u":"A","t":1276020071.001,"v":1.2},{"n":"urn:dev:ow:10e2073a0108006:current","u":"A","t":1276020072.001,"v":1.3},
			{"n":"urn:dev:ow:10e2073a0108006:current","u":"A","t":1276020073.001,"v":1.4},{"n":"urn:dev:ow:10e2073a0108006:current","u":"A","t":1276020074.001,"v":1.5},
			{"n":"urn:dev:ow:10e2073a0108006:current","u":"A","t":1276020075.001,"v":1.6},{"n":"urn:dev:ow:10e2073a0108006:current","u":"A","t":1276020076.001,"v":1.7}]`},
		{"5.1.3 multiple measurements", humid, resolved},
		{"5.1.4 resolved data", resolved, resolved},
		{"5.1.5 multiple data types", `[{"bn":"urn:dev:ow:10e2073a01080063:","n":"temp","u":"Cel","v":23.1},{"n":"label","vs":"Machine Room"},{"n":"open","vb":false},{"n":"nfc-reader","vd":"aGkgCg"}]`,
			`[{"n":"urn:dev:ow:10e2073a01080063:temp","u":"Cel","v":23.1},{"n":"urn:dev:ow:10e2073a01080063:label","vs":"Machine Room"},
			{"n":"urn:dev:ow:10e2073a01080063:open","vb":false},{"n":"urn:dev:ow:10e2073a01080063:nfc-reader","vd":"aGkgCg"}]`},
		// "the last record would use the Base Name from the 3rd record but the Base Time from the first"
		{"5.1.6 collection of resources", `[{"bn":"2001:db8::2/","bt":1.320078429e+09,"n":"temperature","u":"Cel","v":25.2},{"n":"humidity","u":"%RH","v":30},
			{"bn":"2001:db8::1/","n":"temperature","u":"Cel","v":12.3},{"n":"humidity","u":"%RH","v":67}]`,
			`[{"n":"2001:db8::2/temperature","u":"Cel","t":1.320078429e+09,"v":25.2},{"n":"2001:db8::2/humidity","u":"%RH","t":1.320078429e+09,"v":30},
			{"n":"2001:db8::1/temperature","u":"Cel","t":1.320078429e+09,"v":12.3},{"n":"2001:db8::1/humidity","u":"%RH","t":1.320078429e+09,"v":67}]`},
		{"5.1.7 a set point", `[{"bn":"urn:dev:ow:10e2073a01080063:"},{"n":"temp","u":"Cel","v":23.1},{"n":"heat","u":"/","v":1},{"n":"fan","u":"/","v":0}]`,
			`[{"n":"urn:dev:ow:10e2073a01080063:temp","u":"Cel","v":23.1},{"n":"urn:dev:ow:10e2073a01080063:heat","u":"/","v":1},{"n":"urn:dev:ow:10e2073a01080063:fan","u":"/","v":0}]`},
		{"5.1.7 two lights on", `[{"bt":1.320078429e+09,"bu":"/","n":"2001:db8::3","v":1},{"n":"2001:db8::4","v":1}]`,
			`[{"n":"2001:db8::3","u":"/","t":1.320078429e+09,"v":1},{"n":"2001:db8::4","u":"/","t":1.320078429e+09,"v":1}]`},
		{"5.1.7 two lights off", `[{"bt":1.320078429e+09,"bu":"/","n":"2001:db8::3","v":0.5},{"n":"2001:db8::4","v":0.5},{"n":"2001:db8::3","t":0.1,"v":0},{"n":"2001:db8::4","t":0.1,"v":0}]`,
			`[{"n":"2001:db8::3","u":"/","t":1.320078429e+09,"v":0.5},{"n":"2001:db8::4","u":"/","t":1.320078429e+09,"v":0.5},{"n":"2001:db8::3","u":"/","t":1320078429.1,"v":0},{"n":"2001:db8::4","u":"/","t":1320078429.1,"v":0}]`},
	} {
		t.Run(c.section, func(t *testing.T) {
			got, err := senml.Decode([]byte(c.list), now, limits)
			require.NoError(t, err)
			assert.Equal(t, want(t, c.is), got)
		})
	}
}

// The stream of RFC 8428 (August 2018), section 5.1.2, which ends behind a comma:
// each record may be told as soon as it is there.
func TestReadsAStreamAsFarAsItGoes(t *testing.T) {
	const stream = `[
		{"bn":"urn:dev:ow:10e2073a01080063","bt":1.320067464e+09,"bu":"%RH","v":21.2},
		{"t":10,"v":21.3}, {"t":20,"v":21.4}, {"t":30,"v":21.4}, {"t":40,"v":21.5},
		{"t":50,"v":21.5}, {"t":60,"v":21.5}, {"t":70,"v":21.6}, {"t":80,"v":21.7},
	`
	open := limits
	open.Open = true
	var is []senml.Record
	for i, v := range []float64{21.2, 21.3, 21.4, 21.4, 21.5, 21.5, 21.5, 21.6, 21.7} {
		is = append(is, senml.Record{Name: "urn:dev:ow:10e2073a01080063", Unit: "%RH", At: 1320067464000 + quantity.Moment(10000*i), Value: &v})
	}
	got, err := senml.Decode([]byte(stream), now, open)
	require.NoError(t, err)
	assert.Equal(t, is, got)

	begun := strings.Index(stream, "[") + 1
	for n := begun; n <= len(stream); n++ {
		got, err := senml.Decode([]byte(stream[:n]), now, open)
		require.NoError(t, err, "%q", stream[:n])
		assert.Len(t, got, strings.Count(stream[:n], "}"), "%q", stream[:n])
		_, err = senml.Decode([]byte(stream[:n]), now, limits)
		assert.EqualError(t, err, "The list breaks off. Send it once more.")
	}
	got, err = senml.Decode([]byte(strings.TrimRight(stream, ",\n\t ")+"]"), now, open)
	require.NoError(t, err, "a stream that was closed")
	assert.Equal(t, is, got)
	_, err = senml.Decode([]byte(`[{"n":"a","v":1},{"n":"a","v":}`), now, open)
	assert.EqualError(t, err, "Record 2: It is no JSON object.")
}

// RFC 8428, 4.1 and 4.5.3: base values and sums are added; what is below 2**28 s
// is relative to now.
func TestAddsBasesAndRelativeTimes(t *testing.T) {
	got, err := senml.Decode([]byte(`[{"bn":"plug","bt":-10,"bu":"W","bv":1000,"bs":500,"v":250,"s":4},{"t":8.5,"s":6}]`), now, limits)
	require.NoError(t, err)
	assert.Equal(t, []senml.Record{
		{Name: "plug", Unit: "W", At: now - 10000, Now: true, Value: new(1250.0), Sum: new(504.0)},
		{Name: "plug", Unit: "W", At: now - 1500, Now: true, Sum: new(506.0)},
	}, got)
	got, err = senml.Decode([]byte(`[{"n":"a","t":268435455,"v":1},{"n":"a","t":268435456,"v":1}]`), now, limits)
	require.NoError(t, err)
	assert.True(t, got[0].Now)
	assert.Equal(t, quantity.Moment(268435456000), got[1].At)
	assert.False(t, got[1].Now)
}

func TestRefusesWhatTheRFCForbids(t *testing.T) {
	for name, c := range map[string]struct {
		list   string
		record int
	}{
		"no list":               {`{"n":"a","v":1}`, 0},
		"nothing":               {``, 0},
		"broken off":            {`[{"n":"a","v":1}`, 0},
		"more behind it":        {`[{"n":"a","v":1}] [`, 0},
		"no object":             {`[{"n":"a","v":1},3]`, 2},
		"null":                  {`[null]`, 1},
		"no name":               {`[{"v":1}]`, 1},
		"a name with a space":   {`[{"n":"a b","v":1}]`, 1},
		"a name that begins -":  {`[{"n":"-a","v":1}]`, 1},
		"a name of all lengths": {`[{"n":"` + strings.Repeat("a", 201) + `","v":1}]`, 1},
		"two values":            {`[{"n":"a","v":1,"vs":"x"}]`, 1},
		"no value":              {`[{"n":"a","v":1},{"n":"a"}]`, 2},
		"a value as text":       {`[{"n":"a","v":"1"}]`, 1},
		"a value of null":       {`[{"n":"a","v":null}]`, 1},
		"a value out of range":  {`[{"n":"a","v":1e999}]`, 1},
		"a sum out of range":    {`[{"n":"a","bv":1e308,"v":1e308}]`, 1},
		"a later version":       {`[{"n":"a","bver":11,"v":1}]`, 1},
		"two versions":          {`[{"n":"a","bver":10,"v":1},{"n":"a","bver":5,"v":1}]`, 2},
		"must be understood":    {`[{"n":"a","v":1,"x_":1}]`, 1},
		"milliseconds":          {`[{"n":"a","t":1795780800000,"v":1}]`, 1},
		"before 1970":           {`[{"n":"a","t":-1e12,"v":1}]`, 1},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := senml.Decode([]byte(c.list), now, limits)
			var refused *senml.Refusal
			require.ErrorAs(t, err, &refused)
			assert.Equal(t, c.record, refused.Record)
			assert.NotEmpty(t, refused.Sentence)
		})
	}
	_, err := senml.Decode([]byte("["+strings.Repeat(`{"n":"a","v":1},`, 1000)+`{"n":"a","v":1}]`), now, limits)
	assert.ErrorContains(t, err, "more than 1000")
	got, err := senml.Decode([]byte(`[{"n":"a","v":1,"V":2,"later":[1,{}]}]`), now, limits)
	require.NoError(t, err, "labels that are not known are passed over (RFC 8428, 4.4)")
	assert.Equal(t, 1.0, *got[0].Value)
}

// FuzzDecode holds that a list is refused with a sentence or resolved, and that
// resolved records are read as what they are (RFC 8428, 4.6).
func FuzzDecode(f *testing.F) {
	for _, seed := range []string{"", "[]", `[{"n":"a","v":1}]`, `[{"bn":"x:","bt":1.7e9,"bu":"Cel","bver":10},{"n":"t","v":20.5,"t":-1},{"s":3}]`, `[{"n":"a","vb":true},{"n":"b","vd":"aGk"},{"n":"c","vs":"é"}]`, `[{"n":"a","v":1e999}]`} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		got, err := senml.Decode(body, now, limits)
		if err != nil {
			var refused *senml.Refusal
			require.ErrorAs(t, err, &refused)
			require.NotEmpty(t, refused.Sentence)
			return
		}
		for i, r := range got {
			got[i].Now = false
			if r.At < 268435456000 { // could not be written so
				return
			}
		}
		again, err := senml.Decode(written(t, got), now, limits)
		require.NoError(t, err)
		require.Equal(t, got, again)
	})
}

func written(t *testing.T, all []senml.Record) []byte {
	rows := []map[string]any{}
	for _, r := range all {
		row := map[string]any{"n": r.Name, "u": r.Unit, "t": json.Number(strconv.FormatFloat(float64(r.At)/1000, 'f', 3, 64))}
		if r.Value != nil {
			row["v"] = *r.Value
		}
		if r.Sum != nil {
			row["s"] = *r.Sum
		}
		if r.Text != nil {
			row["vs"] = *r.Text
		}
		if r.Bool != nil {
			row["vb"] = *r.Bool
		}
		if r.Data != nil {
			row["vd"] = *r.Data
		}
		rows = append(rows, row)
	}
	body, err := json.Marshal(rows)
	require.NoError(t, err)
	if len(all) == 0 {
		return []byte("[]")
	}
	return body
}
