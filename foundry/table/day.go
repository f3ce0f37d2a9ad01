package table

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"drosswise/foundry/quantity"
)

// Order is which comes first in a date written with numbers that does not start
// with the year, or that dates are numbers of days.
type Order string

// The orders.
const (
	DayFirst   Order = "day"
	MonthFirst Order = "month"
	Serial     Order = "serial"
)

var (
	yearFirst = regexp.MustCompile(`^(\d{4})[-/. ](\d{1,2})[-/. ](\d{1,2})\.?`)
	compact   = regexp.MustCompile(`^(\d{4})(\d{2})(\d{2})(?:[T ]|$)`)
	yearLast  = regexp.MustCompile(`^(\d{1,2})\s?([-/.])\s?(\d{1,2})\s?[-/.]\s?(\d{4}|\d{2})(?:\D|$)`)
	dayMonth  = regexp.MustCompile(`^(\d{1,2})(?:st|nd|rd|th|\.)?[-/ ]+([\p{L}]{3,9})\.?[-/ ,]+(\d{4}|\d{2})(?:\D|$)`)
	monthDay  = regexp.MustCompile(`^([\p{L}]{3,9})\.?[-/ ]+(\d{1,2})(?:st|nd|rd|th)?[-/ ,]+(\d{4})(?:\D|$)`)
	weekday   = regexp.MustCompile(`^(?i:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+`)
	clock     = regexp.MustCompile(`^(\d{1,2})(?:[:.h](\d{2}))?(?:[:.](\d{2})(?:[.,](\d{1,9}))?)?\s*(?i:([ap])\.?m\.?)?$`)
	zoned     = regexp.MustCompile(`\s*(Z|UTC|[+-]\d{2}:?\d{2})$`)
)

// errDate and errClock say what about a text is no date or no time of day.
var (
	errDate  = errors.New("no date")
	errClock = errors.New("no time of day")
)

// Moment reads a cell that holds a date, perhaps with a time after it. timed is
// false when it has none: then the moment is the start of that day on the shop's
// clock. Errors are of type [*quantity.Refusal].
func Moment(cell string, o Order, s quantity.Style) (m quantity.Moment, timed bool, err error) {
	date, rest, err := splitDay(cell, o)
	if err != nil {
		return 0, false, notRead(cell, "date", dateLike)
	}
	if rest == "" {
		m, err = s.ReadDate(date)
		return m, false, err
	}
	zone := zoned.FindStringSubmatch(rest)
	if zone != nil {
		rest = rest[:len(rest)-len(zone[0])]
	}
	time, err := clockOf(rest)
	if err != nil {
		return 0, false, notRead(cell, "date and time", "Type it like 2026-11-03 14:46, and the same way in the whole column.")
	}
	if zone == nil {
		m, err = s.ReadMoment(date, time)
		return m, true, err
	}
	// What says its zone is read on that clock, whatever the shop's is.
	m, err = quantity.Style{}.ReadMoment(date, time)
	return m - quantity.Moment(offset(zone[1])), true, err
}

const dateLike = "Type it like 2026-11-03, and the same way in the whole column."

// Clock reads a cell that holds a time of day and gives it as
// [quantity.Style.ReadMoment] takes it, such as 14:46 for 2:46 pm. Errors are of
// type [*quantity.Refusal].
func Clock(cell string) (string, error) {
	text, err := clockOf(cell)
	if err != nil {
		return "", notRead(cell, "time of day", "Type it like 14:46.")
	}
	return text, nil
}

// Date gives the date at the start of a cell like 2026-11-03. Errors are of
// type [*quantity.Refusal].
func Date(cell string, o Order) (string, error) {
	date, _, err := splitDay(cell, o)
	if err != nil {
		return "", notRead(cell, "date", dateLike)
	}
	return date, nil
}

func notRead(cell, what, advice string) *quantity.Refusal {
	shown := short(cell)
	return &quantity.Refusal{Text: shown, Sentence: fmt.Sprintf("“%s” is not read as a %s. %s", shown, what, advice)}
}

