package tariff

import (
	"time"

	"drosswise/foundry/quantity"
)

const (
	dayMinutes = 24 * 60
	day        = 24 * quantity.Hour
)

// wall gives the time since midnight that the clock on the wall shows, exactly
// and in whole minutes.
func wall(zone *time.Location, at quantity.Moment) (past quantity.Span, minute int) {
	t := at.Time()
	if zone != nil {
		t = t.In(zone)
	}
	past = quantity.Span(t.Hour())*quantity.Hour + quantity.Span(t.Minute())*quantity.Minute +
		quantity.Span(t.Second())*quantity.Second + quantity.Span(t.Nanosecond()/int(time.Millisecond))
	return past, t.Hour()*60 + t.Minute()
}

// nextChange is the next moment after this one at which the price may change.
// Between changes of the clocks the wall runs evenly, so that the time to a
// band's edge is a subtraction; at a change of the clocks it looks anew.
func nextChange(list []Tariff, zone *time.Location, at quantity.Moment) quantity.Moment {
	now, start, more := inForce(list, at)
	next := at + quantity.Moment(day)
	if more && start < next {
		next = start
	}
	if now == nil {
		return next
	}
	if zone != nil {
		if _, end := at.Time().In(zone).ZoneBounds(); !end.IsZero() {
			next = min(next, quantity.At(end))
		}
	}
	past, _ := wall(zone, at)
	for _, band := range now.Bands {
		for _, edge := range []int{band.FromMinute, band.ToMinute} {
			wait := quantity.Span(edge)*quantity.Minute - past
			if wait <= 0 {
				wait += day
			}
			next = min(next, at+quantity.Moment(wait))
		}
	}
	return next
}
