package kit

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/crucible"
	"drosswise/foundry/heat"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// fields names what was refused.
func fields(rs melt.Refusals) []string {
	var all []string
	for _, r := range rs {
		all = append(all, r.Field)
	}
	return all
}

func furnace() Item {
	return Item{
		Kind: Furnace, Name: "Yard furnace", Letter: "A", Heating: "wire",
		Volts: new(230 * quantity.Volt), Circuit: new(16 * quantity.Ampere), Power: new(2000 * quantity.Watt),
	}
}

func pot() Item {
	return Item{Kind: Crucible, Name: "C3", Material: heat.ClayGraphite, Brim: new(3 * quantity.Litre / 2), Mass: new(2 * quantity.Kilogram)}
}

func coil() Item {
	return Item{
		Kind: Element, Name: "E5", Wire: "FeCrAl 22Cr-5.8Al", Diameter: new(quantity.Length(1628)),
		Length: new(14351 * quantity.Millimetre), Ohms: new(10 * quantity.Ohm),
	}
}

func TestWhatCannotBeSo(t *testing.T) {
	with := func(it Item, change func(*Item)) Item { change(&it); return it }
	for name, c := range map[string]struct {
		it   Item
		want []string
	}{
		"furnace":            {furnace(), nil},
		"furnace, bare":      {Item{Kind: Furnace, Name: "F", Letter: "Z"}, nil},
		"name of two lines":  {with(furnace(), func(it *Item) { it.Name = "Yard\nfurnace" }), []string{"name"}},
		"no name":            {with(furnace(), func(it *Item) { it.Name = "" }), []string{"name"}},
		"small letter":       {with(furnace(), func(it *Item) { it.Letter = "a" }), []string{"letter"}},
		"letter abroad":      {with(furnace(), func(it *Item) { it.Letter = "Ä" }), []string{"letter"}},
		"no letter":          {with(furnace(), func(it *Item) { it.Letter = "" }), []string{"letter"}},
		"two letters":        {with(furnace(), func(it *Item) { it.Letter = "AB" }), []string{"letter"}},
		"kilowatts as watts": {with(furnace(), func(it *Item) { it.Power = new(2 * quantity.Watt) }), []string{"power"}},
		"negative volts":     {with(furnace(), func(it *Item) { it.Volts = new(-230 * quantity.Volt) }), []string{"volts"}},
		"zero amps":          {with(furnace(), func(it *Item) { it.Circuit = new(quantity.Current(0)) }), []string{"circuit"}},
		"odd heating":        {with(furnace(), func(it *Item) { it.Heating = "sun" }), []string{"heating"}},
		"crucible":           {pot(), nil},
		"rating alone":       {with(pot(), func(it *Item) { it.Rated = new(6 * quantity.Kilogram) }), []string{"rated_in"}},
		"metal alone":        {with(pot(), func(it *Item) { it.RatedIn = crucible.Brass }), []string{"rated"}},
		"overfull":           {with(pot(), func(it *Item) { it.Fill = new(int64(1_200_000)) }), []string{"fill"}},
		"wall in metres":     {with(pot(), func(it *Item) { it.Wall = new(20 * quantity.Metre) }), []string{"wall"}},
		"no life":            {with(pot(), func(it *Item) { it.ExpectedHeats = new(0) }), []string{"expected_heats"}},
		"negative cost":      {with(pot(), func(it *Item) { it.Cost = new(quantity.Money(-1)) }), []string{"cost"}},
		"element":            {coil(), nil},
		"unknown wire":       {with(coil(), func(it *Item) { it.Wire = "copper" }), []string{"wire"}},
		"another alloy":      {with(coil(), func(it *Item) { it.Wire = OtherWire }), nil},
		"wire in millimetre": {with(coil(), func(it *Item) { it.Length = new(14 * quantity.Millimetre) }), []string{"length"}},
		"scale":              {Item{Kind: Scale, Name: "S", Resolution: quantity.Gram, Capacity: 10 * quantity.Kilogram}, nil},
		"scale, no step":     {Item{Kind: Scale, Name: "S"}, []string{"resolution"}},
		"scale, tiny":        {Item{Kind: Scale, Name: "S", Resolution: quantity.Gram, Capacity: quantity.Gram}, []string{"capacity"}},
		"scale, wild":        {Item{Kind: Scale, Name: "S", Resolution: quantity.Gram, Gain: 200_000}, []string{"gain"}},
		"thermocouple":       {Item{Kind: Probe, Name: "P", Couple: "K"}, nil},
		"odd thermocouple":   {Item{Kind: Probe, Name: "P", Couple: "Q"}, []string{"couple"}},
		"no kind":            {Item{Name: "?"}, []string{"kind"}},
	} {
		got := Check(c.it)
		assert.Equal(t, c.want, fields(got), name)
		for _, r := range got {
			assert.NotEmpty(t, r.Say(quantity.Style{}), name)
		}
	}
}

