package quantity

import "time"

const longDate = "2 Jan 2006"

// Clock shows the time of day on the shop's clock: "14:46".
func (s Style) Clock(m Moment) string { return s.in(m).Format("15:04") }

// Date shows the day on the shop's calendar: "3 Nov 2026".
func (s Style) Date(m Moment) string { return s.in(m).Format(longDate) }

// DateTime shows day and time: "3 Nov 2026 14:46".
func (s Style) DateTime(m Moment) string { return s.in(m).Format(longDate + " 15:04") }

// DateInput fills a date field: "2026-11-03".
func (s Style) DateInput(m Moment) string { return s.in(m).Format(time.DateOnly) }

// ClockInput fills a time field: "14:46", with seconds only where there are
// some. Read back with its date it gives the same moment, except in the second
// pass of an hour that comes twice in autumn.
func (s Style) ClockInput(m Moment) string {
	t := s.in(m)
	switch {
	case t.Nanosecond() != 0:
		return t.Format("15:04:05.000")
	case t.Second() != 0:
		return t.Format("15:04:05")
	default:
		return t.Format("15:04")
	}
}
