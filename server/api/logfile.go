package api

import (
	"time"

	"drosswise/foundry/logfile"
	"drosswise/foundry/quantity"
	"drosswise/foundry/table"
)

// LogFile is a file of a logger or a plug meter as a program sends it.
type LogFile struct {
	File      string            `json:"file" form:"file" minLength:"1" maxLength:"120" doc:"What it is called."`
	Text      string            `json:"text" minLength:"1" doc:"The table as the logger wrote it, with commas, semicolons or tabs between the cells."`
	Columns   map[string]string `json:"columns,omitempty" doc:"What each column is, by its name in the table. When: date (with or without the time), clock (time of day), s, min, h or hms (since the start), unix_s or unix_ms. Readings: C, F, K, W, kW, Wh or kWh (a meter that counts up), V, mV, A, mA. Columns that are not named are left out. Without this they are matched as the last file with the same columns was, or by their names and cells; a temperature of no unit is °C then."`
	Delimiter string            `json:"delimiter,omitempty" form:"delimiter" enum:"comma,semicolon,tab" doc:"Found out when it is left out."`
	Order     string            `json:"order,omitempty" form:"order" enum:"day,month,serial" doc:"What dates have first, or serial for days counted, as spreadsheet programs keep dates; found out when it is left out."`
	Mark      string            `json:"mark,omitempty" form:"mark" enum:"point,comma" doc:"The decimal mark; found out when it is left out."`
	Start     *time.Time        `json:"start,omitempty" form:"start" doc:"From when times since the start count; when power first came on, or else the start of the melt, when it is left out."`
	Ahead     float64           `json:"clock_ahead_s,omitempty" minimum:"-316224000" maximum:"316224000" doc:"Seconds by which the logger's clock was ahead, negative for behind. The times are moved by that."`
	Look      bool              `json:"look,omitempty" doc:"Only say what the file would become."`
}

// LogTaken is what became of a logger's file, or would become of it.
type LogTaken struct {
	Stored     int               `json:"stored" doc:"New readings, on disk."`
	Had        int               `json:"had" doc:"Those that were there with the same value."`
	Other      int               `json:"other" doc:"Those of a time that has another value, which stays."`
	Columns    map[string]string `json:"columns" doc:"What each column was taken for; empty for what was left out."`
	Remembered bool              `json:"remembered" doc:"They were matched as the last file with the same columns was."`
	Order      Found             `json:"order" doc:"What dates have first; empty where there are none."`
	Mark       Found             `json:"mark" doc:"The decimal mark, point or comma."`
	Start      *time.Time        `json:"start" doc:"From when times since the start were counted; null where none do."`
	Series     []LogSeries       `json:"series" nullable:"false" doc:"By column, in the order of the table."`
	Passed     []LogPassed       `json:"passed" nullable:"false" doc:"Cells that cannot be read."`
	Outside    int               `json:"rows_outside" doc:"Rows of another time than that of the melt, which are left out."`
	Same       int               `json:"same_moment" doc:"Readings left out since the column has one of the same moment already."`
	From       *time.Time        `json:"from" doc:"The first time in the file; null where none can be read."`
	To         *time.Time        `json:"to"`
	MeltFrom   time.Time         `json:"melt_from" doc:"From when on a reading can be of this melt."`
	MeltTo     time.Time         `json:"melt_to"`
	Guess      *float64          `json:"clock_ahead_guess_s" doc:"Were the logger's clock ahead by so many seconds, all of the file would lie on the melt; null for no guess."`
	Rows       []LogRow          `json:"rows" nullable:"false" doc:"What the first rows become."`
}

// Found is something that was found out about how a file is written.
type Found struct {
	Is   string `json:"is"`
	Sure bool   `json:"sure"`
	Why  string `json:"why"`
}

// LogSeries is a column of readings.
type LogSeries struct {
	Name     string  `json:"name" doc:"Of the sensor: its column's, with a number behind it where what came under that was struck."`
	Channel  Channel `json:"channel"`
	Readings int     `json:"readings" doc:"Within the time of the melt."`
}

// LogPassed is what of a column cannot be read.
type LogPassed struct {
	Column   string `json:"column"`
	Cells    int    `json:"cells" doc:"How many."`
	Line     int    `json:"line" doc:"Of the first, in the file, counted from 1."`
	Sentence string `json:"sentence" doc:"Why the first is none."`
}

// LogRow is what a row becomes.
type LogRow struct {
	Line   int        `json:"line" doc:"Where it starts in the file, counted from 1."`
	At     *time.Time `json:"at" doc:"null where its time cannot be read."`
	Within bool       `json:"within" doc:"It is of the time of the melt."`
	Values []LogValue `json:"values" nullable:"false"`
	Faults []OldSaid  `json:"faults,omitempty" nullable:"false" doc:"What of it cannot be read, and why."`
}

// LogValue is a cell as it was read.
type LogValue struct {
	Column string  `json:"column"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit" doc:"Cel, W, J, V or A."`
}

// LogTakenOf tells what a table becomes by its match.
func LogTakenOf(t table.Table, m logfile.Match, why logfile.Reasons, d logfile.Draft, w logfile.Window) LogTaken {
	told := LogTaken{
		Columns: map[string]string{}, Series: []LogSeries{}, Passed: []LogPassed{}, Rows: []LogRow{}, Outside: d.Outside, Same: d.Same,
		Order: Found{string(why.Order.Is), why.Order.Sure, why.Order.Why}, Mark: Found{"point", why.Mark.Sure, why.Mark.Why},
		From: when(d.From), To: when(d.To), MeltFrom: moment(w.From), MeltTo: moment(w.To),
	}
	if why.Mark.Is == table.CommaMark {
		told.Mark.Is = "comma"
	}
	for _, c := range t.Columns {
		told.Columns[c] = string(m.Columns[c])
	}
	if m.Counts() {
		told.Start = when(m.Start)
	}
	for _, s := range d.Series {
		told.Series = append(told.Series, LogSeries{s.Name, Channel(s.Channel), len(s.Samples)})
	}
	for _, p := range d.Passed {
		told.Passed = append(told.Passed, LogPassed{p.Column, p.Count, p.Line, p.Sentence})
	}
	for _, p := range d.Previews {
		row := LogRow{Line: p.Line, At: when(p.At), Within: p.Within, Values: []LogValue{}}
		for _, v := range p.Values {
			row.Values = append(row.Values, LogValue{v.Column, v.Channel.Plain(v.X), v.Channel.Unit()})
		}
		for _, s := range p.Says {
			row.Faults = append(row.Faults, OldSaid{s.Column, s.Sentence})
		}
		told.Rows = append(told.Rows, row)
	}
	return told
}

// when is a moment, nil for none.
func when(m quantity.Moment) *time.Time {
	if m == 0 {
		return nil
	}
	return new(moment(m))
}
