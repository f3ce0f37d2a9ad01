package notebook

import (
	"drosswise/foundry/quantity"
	"drosswise/foundry/table"
)

// Match says what the columns of a table are, and what none of them says. It is
// kept as JSON, so that a table with the same columns needs no matching again.
type Match struct {
	Columns    map[string]Field  `json:"columns"`           // by the table's own names
	Order      table.Order       `json:"order,omitempty"`   // "" to find it out
	Mark       table.Mark        `json:"mark,omitempty"`    // "" to find it out
	Mass       quantity.MassUnit `json:"mass"`              // of masses whose cell and heading say nothing
	Fahrenheit bool              `json:"fahrenheit"`        // temperatures that say nothing are in °F
	Furnace    int64             `json:"furnace"`           // of rows that name none, 0 when there is none
	Crucible   int64             `json:"crucible"`          // of rows that name none, 0 for not said
	Element    int64             `json:"element,omitempty"` // of rows that name none, 0 for not said
	Probe      int64             `json:"probe,omitempty"`   // of rows that name none, 0 for not said
	Scale      int64             `json:"scale"`             // all masses were read on it, 0 for not said
}

// Guess matches a table's columns by their names. A column that nobody knows is
// kept as words; one without a name is left out.
func Guess(t table.Table, s quantity.Style) Match {
	m := Match{Columns: map[string]Field{}, Mass: s.MassUnit, Fahrenheit: s.Fahrenheit}
	for _, spec := range specs {
		for _, c := range t.Columns {
			if _, taken := m.Columns[c]; !taken && t.Titled && spec.fits(c) {
				m.Columns[c] = spec.Field
				if spec.Field != Note {
					break
				}
			}
		}
	}
	for _, c := range t.Columns {
		if _, taken := m.Columns[c]; !taken && t.Titled {
			m.Columns[c] = Note
		}
	}
	if m.column(t, Date) < 0 {
		m.guessDate(t)
	}
	return m
}

// guessDate takes the first column whose cells are dates.
func (m Match) guessDate(t table.Table) {
	for i, c := range t.Columns {
		dates := 0
		for _, r := range t.Rows {
			_, _, day := table.Moment(r.Cells[i], table.DayFirst, quantity.Style{})
			_, _, month := table.Moment(r.Cells[i], table.MonthFirst, quantity.Style{})
			if day == nil || month == nil {
				dates++
			}
		}
		if dates*2 > len(t.Rows) {
			m.Columns[c] = Date
			return
		}
	}
}

// For gives the match with what this table has: its columns, and no others.
func (m Match) For(t table.Table) Match {
	kept := m
	kept.Columns = map[string]Field{}
	for _, c := range t.Columns {
		kept.Columns[c] = m.Columns[c]
	}
	return kept
}

// column is where a field stands in a table, -1 for nowhere.
func (m Match) column(t table.Table, f Field) int {
	for i, c := range t.Columns {
		if m.Columns[c] == f {
			return i
		}
	}
	return -1
}

// Check says what is wrong with the match as a whole, by column name; "" stands
// for no column.
func (m Match) Check(t table.Table) []Said {
	var all []Said
	first := map[Field]string{}
	for _, c := range t.Columns {
		f := m.Columns[c]
		had, twice := first[f]
		if f == LeftOut || f == Note {
			continue
		}
		if twice {
			spec, _ := SpecOf(f)
			all = append(all, Said{c, "“" + had + "” is “" + spec.Label + "” already. Choose something else for one of the two; both can go into the note."})
			continue
		}
		first[f] = c
	}
	if _, ok := first[Date]; !ok {
		all = append(all, Said{"", "No column is the date. Choose the one that says when the melt was: without a day a row is no melt."})
	}
	return all
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
		spec, _ := SpecOf(m.Columns[c])
		switch {
		case spec.Field == Date:
			dates = t.Column(i)
		case spec.kind != words && spec.kind != count:
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