// splitDay parts the date at the start of a cell, written like 2026-11-03, from
// what comes after it.
func splitDay(cell string, o Order) (date, rest string, err error) {
	cell = strings.TrimSpace(cell)
	if o == Serial {
		return splitSerial(cell)
	}
	cell = cell[len(weekday.FindString(cell)):]
	var year, month, day, after string
	if p := yearFirst.FindStringSubmatch(cell); p != nil {
		year, month, day, after = p[1], p[2], p[3], cell[len(p[0]):]
	} else if p := compact.FindStringSubmatch(cell); p != nil {
		year, month, day, after = p[1], p[2], p[3], cell[8:]
	} else if p := yearLast.FindStringSubmatchIndex(cell); p != nil {
		first, second := cell[p[2]:p[3]], cell[p[6]:p[7]]
		year, month, day, after = cell[p[8]:p[9]], second, first, cell[p[9]:]
		if o == MonthFirst {
			month, day = first, second
		}
	} else if p := dayMonth.FindStringSubmatchIndex(cell); p != nil {
		year, month, day, after = cell[p[6]:p[7]], monthNamed(cell[p[4]:p[5]]), cell[p[2]:p[3]], cell[p[7]:]
	} else if p := monthDay.FindStringSubmatchIndex(cell); p != nil {
		year, month, day, after = cell[p[6]:p[7]], monthNamed(cell[p[2]:p[3]]), cell[p[4]:p[5]], cell[p[7]:]
	}
	y, errYear := strconv.Atoi(year)
	m, errMonth := strconv.Atoi(month)
	d, errDay := strconv.Atoi(day)
	if errYear != nil || errMonth != nil || errDay != nil {
		return "", "", errDate
	}
	if len(year) == 2 {
		y = century(y)
	}
	at := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	if int(at.Month()) != m || at.Day() != d {
		return "", "", errDate
	}
	return at.Format(time.DateOnly), strings.TrimLeft(after, " T,"), nil
}

// century completes a year of two digits: 69 to 99 are of the last century, as
// POSIX has it (The Open Group, strptime, 2018).
func century(y int) int {
	if y >= 69 {
		return 1900 + y
	}
	return 2000 + y
}

var months = []string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}

// german are the beginnings that differ from English ones. Austria has Jänner
// and Feber.
var german = map[string]int{"jän": 1, "mär": 3, "mrz": 3, "mae": 3, "mai": 5, "okt": 10, "dez": 12}

// monthNamed is the number of a month by its English or German name, "" for no
// month.
func monthNamed(name string) string {
	start := []rune(strings.ToLower(name))
	if len(start) < 3 {
		return ""
	}
	start = start[:3]
	for i, m := range months {
		if string(start) == m {
			return strconv.Itoa(i + 1)
		}
	}
	if m := german[string(start)]; m > 0 {
		return strconv.Itoa(m)
	}
	return ""
}

func clockOf(cell string) (string, error) {
	p := clock.FindStringSubmatch(strings.TrimSpace(cell))
	if p == nil || p[2] == "" && p[5] == "" {
		return "", errClock
	}
	hour, _ := strconv.Atoi(p[1])
	switch half := strings.ToLower(p[5]); {
	case half != "" && (hour < 1 || hour > 12), hour > 23:
		return "", errClock
	case half == "a" && hour == 12:
		hour = 0
	case half == "p" && hour < 12:
		hour += 12
	}
	minute, second := p[2], p[3]
	if minute == "" {
		minute = "00"
	}
	if minute > "59" || second > "59" {
		return "", errClock
	}
	text := fmt.Sprintf("%02d:%s", hour, minute)
	if second != "" {
		text += ":" + second
	}
	if p[4] != "" {
		text += "." + p[4][:min(3, len(p[4]))]
	}
	return text, nil
}

// offset is how far a zone like +01:00 is ahead of UTC.
func offset(zone string) quantity.Span {
	if zone == "Z" || zone == "UTC" {
		return 0
	}
	digits := strings.ReplaceAll(zone[1:], ":", "")
	hours, _ := strconv.Atoi(digits[:2])
	minutes, _ := strconv.Atoi(digits[2:])
	span := quantity.Span(hours)*quantity.Hour + quantity.Span(minutes)*quantity.Minute
	if zone[0] == '-' {
		return -span
	}
	return span
}
