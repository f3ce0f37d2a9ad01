package element

import (
	"strings"

	"drosswise/foundry/quantity"
)

// What a figure rests on.
const (
	Published = "published" // a copy of the source's figure was read
	Memory    = "memory"    // recalled, not opened again
)

// Wire is a heating alloy. Where a coil's alloy is not in the table, a Wire
// with only the resistivity serves the formulas.
type Wire struct {
	Name           string
	Standard       string
	Resistivity    float64              // Ω·mm²/m at 20 °C
	Tolerance      float64              // ± % of the resistivity
	Density        float64              // g/cm³
	MaxTemperature quantity.Temperature // of the wire itself, in air
	Melting        quantity.Temperature
	Emissivity     float64 // oxidised, 0 to 1; 0 means not known here
	Flag           string  // Published or Memory
}

// Wires lists the heating alloys in the order of the table.
func Wires() []Wire { return append([]Wire(nil), wires...) }

// Find looks a heating alloy up by name; case and spaces do not matter.
func Find(name string) (Wire, bool) {
	for _, w := range wires {
		if key(w.Name) == key(name) {
			return w, true
		}
	}
	return Wire{}, false
}

func key(name string) string {
	return strings.Join(strings.Fields(strings.ToUpper(name)), "")
}

const deg = quantity.Celsius

// A makers' handbook of resistance heating alloys (2003) and datasheets; the
// rows marked GB/T 1234 are an alloy maker's table to that standard. For NiCr
// 60/15, 1.11 and 1.12 Ω·mm²/m and 8.0 and 8.25 g/cm³ are printed too.
var wires = []Wire{
	{Name: "FeCrAl 22Cr-5.8Al", Standard: "ASTM B603 class I type; DIN 17470 CrAl 25 5 near", Resistivity: 1.45, Tolerance: 5, Density: 7.1, MaxTemperature: 1400 * deg, Melting: 1500 * deg, Emissivity: 0.7, Flag: Published},
	{Name: "FeCrAl 22Cr-5.3Al", Standard: "ASTM B603", Resistivity: 1.39, Tolerance: 5, Density: 7.15, MaxTemperature: 1300 * deg, Melting: 1500 * deg, Emissivity: 0.7, Flag: Memory},
	{Name: "FeCrAl 22Cr-4.8Al", Standard: "ASTM B603; DIN 17470 CrAl 20 5 near", Resistivity: 1.35, Tolerance: 5, Density: 7.25, MaxTemperature: 1300 * deg, Melting: 1500 * deg, Emissivity: 0.7, Flag: Memory},
	{Name: "FeCrAl 15Cr-4.3Al", Resistivity: 1.25, Tolerance: 5, Density: 7.28, MaxTemperature: 1100 * deg, Melting: 1500 * deg, Emissivity: 0.7, Flag: Published},
	{Name: "FeCrAl 0Cr25Al5", Standard: "GB/T 1234", Resistivity: 1.42, Tolerance: 4.2, Density: 7.1, MaxTemperature: 1250 * deg, Melting: 1500 * deg, Flag: Published},
	{Name: "FeCrAl 0Cr21Al6Nb", Standard: "GB/T 1234", Resistivity: 1.45, Tolerance: 4.8, Density: 7.1, MaxTemperature: 1350 * deg, Melting: 1510 * deg, Flag: Published},
	{Name: "FeCrAl 0Cr27Al7Mo2", Standard: "GB/T 1234", Resistivity: 1.53, Tolerance: 4.6, Density: 7.1, MaxTemperature: 1400 * deg, Melting: 1520 * deg, Flag: Published},
	{Name: "FeCrAl 1Cr13Al4", Standard: "GB/T 1234", Resistivity: 1.25, Tolerance: 6.4, Density: 7.4, MaxTemperature: 950 * deg, Melting: 1450 * deg, Flag: Published},
	{Name: "NiCr 80/20", Standard: "ASTM B344 80Ni-20Cr; DIN 17470 NiCr 80 20", Resistivity: 1.09, Tolerance: 5, Density: 8.3, MaxTemperature: 1200 * deg, Melting: 1400 * deg, Emissivity: 0.88, Flag: Published},
	{Name: "NiCr 60/15", Standard: "ASTM B344 60Ni-16Cr; DIN 17470 NiCr 60 15", Resistivity: 1.11, Tolerance: 5, Density: 8.2, MaxTemperature: 1150 * deg, Melting: 1390 * deg, Emissivity: 0.88, Flag: Memory},
}
