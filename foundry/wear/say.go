package wear

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"drosswise/foundry/quantity"
)

// ohms shows a resistance to the hundredth below 100 Ω, since its changes are small.
func ohms(s quantity.Style, x float64) string {
	decimals := 2
	if x >= 100 {
		decimals = 1
	}
	return s.Number(x, decimals) + " Ω"
}

// hours shows hours to two digits that count, at least to the tenth.
func hours(s quantity.Style, x float64) string { return number(s, x) + " h" }

func number(s quantity.Style, x float64) string {
	switch {
	case x == 0:
		return "0"
	case x < 9.95:
		return s.Number(x, 1)
	case x < 99.5:
		return s.Number(x, 0)
	}
	step := math.Pow10(int(math.Floor(math.Log10(x))) - 1)
	return s.Number(math.Round(x/step)*step, 0)
}

// count puts a number before a word.
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func sentences(parts ...string) string {
	var some []string
	for _, p := range parts {
		if p != "" {
			some = append(some, p)
		}
	}
	return strings.Join(some, " ")
}

// Say words what the readings come to: what has risen, how long is left or why
// that cannot be said, and what to look at.
func (l Life) Say(s quantity.Style) string {
	parts := []string{l.sayRisen(s), l.sayLeft(s)}
	for _, j := range l.Jumps {
		parts = append(parts, j.Say(s))
	}
	parts = append(parts, l.sayOutliers(s), l.Series.sayApart(), l.Series.sayFirst(s))
	return sentences(parts...)
}

// sayRisen says where the ohms stand.
func (l Life) sayRisen(s quantity.Style) string {
	if l.Risen == nil {
		return "No reading of this set can be counted yet."
	}
	r := *l.Risen
	from := "new"
	if l.Series.FromFirst {
		from = "the first reading"
	}
	side := "over"
	if r.Middle < 0 {
		r, side = Range{-r.High, -r.Middle, -r.Low}, "under"
	}
	text := fmt.Sprintf("At %s hot the ohms stood %s %s %s, between %s and %s (9 chances in 10); the shop checks at %s over.",
		hours(s, l.LastRead), s.Percent(r.Middle, 1), side, from, s.Percent(r.Low, 1), s.Percent(r.High, 1), s.Percent(l.Limit, 0))
	if since := l.Hours - l.LastRead; since >= 1 {
		text += fmt.Sprintf(" It has been hot for %s since.", hours(s, since))
	}
	return text
}

// sayLeft says how long it is to the limit, or why there is no answer.
func (l Life) sayLeft(s quantity.Style) string {
	switch l.Code {
	case TooFew:
		return sentences(l.sayTooFew(s), l.sayEarlier(s))
	case OneMelt:
		return sentences("How long it lasts cannot be said yet: all readings come from one melt. Read it again after the next.", l.sayEarlier(s))
	case Falling:
		return "The ohms fall from reading to reading, and wire does not lose ohms with age. Look for turns that touch, and read it cold with the furnace isolated."
	case Past:
		return "That is at the limit or past it: time to check, with the furnace isolated, and to have a new set at hand."
	case NoTrend:
		return sentences("No end is in sight: the rise cannot be told from none yet.", l.sayEarliest(s))
	}
	return sentences(l.sayForeseen(s), l.sayMelts(s), l.sayFar(s))
}

func (l Life) sayTooFew(s quantity.Style) string {
	if l.Readings == 0 {
		return ""
	}
	since := ""
	if l.From > 0 && len(l.Jumps) > 0 {
		since = fmt.Sprintf(" since %s hot", hours(s, l.From))
	}
	return fmt.Sprintf("How long it lasts cannot be said from %s%s: it takes %d, over several melts.", count(l.Readings, "reading", "readings"), since, LeastReadings)
}

func (l Life) sayEarlier(s quantity.Style) string {
	e := l.Earlier
	if e == nil || e.Early == nil {
		return ""
	}
	late := "how long at most cannot be foreseen"
	if e.Late != nil {
		late = "at most " + hours(s, *e.Late)
	}
	return fmt.Sprintf("By the %s before it, it would be time to check in about %s of heat, %s at least and %s (9 chances in 10).",
		count(l.sets, "set", "sets"), hours(s, *e.Middle), hours(s, *e.Early), late)
}

func (l Life) sayEarliest(s quantity.Style) string {
	if l.Left == nil || l.Left.Early == nil {
		return ""
	}
	text := "It may still be time to check in " + hours(s, *l.Left.Early) + " of heat, hardly sooner (1 chance in 20)"
	if l.Melts != nil {
		text += ": " + count(int(*l.Melts.Early), "melt", "melts")
	}
	return text + "."
}

func (l Life) sayForeseen(s quantity.Style) string {
	left := *l.Left
	switch {
	case left.Early == nil:
		return "No end is in sight: if it goes on as it does, the limit is far beyond what these readings can foresee."
	case left.Middle == nil:
		return fmt.Sprintf("It is hardly time to check within %s of heat (1 chance in 20); how much later it is cannot be foreseen.", hours(s, *left.Early))
	case left.Late == nil:
		return fmt.Sprintf("It is time to check in about %s of heat, %s at the earliest (19 chances in 20); how long at most cannot be foreseen.", hours(s, *left.Middle), hours(s, *left.Early))
	}
	return fmt.Sprintf("It is time to check in about %s of heat, between %s and %s (9 chances in 10).", hours(s, *left.Middle), number(s, *left.Early), hours(s, *left.Late))
}

