package quantity

import (
	"regexp"
	"strconv"
	"strings"
	"time"
)

// The years in which a shop can have dates. Browsers send half-typed years.
const (
	firstYear = 1900
	lastYear  = 2199
)

// ReadDate reads a date like 2026-11-03 and gives the first instant of that
// day on the shop's clock.
func (s Style) ReadDate(text string) (Moment, error) {
	day, err := readDay(text)
	if err != nil {
		return 0, err
	}
	if m, ok := s.local(day); ok {
		return m, nil
	}
	// The clocks went forward at midnight: the day starts where they landed.
	start, _ := time.Date(day.Year(), day.Month(), day.Day(), 12, 0, 0, 0, s.zone()).ZoneBounds()
	if dayOf(start) != dayOf(day) {
		return 0, refuse(text, "{} was left out of the calendar here. Type the day before or after it.")
	}
	return At(start), nil
}

// ReadMoment reads a date like 2026-11-03 and a time like 14:46, 14.46, 1446
// or 14:46:05 on the shop's clock. A time that the clocks jumped over in
// spring is refused; of an hour that came twice in autumn the first is taken.
func (s Style) ReadMoment(date, clock string) (Moment, error) {
	day, err := readDay(date)
	if err != nil {
		return 0, err
	}
	past, err := readClock(clock)
	if err != nil {
		return 0, err
	}
	wall := day.Add(time.Duration(past) * time.Millisecond)
	m, ok := s.local(wall)
	if !ok {
		return 0, refuse(clock, "The clocks went forward on "+day.Format(longDate)+
			" and {} did not happen. Type the time as the clock showed it before or after the change.")
	}
	return m, nil
}

// local finds the first moment at which the shop's clock shows the wall time
// (given in UTC), or says that it never does.
func (s Style) local(wall time.Time) (Moment, bool) {
	near := time.Date(wall.Year(), wall.Month(), wall.Day(), wall.Hour(), wall.Minute(),
		wall.Second(), wall.Nanosecond(), s.zone())
	start, end := near.ZoneBounds()
	tries := []time.Time{near}
	if !start.IsZero() {
		tries = append(tries, start.Add(-time.Nanosecond))
	}
	if !end.IsZero() {
		tries = append(tries, end)
	}
	var first Moment
	found := false
	for _, t := range tries {
		_, offset := t.Zone()
		m := At(wall) - Moment(offset)*1000
		_, back := s.in(m).Zone()
		if back == offset && (!found || m < first) {
			first, found = m, true
		}
	}
	return first, found
}

func readDay(text string) (time.Time, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return time.Time{}, refuse(text, "No date was given. Type it like 2026-11-03.")
	}
	day, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return time.Time{}, refuse(text, "{} is not a date. Type it like 2026-11-03.")
	}
	if day.Year() < firstYear || day.Year() > lastYear {
		return time.Time{}, refuse(text, "The year of {} cannot be right. Type the date like 2026-11-03.")
	}
	return day, nil
}

func dayOf(t time.Time) string { return t.Format(time.DateOnly) }

var clockForm = regexp.MustCompile(`^(\d{1,2})[:.]?(\d{2})(?::(\d{2})(?:\.(\d{1,3}))?)?$`)

// readClock gives the time since midnight, as the clock counts it.
func readClock(text string) (Span, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return 0, refuse(text, "No time was given. Type it like 14:46.")
	}
	part := clockForm.FindStringSubmatch(text)
	if part == nil {
		return 0, refuse(text, "{} is not a time of day. Type it like 14:46.")
	}
	hour, minute, second := whole(part[1]), whole(part[2]), whole(part[3])
	if hour > 23 || minute > 59 || second > 59 {
		return 0, refuse(text, "{} is not a time of day: they run from 00:00 to 23:59. Type it like 14:46.")
	}
	return hour*Hour + minute*Minute + second*Second + thousandths(part[4]), nil
}

// whole reads a few digits that a pattern has found; none are zero.
func whole(digits string) Span {
	n, _ := strconv.Atoi(digits)
	return Span(n)
}

// thousandths reads up to three digits after a decimal mark as milliseconds.
func thousandths(digits string) Span {
	return whole((digits + "000")[:3])
}
