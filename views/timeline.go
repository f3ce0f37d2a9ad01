package views

import (
	"drosswise/foundry/quantity"
)

// Timeline is what served when, as bars on one rule of time.
type Timeline struct {
	Title    string // said to screen readers
	From, To quantity.Moment
	Rows     []Served
}

// Served is one piece with the time that it served.
type Served struct {
	Name     string
	Href     string
	From, To quantity.Moment
	Note     string // such as "29 heats, 52 h hot"
	Now      bool   // it still serves: its bar is open to the right
}

func (t Timeline) at(m quantity.Moment) percent {
	return place(float64(m), float64(t.From), float64(t.To))
}

// width is at least wide enough to be seen.
func (t Timeline) width(r Served) string {
	end := t.at(r.To)
	if r.Now {
		end = full
	}
	const least = 100
	return max(end-t.at(r.From), least).String()
}

func (r Served) says(s quantity.Style) string {
	if r.Now {
		return "since " + s.Date(r.From)
	}
	return s.Date(r.From) + " to " + s.Date(r.To)
}
