package quantity

import (
	_ "embed"
	"slices"
	"strings"
)

//go:embed currencies.txt
var currenciesText string

// Currency is a currency in use: its code in ISO 4217, and its name.
type Currency struct{ Code, Name string }

// Currencies are those that a shop can reckon in, by their codes.
var Currencies = func() (all []Currency) {
	for line := range strings.Lines(currenciesText) {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
			code, name, _ := strings.Cut(line, " ")
			all = append(all, Currency{code, name})
		}
	}
	return all
}()

// IsCurrency reports whether a shop can reckon in the currency of a code.
func IsCurrency(code string) bool {
	return slices.ContainsFunc(Currencies, func(c Currency) bool { return c.Code == code })
}
