package table

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// serialEpoch is day 0 of the dates that spreadsheet programs keep as numbers:
// with it the numbers from 61 on are right, though the 60th, 29 February 1900,
// never was (ECMA-376-1, 5th edition, 2016, 18.17.4.1, the 1900 date base).
var serialEpoch = time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)

// What numbers are taken for days: from 1990 to 2099. A column of masses in grams
// may well have others among its cells.
const (
	leastSerial = 32874
	mostSerial  = 73051
)

// serial reads a number of days, with the time of day as its fraction.
func serial(cell string) (days float64, ok bool) {
	days, err := strconv.ParseFloat(strings.Replace(cell, ",", ".", 1), 64)
	return days, err == nil && days >= leastSerial && days < mostSerial
}

// splitSerial parts the day of a number of days from its time of day, "" for
// none, to the second.
func splitSerial(cell string) (date, rest string, err error) {
	days, ok := serial(cell)
	if !ok {
		return "", "", errDate
	}
	const day = 24 * 60 * 60
	at := serialEpoch.Add(time.Duration(math.Round(days*day)) * time.Second)
	if days != math.Trunc(days) {
		rest = at.Format(time.TimeOnly)
	}
	return at.Format(time.DateOnly), rest, nil
}

// guessSerial reports whether all cells that are not blank are numbers of days.
func guessSerial(cells []string) (g Guess[Order], ok bool) {
	first := ""
	for _, c := range cells {
		if c == "" {
			continue
		}
		if _, ok := serial(c); !ok {
			return g, false
		}
		if first == "" {
			first = c
		}
	}
	if first == "" {
		return g, false
	}
	date, _, _ := splitSerial(first)
	return Guess[Order]{Serial, false, fmt.Sprintf("All cells are numbers like %s, as spreadsheet programs count days: that one is %s.", short(first), date)}, true
}
