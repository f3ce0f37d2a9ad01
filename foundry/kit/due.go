package kit

import (
	"fmt"
	"math"
	"strings"
	"time"

	"drosswise/foundry/quantity"
)

// Look is the last time that a piece of kit was looked at.
type Look struct {
	At    quantity.Moment
	By    LineKind // the line that says so; "" when there is none, and At is when the piece came into the book
	Heats int      // since then
	More  bool     // there were more heats than that; counting stops where it is enough
}

// Due is when a piece of kit is to be looked at next. What is nil is not asked
// for by its rule.
type Due struct {
	Rule      Rule
	Last      Look
	Since     int             // whole days of the calendar since the last look
	HeatsLeft *int            // 0 when it is due by heats
	DaysLeft  *int            // 0 or less when it is due by days
	Day       quantity.Moment // noon of the day on which it is due by days, 0 when it is not by days
}

// Due holds a rule against the last look, by the calendar of the shop.
func (r Rule) Due(last Look, now quantity.Moment, s quantity.Style) Due {
	d := Due{Rule: r, Last: last, Since: days(last.At, now, s)}
	if r.Heats != nil {
		d.HeatsLeft = new(max(0, *r.Heats-last.Heats))
	}
	if r.Days != nil {
		d.Day = daysOn(last.At, *r.Days, s)
		d.DaysLeft = new(days(now, d.Day, s))
	}
	return d
}

// Now reports whether it is time.
func (d Due) Now() bool {
	return d.HeatsLeft != nil && *d.HeatsLeft == 0 || d.DaysLeft != nil && *d.DaysLeft <= 0
}

// Used is the larger share of its heats and days that has passed: from 1 on it
// is due, and the larger it is the longer it has waited.
func (d Due) Used() float64 {
	used := 0.0
	if d.Rule.Heats != nil {
		used = float64(d.Last.Heats) / float64(*d.Rule.Heats)
	}
	if d.Rule.Days != nil {
		used = max(used, float64(d.Since)/float64(*d.Rule.Days))
	}
	return used
}

// Pace is how often a piece was melted with of late.
type Pace struct {
	Heats int
	Over  quantity.Span
}

// PaceDays is how far back a pace is read; leastPace keeps the first heats of
// a new piece from looking like a pace that goes on for ever. Both are
// judgements.
const (
	PaceDays  = 60
	leastPace = 14 * 24 * quantity.Hour
)

// PaceOf is the pace of some heats of which the oldest began then.
func PaceOf(heats int, oldest, now quantity.Moment) Pace {
	return Pace{heats, max(leastPace, now.Since(oldest))}
}

// On is the day, as its noon, to expect it on: today when it is time, else the
// day by its rule or by its heats at the pace of late, whichever comes first.
// ok is false where nothing can be expected.
func (d Due) On(p Pace, now quantity.Moment, s quantity.Style) (day quantity.Moment, ok bool) {
	if d.Now() {
		return daysOn(now, 0, s), true
	}
	day, ok = d.Day, d.Day != 0
	if d.HeatsLeft == nil || p.Heats < 1 {
		return day, ok
	}
	each := float64(p.Over) / float64(24*quantity.Hour) / float64(p.Heats)
	ahead := math.Ceil(float64(*d.HeatsLeft) * each)
	if ahead > MostDueDays {
		return day, ok
	}
	if by := daysOn(now, int(ahead), s); !ok || by < day {
		day, ok = by, true
	}
	return day, ok
}

// Say says how long ago the last look was, and what the shop's rule is.
func (d Due) Say(s quantity.Style) string {
	return fmt.Sprintf("%s since %s; the shop looks %s.", d.passed(), d.Last.say(s), d.Rule.Say())
}

// SayNext says when it is due next, for one that is not yet.
func (d Due) SayNext(s quantity.Style) string {
	var by []string
	if d.HeatsLeft != nil {
		by = append(by, "after "+count(*d.HeatsLeft, "more heat", "more heats"))
	}
	if d.DaysLeft != nil {
		by = append(by, "on "+s.Date(d.Day))
	}
	told := strings.Join(by, " or ")
	if len(by) > 1 {
		told += ", whichever comes first"
	}
	return "Time to check " + told + ". " + d.Say(s)
}

func (d Due) passed() string {
	heats := count(d.Last.Heats, "heat", "heats")
	if d.Last.More {
		heats = "More than " + heats
	}
	switch {
	case d.Rule.Days == nil:
		return heats
	case d.Rule.Heats == nil:
		return count(d.Since, "day", "days")
	}
	return heats + " and " + count(d.Since, "day", "days")
}

func (l Look) say(s quantity.Style) string {
	did := map[LineKind]string{Inspected: "it was inspected", Read: "it was read", Fitted: "it was fitted", "": "it came into the book"}[l.By]
	return did + " on " + s.Date(l.At)
}

// date is the day on the shop's calendar, as midnight UTC, so that days can be
// counted whatever the clocks did between.
func date(m quantity.Moment, s quantity.Style) time.Time {
	y, month, d := m.Time().In(zone(s)).Date()
	return time.Date(y, month, d, 0, 0, 0, 0, time.UTC)
}

// days counts the midnights between two moments.
func days(from, to quantity.Moment, s quantity.Style) int {
	return int(date(to, s).Sub(date(from, s)) / (24 * time.Hour))
}

// daysOn is noon so many days later.
func daysOn(from quantity.Moment, n int, s quantity.Style) quantity.Moment {
	y, month, d := date(from, s).AddDate(0, 0, n).Date()
	return quantity.At(time.Date(y, month, d, 12, 0, 0, 0, zone(s)))
}

func zone(s quantity.Style) *time.Location {
	if s.Zone == nil {
		return time.UTC
	}
	return s.Zone
}