func (l Life) sayMelts(s quantity.Style) string {
	if l.Left.Early == nil {
		return ""
	}
	if l.Melts == nil {
		return "How many melts that is cannot be said: no melt says how long it was hot."
	}
	early := s.Number(*l.Melts.Early, 0)
	text := fmt.Sprintf("At %s a melt that is ", hours(s, *l.Melt))
	switch {
	case l.Melts.Middle == nil:
		text += count(int(*l.Melts.Early), "melt", "melts") + " or more"
	case l.Melts.Late == nil:
		text += fmt.Sprintf("about %s, %s at the earliest", count(int(*l.Melts.Middle), "melt", "melts"), early)
	default:
		text += fmt.Sprintf("about %s, between %s and %s", count(int(*l.Melts.Middle), "melt", "melts"), early, s.Number(*l.Melts.Late, 0))
	}
	return text + ". Order a spare in time for the earliest."
}

func (l Life) sayFar(s quantity.Style) string {
	if !l.Far {
		return ""
	}
	return fmt.Sprintf("That reaches far beyond the readings, which go from %s to %s hot: read it again as it ages.", hours(s, l.From), hours(s, l.LastRead))
}

func (l Life) sayOutliers(s quantity.Style) string {
	var at []string
	for _, p := range l.Series.Points {
		if slices.Contains(l.Outliers, p.ID) {
			at = append(at, hours(s, p.Hours))
		}
	}
	if len(at) == 0 {
		return ""
	}
	return fmt.Sprintf("What was read at %s hot lies far off the rest. Look at it again, and leave it out if it was misread; until then it is counted.", strings.Join(at, ", "))
}

// sayApart says that readings were kept apart, and why.
func (series Series) sayApart() string {
	n := len(series.Apart)
	if n == 0 {
		return ""
	}
	kept := "hot"
	if series.Hot {
		kept = "cold"
	}
	return fmt.Sprintf("%s kept apart and not counted: this wire has no table that says how its ohms change from cold to hot.", count(n, kept+" reading is", kept+" readings are"))
}

// sayFirst says what the rise is counted from where new ohms are not written.
func (series Series) sayFirst(s quantity.Style) string {
	if !series.FromFirst || len(series.Points) == 0 {
		return ""
	}
	why := "what it had new is not written"
	if series.Hot {
		why = "hot ohms cannot be laid beside what it had new and cold"
	}
	return fmt.Sprintf("The rise is counted from %s, the first reading, since %s; what it had risen by then is not in it.", ohms(s, series.New), why)
}

// Say words a break in the readings.
func (j Jump) Say(s quantity.Style) string {
	size := j.Size
	if j.Share < 0 {
		size = Range{-size.High, -size.Middle, -size.Low}
	}
	step := fmt.Sprintf("%s (%s, between %s and %s)", ohms(s, size.Middle), s.Percent(math.Abs(j.Share), 1), ohms(s, size.Low), ohms(s, size.High))
	way, look := "up", "Look at its joints and terminals, with the furnace isolated: a joint may be going."
	if j.Share < 0 {
		way, look = "down", "Look for turns that touch, with the furnace isolated, or write down the repair if a coil was mended."
	}
	where := fmt.Sprintf("%s and %s hot", hours(s, j.After), hours(s, j.Before))
	switch {
	case j.Repair == 0:
		return fmt.Sprintf("Between %s the ohms stepped %s by %s; the trend begins anew after it. %s", where, way, step, look)
	case size.Low <= 0:
		return fmt.Sprintf("The repair between %s made no step that can be told from none (at most %s); the trend begins anew after it all the same.", where, ohms(s, max(-size.Low, size.High)))
	}
	return fmt.Sprintf("At the repair between %s the ohms stepped %s by %s; the trend begins anew after it.", where, way, step)
}

// Say words one reading: what was read, and what it makes cold.
func (p Point) Say(s quantity.Style) string {
	read := map[Way]string{Cold: "Read cold", Hot: "Read hot", Draw: "Drawn at full power"}[p.Way]
	if p.Way != Cold && p.Shared == 0 {
		return fmt.Sprintf("%s: %s ± %s, as it is hot.", read, s.Number(p.Read, 2), ohms(s, z95*p.U))
	}
	return fmt.Sprintf("%s as %s: %s ± %s at 20 °C (9 chances in 10).", read, ohms(s, p.Read), s.Number(p.Ohms, 2), ohms(s, z95*math.Hypot(p.U, p.Shared*p.Ohms)))
}

// SayLine words the straight line beside the forecast, "" without a trend.
func (l Life) SayLine(s quantity.Style) string {
	if l.Straight == nil {
		return ""
	}
	return fmt.Sprintf("A straight line through the readings meets the limit at %s hot, between %s and %s (9 chances in 10 if ageing neither speeds up nor wanders).",
		hours(s, l.Straight.Middle), number(s, l.Straight.Low), hours(s, l.Straight.High))
}

// Say words what earlier sets taught.
func (r Rate) Say(s quantity.Style) string {
	low, high := r.Mean-z95*r.SD, r.Mean+z95*r.SD
	return fmt.Sprintf("The ohms of the %s before rose by about %s in 100 h of heat; of the next one, between %s and %s is expected (9 chances in 10).",
		count(r.Sets, "set", "sets"), s.Percent(100*r.Mean, 1), s.Percent(100*low, 1), s.Percent(100*high, 1))
}
