package table_test

import (
	"testing"
	"time"

	"drosswise/foundry/quantity"
	"drosswise/foundry/table"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestGuessesTheDecimalMark(t *testing.T) {
	for name, c := range map[string]struct {
		cells []string
		is    table.Mark
		sure  bool
	}{
		"points":            {[]string{"1.5", "2.25 kg", "1,234"}, table.Point, true},
		"commas":            {[]string{"1,5", "2,25 kg", "1.234"}, table.CommaMark, true},
		"grouped, points":   {[]string{"1,234.5"}, table.Point, true},
		"grouped, commas":   {[]string{"1.234,5"}, table.CommaMark, true},
		"below one":         {[]string{"0,125"}, table.CommaMark, true},
		"mixed":             {[]string{"1,5", "1,25", "2.5"}, table.CommaMark, false},
		"thousands perhaps": {[]string{"1.234", "12"}, table.CommaMark, false}, // the usual one
		"dates and times":   {[]string{"1.3.2024", "14:30", "-"}, table.CommaMark, false},
	} {
		t.Run(name, func(t *testing.T) {
			got := table.GuessMark(c.cells, table.CommaMark)
			assert.Equal(t, c.is, got.Is)
			assert.Equal(t, c.sure, got.Sure)
			assert.NotEmpty(t, got.Why)
		})
	}
}

func TestReadsNumbersInOneWay(t *testing.T) {
	for _, c := range []struct {
		cell string
		mark table.Mark
		kg   float64
	}{
		{"1,234", table.Point, 1234}, {"1,234", table.CommaMark, 1.234}, {"1.234", table.CommaMark, 1234}, {"1.234", table.Point, 1.234},
		{"0.125", table.CommaMark, 0.125}, {"1,5", table.Point, 1.5}, {"1.234,5", table.CommaMark, 1234.5}, {"1,234 g", table.Point, 1.234},
	} {
		m, err := quantity.Style{}.ReadMass(table.Number(c.cell, c.mark))
		require.NoError(t, err, c.cell)
		assert.Equal(t, quantity.Mass(c.kg*1e6), m, "%s with %s", c.cell, c.mark)
	}
}

func TestGuessesTheOrderOfDates(t *testing.T) {
	for name, c := range map[string]struct {
		cells []string
		is    table.Order
		sure  bool
	}{
		"day above 12":   {[]string{"3/4/2024", "13/4/2024"}, table.DayFirst, true},
		"month above 12": {[]string{"3/4/2024", "4/13/2024"}, table.MonthFirst, true},
		"both":           {[]string{"14/3/2024", "4/13/2024", "4/14/2024"}, table.MonthFirst, false},
		"runs by day":    {[]string{"5/1/2024", "2/2/2024", "7/2/2024"}, table.DayFirst, false},
		"runs by month":  {[]string{"1/5/2024", "2/2/2024", "2/7/2024"}, table.MonthFirst, false},
		"points":         {[]string{"5.1.2024", "5.1.2024"}, table.DayFirst, false},
		"year first":     {[]string{"2024-05-01", ""}, table.DayFirst, true},
		"open":           {[]string{"5/1/2024"}, table.DayFirst, false},
		"days counted":   {[]string{"", "45352", "45353,5"}, table.Serial, false},
		"one of them":    {[]string{"45352", "1.3.2024"}, table.DayFirst, false},
		"masses":         {[]string{"45352", "1200"}, table.DayFirst, true},
	} {
		t.Run(name, func(t *testing.T) {
			got := table.GuessOrder(c.cells)
			assert.Equal(t, c.is, got.Is, got.Why)
			assert.Equal(t, c.sure, got.Sure, got.Why)
			assert.NotEmpty(t, got.Why)
		})
	}
}

func TestReadsDatesAsPeopleWriteThem(t *testing.T) {
	for _, c := range []struct {
		cell  string
		order table.Order
		date  string
	}{
		{"2024-03-01", table.DayFirst, "2024-03-01"}, {"2024/3/1", table.MonthFirst, "2024-03-01"}, {"20240301", table.DayFirst, "2024-03-01"},
		{"1.3.2024", table.DayFirst, "2024-03-01"}, {"1. 3. 2024", table.DayFirst, "2024-03-01"}, {"01-03-24", table.DayFirst, "2024-03-01"},
		{"3/1/2024", table.MonthFirst, "2024-03-01"}, {"3/1/24", table.MonthFirst, "2024-03-01"}, {"1/3/98", table.DayFirst, "1998-03-01"},
		{"1 Mar 2024", table.MonthFirst, "2024-03-01"}, {"1st March 2024", table.DayFirst, "2024-03-01"}, {"March 1, 2024", table.DayFirst, "2024-03-01"},
		{"3. Mai 2024", table.DayFirst, "2024-05-03"}, {"1. März 2024", table.DayFirst, "2024-03-01"}, {"31 Dez. 2024", table.DayFirst, "2024-12-31"},
		{"Fri 1-Mar-24", table.DayFirst, "2024-03-01"}, {"29.2.2024", table.DayFirst, "2024-02-29"}, {"Mon, 4 March 2024", table.DayFirst, "2024-03-04"},
	} {
		got, err := table.Date(c.cell, c.order)
		require.NoError(t, err, c.cell)
		assert.Equal(t, c.date, got, c.cell)
	}
	for _, cell := range []string{"", "yesterday", "31.2.2024", "13/13/2024", "2024", "1.3", "45352", "29.2.2023", "3 Foo 2024", "1/3/20245"} {
		_, err := table.Date(cell, table.DayFirst)
		var r *quantity.Refusal
		require.ErrorAs(t, err, &r, cell)
		assert.Contains(t, r.Sentence, "Type it like")
	}
}

// TestReadsDaysCounted has days that are known: 1 January 1970 is 25569 days
// after day 0, and 36526 is the first day of 2000, by the calendar of the time
// package as well. The rule is that of ECMA-376-1, 2016, 18.17.4.1.
func TestReadsDaysCounted(t *testing.T) {
	zone, err := time.LoadLocation("Europe/Berlin")
	require.NoError(t, err)
	s := quantity.Style{Zone: zone}
	unix := time.Unix(0, 0).UTC().Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24
	assert.Equal(t, 25569.0, unix)
	for cell, want := range map[string]time.Time{
		"36526":       time.Date(2000, 1, 1, 0, 0, 0, 0, zone),
		"45352":       time.Date(2024, 3, 1, 0, 0, 0, 0, zone),
		"45352.5":     time.Date(2024, 3, 1, 12, 0, 0, 0, zone),
		"45352,61531": time.Date(2024, 3, 1, 14, 46, 3, 0, zone),
	} {
		m, timed, err := table.Moment(cell, table.Serial, s)
		require.NoError(t, err, cell)
		assert.Equal(t, want.Hour() > 0, timed, cell)
		assert.Equal(t, quantity.At(want), m, cell)
	}
	for _, cell := range []string{"", "1200", "99999", "1.3.2024", "NaN", "4e4x"} {
		_, _, err := table.Moment(cell, table.Serial, s)
		var r *quantity.Refusal
		assert.ErrorAs(t, err, &r, cell)
	}
}

func TestReadsTimesOfDay(t *testing.T) {
	for cell, clock := range map[string]string{
		"14:46": "14:46", "14.46": "14:46", "14h46": "14:46", "9:05": "09:05", "2:46 PM": "14:46", "2:46pm": "14:46", "12:10 am": "00:10",
		"12:10 p.m.": "12:10", "9 am": "09:00", "14:46:05": "14:46:05", "14:46:05.1234": "14:46:05.123",
	} {
		got, err := table.Clock(cell)
		require.NoError(t, err, cell)
		assert.Equal(t, clock, got, cell)
	}
	for _, cell := range []string{"", "14", "25:00", "14:60", "13:00 pm", "noon"} {
		_, err := table.Clock(cell)
		assert.Error(t, err, cell)
	}
}

func TestReadsMomentsOnTheShopsClock(t *testing.T) {
	zone, err := time.LoadLocation("Europe/Berlin")
	require.NoError(t, err)
	s := quantity.Style{Zone: zone}
	for cell, want := range map[string]struct {
		at    time.Time
		timed bool
	}{
		"1.3.2024":                  {time.Date(2024, 3, 1, 0, 0, 0, 0, zone), false},
		"1.3.2024 14:46":            {time.Date(2024, 3, 1, 14, 46, 0, 0, zone), true},
		"2024-03-01T14:46:05Z":      {time.Date(2024, 3, 1, 14, 46, 5, 0, time.UTC), true},
		"2024-03-01 14:46:05+02:00": {time.Date(2024, 3, 1, 12, 46, 5, 0, time.UTC), true},
		"2024-03-01T02:00-0500":     {time.Date(2024, 3, 1, 7, 0, 0, 0, time.UTC), true},
	} {
		m, timed, err := table.Moment(cell, table.DayFirst, s)
		require.NoError(t, err, cell)
		assert.Equal(t, want.timed, timed, cell)
		assert.Equal(t, quantity.At(want.at), m, cell)
	}
	for _, cell := range []string{"", "1.3.2024 noon", "31.3.2024 02:30", "1.3.1850"} {
		_, _, err := table.Moment(cell, table.DayFirst, s)
		var r *quantity.Refusal
		assert.ErrorAs(t, err, &r, cell)
	}
}
