package views

import "drosswise/foundry/quantity"

// calendarSays is what stands on the account page about the calendar.
func calendarSays(since *quantity.Moment, s quantity.Style) string {
	const what = "What is due for a look, with its day, for the calendar on your phone. It has a private address: who has it sees what shop and kit are called and when kit is due, and nothing else."
	if since == nil {
		return what
	}
	return what + " Yours was made on " + s.Date(*since) + ". A new one ends it."
}

// CalendarGiven shows the address of a calendar once, to the person it is for.
type CalendarGiven struct{ Address string }

func (p CalendarGiven) field() Field {
	return Field{Name: "link", Label: "The address", Value: p.Address}
}
