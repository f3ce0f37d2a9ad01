// Package notebook makes melts of rows that were written elsewhere: of a table
// of old notes, whose columns somebody matched to ours. What a row does not say
// stays unknown, and what cannot be a figure is kept as words. It reads no file
// and writes no melt.
package notebook

import (
	"slices"
	"strings"
	"unicode"
)

// Field is what a column of a notebook can be.
type Field string

// The fields. A column that is none is left out.
const (
	LeftOut   Field = ""
	Date      Field = "date"
	Time      Field = "time"
	Number    Field = "number"
	Furnace   Field = "furnace"
	Crucible  Field = "crucible"
	Element   Field = "element"
	Probe     Field = "probe"
	Scrap     Field = "scrap"
	Charged   Field = "charged"
	Scrap2    Field = "scrap2"
	Charged2  Field = "charged2"
	Scrap3    Field = "scrap3"
	Charged3  Field = "charged3"
	HeelIn    Field = "heel_in"
	Energy    Field = "energy"
	MeterFrom Field = "meter_from"
	MeterTo   Field = "meter_to"
	Temp      Field = "temp"
	Count     Field = "count"
	Ingots    Field = "ingots"
	Spill     Field = "spill"
	Dross     Field = "dross"
	Steel     Field = "steel"
	HeelOut   Field = "heel_out"
	Cost      Field = "cost"
	Note      Field = "note"
)

// Spec says what a field is.
type Spec struct {
	Field Field
	Label string
	kind  kind
	names []string // how notebooks head it, in small letters and without units
}

// kind is how the cells of a field are read.
type kind int

const (
	words kind = iota
	mass
	energy
	temperature
	count
	money
)

// The headings are those that come to mind in English, German, French, Spanish
// and Dutch: from memory. Where two fields fit, the first is taken.
var specs = []Spec{
	{Date, "Date", words, []string{"date", "day", "when", "datum", "tag", "jour", "fecha", "datum tijd", "date time", "datetime"}},
	{Time, "Time of day", words, []string{"time", "start", "started", "began", "clock", "uhrzeit", "zeit", "beginn", "heure", "hora", "tijd"}},
	{Number, "Its number or name there", words, []string{"number", "no", "nr", "#", "id", "melt", "melt no", "heat", "heat no", "code", "batch", "nummer", "schmelze", "coulée", "numéro", "número", "smelt"}},
	{Furnace, "Furnace", words, []string{"furnace", "ofen", "four", "horno", "oven"}},
	{Crucible, "Crucible", words, []string{"crucible", "pot", "tiegel", "creuset", "crisol", "kroes"}},
	{Element, "Element set", words, []string{"element", "elements", "element set", "coil", "heizwendel", "heizelement", "wendel", "résistance", "resistencia", "verwarmingselement"}},
	{Probe, "Thermocouple", words, []string{"thermocouple", "probe", "thermoelement", "fühler", "sonde", "termopar", "thermokoppel"}},
	{Scrap, "Scrap", words, []string{"scrap", "source", "material", "what", "metal", "charge of", "schrott", "material", "quelle", "matière", "chatarra", "schroot", "scrap 1", "source 1"}},
	{Charged, "Charged, mass", mass, []string{"charged", "charge", "in", "mass in", "weight in", "input", "gross", "scrap weight", "einsatz", "eingesetzt", "gewicht", "masse", "weight", "mass", "chargé", "entrée", "carga", "peso", "inzet", "charge 1", "charged 1"}},
	{Scrap2, "Second scrap", words, []string{"scrap 2", "source 2", "material 2", "second scrap", "schrott 2"}},
	{Charged2, "Second scrap, mass", mass, []string{"charged 2", "charge 2", "mass 2", "weight 2", "in 2", "einsatz 2", "gewicht 2"}},
	{Scrap3, "Third scrap", words, []string{"scrap 3", "source 3", "material 3", "third scrap", "schrott 3"}},
	{Charged3, "Third scrap, mass", mass, []string{"charged 3", "charge 3", "mass 3", "weight 3", "in 3", "einsatz 3", "gewicht 3"}},
	{HeelIn, "Heel before, mass", mass, []string{"heel before", "heel in", "heel", "sumpf", "sumpf vorher"}},
	{Energy, "Energy", energy, []string{"energy", "power", "electricity", "energie", "strom", "électricité", "énergie", "energía", "stroom", "used"}},
	{MeterFrom, "Meter before", energy, []string{"meter before", "meter start", "meter from", "meter in", "zähler vorher", "zähler start", "zähler anfang"}},
	{MeterTo, "Meter after", energy, []string{"meter after", "meter end", "meter to", "meter out", "zähler nachher", "zähler ende"}},
	{Temp, "Temperature of the metal", temperature, []string{"temperature", "temp", "pouring temperature", "pour temp", "temperatur", "giesstemperatur", "gießtemperatur", "température", "temperatura", "temperatuur"}},
	{Count, "Ingots, how many", count, []string{"count", "pieces", "ingot count", "how many", "ingots made", "anzahl", "stück", "nombre", "aantal"}},
	{Ingots, "Ingots, mass", mass, []string{"ingots", "ingot weight", "ingot mass", "out", "output", "mass out", "weight out", "poured", "yield weight", "recovered", "good metal", "barren", "ausbringung", "gegossen", "lingots", "sortie", "lingotes", "gietsel"}},
	{Spill, "Spills, mass", mass, []string{"spill", "spills", "spilled", "verschüttet"}},
	{Dross, "Dross, mass", mass, []string{"dross", "slag", "krätze", "schlacke", "scorie", "crasse", "escoria", "slak"}},
	{Steel, "Steel found, mass", mass, []string{"steel", "steel found", "iron", "stahl", "eisen", "acier", "acero", "staal"}},
	{HeelOut, "Heel after, mass", mass, []string{"heel after", "heel out", "heel left", "left in pot", "sumpf nachher", "rest"}},
	{Cost, "Flux and additions, cost", money, []string{"flux cost", "cost", "flux", "kosten", "coût", "coste"}},
	{Note, "Into the note", words, []string{"note", "notes", "remark", "remarks", "comment", "comments", "bemerkung", "bemerkungen", "notiz", "remarque", "nota", "opmerking"}},
}

