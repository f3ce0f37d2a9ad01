package store

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	sqlite "modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// CargoFault is one thing that is wrong with a shop's folder.
type CargoFault struct {
	File     string
	Row      int    // as a spreadsheet program counts them, the heading being 1; 0 for the whole file
	Column   string // its heading; "" for the whole row
	Cell     string // what stands there
	Sentence string // what is wrong and what to do
}

// CargoHeld counts rows of a file that could not be checked, since what they
// belong to in another was not read.
type CargoHeld struct {
	File  string
	Rows  int
	Cause string // the other file, or the same
}

// mostFaults is how many faults are listed; the rest are counted.
const mostFaults = 1000

// CargoFaults is the error of a shop's folder that is not taken in.
type CargoFaults struct {
	Listed []CargoFault
	Held   []CargoHeld // what follows from the faults, and is none by itself
	all    int
}

// All is how many faults there are, with those that are not listed.
func (f *CargoFaults) All() int { return f.all }

func (f *CargoFaults) Error() string {
	if f.all == 1 {
		return "1 fault"
	}
	return fmt.Sprintf("%d faults", f.all)
}

func (f *CargoFaults) add(one CargoFault) {
	f.all++
	if len(f.Listed) < mostFaults {
		if cell := []rune(one.Cell); len(cell) > 40 {
			one.Cell = string(cell[:40]) + "…"
		}
		f.Listed = append(f.Listed, one)
	}
}

// hold counts a row of a table that cannot be checked because of another table.
func (f *CargoFaults) hold(table, cause string) {
	i := slices.IndexFunc(f.Held, func(h CargoHeld) bool { return h.File == table+".csv" && h.Cause == cause+".csv" })
	if i < 0 {
		i, f.Held = len(f.Held), append(f.Held, CargoHeld{File: table + ".csv", Cause: cause + ".csv"})
	}
	f.Held[i].Rows++
}

// broken is the rule of the database that a row breaks; code is 0 for failures of
// another kind.
func broken(err error) (code int, rule string) {
	var e *sqlite.Error
	if !errors.As(err, &e) || e.Code()&0xff != sqlite3.SQLITE_CONSTRAINT {
		return 0, ""
	}
	text := e.Error()
	if i := strings.LastIndex(text, " ("); i > 0 { // the code's number
		text = text[:i]
	}
	if i := strings.LastIndex(text, "failed: "); i >= 0 {
		rule = text[i+len("failed: "):]
	}
	return e.Code(), rule
}

// refusedBy says what the rules of the database have against a row.
func refusedBy(code int, rule string, table cargoTable) (about cargoColumn, sentence string) {
	switch code {
	case sqlite3.SQLITE_CONSTRAINT_UNIQUE, sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY, sqlite3.SQLITE_CONSTRAINT_ROWID:
		return table.twice(rule)
	}
	if about, sentence, ok := table.rule(rule); ok {
		return about, sentence
	}
	return cargoColumn{}, "Something in this row may not be so. columns.txt says what each column holds: compare it with that, or with the row as it was exported."
}

// twice says that a row has what only one may have, beside the last of the
// columns that together may be there once.
func (c cargoTable) twice(rule string) (about cargoColumn, sentence string) {
	var names []string
	for _, name := range strings.Split(rule, ", ") {
		if col, ok := c.column(strings.TrimPrefix(name, c.name+".")); ok {
			about = col
			names = append(names, col.heading())
		}
	}
	if len(names) < 2 {
		return about, "Another row has the same. Each may be there once: take one of them out, or change it."
	}
	last := len(names) - 1
	return about, "Another row has the same " + strings.Join(names[:last], ", ") + " and " + names[last] + ". Together they may be there once: take one of the rows out, or change it."
}
