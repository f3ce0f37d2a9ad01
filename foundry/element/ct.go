package element

import (
	"slices"

	"drosswise/foundry/quantity"
)

// Ct gives how many times its ohms at 20 °C a wire has at a temperature, by the
// first of its tables. It says false for a wire without a table and beyond the
// table's end.
func (w Wire) Ct(t quantity.Temperature) (ratio float64, ok bool) {
	names := w.CtTables()
	if len(names) == 0 {
		return 0, false
	}
	return Ct(names[0], t)
}

// CtTables names the tables that fit a wire, the one to use first. NiCr wire
// has two that disagree: for 80/20 at 1000 °C they print 1.05 and 1.014.
func (w Wire) CtTables() []string { return slices.Clone(ctOf[w.Name]) }

// Ct reads a table at a temperature, by a straight line between its rows, which
// are 100 °C apart. Below 20 °C it is 1, good to 0.6 % in any shed. It says
// false for an unknown table and beyond its end.
func Ct(table string, t quantity.Temperature) (ratio float64, ok bool) {
	ratios, ok := ctTables[table]
	if !ok {
		return 0, false
	}
	return interpolate(ratios, t)
}

func interpolate(ratios []float64, t quantity.Temperature) (float64, bool) {
	if t <= 20*deg {
		return ratios[0], true
	}
	last := len(ratios) - 1
	step := int(t / (100 * deg))
	if step >= last {
		return ratios[last], t == quantity.Temperature(last)*100*deg
	}
	start, end := quantity.Temperature(step)*100*deg, quantity.Temperature(step+1)*100*deg
	if step == 0 {
		start = 20 * deg
	}
	share := float64(t-start) / float64(end-start)
	return ratios[step] + share*(ratios[step+1]-ratios[step]), true
}

// ctOf holds the names of the tables that fit a wire.
var ctOf = map[string][]string{
	"FeCrAl 22Cr-5.8Al":  {"FeCrAl 22Cr-5.8Al"},
	"FeCrAl 22Cr-5.3Al":  {"FeCrAl 22Cr-5.3Al"},
	"FeCrAl 22Cr-4.8Al":  {"FeCrAl 22Cr-4.8Al"},
	"FeCrAl 0Cr25Al5":    {"GB 0Cr25Al5"},
	"FeCrAl 0Cr21Al6Nb":  {"GB 0Cr21Al6Nb"},
	"FeCrAl 0Cr27Al7Mo2": {"GB 0Cr27Al7Mo2"},
	"FeCrAl 1Cr13Al4":    {"GB 1Cr13Al4"},
	"NiCr 80/20":         {"NiCr 80/20", "GB Cr20Ni80"},
	"NiCr 60/15":         {"NiCr 60/15", "GB Cr15Ni60"},
}

// ctTables holds ratios to the ohms at 20 °C: the first at 20 °C, then at 100,
// 200, 300 °C and so on. The GB tables are those of GB/T 1234 as an alloy maker
// prints them, the others those of a makers' handbook (2003).
var ctTables = map[string][]float64{
	"FeCrAl 22Cr-5.8Al": {1, 1, 1, 1, 1, 1.01, 1.02, 1.02, 1.03, 1.03, 1.04, 1.04, 1.04, 1.04, 1.05},                   // published
	"FeCrAl 22Cr-5.3Al": {1, 1, 1.01, 1.01, 1.02, 1.03, 1.04, 1.04, 1.05, 1.05, 1.06, 1.06, 1.06, 1.06},                // memory
	"FeCrAl 22Cr-4.8Al": {1, 1, 1.01, 1.01, 1.02, 1.03, 1.04, 1.05, 1.06, 1.07, 1.07, 1.08, 1.08, 1.08},                // memory
	"NiCr 80/20":        {1, 1.01, 1.02, 1.03, 1.04, 1.05, 1.04, 1.04, 1.04, 1.04, 1.05, 1.06, 1.07},                   // published
	"NiCr 60/15":        {1, 1.02, 1.04, 1.05, 1.06, 1.08, 1.09, 1.09, 1.1, 1.1, 1.11, 1.12, 1.13},                     // memory
	"GB 1Cr13Al4":       {1, 1.005, 1.014, 1.028, 1.044, 1.064, 1.09, 1.12, 1.132, 1.142, 1.15},                        // published
	"GB 0Cr25Al5":       {1, 1.002, 1.005, 1.008, 1.013, 1.021, 1.03, 1.038, 1.04, 1.042, 1.044, 1.046, 1.047},         // published
	"GB 0Cr21Al6":       {1, 1, 1.002, 1.006, 1.011, 1.02, 1.037, 1.043, 1.046, 1.049, 1.052, 1.055, 1.058},            // published
	"GB 0Cr21Al4":       {1, 1.011, 1.025, 1.042, 1.061, 1.085, 1.12, 1.142, 1.154, 1.172, 1.18, 1.186},                // published
	"GB 0Cr21Al6Nb":     {1, 0.997, 0.996, 0.994, 0.991, 0.99, 0.99, 0.99, 0.99, 0.99, 0.99, 0.99, 0.99},               // published
	"GB 0Cr27Al7Mo2":    {1, 0.992, 0.986, 0.981, 0.978, 0.976, 0.974, 0.972, 0.97, 0.969, 0.968, 0.968, 0.967, 0.967}, // published
	"GB Cr20Ni80":       {1, 1.006, 1.012, 1.018, 1.025, 1.026, 1.018, 1.01, 1.008, 1.01, 1.014, 1.021, 1.025},         // published
	"GB Cr15Ni60":       {1, 1.011, 1.024, 1.038, 1.052, 1.064, 1.069, 1.073, 1.078, 1.088, 1.095, 1.109},              // published
}
