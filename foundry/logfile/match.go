package logfile

import (
	"drosswise/foundry/quantity"
	"drosswise/foundry/table"
)

// Match says what the columns of a logger's table are, and what none of them
// says. It is kept as JSON.
type Match struct {
	Columns map[string]Field `json:"columns"`         // by the table's own names
	Order   table.Order      `json:"order,omitempty"` // "" to find it out
	Mark    table.Mark       `json:"mark,omitempty"`  // "" to find it out
	Start   quantity.Moment  `json:"start,omitempty"` // from which times since the start count, 0 for not said
	Ahead   quantity.Span    `json:"ahead,omitempty"` // by how much the logger's clock was ahead, negative for behind
}

// Kept is what of a match holds for the next file with these columns: the start
// and how far the clock was off are of one file.
func (m Match) Kept() Match {
	m.Start, m.Ahead = 0, 0
	return m
}

// Fits reports whether the match is of the columns of this table.
func (m Match) Fits(t table.Table) bool {
	for _, c := range t.Columns {
		if _, ok := m.Columns[c]; !ok {
			return false
		}
	}
	return true
}

// Said is a sentence about a column, "" for the table as a whole.
type Said struct{ Column, Sentence string }

// Check says what is wrong with the match as a whole.
func (m Match) Check(t table.Table) []Said {
	var all []Said
	times, readings := map[Field]string{}, 0
	for _, c := range t.Columns {
		f := m.Columns[c]
		spec, ok := SpecOf(f)
		switch {
		case !ok:
		case spec.Channel != "":
			readings++
		case times[f] != "":
			all = append(all, Said{c, "“" + times[f] + "” is that already. Leave one of the two out."})
		default:
			times[f] = c
		}
	}
	named := 0 // ways in which a row says when it was
	for f := range times {
		if f.since() || f.unix() {
			named++
		}
	}
	_, dated := times[Date]
	_, clocked := times[Clock]
	if dated || clocked {
		named++
	}
	switch {
	case named == 0:
		all = append(all, Said{"", "No column is the time. Choose the one that says when a row was read."})
	case named > 1:
		all = append(all, Said{"", "More than one column says when. Keep one, or a date and a time of day, and leave the others out."})
	case m.Counts() && m.Start == 0:
		all = append(all, Said{"", "The times count from a start that the file does not say. Say below when that was."})
	}
	if readings == 0 {
		all = append(all, Said{"", "No column is a reading. Choose what at least one of them is of."})
	}
	return all
}

// Counts reports whether the times count from a start.
func (m Match) Counts() bool {
	for _, f := range m.Columns {
		if f.since() {
			return true
		}
	}
	return false
}

// Reasons is what was found out about how a table is written.
type Reasons struct {
	Order table.Guess[table.Order]
	Mark  table.Guess[table.Mark]
}

// Because finds out how dates and numbers of the matched columns are written.
// What the match itself says is taken as it is.
func Because(t table.Table, m Match, s quantity.Style) Reasons {
	var r Reasons
	var dates, numbers []string
	for i, c := range t.Columns {
		f := m.Columns[c]
		spec, _ := SpecOf(f)
		switch {
		case f == Date:
			dates = t.Column(i)
		case spec.Channel != "", f == Seconds, f == Minutes, f == Hours:
			numbers = append(numbers, t.Column(i)...)
		}
	}
	usual := table.Point
	if s.Comma {
		usual = table.CommaMark
	}
	r.Order, r.Mark = table.GuessOrder(dates), table.GuessMark(numbers, usual)
	if m.Order != "" {
		r.Order = table.Guess[table.Order]{Is: m.Order, Sure: true, Why: "You chose it."}
	}
	if m.Mark != "" {
		r.Mark = table.Guess[table.Mark]{Is: m.Mark, Sure: true, Why: "You chose it."}
	}
	return r
}
