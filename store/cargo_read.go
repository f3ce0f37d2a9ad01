package store

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// cargoReader reads the rows of a table's file, each with its cells in the
// order of the table's columns.
type cargoReader struct {
	csv   *csv.Reader
	row   int   // the one read last, the heading being 1
	order []int // where in the file each column stands
	width int   // of the file
	cells []string
}

// newCargoReader reads the heading. The faults are sentences for people; without
// a reader the table cannot be read.
func newCargoReader(file io.Reader, table cargoTable) (r *cargoReader, faults []string) {
	in := bufio.NewReader(file)
	if mark, _ := in.Peek(3); string(mark) == "\ufeff" {
		if _, err := in.Discard(3); err != nil {
			return nil, []string{cutShort}
		}
	}
	r = &cargoReader{csv: csv.NewReader(in), row: 1, cells: make([]string, len(table.columns))}
	r.csv.ReuseRecord = true
	heading, err := r.csv.Read()
	if err != nil {
		return nil, []string{"There is no heading. The first row holds the names of the columns, with commas between."}
	}
	if len(heading) == 1 && strings.ContainsAny(heading[0], ";\t") {
		return nil, []string{"The columns are not parted by commas. Save the file as CSV with commas (and decimal points)."}
	}
	heading = slices.Clone(heading)
	r.width = len(heading)
	whole := true
	for _, c := range table.columns {
		at := slices.Index(heading, c.heading())
		if at < 0 {
			whole = false
			faults = append(faults, fmt.Sprintf("The column %s is missing. Put it in, empty where it may be.", c.heading()))
		}
		r.order = append(r.order, at)
	}
	for i, name := range heading {
		if !slices.Contains(r.order, i) {
			faults = append(faults, fmt.Sprintf("The column %q belongs to nothing, and would be lost. Take it out.", shortened(name)))
		}
	}
	if !whole {
		return nil, faults
	}
	return r, faults
}

const cutShort = "The file cannot be read to its end. Pack the zip again."

// next reads a row. The cells hold until the next one. A fault is a sentence
// for people, after which nothing more is read.
func (r *cargoReader) next() (cells []string, fault string, end bool) {
	record, err := r.csv.Read()
	r.row++
	var wrong *csv.ParseError
	switch {
	case errors.Is(err, io.EOF):
		return nil, "", true
	case errors.Is(err, csv.ErrFieldCount):
		return nil, fmt.Sprintf("The row has %d cells instead of %d. From here on the file is not read.", len(record), r.width), false
	case errors.As(err, &wrong):
		return nil, "A quote stands where none may be. From here on the file is not read.", false
	case err != nil:
		return nil, cutShort, false
	}
	for i, at := range r.order {
		if !utf8.ValidString(record[at]) {
			return nil, "The file is not UTF-8. Save it as UTF-8.", false
		}
		r.cells[i] = record[at]
	}
	return r.cells, "", false
}

func shortened(name string) string {
	if runes := []rune(name); len(runes) > 40 {
		return string(runes[:40]) + "…"
	}
	return name
}