func TestRefusalsSpeakTheShopsUnits(t *testing.T) {
	it := pot()
	it.Rated, it.RatedIn = new(quantity.Mass(1)), crucible.Brass
	rs := Check(it)
	require.Len(t, rs, 1)
	assert.Equal(t, "A rating here lies between 10 g and 1000000 g. Check the number and its unit, and leave the field empty when it is not known.",
		plainSpaces(rs[0].Say(quantity.Style{MassUnit: quantity.Grams})))
	assert.Contains(t, rs[0].Say(quantity.Style{MassUnit: quantity.Pounds}), "lb")
}

func plainSpaces(s string) string {
	var out []rune
	for _, r := range s {
		if r != '\u202f' {
			out = append(out, r)
		}
	}
	return string(out)
}

const noon = quantity.Moment(1_800_000_000_000)

func TestWhichLinesMayBeWritten(t *testing.T) {
	hour := quantity.Moment(quantity.Hour)
	retired := []Line{{ID: 1, Kind: Retired, At: noon - hour, Note: "worn"}}
	struck := []Line{{ID: 1, Kind: Retired, At: noon - hour, Note: "worn", Strike: &Strike{At: noon}}}
	for name, c := range map[string]struct {
		it    Item
		lines []Line
		l     Line
		want  []string
	}{
		"fitted":             {coil(), nil, Line{Kind: Fitted, At: noon, Furnace: 7}, nil},
		"fitted to nothing":  {coil(), nil, Line{Kind: Fitted, At: noon}, []string{"furnace"}},
		"crucible fitted":    {pot(), nil, Line{Kind: Fitted, At: noon, Furnace: 7}, []string{"kind"}},
		"no such line":       {pot(), nil, Line{Kind: "melted", At: noon}, []string{"kind"}},
		"to come":            {pot(), nil, Line{Kind: Inspected, At: noon + hour}, []string{"at"}},
		"clock a little off": {pot(), nil, Line{Kind: Inspected, At: noon + quantity.Moment(quantity.Minute)}, nil},
		"nothing read":       {coil(), nil, Line{Kind: Read, At: noon}, []string{"ohms"}},
		"zero ohms":          {coil(), nil, Line{Kind: Read, At: noon, Ohms: new(quantity.Resistance(0))}, []string{"ohms"}},
		"negative amps":      {coil(), nil, Line{Kind: Read, At: noon, Amps: new(-8 * quantity.Ampere)}, []string{"amps"}},
		"kilo-ohms":          {coil(), nil, Line{Kind: Read, At: noon, Ohms: new(quantity.Ohm / 100)}, []string{"ohms"}},
		"kilo-ohms as ohms":  {coil(), nil, Line{Kind: Read, At: noon, Ohms: new(quantity.Ohm / 15)}, []string{"ohms"}},
		"milli-ohms":         {coil(), nil, Line{Kind: Read, At: noon, Ohms: new(10_300 * quantity.Ohm)}, []string{"ohms"}},
		"grown by a third":   {coil(), nil, Line{Kind: Read, At: noon, Ohms: new(13 * quantity.Ohm)}, nil},
		"volts and amps":     {furnace(), nil, Line{Kind: Read, At: noon, Volts: new(230 * quantity.Volt), Amps: new(8 * quantity.Ampere)}, nil},
		"watts as kilowatts": {furnace(), nil, Line{Kind: Read, At: noon, Volts: new(230 * quantity.Volt), Amps: new(8 * quantity.Ampere), Watts: new(quantity.Power(1840))}, []string{"watts"}},
		"disagree":           {furnace(), nil, Line{Kind: Read, At: noon, Volts: new(230 * quantity.Volt), Amps: new(8 * quantity.Ampere), Watts: new(3000 * quantity.Watt)}, nil},
		"repaired, no word":  {furnace(), nil, Line{Kind: Repaired, At: noon}, []string{"note"}},
		"retired, no word":   {furnace(), nil, Line{Kind: Retired, At: noon}, []string{"note"}},
		"retired twice":      {pot(), retired, Line{Kind: Retired, At: noon, Note: "again"}, []string{"at"}},
		"retired, struck":    {pot(), struck, Line{Kind: Retired, At: noon, Note: "again"}, nil},
		"back":               {pot(), retired, Line{Kind: Returned, At: noon}, nil},
		"back before":        {pot(), retired, Line{Kind: Returned, At: noon - 2*hour}, []string{"at"}},
		"back, never gone":   {pot(), nil, Line{Kind: Returned, At: noon}, []string{"at"}},
		"cracked":            {pot(), nil, Line{Kind: Inspected, At: noon, Cracked: true}, nil},
		"wall of nothing":    {pot(), nil, Line{Kind: Inspected, At: noon, Wall: new(quantity.Length(0))}, []string{"wall"}},
	} {
		got := CheckLine(c.it, c.lines, c.l, noon)
		assert.Equal(t, c.want, fields(got), name)
		for _, r := range got {
			assert.NotEmpty(t, r.Say(quantity.Style{}), name)
		}
	}
}

