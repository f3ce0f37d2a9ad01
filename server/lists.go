package main

import (
	_ "embed"
	"strings"
	_ "time/tzdata" // zones are known where the machine has no table of them

	"drosswise/foundry/quantity"
	"drosswise/views"
)

//go:embed zones.txt
var zonesText string

// zones are the names of all time zones; currencies the codes and names of all
// currencies.
var (
	zones      = listed(zonesText)
	currencies = currencyOptions()
)

// listed gives the lines of a list without its comments.
func listed(text string) []string {
	var all []string
	for line := range strings.Lines(text) {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
			all = append(all, line)
		}
	}
	return all
}

func currencyOptions() []views.Option {
	all := make([]views.Option, len(quantity.Currencies))
	for i, c := range quantity.Currencies {
		all[i] = views.Option{Value: c.Code, Label: c.Code + ", " + c.Name}
	}
	return all
}

// findZone finds a zone by its name, or by its city where only one zone has
// that city; the case of letters, and spaces for underscores, do not matter.
func findZone(typed string) (zone string, ok bool) {
	typed = strings.ReplaceAll(typed, " ", "_")
	for _, z := range zones {
		if strings.EqualFold(z, typed) {
			return z, true
		}
	}
	for _, z := range zones {
		if city := z[strings.LastIndexByte(z, '/')+1:]; strings.EqualFold(city, typed) {
			if ok {
				return "", false
			}
			zone, ok = z, true
		}
	}
	return zone, ok
}
