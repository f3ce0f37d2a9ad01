// Package logfile makes readings of the table that a data logger or a plug meter
// wrote: somebody says which column is the time and what the others are of, and
// it says what each cell becomes and what is passed over. It reads no file and
// stores nothing.
package logfile

import (
	"slices"
	"strings"
	"unicode"

	"drosswise/foundry/curve"
	"drosswise/foundry/quantity"
	"drosswise/foundry/table"
)

// Field is what a column of a logger can be.
type Field string

// The fields. A column that is none is left out.
const (
	LeftOut       Field = ""
	Date          Field = "date" // with or without the time of day
	Clock         Field = "clock"
	Seconds       Field = "s"
	Minutes       Field = "min"
	Hours         Field = "h"
	Lapse         Field = "hms"
	UnixSeconds   Field = "unix_s"
	UnixMillis    Field = "unix_ms"
	Celsius       Field = "C"
	Fahrenheit    Field = "F"
	Kelvin        Field = "K"
	Watts         Field = "W"
	Kilowatts     Field = "kW"
	WattHours     Field = "Wh"
	KilowattHours Field = "kWh"
	Volts         Field = "V"
	Millivolts    Field = "mV"
	Amperes       Field = "A"
	Milliamperes  Field = "mA"
)

// Spec says what a field is.
type Spec struct {
	Field   Field
	Label   string
	Channel curve.Channel // "" for what says when
	unit    string        // of a bare number, as package quantity reads it
}

var specs = []Spec{
	{Date, "Date, with or without the time", "", ""},
	{Clock, "Time of day", "", ""},
	{Seconds, "Seconds since the start", "", ""},
	{Minutes, "Minutes since the start", "", ""},
	{Hours, "Hours since the start", "", ""},
	{Lapse, "Time since the start, h:mm:ss or m:ss", "", ""},
	{UnixSeconds, "Seconds since 1970 (Unix time)", "", ""},
	{UnixMillis, "Milliseconds since 1970", "", ""},
	{Celsius, "Temperature, °C", curve.Temperature, "°C"},
	{Fahrenheit, "Temperature, °F", curve.Temperature, "°F"},
	{Kelvin, "Temperature, K", curve.Temperature, "K"},
	{Watts, "Power, W", curve.Power, "W"},
	{Kilowatts, "Power, kW", curve.Power, "kW"},
	{WattHours, "Meter that counts up, Wh", curve.Energy, "Wh"},
	{KilowattHours, "Meter that counts up, kWh", curve.Energy, "kWh"},
	{Volts, "Volts", curve.Voltage, "V"},
	{Millivolts, "Volts, in mV", curve.Voltage, "mV"},
	{Amperes, "Amps", curve.Current, "A"},
	{Milliamperes, "Amps, in mA", curve.Current, "mA"},
}

// Specs are all fields, those that say when first.
func Specs() []Spec { return specs }

// SpecOf gives the spec of a field; ok is false for none.
func SpecOf(f Field) (s Spec, ok bool) {
	i := slices.IndexFunc(specs, func(s Spec) bool { return s.Field == f })
	if i < 0 {
		return Spec{}, false
	}
	return specs[i], true
}

// since reports whether the field counts from a start that the file does not say.
func (f Field) since() bool { return f == Seconds || f == Minutes || f == Hours || f == Lapse }

// unix reports whether the field counts from 1970.
func (f Field) unix() bool { return f == UnixSeconds || f == UnixMillis }

