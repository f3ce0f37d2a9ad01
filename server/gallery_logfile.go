package main

import (
	"strings"

	"drosswise/foundry/logfile"
	"drosswise/foundry/quantity"
	"drosswise/foundry/table"
	"drosswise/views"
)

// logFileScenes are the pages through which a logger's file comes in.
func logFileScenes() []scene {
	m := galleryMelt(closedLines())
	file := views.OldFile{Key: "gallery", File: "thermocouple 3 November.csv", At: galleryNow, Who: "Workshop"}
	window := logWindow(m.Heading, m.Lines, galleryNow)
	match := func(body string, change func(*views.LogMatch)) views.LogMatch {
		t, err := table.Read([]byte(body), 0, logLimits)
		if err != nil {
			panic(err) // the gallery's own file
		}
		s := quantity.Style{}
		p := views.LogMatch{Melt: m, File: file, FormKey: "gallery-log", Table: t, Match: logfile.Guess(t, s), Window: window}
		p.Match.Start = m.Heading.At
		if change != nil {
			change(&p)
		}
		p.Typed.Values = logTyped(p.Match, s)
		p.Why = logfile.Because(t, p.Match, s)
		if p.Wrong = p.Match.Check(t); len(p.Wrong) == 0 {
			p.Draft = logfile.Work(t, p.Match, s, window)
		}
		return p
	}
	long := strings.Repeat("thermocouple in the lid beside the bore ", 3)
	many := views.LogFiles{Melt: m, Waiting: []views.OldFile{file, {Key: "long", File: strings.Repeat("long name of a file ", 6) + ".csv", At: galleryNow, Who: "Workshop"}}}
	return []scene{
		{"log-files/empty", "Readings from a file", views.LogFiles{Melt: m}.Page},
		{"log-files/many", "Readings from a file, some wait", many.Page},
		{"log-files/refused", "Readings from a file, refused", views.LogFiles{Melt: m, Fault: "Choose the file first."}.Page},
		{"log-files/matched", "A logger's file, matched", match("Time;T1 (°C);Plug (W)\n14:20:00;20,5;1930\n14:20:10;21,0;1925\n", nil).Page},
		{"log-files/doubts", "A logger's file with much left out", match("Time,"+long+" °C,Relay\n04:20:00,20.5,on\n14:20:10,OPEN,on\n14:20:10,21,on\n14:20:10,22,on\nsoon,23,on\n", func(p *views.LogMatch) {
			p.Renamed = map[string]string{p.Table.Columns[1]: p.Table.Columns[1] + " (2)"}
			p.Guess, p.Remembered = -10*quantity.Hour, true
		}).Page},
		{"log-files/start", "A logger's file whose times count from the start", match("Elapsed s,T1\n0,20\n10,21\n", nil).Page},
		{"log-files/unmatched", "A logger's file that nothing fits", match("a,b\nred,blue\n", nil).Page},
	}
}
