package logfile_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"drosswise/foundry/curve"
	"drosswise/foundry/logfile"
	"drosswise/foundry/quantity"
	"drosswise/foundry/table"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var zone = func() *time.Location {
	z, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		panic(err)
	}
	return z
}()

var style = quantity.Style{Zone: zone}

// clock is a time of 3 November 2026 in the shop.
func clock(hour, minute, second int) quantity.Moment {
	return quantity.At(time.Date(2026, 11, 3, hour, minute, second, 0, zone))
}

var window = logfile.Window{Began: clock(14, 0, 0), From: clock(12, 0, 0), To: clock(22, 0, 0)}

func read(t *testing.T, body string) table.Table {
	t.Helper()
	got, err := table.Read([]byte(body), 0, table.Limits{})
	require.NoError(t, err)
	return got
}

// work reads a file as it looks.
func work(t *testing.T, body string, change func(*logfile.Match)) logfile.Draft {
	t.Helper()
	table := read(t, body)
	m := logfile.Guess(table, style)
	if change != nil {
		change(&m)
	}
	require.Empty(t, m.Check(table))
	return logfile.Work(table, m, style, window)
}

func TestReadsWhatLoggersWrite(t *testing.T) {
	temps := func(all ...int64) []curve.Sample {
		var s []curve.Sample
		for i, x := range all {
			s = append(s, curve.Sample{At: clock(14, 0, 10*i), Value: x})
		}
		return s
	}
	start := func(m *logfile.Match) { m.Start = clock(14, 0, 0) }
	for name, c := range map[string]struct {
		body   string
		change func(*logfile.Match)
	}{
		"date and time":    {"Timestamp,Temp (°C)\n2026-11-03 14:00:00,20.5\n2026-11-03 14:00:10,21\n", nil},
		"zone in the time": {"Timestamp,Temp (°C)\n2026-11-03T13:00:00Z,20.5\n2026-11-03T13:00:10Z,21\n", nil},
		"decimal comma":    {"Datum;Uhrzeit;Temperatur\n3.11.2026;14:00:00;20,5\n3.11.2026;14:00:10;21,0\n", nil},
		"time of day only": {"Time\tT1\n14:00:00\t20.5\n14:00:10\t21\n", nil},
		"month first, halves": {"Date Time,Probe\n11/3/2026 2:00:00 PM,20.5\n11/3/2026 2:00:10 PM,21\n",
			func(m *logfile.Match) { m.Order = table.MonthFirst }},
		"Unix time":         {"time,temperature\n1793710800,20.5\n1793710810,21\n", nil},
		"ts":                {"ts,temperature\n1793710800000,20.5\n1793710810000,21\n", nil},
		"Unix milliseconds": {"time,temperature\n1793710800000,20.5\n1793710810000,21\n", nil},
		"seconds":           {"Time (s),Temp\n0,20.5\n10,21\n", start},
		"minutes":           {"elapsed min,Temp\n0,20.5\n0.16666667,21\n", start},
		"h:mm:ss":           {"Elapsed,Temp\n0:00:00,20.5\n0:00:10,21\n", start},
		"Fahrenheit":        {"Time,Temp °F\n14:00:00,68.9\n14:00:10,69.8\n", nil},
		"unit in the cell":  {"Time,Temp\n14:00:00,20.5 °C\n14:00:10,294.15 K\n", nil},
		"clock an hour ahead": {"Time,Temp\n15:00:00,20.5\n15:00:10,21\n",
			func(m *logfile.Match) { m.Ahead = quantity.Hour }},
		"days counted":  {"Timestamp,Temp\n46329.5833333333,20.5\n46329.5834490741,21\n", nil},
		"figures above": {"Serial;12\nMade;2026-11-02\n\nTime;Temp;Door\n14:00:00;20.5;shut\n14:00:10;21;shut\n", nil},
		"words above":   {"Logger 7\nserial 12\n\nTime,Temp\n14:00:00,20.5\n14:00:10,21\n", nil},
	} {
		t.Run(name, func(t *testing.T) {
			d := work(t, c.body, c.change)
			require.Len(t, d.Series, 1)
			assert.Equal(t, curve.Temperature, d.Series[0].Channel)
			assert.Equal(t, temps(20_50, 21_00), d.Series[0].Samples)
			assert.Empty(t, d.Passed)
		})
	}
}