// An instrument's check has both what is known and what was shown, and the two
// are not a unit apart; leads have less than what was read with them.
func TestChecksOfInstruments(t *testing.T) {
	scale, probe, ohm := Item{Kind: Scale, Name: "S", Resolution: quantity.Gram}, Item{Kind: Probe, Name: "P"}, quantity.Ohm
	seen := func(l Line) Line { l.Kind = Inspected; return l }
	for name, c := range map[string]struct {
		it   Item
		l    Line
		want []string
	}{
		"scale":            {scale, seen(Line{KnownMass: new(quantity.Kilogram), Mass: new(1001 * quantity.Gram)}), nil},
		"scale, a look":    {scale, seen(Line{Note: "clean"}), nil},
		"scale, half":      {scale, seen(Line{KnownMass: new(quantity.Kilogram)}), []string{"known_mass"}},
		"scale, grams":     {scale, seen(Line{KnownMass: new(quantity.Kilogram), Mass: new(quantity.Gram)}), []string{"known_mass"}},
		"scale, below":     {scale, seen(Line{KnownMass: new(quantity.Kilogram), Mass: new(-quantity.Kilogram)}), []string{"known_mass", "mass"}},
		"thermocouple":     {probe, seen(Line{KnownTemp: new(66_032 * quantity.Celsius / 100), Temp: new(655 * quantity.Celsius)}), nil},
		"half of it":       {probe, seen(Line{Temp: new(655 * quantity.Celsius)}), []string{"known_temp"}},
		"nowhere so hot":   {probe, seen(Line{KnownTemp: new(6600 * quantity.Celsius), Temp: new(655 * quantity.Celsius)}), []string{"known_temp"}},
		"meter":            {furnace(), seen(Line{KnownEnergy: new(quantity.KilowattHour), Energy: new(quantity.KilowattHour * 11 / 10)}), nil},
		"meter in Wh":      {furnace(), seen(Line{KnownEnergy: new(quantity.KilowattHour), Energy: new(quantity.KilowattHour / 1000)}), []string{"known_energy"}},
		"leads":            {coil(), Line{Kind: Read, Ohms: new(10 * ohm), Lead: new(ohm / 5), Step: new(ohm / 10)}, nil},
		"nothing but lead": {coil(), Line{Kind: Read, Ohms: new(10 * ohm), Lead: new(10 * ohm)}, []string{"lead"}},
		"lead below zero":  {coil(), Line{Kind: Read, Ohms: new(10 * ohm), Lead: new(-ohm)}, []string{"lead"}},
		"no step":          {coil(), Line{Kind: Read, Ohms: new(10 * ohm), Step: new(quantity.Resistance(0))}, []string{"step"}},
		"lead of nothing":  {coil(), Line{Kind: Read, Volts: new(230 * quantity.Volt), Lead: new(ohm)}, []string{"ohms"}},
		"odd ring":         {pot(), seen(Line{Ring: "loud"}), []string{"ring"}},
		"odd cause":        {pot(), Line{Kind: Retired, Cause: "bored", Note: "?"}, []string{"cause"}},
	} {
		assert.Equal(t, c.want, fields(CheckLine(c.it, nil, c.l, 0)), name)
	}
}

func TestEveryChoiceIsSomewhere(t *testing.T) {
	for _, m := range RatedIn[1:] {
		_, err := crucible.FromRating(quantity.Kilogram, crucible.Metal(m.Value), 1, FillAt)
		assert.NoError(t, err, m.Name)
	}
	for _, m := range Materials[1:] {
		_, ok := heat.CrucibleHeat(heat.Crucible(m.Value), quantity.Kilogram, 20*quantity.Celsius, 720*quantity.Celsius)
		assert.Equal(t, m.Value != string(heat.Other), ok, m.Name)
	}
	for _, l := range LineSpecs {
		for _, k := range l.For {
			assert.True(t, k.Valid())
		}
	}
}
