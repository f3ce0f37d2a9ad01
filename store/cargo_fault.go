package store

import (
	"errors"
	"fmt"
	"regexp"
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

// mostFaults is how many faults are listed; the rest are counted.
const mostFaults = 1000

// CargoFaults is the error of a shop's folder that is not taken in.
type CargoFaults struct {
	Listed []CargoFault
	all    int
}

// All is how many faults there are, with those that are not listed.
func (f *CargoFaults) All() int { return f.all }

func (f *CargoFaults) Error() string { return fmt.Sprintf("%d faults", f.all) }

func (f *CargoFaults) add(one CargoFault) {
	f.all++
	if len(f.Listed) < mostFaults {
		if cell := []rune(one.Cell); len(cell) > 40 {
			one.Cell = string(cell[:40]) + "…"
		}
		f.Listed = append(f.Listed, one)
	}
}

// word finds the names in what the database refused.
var word = regexp.MustCompile(`[a-z_]+`)

// refusedBy says what the rules of the database have against a row; known is
// false for failures of another kind.
func refusedBy(err error, table cargoTable) (f CargoFault, known bool) {
	var e *sqlite.Error
	if !errors.As(err, &e) || e.Code()&0xff != sqlite3.SQLITE_CONSTRAINT {
		return f, false
	}
	_, rule, _ := strings.Cut(e.Error(), "failed: ")
	rule, _, _ = strings.Cut(rule, " (")
	if i := strings.LastIndex(e.Error(), " ("); i > 0 {
		_, rule, _ = strings.Cut(e.Error()[:i], "failed: ")
	}
	rule = strings.TrimPrefix(rule, table.name+".")
	for _, name := range word.FindAllString(rule, -1) {
		for _, c := range table.columns {
			if c.name == name && f.Column == "" {
				f.Column = c.heading()
			}
		}
	}
	switch e.Code() {
	case sqlite3.SQLITE_CONSTRAINT_UNIQUE, sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY, sqlite3.SQLITE_CONSTRAINT_ROWID:
		f.Sentence = "Another row has the same. Each may be there once: take one of them out, or change it."
	default:
		f.Sentence = "That is none of the values that may stand there. columns.txt says which may; the rule is " + rule + "."
	}
	return f, true
}