// named are the words in a heading that tell what a column is, units before the
// names of quantities. The words are those that come to mind in English, German,
// French and Spanish: from memory.
var named = []struct {
	field Field
	words []string
}{
	{KilowattHours, []string{"kwh"}},
	{WattHours, []string{"wh"}},
	{Kilowatts, []string{"kw"}},
	{Watts, []string{"w", "watt", "watts"}},
	{Millivolts, []string{"mv"}},
	{Volts, []string{"v", "volt", "volts"}},
	{Milliamperes, []string{"ma"}},
	{Amperes, []string{"a", "amp", "amps", "ampere", "amperes"}},
	{Fahrenheit, []string{"°f", "f", "fahrenheit", "degf"}},
	{Kelvin, []string{"kelvin"}},
	{Celsius, []string{"°c", "c", "celsius", "degc"}},
	{Celsius, []string{"temperature", "temp", "temperatur", "température", "temperatura", "thermocouple", "probe", "t1", "t2", "t3", "t4", "tc1", "tc2"}},
	{KilowattHours, []string{"energy", "energie", "énergie", "energía", "total"}},
	{Watts, []string{"power", "leistung", "puissance", "potencia"}},
	{Volts, []string{"voltage", "spannung", "tension", "tensión"}},
	{Amperes, []string{"current", "strom", "courant", "corriente"}},
}

// timely are the words in a heading that say that the column is a time.
var timely = []string{"time", "date", "timestamp", "datetime", "datum", "zeit", "uhrzeit", "zeitstempel", "heure", "fecha", "hora", "elapsed", "when", "clock", "seconds", "minutes", "hours", "s", "sec", "min", "ms", "unix", "epoch", "ts"}

func tokens(heading string) []string {
	return strings.FieldsFunc(strings.ToLower(heading), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '°'
	})
}

// Guess matches the columns by their headings, and what says when by its cells.
func Guess(t table.Table, s quantity.Style) Match {
	m := Match{Columns: map[string]Field{}}
	dated, clocked, counted := false, false, false
	for i, c := range t.Columns {
		words := tokens(c)
		saysTime := t.Titled && slices.ContainsFunc(words, func(w string) bool { return slices.Contains(timely, w) })
		switch f := timeField(t.Column(i), words); {
		case !saysTime && (t.Titled || f != Date):
		case f == Date && !dated:
			m.Columns[c], dated = f, true
		case f == Clock && !clocked:
			m.Columns[c], clocked = f, true
		case (f.since() || f.unix()) && !dated && !clocked && !counted:
			m.Columns[c], counted = f, true
		}
		if saysTime || !t.Titled {
			continue
		}
		for _, n := range named {
			if slices.ContainsFunc(words, func(w string) bool { return slices.Contains(n.words, w) }) {
				if m.Columns[c] = n.field; n.field == Celsius && s.Fahrenheit && !slices.ContainsFunc(words, func(w string) bool { return slices.Contains([]string{"°c", "c", "celsius", "degc"}, w) }) {
					m.Columns[c] = Fahrenheit
				}
				break
			}
		}
	}
	if dated || clocked { // what counts beside them is not needed
		for c, f := range m.Columns {
			if f.since() || f.unix() {
				delete(m.Columns, c)
			}
		}
	}
	return m
}

// timeField is what the first cells of a column are, read as times.
func timeField(cells, heading []string) Field {
	for _, cell := range cells {
		if cell == "" {
			continue
		}
		for _, o := range []table.Order{table.DayFirst, table.MonthFirst} {
			if _, _, err := table.Moment(cell, o, quantity.Style{}); err == nil {
				return Date
			}
		}
		if x, err := number(cell, table.Point); err == nil {
			has := func(all ...string) bool {
				return slices.ContainsFunc(heading, func(w string) bool { return slices.Contains(all, w) })
			}
			switch {
			case has("date", "datetime", "timestamp", "datum", "fecha") && table.GuessOrder(cells).Is == table.Serial:
				return Date
			case x > 1e12:
				return UnixMillis
			case x > 1e9:
				return UnixSeconds
			case has("min", "minutes"):
				return Minutes
			case has("h", "hours"):
				return Hours
			}
			return Seconds
		}
		if slices.Contains(heading, "elapsed") {
			if _, err := lapse(cell); err == nil {
				return Lapse
			}
		}
		if _, err := table.Clock(cell); err == nil {
			return Clock
		}
		return LeftOut
	}
	return LeftOut
}
