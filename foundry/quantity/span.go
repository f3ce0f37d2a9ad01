package quantity

import (
	"regexp"
	"strconv"
	"strings"
)

var (
	spanColons = regexp.MustCompile(`^(\d{1,6}):(\d{2})(?::(\d{2})(?:[.,](\d{1,3}))?)?$`)
	spanWords  = regexp.MustCompile(`^(?:([\d.,]+) ?(?:h|hr|hrs|hour|hours))? ?` +
		`(?:([\d.,]+) ?(?:m|min|mins|minute|minutes))? ?` +
		`(?:([\d.,]+) ?(?:s|sec|second|seconds))?$`)
	// spanBare ends in minutes that do not say so: "45", "3h10".
	spanBare = regexp.MustCompile(`^(?:([\d.,]+) ?(?:h|hr|hrs|hour|hours))? ?([\d.,]+)()$`)
)

var (
	hours   = unit{"h", nil, int64(Hour), 1, 0, 6}
	minutes = unit{"min", nil, int64(Minute), 1, 0, 5}
	seconds = unit{"s", nil, int64(Second), 1, 0, 3}
)

// longestSpan is some 114 years, as long as the colon form can say.
const longestSpan = 999_999 * int64(Hour)

const spanAdvice = "Type it like 3:10 (hours and minutes), 3 h 10 min, or 190 for minutes."

// ReadSpan reads a typed length of time: "3:10" (hours and minutes), "3:10:30",
// "3h10", "1.5 h", "190 min", "30 s"; a bare number is minutes. It is never
// negative.
func (s Style) ReadSpan(text string) (Span, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return 0, refuse(text, "No length of time was typed. "+spanAdvice)
	}
	if len(text) > mostRunes {
		return 0, refuse(text, "{} is not a length of time. "+spanAdvice)
	}
	if part := spanColons.FindStringSubmatch(text); part != nil {
		m, sec := whole(part[2]), whole(part[3])
		if m > 59 || sec > 59 {
			return 0, refuse(text, "{} has more than 59 after a colon. "+spanAdvice)
		}
		return whole(part[1])*Hour + m*Minute + sec*Second + thousandths(part[4]), nil
	}
	plain := strings.ToLower(strings.Map(plainMark, text))
	part := spanWords.FindStringSubmatch(plain)
	if part == nil {
		part = spanBare.FindStringSubmatch(plain)
	}
	if part == nil {
		return 0, refuse(text, "{} is not a length of time. "+spanAdvice)
	}
	return sumSpan(text, part[1], part[2], part[3])
}

// sumSpan adds what was found of hours, minutes and seconds.
func sumSpan(text, h, m, sec string) (Span, error) {
	var sum int64
	for _, p := range []struct {
		digits string
		unit   unit
		most   int64 // where a larger unit stands before it
	}{{h, hours, 0}, {m, minutes, int64(Hour)}, {sec, seconds, int64(Minute)}} {
		if p.digits == "" {
			continue
		}
		d, f := parseDecimal(p.digits)
		if f != fine {
			return 0, refuse(text, "{} is not a length of time. "+spanAdvice)
		}
		n, ok := p.unit.from(d)
		if !ok || n > longestSpan {
			return 0, refuse(text, "{} is longer than this log can mean. "+spanAdvice)
		}
		if sum > 0 && n >= p.most {
			return 0, refuse(text, "{} has 60 or more of a smaller unit. "+spanAdvice)
		}
		sum += n
	}
	return Span(sum), nil
}

// Span shows a length of time to the minute: "3 h 10 min", "45 min"; under a
// minute to the second: "34 s".
func (s Style) Span(span Span) string {
	sign, ms := "", int64(span)
	if ms < 0 {
		sign, ms = minus, -ms
	}
	if ms < int64(Minute)-int64(Second)/2 {
		n := (ms + int64(Second)/2) / int64(Second)
		if n == 0 {
			return "0 s"
		}
		return sign + strconv.FormatInt(n, 10) + " s"
	}
	n := (ms + int64(Minute)/2) / int64(Minute)
	h, m := n/60, n%60
	switch {
	case h == 0:
		return sign + strconv.FormatInt(m, 10) + " min"
	case m == 0:
		return sign + s.dress(strconv.FormatInt(h, 10)) + " h"
	default:
		return sign + s.dress(strconv.FormatInt(h, 10)) + " h " + strconv.FormatInt(m, 10) + " min"
	}
}

// SpanClock shows hours and full minutes gone by, as a stopwatch does: "0:34".
func (s Style) SpanClock(span Span) string {
	sign := ""
	if span < 0 {
		sign, span = minus, -span
	}
	n := int64(span / Minute)
	if n == 0 {
		sign = ""
	}
	return sign + strconv.FormatInt(n/60, 10) + ":" + two(n%60)
}

// SpanInput fills a field so that ReadSpan reads the same span back: "3:10",
// with seconds only where there are some.
func (s Style) SpanInput(span Span) string {
	sign := ""
	if span < 0 {
		sign, span = "-", -span
	}
	text := sign + strconv.FormatInt(int64(span/Hour), 10) + ":" + two(int64(span%Hour/Minute))
	if rest := int64(span % Minute); rest != 0 {
		text += ":" + two(rest/1000)
		if ms := rest % 1000; ms != 0 {
			text += "." + strconv.FormatInt(1000+ms, 10)[1:]
		}
	}
	return text
}

func two(n int64) string { return strconv.FormatInt(100+n, 10)[1:] }
