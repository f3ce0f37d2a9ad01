package table

import (
	"fmt"
	"strconv"
)

// GuessOrder finds out whether the dates in a column have the day or the month
// first. A number above 12 tells; then whether the dates run on in one order
// only, as rows of a log do; then points between the numbers, which stand in
// dates with the day first. A column of numbers only is days counted.
func GuessOrder(cells []string) Guess[Order] {
	if g, ok := guessSerial(cells); ok {
		return g
	}
	var days, months, points, either int
	var day, month string
	for _, c := range cells {
		p := yearLast.FindStringSubmatch(c)
		if p == nil {
			continue
		}
		first, _ := strconv.Atoi(p[1])
		second, _ := strconv.Atoi(p[3])
		either++
		switch {
		case first > 12 && second <= 12:
			days, day = days+1, c
		case second > 12 && first <= 12:
			months, month = months+1, c
		}
		if p[2] == "." {
			points++
		}
	}
	const usual = "The day is taken first. See whether the dates below came out right, and choose the other order if not."
	switch {
	case either == 0:
		return Guess[Order]{DayFirst, true, "No date of the column leaves it open."}
	case days > 0 && months > 0 && days >= months:
		return Guess[Order]{DayFirst, false, fmt.Sprintf("Most dates have the day first, like %s, but %s has it second.", short(day), short(month))}
	case days > 0 && months > 0:
		return Guess[Order]{MonthFirst, false, fmt.Sprintf("Most dates have the month first, like %s, but %s has it second.", short(month), short(day))}
	case days > 0:
		return Guess[Order]{DayFirst, true, fmt.Sprintf("%s can only have the day first.", short(day))}
	case months > 0:
		return Guess[Order]{MonthFirst, true, fmt.Sprintf("%s can only have the month first.", short(month))}
	}
	dayRuns, monthRuns := runs(cells, DayFirst), runs(cells, MonthFirst)
	switch {
	case dayRuns && !monthRuns:
		return Guess[Order]{DayFirst, false, "Read with the day first, the dates run on from row to row."}
	case monthRuns && !dayRuns:
		return Guess[Order]{MonthFirst, false, "Read with the month first, the dates run on from row to row."}
	case points == either:
		return Guess[Order]{DayFirst, false, "Dates with points have the day first as a rule."}
	}
	return Guess[Order]{DayFirst, false, "No date tells whether the day or the month comes first. " + usual}
}

// runs reports whether the dates never go back from row to row, or never
// forward, and are not all the same.
func runs(cells []string, o Order) bool {
	last, up, down := "", false, false
	for _, c := range cells {
		date, _, err := splitDay(c, o)
		if err != nil {
			continue
		}
		if last != "" {
			up, down = up || date > last, down || date < last
		}
		last = date
	}
	return up != down
}
