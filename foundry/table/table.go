// Package table reads delimited text as spreadsheets, loggers and people write
// it: which encoding, which delimiter, where the headings are, which decimal
// mark and which order of day and month is found out and said, with why. It
// knows nothing of what the columns mean and does no I/O.
package table

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
)

// Limits are what a file may have at most. A zero is no limit.
type Limits struct {
	Bytes   int
	Rows    int // beside the headings
	Columns int
	Cell    int // bytes of one cell
}

// Table is a file read into cells. Every row has a cell for every column.
type Table struct {
	Encoding  Guess[Encoding]
	Delimiter Guess[Delimiter]
	Titled    bool     // the columns are named by a row of the file
	Columns   []string // what they are called, "Column 3" where the file does not say; no two alike
	Rows      []Row
}

// Row is a row with something in it.
type Row struct {
	Line  int      // where it starts in the file, counted from 1
	Cells []string // without the space around them
	Extra []string // cells beyond the last column that are not blank, nil as a rule
}

// Guess is something that a file does not say and that was found out.
type Guess[T comparable] struct {
	Is   T
	Sure bool   // nothing in the file speaks for anything else
	Why  string // a sentence on what speaks for it
}

// Delimiter is what stands between two cells.
type Delimiter rune

// The delimiters that are known.
const (
	Tab       Delimiter = '\t'
	Semicolon Delimiter = ';'
	Comma     Delimiter = ','
)

// String names the delimiter.
func (d Delimiter) String() string {
	switch d {
	case Tab:
		return "tab"
	case Semicolon:
		return "semicolon"
	case Comma:
		return "comma"
	}
	return "none"
}

// end is put behind the last row. A file has no zero bytes, so if the last row
// read is another, a quotation mark has swallowed it.
const end = "\x00"

// Read reads a file. delimiter is the one to use, 0 to find it out. Errors are
// of type [*Refusal].
func Read(body []byte, delimiter Delimiter, l Limits) (Table, error) {
	if l.Bytes > 0 && len(body) > l.Bytes {
		return Table{}, refuse(0, fmt.Sprintf("The file is larger than %s. Split it in the spreadsheet program, by year for example, and send the parts one after another.", size(l.Bytes)))
	}
	var t Table
	var text []byte
	var err error
	if text, t.Encoding, err = decode(body); err != nil {
		return Table{}, err
	}
	text, skipped, said := cutSep(text)
	switch {
	case delimiter != 0:
		t.Delimiter = Guess[Delimiter]{delimiter, true, "You chose it."}
	case said != 0:
		t.Delimiter = Guess[Delimiter]{said, true, "The first line of the file says so."}
	default:
		t.Delimiter = guessDelimiter(text)
	}
	rows, err := cells(text, t.Delimiter.Is, skipped, l)
	if err != nil {
		return Table{}, err
	}
	return t, t.lay(rows, l)
}

// cells splits the text into its rows; those with nothing in them are left out.
func cells(text []byte, d Delimiter, skipped int, l Limits) ([]Row, error) {
	r := reader(io.MultiReader(bytes.NewReader(text), strings.NewReader("\n"+end)), d)
	var rows []Row
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			return nil, refuse(0, "The file could not be read as rows and cells. Open it in a spreadsheet program, save it as CSV and send that.")
		}
		line, _ := r.FieldPos(0)
		line += skipped
		last := record[len(record)-1]
		if rest, ok := strings.CutSuffix(last, end); ok && (rest != "" || len(record) > 1) {
			open, _ := r.FieldPos(len(record) - 1)
			return nil, refuse(open+skipped, "A quotation mark opens here and nothing closes it. Close it or take it out, and send the file again.")
		} else if ok {
			continue
		}
		row := Row{Line: line, Cells: record}
		if err := row.trim(l); err != nil {
			return nil, err
		}
		if len(row.Cells) == 0 {
			continue
		}
		if rows = append(rows, row); l.Rows > 0 && len(rows) > l.Rows+mostPreamble {
			return nil, tooManyRows(l)
		}
	}
}

// reader reads rows of any length, and takes a quotation mark in the midst of a
// cell for what it is, as in 5" rim.
func reader(r io.Reader, d Delimiter) *csv.Reader {
	c := csv.NewReader(r)
	c.Comma, c.FieldsPerRecord, c.LazyQuotes = rune(d), -1, true
	return c
}

// trim takes the space off the cells and the blank cells off the end.
func (r *Row) trim(l Limits) error {
	for i, c := range r.Cells {
		r.Cells[i] = strings.TrimSpace(c)
		if l.Cell > 0 && len(r.Cells[i]) > l.Cell {
			return refuse(r.Line, fmt.Sprintf("A cell has more than %d letters. Perhaps a quotation mark is not closed: mend or shorten the cell, and send the file again.", l.Cell))
		}
	}
	n := len(r.Cells)
	for n > 0 && r.Cells[n-1] == "" {
		n--
	}
	r.Cells = r.Cells[:n]
	if l.Columns > 0 && n > l.Columns {
		return refuse(r.Line, fmt.Sprintf("The row has more than %d cells. Take out the columns that are not needed, and send the file again.", l.Columns))
	}
	return nil
}

func tooManyRows(l Limits) *Refusal {
	return refuse(0, fmt.Sprintf("The file has more than %d rows. Split it in the spreadsheet program, by year for example, and send the parts one after another.", l.Rows))
}

// Refusal is why a file cannot be read as a table.
type Refusal struct {
	Line     int    // where in the file, counted from 1; 0 when it is the file as a whole
	Sentence string // for the person who sent it: what is wrong and what to do
}

// Error says where; people are shown Sentence.
func (r *Refusal) Error() string { return fmt.Sprintf("table refused at line %d", r.Line) }

func refuse(line int, sentence string) *Refusal {
	if line > 0 {
		sentence = fmt.Sprintf("Line %d of the file: %s%s", line, strings.ToLower(sentence[:1]), sentence[1:])
	}
	return &Refusal{line, sentence}
}

func size(bytes int) string {
	if bytes >= 1<<20 {
		return fmt.Sprintf("%d MB", bytes>>20)
	}
	return fmt.Sprintf("%d kB", bytes>>10)
}
