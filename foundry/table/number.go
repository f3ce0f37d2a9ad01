package table

import (
	"fmt"
	"regexp"
	"strings"
)

// Mark is a decimal mark.
type Mark string

// The decimal marks.
const (
	Point      Mark = "."
	CommaMark  Mark = ","
	singleMark      = `^[+\-−]?(\d{1,3})([.,])(\d{3})(?:\D.*)?$`
)

var (
	oneMark = regexp.MustCompile(`^[+\-−]?\s*(\d*)([.,])(\d+)(?:[^\d.,:/].*)?$`)
	both    = regexp.MustCompile(`^[+\-−]?\s*\d[\d.,]*([.,])\d+(?:[^\d.,:/].*)?$`)
	lone    = regexp.MustCompile(singleMark)
)

// GuessMark finds out the decimal mark of cells that are numbers, with or
// without a unit. usual is the one to take where nothing tells, as in 1,234.
func GuessMark(cells []string, usual Mark) Guess[Mark] {
	var points, commas int
	var pointed, comma string // an example each
	for _, c := range cells {
		switch markOf(c) {
		case Point:
			points, pointed = points+1, c
		case CommaMark:
			commas, comma = commas+1, c
		}
	}
	switch {
	case points == 0 && commas == 0:
		return Guess[Mark]{usual, false, "No number tells, so the shop's own mark is taken."}
	case commas > points:
		return Guess[Mark]{CommaMark, points == 0, fmt.Sprintf("Numbers are written like %s.", short(comma))}
	default:
		return Guess[Mark]{Point, commas == 0, fmt.Sprintf("Numbers are written like %s.", short(pointed))}
	}
}

// markOf is the mark that a cell's number must have been written with, "" where
// it could be either.
func markOf(cell string) Mark {
	if m := oneMark.FindStringSubmatch(cell); m != nil {
		if len(m[3]) == 3 && len(m[1]) >= 1 && len(m[1]) <= 3 && m[1][0] != '0' {
			return "" // perhaps thousands
		}
		return Mark(m[2])
	}
	m := both.FindStringSubmatch(cell)
	if m == nil || !strings.Contains(cell, ".") || !strings.Contains(cell, ",") {
		return ""
	}
	last := m[1]
	if strings.Count(cell, last) != 1 {
		return ""
	}
	return Mark(last)
}

// Number rewrites a number so that package quantity reads it in one way only:
// where the other mark groups thousands, as 1,234 does when the decimal mark is
// a point, it is taken out. Anything else is left as it is.
func Number(cell string, m Mark) string {
	if part := lone.FindStringSubmatch(cell); part != nil && Mark(part[2]) != m && part[1][0] != '0' {
		return strings.Replace(cell, part[2], "", 1)
	}
	return cell
}

// short is a cell as a sentence can hold it.
func short(cell string) string {
	r := []rune(cell)
	if len(r) > 20 {
		return string(r[:19]) + "…"
	}
	return cell
}