func TestKnowsEveryQuantityByItsHeading(t *testing.T) {
	d := work(t, "Time,T1 (°C),Power (kW),Energy [kWh],Voltage (V),Current (A),Relay\n14:00:00,700,1.85,12.5,231.5,8.05,on\n", nil)
	got := map[curve.Channel]int64{}
	for _, s := range d.Series {
		require.Len(t, s.Samples, 1)
		got[s.Channel] = s.Samples[0].Value
	}
	assert.Equal(t, map[curve.Channel]int64{curve.Temperature: 700_00, curve.Power: 1_850_000, curve.Energy: 45_000_000, curve.Voltage: 231_500, curve.Current: 8_050}, got)
	assert.Equal(t, "T1 (°C)", d.Series[0].Name)
}

func TestSaysWhatIsPassedOver(t *testing.T) {
	d := work(t, "Time,Temp\n14:00:00,20\n14:00:10,OPEN\n14:00:20,99999\nsoon,21\n14:00:30,\n14:00:30,22\n14:00:30,23\n23:30:00,24\n", nil)
	assert.Equal(t, []curve.Sample{{At: clock(14, 0, 0), Value: 20_00}, {At: clock(14, 0, 30), Value: 22_00}}, d.Series[0].Samples)
	require.Len(t, d.Passed, 2)
	assert.Equal(t, "Time", d.Passed[0].Column)
	assert.Equal(t, 5, d.Passed[0].Line)
	assert.Equal(t, 2, d.Passed[1].Count)
	assert.Equal(t, 3, d.Passed[1].Line)
	assert.Equal(t, 1, d.Outside)
	assert.Equal(t, 1, d.Same)
	assert.Equal(t, clock(14, 0, 0), d.From)
	assert.Equal(t, clock(23, 30, 0), d.To)
}

func TestGoesOnPastMidnight(t *testing.T) {
	w := logfile.Window{Began: clock(22, 0, 0), From: clock(20, 0, 0), To: clock(30, 0, 0)}
	table := read(t, "Time,Temp\n23:59:50,20\n00:00:10,21\n09:00:00,22\n")
	d := logfile.Work(table, logfile.Guess(table, style), style, w)
	assert.Equal(t, []curve.Sample{{At: clock(23, 59, 50), Value: 20_00}, {At: clock(24, 0, 10), Value: 21_00}}, d.Series[0].Samples)
	assert.Equal(t, 1, d.Outside)
}

func TestSaysWhatAMatchLacks(t *testing.T) {
	table := read(t, "a,b,c\n1,2,3\n")
	for name, c := range map[string]struct {
		columns []logfile.Field
		says    string
	}{
		"no time":    {[]logfile.Field{logfile.Celsius, "", ""}, "No column is the time"},
		"no reading": {[]logfile.Field{logfile.UnixSeconds, "", ""}, "No column is a reading"},
		"no start":   {[]logfile.Field{logfile.Seconds, logfile.Celsius, ""}, "count from a start"},
		"two times":  {[]logfile.Field{logfile.Date, logfile.UnixSeconds, logfile.Celsius}, "More than one column says when"},
		"same twice": {[]logfile.Field{logfile.Date, logfile.Date, logfile.Celsius}, "is that already"},
	} {
		t.Run(name, func(t *testing.T) {
			m := logfile.Match{Columns: map[string]logfile.Field{"a": c.columns[0], "b": c.columns[1], "c": c.columns[2]}}
			said := m.Check(table)
			require.Len(t, said, 1)
			assert.Contains(t, said[0].Sentence, c.says)
		})
	}
}

func TestGuessesAClockThatIsWholeHoursOff(t *testing.T) {
	first, last := clock(14, 0, 0), clock(16, 0, 0)
	for ahead := quantity.Span(-3); ahead <= 14; ahead++ {
		from, to := clock(14, 2, 0)+quantity.Moment(ahead*quantity.Hour), clock(15, 50, 0)+quantity.Moment(ahead*quantity.Hour)
		assert.Equal(t, ahead*quantity.Hour, logfile.WholeHours(from, to, first, last, 10*quantity.Minute))
	}
	assert.Zero(t, logfile.WholeHours(clock(10, 0, 0), clock(20, 0, 0), first, last, 10*quantity.Minute), "longer than the melt")
}

