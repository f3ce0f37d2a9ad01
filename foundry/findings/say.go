package findings

import (
	"fmt"
	"math"
	"strings"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
)

// money shows an amount in the shop's currency, to its smallest coin.
func money(s quantity.Style, x float64) string {
	return s.Money(quantity.Money(math.Round(x * math.Pow10(s.Exponent()))))
}

// unit is the mass that a shop speaks of prices by, in kilograms.
func unit(s quantity.Style) (name string, kg float64) {
	symbol, kg := s.PriceMass()
	if symbol == "lb" {
		return "pound", kg
	}
	return "kilogram", kg
}

// between shows a range of money with its middle first.
func between(s quantity.Style, r recovery.Range) string {
	return fmt.Sprintf("%s, between %s and %s (9 chances in 10)", money(s, r.Middle), money(s, r.Low), money(s, r.High))
}

func scaled(r recovery.Range, by float64) recovery.Range {
	return recovery.Range{Low: r.Low * by, Middle: r.Middle * by, High: r.High * by}
}

func sentences(parts ...string) string {
	var some []string
	for _, p := range parts {
		if p != "" {
			some = append(some, p)
		}
	}
	return strings.Join(some, " ")
}

// count puts a number before a word.
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func listed(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

// percentage shows a chance in whole per cent, never as a certainty.
func percentage(s quantity.Style, chance float64) string {
	switch {
	case chance > 0.99:
		return "more than " + s.Percent(0.99, 0)
	case chance < 0.01:
		return "less than " + s.Percent(0.01, 0)
	}
	return s.Percent(chance, 0)
}
