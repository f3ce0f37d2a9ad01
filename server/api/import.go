package api

import (
	"time"

	"drosswise/foundry/notebook"
)

// OldNotes is a table of old melts as a program sends it.
type OldNotes struct {
	File      string            `json:"file" form:"file" minLength:"1" maxLength:"120" doc:"What it is called."`
	Text      string            `json:"text" minLength:"1" doc:"The table, a melt in each row, with commas, semicolons or tabs between the cells."`
	Columns   map[string]string `json:"columns,omitempty" doc:"What each column is, by its name in the table: date, time, number, furnace, crucible, element, probe, scrap, charged, scrap2, charged2, scrap3, charged3, heel_in, energy, meter_from, meter_to, temp, count, ingots, spill, dross, steel, heel_out, cost or note. Columns that are not named are left out. Without this they are matched by their names, or as the last table with the same columns was."`
	Delimiter string            `json:"delimiter,omitempty" form:"delimiter" enum:"comma,semicolon,tab" doc:"Found out when it is left out."`
	Order     string            `json:"order,omitempty" form:"order" enum:"day,month,serial" doc:"What dates have first, or serial for days counted, as spreadsheet programs keep dates; found out when it is left out."`
	Mark      string            `json:"mark,omitempty" form:"mark" enum:"point,comma" doc:"The decimal mark; found out when it is left out."`
	Mass      string            `json:"mass,omitempty" form:"mass" enum:"kg,g,lb" doc:"Unit of masses whose cell and heading name none; kg when it is left out."`
	Degrees   string            `json:"degrees,omitempty" form:"degrees" enum:"C,F" doc:"Unit of temperatures whose cell and heading name none; C when it is left out."`
	Furnace   int64             `json:"furnace,omitempty" form:"furnace" doc:"Number of the furnace of rows that name none."`
	Crucible  int64             `json:"crucible,omitempty" form:"crucible" doc:"Number of the crucible of rows that name none."`
	Element   int64             `json:"element,omitempty" form:"element" doc:"Number of the element set of rows that name none."`
	Probe     int64             `json:"probe,omitempty" form:"probe" doc:"Number of the thermocouple of rows that name none."`
	Scale     int64             `json:"scale,omitempty" form:"scale" doc:"Number of the scale. Without one every mass counts as told by eye."`
	Sure      bool              `json:"sure,omitempty" form:"sure" doc:"The rows that are doubted are right."`
	Look      bool              `json:"look,omitempty" doc:"Only say what the rows would become."`
}

// Import is melts that were brought in together.
type Import struct {
	ID     int64     `json:"id"`
	At     time.Time `json:"at"`
	By     int64     `json:"by" doc:"Number of the person."`
	File   string    `json:"file"`
	Melts  int       `json:"melts" doc:"How many."`
	Struck *Struck   `json:"struck"`
}

// Imports are all imports, the newest first.
type Imports struct {
	Imports []Import `json:"imports" nullable:"false"`
}

// Imported is what became of a table.
type Imported struct {
	Import *Import  `json:"import" doc:"null when nothing new came in."`
	Rows   []OldRow `json:"rows" nullable:"false"`
}

// OldRow is what became of a row.
type OldRow struct {
	Line   int       `json:"line" doc:"Where it starts in the file, counted from 1."`
	State  string    `json:"state" enum:"in,new,out" doc:"in: it is a melt. new: it would become one. out: it stays out."`
	Code   string    `json:"code,omitempty" doc:"Of the melt."`
	Faults []OldSaid `json:"faults,omitempty" nullable:"false" doc:"Why it stays out."`
	Doubts []OldSaid `json:"doubts,omitempty" nullable:"false" doc:"It comes in with sure."`
	Kept   []OldSaid `json:"kept,omitempty" nullable:"false" doc:"What is kept in the note as words."`
}

// OldSaid is a sentence on a cell.
type OldSaid struct {
	Column   string `json:"column,omitempty" doc:"Absent for the row as a whole."`
	Sentence string `json:"sentence"`
}

// OldRowOf tells a draft, with the code of its melt if it is one.
func OldRowOf(d notebook.Draft, code string) OldRow {
	told := OldRow{Line: d.Row, State: "new", Code: code, Faults: said(d.Faults), Doubts: said(d.Doubts), Kept: said(d.Kept)}
	switch {
	case code != "":
		told.State = "in"
	case len(d.Faults) > 0:
		told.State = "out"
	}
	return told
}

func said(all []notebook.Said) []OldSaid {
	var told []OldSaid
	for _, s := range all {
		told = append(told, OldSaid{s.Column, s.Sentence})
	}
	return told
}

// ImportedMelts are an import and its melts.
type ImportedMelts struct {
	Import
	Codes []string `json:"codes" nullable:"false" doc:"Of its melts, in order."`
}