// Specs are all fields in the order of a melt.
func Specs() []Spec { return specs }

// SpecOf gives the spec of a field; ok is false for none.
func SpecOf(f Field) (s Spec, ok bool) {
	for _, s := range specs {
		if s.Field == f {
			return s, true
		}
	}
	return Spec{}, false
}

// units are the words in a heading that say in what the column is, by how
// package quantity reads them.
var units = map[kind]map[string]string{
	mass:        {"kg": "kg", "kilo": "kg", "kilos": "kg", "kilogram": "kg", "kilograms": "kg", "g": "g", "gr": "g", "gram": "g", "grams": "g", "gramm": "g", "lb": "lb", "lbs": "lb", "pound": "lb", "pounds": "lb", "oz": "oz"},
	energy:      {"kwh": "kWh", "wh": "Wh", "mj": "MJ"},
	temperature: {"c": "°C", "f": "°F", "°c": "°C", "°f": "°F", "k": "K"},
}

// unitIn is the unit that a column's heading names, "" for none.
func (s Spec) unitIn(heading string) string {
	for _, w := range tokens(heading) {
		if u, ok := units[s.kind][w]; ok {
			return u
		}
	}
	return ""
}

// tokens are the words of a heading in small letters.
func tokens(heading string) []string {
	return strings.FieldsFunc(strings.ToLower(heading), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '°' && r != '#'
	})
}

// bare is a heading without its unit, and the kind that the unit is of.
func bare(heading string) (name string, unit kind) {
	var kept []string
	for _, w := range tokens(heading) {
		of := words
		for k, known := range units {
			if _, ok := known[w]; ok {
				of = k
			}
		}
		if of == words {
			kept = append(kept, w)
		} else {
			unit = of
		}
	}
	return strings.Join(kept, " "), unit
}

// fits reports whether a column may well be the field, by its heading. A unit
// rules out the fields that are not in it.
func (s Spec) fits(heading string) bool {
	name, unit := bare(heading)
	if unit != words && unit != s.kind {
		return false
	}
	if name == "" {
		return unit == mass && s.Field == Charged || unit == energy && s.Field == Energy || unit == temperature && s.Field == Temp
	}
	return slices.Contains(s.names, name)
}
