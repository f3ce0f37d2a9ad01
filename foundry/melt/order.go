package melt

import (
	"fmt"

	"drosswise/foundry/quantity"
)

// checkDay holds a line's time against the clock and the melt's start.
func checkDay(h Heading, l Line, now quantity.Moment) *Refusal {
	switch {
	case l.At > now+quantity.Moment(clockSlack):
		return &Refusal{Field: "at", say: func(s quantity.Style) string {
			return fmt.Sprintf("%s is still to come: it is %s now. Type when it happened.", s.DateTime(l.At), s.DateTime(now))
		}}
	case l.At < h.At-quantity.Moment(reach) || l.At > h.At+quantity.Moment(reach) && l.Kind != Reopen && l.Kind != Close && l.Kind != Void:
		return &Refusal{Field: "at", say: func(s quantity.Style) string {
			return fmt.Sprintf("%s is more than a day and a half from the melt's start, %s. Check the date, and type when it really happened; if this melt is long over, close it or make it void.", s.DateTime(l.At), s.DateTime(h.At))
		}}
	}
	return nil
}

// checkOrder holds a line's time against the order in which a melt must happen.
func checkOrder(standing []Line, l Line) Refusals {
	if r := outOfOrder(standing, l); r != nil {
		return Refusals{*r}
	}
	if l.Meter != nil {
		return checkMeter(standing, l)
	}
	return nil
}

// after lists what must have happened before a line of a kind can: one of the
// kinds at the latest at the same moment.
var after = map[Kind]struct {
	kinds []Kind
	what  string
}{
	Isolated:    {[]Kind{PowerOn}, "power on"},
	FirstLiquid: {[]Kind{Charge, HeelIn}, "charge"},
	AllMolten:   {[]Kind{Charge, HeelIn}, "charge"},
	Skim:        {[]Kind{Charge, HeelIn}, "charge"},
	Pour:        {[]Kind{Charge, HeelIn}, "charge"},
}

// outOfOrder finds what contradicts the line's time, nil when nothing does.
func outOfOrder(standing []Line, l Line) *Refusal {
	if rule, ok := after[l.Kind]; ok {
		if r := needsBefore(standing, l, rule.kinds, rule.what); r != nil {
			return r
		}
	}
	switch l.Kind {
	case PowerOn:
		if on := powerAt(standing, l.At); on != nil {
			return clash(l, *on, "The power is on since %s already, so %s cannot be a power-on too. If it was cut in between, write the isolation first.")
		}
	case Isolated:
		if powerAt(standing, l.At) == nil {
			off, _ := Last(upTo(standing, l.At), Isolated)
			return clash(l, off, "The power is isolated since %s already, so it cannot be cut again at %s. If it was on in between, write the power-on first.")
		}
	case FirstLiquid:
		if done, ok := First(standing, AllMolten); ok && done.At < l.At {
			return clash(l, done, "All was molten at %s, so the first liquid cannot have come at %s. Check the time, or strike the other line.")
		}
	case AllMolten:
		if first, ok := First(standing, FirstLiquid); ok && first.At > l.At {
			return clash(l, first, "The first liquid was seen at %s, so all cannot have been molten at %s. Check the time, or strike the other line.")
		}
	case Close:
		if n := len(standing); n > 0 && standing[n-1].At > l.At {
			return clash(l, standing[n-1], "The last line is of %s, so the melt cannot have closed at %s. Type a later time.")
		}
	}
	return nil
}

func needsBefore(standing []Line, l Line, kinds []Kind, what string) *Refusal {
	var earliest *Line
	for _, k := range kinds {
		if x, ok := First(standing, k); ok && (earliest == nil || x.At < earliest.At) {
			earliest = &x
		}
	}
	if earliest == nil {
		r := refuse("at", fmt.Sprintf("There is no %s in this melt yet. Write that first, with the time it happened.", what))
		return &r
	}
	if earliest.At > l.At {
		return clash(l, *earliest, "The first "+what+" is of %s, so this cannot have happened at %s. Check the time, or write the earlier "+what+" first.")
	}
	return nil
}

// powerAt gives the power-on line in force at a moment, nil when there is none.
func powerAt(standing []Line, at quantity.Moment) *Line {
	var on *Line
	for _, x := range upTo(standing, at) {
		switch x.Kind {
		case PowerOn:
			on = &x
		case Isolated:
			on = nil
		}
	}
	return on
}

// clash words a contradiction between two lines' times; the format takes the
// other line's clock and then this one's.
func clash(l, other Line, format string) *Refusal {
	return &Refusal{Field: "at", say: func(s quantity.Style) string {
		return fmt.Sprintf(format, s.Clock(other.At), s.Clock(l.At))
	}}
}

// checkMeter refuses a meter that runs backwards.
func checkMeter(standing []Line, l Line) Refusals {
	for _, x := range standing {
		if x.Meter == nil {
			continue
		}
		first := x.At < l.At || x.At == l.At && writing(x) < writing(l)
		if first && *x.Meter > *l.Meter || !first && *x.Meter < *l.Meter {
			return Refusals{{Field: "meter", say: func(s quantity.Style) string {
				return fmt.Sprintf("The meter showed %s at %s, so it cannot show %s at %s. Check both, and strike the one that is wrong.",
					s.Energy(*x.Meter), s.Clock(x.At), s.Energy(*l.Meter), s.Clock(l.At))
			}}}
		}
	}
	return nil
}
