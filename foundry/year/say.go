package year

import (
	"math"
	"strconv"
	"time"

	"drosswise/foundry/quantity"
)

// Least is how many melts a year must have for it to be compared with another:
// fewer tell of the melts and not of the year. Common practice, no source.
const Least = 5

// Say tells in words what the year came to, beside the year before.
func (y Year) Say(before Year, s quantity.Style) []string {
	t, was := y.Total(), before.Total()
	if t.Melts == 0 {
		return nil
	}
	name := strconv.Itoa(y.Of)
	if t.Melts < Least {
		return []string{"With " + count(t.Melts) + " the figures tell of those melts, not of the year. Five or more can be compared with another year."}
	}
	symbol, kg := s.PriceMass()
	var all []string
	add := func(text string) { all = append(all, text) }
	compared := was.Melts >= Least
	if now, ok := t.Yield(); ok {
		text := s.Percent(now, 1) + " of the charge came back as metal"
		if then, ok := was.Yield(); ok && compared {
			text += change(100*(now-then), 1, " points", before.Of, s)
			text += ". Other scrap changes that as well as other work"
		}
		add(text + ".")
	}
	if now, ok := t.PerKg(); ok {
		text := "Melting took " + s.Number(now*kg, 2) + " kWh for each " + symbol + " charged"
		if then, ok := was.PerKg(); ok && compared {
			text += change((now-then)*kg, 2, " kWh", before.Of, s)
		}
		add(text + ".")
	}
	if now, ok := t.CashPerKg(); ok {
		coin := math.Pow10(-s.Exponent())
		text := "A " + symbol + " of metal cost " + s.Number(now*coin*kg, s.Exponent()) + " " + s.Currency + " in cash"
		if then, ok := was.CashPerKg(); ok && compared {
			text += change((now-then)*coin*kg, s.Exponent(), " "+s.Currency, before.Of, s)
		}
		add(text + ".")
	}
	if !compared {
		add("There are too few melts in " + strconv.Itoa(before.Of) + " to compare " + name + " with.")
	}
	if m, ok := y.busiest(); ok {
		add("The most was charged in " + m.String() + ", " + s.MassTo(y.Months[m-1].Charged, y.Months[m-1].Charged/200) + ".")
	}
	return append(all, t.lacks(s)...)
}

// lacks says how much of the charge the ratios know nothing of, from a
// twentieth on.
func (t Sums) lacks(s quantity.Style) []string {
	var all []string
	few := func(known quantity.Mass) bool { return known < t.Charged-t.Charged/20 }
	rest := func(known quantity.Mass) string { return s.MassTo(t.Charged-known, t.Charged/200) }
	if few(t.YieldCharged) {
		all = append(all, rest(t.YieldCharged)+" of the charge are left out of the recovery: steel that was found, and melts without weighed ingots.")
	}
	if few(t.EnergyCharged) {
		all = append(all, rest(t.EnergyCharged)+" of the charge went into melts whose electricity is not known.")
	}
	if t.Priced < t.Melts {
		all = append(all, "The cost of "+count(t.Melts-t.Priced)+" is not known.")
	}
	return all
}

// change says how far something has moved since another year.
func change(by float64, decimals int, unit string, since int, s quantity.Style) string {
	size := math.Round(math.Abs(by)*math.Pow10(decimals)) / math.Pow10(decimals)
	year := strconv.Itoa(since)
	switch {
	case size == 0:
		return ", as in " + year
	case by > 0:
		return ", " + s.Number(size, decimals) + unit + " more than in " + year
	}
	return ", " + s.Number(size, decimals) + unit + " less than in " + year
}

// busiest is the month in which most was charged; ok is false while only one
// had melts.
func (y Year) busiest() (most time.Month, ok bool) {
	months := 0
	for i, m := range y.Months {
		if m.Melts == 0 {
			continue
		}
		months++
		if most == 0 || m.Charged > y.Months[most-1].Charged {
			most = time.Month(i + 1)
		}
	}
	return most, months > 1
}

func count(melts int) string {
	if melts == 1 {
		return "one melt"
	}
	return strconv.Itoa(melts) + " melts"
}
