// Package alloy knows the aluminium alloys that scrap is usually made of: when
// they melt, how dense they are cold, what heat melting takes, and where they
// are commonly poured. It looks alloys up by name and does not judge whether a
// piece of scrap is one.
package alloy

import (
	"strings"

	"drosswise/foundry/quantity"
)

// What a figure rests on.
const (
	Published = "published" // a copy of the source's figure was read
	Memory    = "memory"    // recalled, not opened again
	Practice  = "practice"  // common practice, no source
)

// Alloy is one row of the table. Equivalents are near matches in other
// standards, for reading only; Find does not follow them.
type Alloy struct {
	Name        string
	Family      string
	Equivalents string

	Solidus  quantity.Temperature
	Liquidus quantity.Temperature
	Density  float64 // g/cm³, solid at room temperature
	// LatentHeat is the heat of melting in kJ/kg; 0 means not known here.
	LatentHeat float64
	// PourMin and PourMax bound the usual pouring temperature; they are equal
	// where the source gives a single one.
	PourMin quantity.Temperature
	PourMax quantity.Temperature

	MeltingFlag string // what Solidus and Liquidus rest on
	DensityFlag string
	LatentFlag  string
	PourFlag    string
}

// Find looks an alloy up by name. Case, spaces and hyphens do not matter, and
// the ".0" of a cast alloy may be left out: "a380" finds A380.0.
func Find(name string) (Alloy, bool) {
	wanted := key(name)
	for _, a := range table {
		if key(a.Name) == wanted {
			return a, true
		}
	}
	return Alloy{}, false
}

// key reduces a name to what tells alloys apart.
func key(name string) string {
	name = strings.Join(strings.Fields(strings.ToUpper(name)), "")
	name = strings.ReplaceAll(name, "-", "")
	return strings.TrimSuffix(name, ".0")
}
