package store

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"drosswise/foundry/kit"
)

// cargoTable is one table of the shop as it leaves it: a CSV file of its name.
type cargoTable struct {
	name    string
	means   string
	columns []cargoColumn
	keyed   []string // the columns that its rows are put in order by
}

// cargoColumn is a column of a table and of its file.
type cargoColumn struct {
	name  string // in the database
	form  cargoForm
	means string
	maybe bool // may be empty, for "not said"
}

// heading is how the column is called in the file: with its unit, so that
// nobody has to look it up.
func (c cargoColumn) heading() string {
	if c.form.suffix == "" {
		return c.name
	}
	return c.name + "_" + c.form.suffix
}

// cargoForm is how a column's cells are written.
type cargoForm struct {
	kind   cargoKind
	digits int      // after the point, for a decimal
	suffix string   // of the heading: the unit
	says   string   // what a cell looks like
	refers string   // the table whose id stands here
	of     kit.Kind // kind of kit that must have the id
	ahead  bool     // for a time that may be still to come
}

type cargoKind int

const (
	cargoText cargoKind = iota
	cargoNumber
	cargoMoment
	cargoPicture
)

// How cells are written. Whole numbers of the database become decimals of the
// unit people use, exactly.
var (
	aText     = cargoForm{kind: cargoText, says: "text"}
	aPicture  = cargoForm{kind: cargoPicture, says: "the name of a file under photos"}
	aNumber   = decimalOf(0, "", "a whole number")
	aFlag     = decimalOf(0, "", "0 or 1")
	aMoment   = cargoForm{kind: cargoMoment, says: "a time as RFC 3339 in UTC"}
	aStart    = cargoForm{kind: cargoMoment, says: "a time as RFC 3339 in UTC", ahead: true}
	kilograms = decimalOf(6, "kg", "kilograms")
	joules    = decimalOf(0, "j", "joules")
	degrees   = decimalOf(2, "c", "degrees Celsius")
	ohms      = decimalOf(3, "ohm", "ohms")
	volts     = decimalOf(3, "v", "volts")
	amperes   = decimalOf(3, "a", "amperes")
	watts     = decimalOf(3, "w", "watts")
	millis    = decimalOf(3, "mm", "millimetres")
	litres    = decimalOf(6, "l", "litres")
	ofOne     = decimalOf(6, "of_one", "share, 1 being all")
	perUnit   = decimalOf(6, "", "units of the currency, for each kg, kWh or piece")
	coins     = decimalOf(0, "minor", "minor units of the currency, such as cents")
	minutes   = decimalOf(0, "min", "minutes after midnight")
)

func decimalOf(digits int, suffix, says string) cargoForm {
	return cargoForm{kind: cargoNumber, digits: digits, suffix: suffix, says: says}
}

// idOf is a reference to another table.
func idOf(table string) cargoForm {
	return cargoForm{kind: cargoNumber, says: "an id in " + table + ".csv", refers: table}
}

// kitOf is a reference to a piece of kit of a kind.
func kitOf(kind kit.Kind) cargoForm {
	f := idOf("kit")
	f.of = kind
	f.says = "the id of a " + strings.ToLower(kind.Name()) + " in kit.csv"
	if kind == kit.Element {
		f.says = "the id of an element set in kit.csv"
	}
	return f
}

func col(name string, form cargoForm, means string) cargoColumn {
	return cargoColumn{name: name, form: form, means: means}
}

// opt is a column that may be empty.
func opt(name string, form cargoForm, means string) cargoColumn {
	return cargoColumn{name: name, form: form, means: means, maybe: true}
}

// appendCell writes a cell as the file has it. A nil value is an empty cell.
func (c cargoColumn) appendCell(to []byte, value any) ([]byte, error) {
	switch v := value.(type) {
	case nil:
		return to, nil
	case string:
		if c.form.kind == cargoText {
			if needsApostrophe(v, c.maybe) {
				to = append(to, '\'')
			}
			return append(to, v...), nil
		}
	case int64:
		switch c.form.kind {
		case cargoNumber:
			return appendDecimal(to, v, c.form.digits), nil
		case cargoMoment:
			return appendMoment(to, v), nil
		}
	}
	return nil, fmt.Errorf("column %s holds a %T", c.name, value)
}

// needsApostrophe tells text that a spreadsheet program might run (OWASP, CSV
// injection), that begins with an apostrophe of its own, or that is empty where
// an empty cell says that nothing was said.
func needsApostrophe(text string, maybe bool) bool {
	if text == "" {
		return maybe
	}
	return strings.ContainsRune("=+-@\t\r\n'", rune(text[0])) || strings.HasPrefix(text, "＝")
}

// appendDecimal writes a whole number of the smallest steps as a decimal
// without zeros at its end.
func appendDecimal(to []byte, v int64, digits int) []byte {
	if digits == 0 {
		return strconv.AppendInt(to, v, 10)
	}
	text := strconv.FormatInt(v, 10)
	if text[0] == '-' {
		to, text = append(to, '-'), text[1:]
	}
	if len(text) <= digits {
		text = strings.Repeat("0", digits-len(text)+1) + text
	}
	whole, rest := text[:len(text)-digits], strings.TrimRight(text[len(text)-digits:], "0")
	to = append(to, whole...)
	if rest != "" {
		to = append(append(to, '.'), rest...)
	}
	return to
}

const cargoTime = "2006-01-02T15:04:05.999Z"

func appendMoment(to []byte, ms int64) []byte {
	return time.UnixMilli(ms).UTC().AppendFormat(to, cargoTime)
}

// value reads a cell. A refusal is a sentence for people.
func (c cargoColumn) value(cell string) (any, string) {
	switch {
	case cell == "" && c.maybe:
		return nil, ""
	case c.form.kind == cargoText:
		return strings.TrimPrefix(cell, "'"), ""
	case cell == "":
		return nil, "Nothing is there. Put in " + c.form.says + "."
	case c.form.kind == cargoMoment:
		t, err := time.Parse(cargoTime, cell)
		if err != nil {
			return nil, "That is no time. Write it as 2026-11-03T18:05:00Z."
		}
		return t.UnixMilli(), ""
	case c.form.kind == cargoPicture:
		return cell, ""
	}
	v, ok := readDecimal(cell, c.form.digits)
	if !ok {
		if c.form.digits == 0 {
			return nil, "That is no number that fits. Put in " + c.form.says + "."
		}
		return nil, "That is no number that fits. Put in " + c.form.says + ", with a decimal point and at most " + strconv.Itoa(c.form.digits) + " digits after it."
	}
	return v, ""
}

// readDecimal reads a decimal as a whole number of its smallest steps.
func readDecimal(cell string, digits int) (int64, bool) {
	text, negative := strings.CutPrefix(cell, "-")
	whole, rest, point := strings.Cut(text, ".")
	if whole == "" || len(whole) > 18 || len(rest) > digits || point && rest == "" {
		return 0, false
	}
	v, err := strconv.ParseUint(whole+rest+strings.Repeat("0", digits-len(rest)), 10, 63)
	if err != nil {
		return 0, false
	}
	if negative {
		return -int64(v), true
	}
	return int64(v), true
}