// FuzzWork holds that whatever is in a table, a draft has only readings within
// the window, each moment of a column once, and a sentence for what it leaves.
func FuzzWork(f *testing.F) {
	f.Add("Time,Temp\n14:00,20\n", byte(0), int64(0))
	f.Add("t;x;y\n1,5;2e3;-\n", byte(1), int64(3_600_000))
	f.Add("Elapsed,Temp\n0:00:01,1\n1:00,2\n", byte(2), int64(-1))
	f.Fuzz(func(t *testing.T, body string, turn byte, ahead int64) {
		got, err := table.Read([]byte(body), 0, table.Limits{Bytes: 1 << 14, Rows: 100, Columns: 10, Cell: 100})
		if err != nil {
			return
		}
		specs := logfile.Specs()
		m := logfile.Guess(got, style)
		m.Ahead = quantity.Span(ahead)
		if turn > 0 {
			for i, c := range got.Columns {
				m.Columns[c] = specs[(int(turn)+5*i)%len(specs)].Field
			}
			m.Start = clock(14, 0, 0)
		}
		if len(m.Check(got)) > 0 {
			return
		}
		d := logfile.Work(got, m, style, window)
		for _, s := range d.Series {
			seen := map[quantity.Moment]bool{}
			for _, x := range s.Samples {
				require.True(t, x.At >= window.From && x.At <= window.To)
				require.False(t, seen[x.At])
				seen[x.At] = true
			}
		}
		for _, p := range d.Passed {
			require.True(t, strings.HasSuffix(p.Sentence, "."), p.Sentence)
			require.Positive(t, p.Line)
		}
	})
}

// BenchmarkWork makes a draft of a hundred thousand rows.
func BenchmarkWork(b *testing.B) {
	var body strings.Builder
	body.WriteString("Timestamp,Temp (°C),Power (W)\n")
	at := time.Date(2026, 11, 3, 14, 0, 0, 0, zone)
	for i := range 100_000 {
		fmt.Fprintf(&body, "%s,%d.%d,%d\n", at.Add(time.Duration(i)*100*time.Millisecond).Format("2006-01-02 15:04:05.000"), 20+i/200, i%10, 1800+i%7)
	}
	for b.Loop() {
		got, err := table.Read([]byte(body.String()), 0, table.Limits{})
		if err != nil {
			b.Fatal(err)
		}
		d := logfile.Work(got, logfile.Guess(got, style), style, window)
		if d.Readings() != 200_000 {
			b.Fatal(d.Readings())
		}
	}
}

// On 25 October 2026 at 03:00 the clocks of Berlin are put back to 02:00
// (directive 2000/84/EC: the last Sunday in October at 01:00 UTC): a logger on
// local time writes the hour from two to three twice.
func TestTheHourThatIsShownTwice(t *testing.T) {
	from := quantity.At(time.Date(2026, 10, 24, 23, 30, 0, 0, time.UTC))
	night := logfile.Window{Began: from, From: from - quantity.Moment(quantity.Hour), To: from + 6*quantity.Moment(quantity.Hour)}
	var want []curve.Sample
	for i := range 21 { // 01:30 in summer to 03:50 in winter
		want = append(want, curve.Sample{At: from + quantity.Moment(i)*10*quantity.Moment(quantity.Minute), Value: 2000 + 100*int64(i)})
	}
	for name, layout := range map[string]string{"date and time": "2006-01-02 15:04", "date, time": "2006-01-02,15:04", "time of day": "15:04", "zone in the time": "2006-01-02T15:04:05Z07:00"} {
		head := map[bool]string{true: "Date,Time,Temp\n", false: "Time,Temp\n"}[strings.Contains(layout, ",")]
		for _, down := range []bool{false, true} {
			if down && layout == "15:04" {
				continue // which day the first row is of could not be told
			}
			body := ""
			for _, x := range want {
				row := fmt.Sprintf("%s,%d\n", x.At.Time().In(zone).Format(layout), x.Value/100)
				if body += row; down {
					body = row + strings.TrimSuffix(body, row)
				}
			}
			read := read(t, head+body)
			d := logfile.Work(read, logfile.Guess(read, style), style, night)
			require.Len(t, d.Series, 1, name)
			assert.Zero(t, d.Same, name)
			assert.ElementsMatch(t, want, d.Series[0].Samples, "%s, newest first %v", name, down)
		}
	}
}
