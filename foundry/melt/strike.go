package melt

import (
	"fmt"
	"slices"
)

// CheckStrike says whether a line may be struck (or its strike lifted). The
// close of a melt may be struck, which opens it; other lines of a closed melt
// may not. A strike is lifted only where the line still fits beside what was
// written since.
func CheckStrike(h Heading, lines []Line, l Line, strike bool) error {
	ends := []Kind{Close, Reopen, Void}
	state := StateOf(Standing(lines))
	if state != Running && !slices.Contains(ends, l.Kind) {
		return Refusals{refuse("kind", fmt.Sprintf("%s is %s, so its lines stay as they are. Reopen it with a reason first.", h.Code, state))}
	}
	if strike {
		return nil
	}
	if l.Strike != nil && slices.ContainsFunc(lines, func(x Line) bool { return x.Stands() && x.Key == l.Strike.Key }) {
		return Refusals{refuse("kind", "This line was written anew, and both would count. Strike the new one first.")}
	}
	if r := outOfOrder(Standing(lines), l); r != nil {
		return Refusals{*r}
	}
	if l.Meter != nil {
		if rs := checkMeter(Standing(lines), l); rs != nil {
			return rs
		}
	}
	return nil
}
