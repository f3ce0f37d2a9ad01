package melt_test

import (
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// upper are the letters of furnaces.
var upper = &unicode.RangeTable{R16: []unicode.Range16{{Lo: 'A', Hi: 'Z', Stride: 1}}}

var heading = melt.Heading{ID: 1, Code: "A26-041", At: start, Furnace: 1}

// bench is at five hours after the start, with a scale to 10 kg and a crucible
// that may hold 8 kg.
func bench() melt.Bench {
	return melt.Bench{
		Now:      line(melt.Note, 300).At,
		SafeFill: new(8 * kg),
		Scales:   map[int64]melt.Scale{3: {Name: "Bench scale", Resolution: quantity.Gram, Capacity: 10 * kg}, 4: {Name: "Hook", Resolution: 50 * quantity.Gram}, 5: {Name: "Yard scale", Resolution: 4536}},
	}
}

// underway is a melt in the middle of it.
func underway() []melt.Line {
	return written(
		line(melt.Charge, 0, weighed(5*kg), of(1)),
		line(melt.PowerOn, 10, showing(100*kWh)),
		line(melt.FirstLiquid, 60),
		line(melt.AllMolten, 120),
		line(melt.Isolated, 180, showing(109*kWh)),
		line(melt.Pour, 200, weighed(4*kg)),
	)
}

var metric = quantity.Style{Currency: "GBP"}
var imperial = quantity.Style{MassUnit: quantity.Pounds, Fahrenheit: true, Comma: true}

func charge(edits ...func(*melt.Line)) melt.Line {
	return line(melt.Charge, 30, append([]func(*melt.Line){of(1), weighed(kg)}, edits...)...)
}

func scaled(scale int64) func(*melt.Line) { return func(l *melt.Line) { l.Scale = scale } }

// Each rule alone: the field that it stands beside, whether one may insist, and
// words of its sentence, in kg and °C and in lb and °F where it shows a figure.
func TestCheckRefuses(t *testing.T) {
	closed := func(lines ...melt.Line) []melt.Line { return written(append(underway(), lines...)...) }
	for _, c := range []struct {
		name   string
		lines  []melt.Line
		line   melt.Line
		field  string
		soft   bool
		metric string
		lb     string
	}{
		{"no such kind", nil, line("brew", 0), "kind", false, "no such kind", ""},
		{"open already", underway(), line(melt.Reopen, 210, noted("x")), "kind", false, "A26-041 is open already", ""},
		{"closed", closed(line(melt.Close, 210)), line(melt.Spill, 205, weighed(kg)), "kind", false, "Reopen it with a reason", ""},
		{"closed twice", closed(line(melt.Close, 210)), line(melt.Close, 220), "kind", false, "A26-041 is closed", ""},
		{"void", closed(line(melt.Void, 210, noted("x"))), line(melt.Note, 205, noted("x")), "kind", false, "made void", ""},
		{"closing what is void", closed(line(melt.Void, 210, noted("x"))), line(melt.Close, 220), "kind", false, "made void", ""},

		{"no source", nil, charge(of(0)), "source", false, "Choose what was charged", ""},
		{"two sources", nil, charge(func(l *melt.Line) { l.Pour = 9 }), "source", false, "either scrap or the ingots", ""},
		{"no mass", nil, charge(weighed()), "mass", false, "Type the mass", ""},
		{"no kind of addition", nil, line(melt.Addition, 5, weighed(kg)), "which", false, "Choose one", ""},
		{"not one of the choices", nil, line(melt.Addition, 5, which("sugar")), "which", false, "Choose one", ""},
		{"a choice where there is none", nil, charge(which("silicon")), "which", false, "Choose one", ""},
		{"no meter", nil, line(melt.Meter, 5), "meter", false, "kWh", ""},
		{"no energy", nil, line(melt.Energy, 5), "energy", false, "kWh", ""},
		{"no temperature", nil, line(melt.Temperature, 5, which(melt.InMetal)), "temp", false, "Type the temperature", ""},
		{"not said where", nil, line(melt.Temperature, 5, func(l *melt.Line) { l.Temp = new(700 * quantity.Celsius) }), "which", false, "Choose one", ""},
		{"no reading", nil, line(melt.Electric, 5), "volts", false, "volts, amps, watts and ohms", ""},
		{"no kit", nil, line(melt.Using, 5), "crucible", false, "crucible or the element", ""},
		{"no note", nil, line(melt.Note, 5, noted(" \t ")), "note", false, "few words", ""},
		{"no reason", closed(line(melt.Close, 210)), line(melt.Reopen, 220), "note", false, "few words", ""},
		{"void without a reason", nil, line(melt.Void, 5), "note", false, "few words", ""},

		{"below zero", nil, charge(weighed(kg, -1)), "mass", false, "below zero", ""},
		{"container below zero", underway(), line(melt.Skim, 130, func(l *melt.Line) { l.Tare = -1 }), "tare", false, "below zero", ""},
		{"container alone is heavier", nil, charge(func(l *melt.Line) { l.Tare = 2 * kg }), "tare", false, "container weighs more", ""},
		{"a charge of nothing", nil, charge(weighed(0)), "mass", false, "charge of nothing", ""},
		{"a charge of its container", nil, charge(func(l *melt.Line) { l.Tare = kg }), "mass", false, "charge of nothing", ""},
		{"over a tonne", nil, charge(weighed(1000*kg + 1)), "mass", false, "tonne", ""},
		{"over a tonne together", nil, charge(weighed(600*kg, 600*kg)), "mass", false, "tonne", ""},
		{"so much that it overflows", nil, charge(weighed(1<<62, 1<<62)), "mass", false, "tonne", ""},
		{"spread below zero", nil, charge(func(l *melt.Line) { l.Spread = new(quantity.Mass(-1)) }), "spread", false, "below zero", ""},
		{"spread of a tonne", nil, charge(func(l *melt.Line) { l.Spread = new(1001 * kg) }), "spread", false, "tonne", ""},
		{"too cold", nil, line(melt.Temperature, 5, which(melt.Chamber), func(l *melt.Line) { l.Temp = new(-51 * quantity.Celsius) }), "temp", false, "between −50 °C and 1400 °C", "between −58 °F and 2552 °F"},
		{"too hot", nil, line(melt.Temperature, 5, which(melt.Chamber), func(l *melt.Line) { l.Temp = new(1401 * quantity.Celsius) }), "temp", false, "1400 °C", "2552 °F"},
		{"fewer than none", nil, line(melt.Checked, 5, func(l *melt.Line) { l.Count = new(-1) }), "count", false, "whole number", ""},
		{"too many", nil, line(melt.Checked, 5, func(l *melt.Line) { l.Count = new(10_000) }), "count", false, "whole number", ""},
		{"meter below nothing", nil, line(melt.Meter, 5, showing(-1)), "meter", false, "kWh", ""},
		{"meter beyond meters", nil, line(melt.Meter, 5, showing(10_000_000*kWh+1)), "meter", false, "kWh", ""},
		{"energy below nothing", nil, line(melt.Energy, 5, func(l *melt.Line) { l.Energy = new(quantity.Energy(-1)) }), "energy", false, "kWh", ""},
		{"energy of a town", nil, line(melt.Energy, 5, func(l *melt.Line) { l.Energy = new(10_001 * kWh) }), "energy", false, "kWh", ""},
		{"cost below nothing", nil, line(melt.Addition, 5, which("other"), func(l *melt.Line) { l.Cost = new(quantity.Money(-1)) }), "cost", false, "below zero", ""},
		{"no volts", nil, line(melt.Electric, 5, func(l *melt.Line) { l.Volts = new(quantity.Voltage(0)) }), "volts", false, "at most 1000", ""},
		{"a power line", nil, line(melt.Electric, 5, func(l *melt.Line) { l.Volts = new(1001 * quantity.Volt) }), "volts", false, "Volts are above zero", ""},
		{"amps", nil, line(melt.Electric, 5, func(l *melt.Line) { l.Amps = new(-quantity.Ampere) }), "amps", false, "Amps are above zero", ""},
		{"watts", nil, line(melt.Electric, 5, func(l *melt.Line) { l.Watts = new(500_001 * quantity.Watt) }), "watts", false, "500 kW", ""},
		{"ohms", nil, line(melt.Electric, 5, func(l *melt.Line) { l.Ohms = new(10_001 * quantity.Ohm) }), "ohms", false, "10 kΩ", ""},
		{"a novel", nil, line(melt.Note, 5, noted(strings.Repeat("x", 2001))), "note", false, "too long", ""},
		{"a mould like a novel", nil, line(melt.Charge, 5, of(1), weighed(kg), func(l *melt.Line) { l.Mould = strings.Repeat("x", 81) }), "mould", false, "up to 80 letters", ""},
		{"no point ticked", nil, line(melt.Checked, 5, func(l *melt.Line) { l.Count = new(0) }), "kind", false, "No point is ticked", ""},

		{"beyond the scale", nil, charge(weighed(11*kg), scaled(3)), "mass", false, "Bench scale shows at most 10.000 kg, so it cannot have shown 11.000 kg", "22,046 lb"},
		{"one reading beyond the scale", nil, charge(weighed(kg, 10*kg+1), scaled(3)), "mass", false, "Bench scale", "lb"},

		{"still to come", nil, line(melt.Stamp, 303), "at", false, "is still to come", ""},
		{"too early by days", nil, line(melt.Stamp, -36*60-1), "at", false, "more than a day and a half", ""},
		{"isolated without power", written(charge()), line(melt.Isolated, 40), "at", false, "There is no power on in this melt yet", ""},
		{"isolated before power", underway(), line(melt.Isolated, 9), "at", false, "The first power on is of 10:10, so this cannot have happened at 10:09", ""},
		{"liquid without metal", nil, line(melt.FirstLiquid, 40), "at", false, "There is no charge", ""},
		{"molten without metal", nil, line(melt.AllMolten, 40), "at", false, "There is no charge", ""},
		{"skimmed without metal", nil, line(melt.Skim, 40), "at", false, "There is no charge", ""},
		{"poured before the charge", underway(), line(melt.Pour, -1, weighed(kg)), "at", false, "The first charge is of 10:00", ""},
		{"on while on", underway(), line(melt.PowerOn, 100), "at", false, "The power is on since 10:10 already, so 11:40", ""},
		{"off while off", underway(), line(melt.Isolated, 190), "at", false, "The power is isolated since 13:00 already, so it cannot be cut again at 13:10", ""},
		{"liquid after molten", underway(), line(melt.FirstLiquid, 121), "at", false, "All was molten at 12:00, so the first liquid cannot have come at 12:01", ""},
		{"molten before liquid", underway(), line(melt.AllMolten, 59), "at", false, "The first liquid was seen at 11:00, so all cannot have been molten at 10:59", ""},
		{"closed before the end", underway(), line(melt.Close, 199), "at", false, "The last line is of 13:20, so the melt cannot have closed at 13:19", ""},
		{"meter backwards", underway(), line(melt.Meter, 190, showing(108*kWh)), "meter", false, "The meter showed 109.00 kWh at 13:00, so it cannot show 108.00 kWh at 13:10", "108,00 kWh"},
		{"meter too far", underway(), line(melt.Meter, 170, showing(110*kWh)), "meter", false, "The meter showed 109.00 kWh", ""},
		{"meter at the same moment", underway(), line(melt.Meter, 180, showing(108*kWh)), "meter", false, "The meter showed 109.00 kWh", ""},

		{"over the safe fill", underway(), charge(weighed(3*kg + 1000)), "mass", true, "the crucible holds 8.001 kg, above its safe fill of 8.000 kg", "17,637 lb"},
		{"heel over the safe fill", nil, line(melt.HeelIn, 0, weighed(9*kg)), "mass", true, "9.000 kg", "lb"},
		{"over it with what came later", written(line(melt.Charge, 20, of(1), weighed(6*kg))), line(melt.Charge, 10, of(1), weighed(4*kg)), "mass", true, "the crucible holds 10.000 kg", "lb"},
		{"more out than in", underway(), line(melt.Pour, 210, weighed(53*kg/10)), "mass", true, "That is 5.300 kg, but only 5.000 kg went in", "lb"},
		{"more out than in, all pours together", underway(), line(melt.Pour, 210, weighed(13*kg/10)), "mass", true, "at least 5.300 kg came out", "lb"},
		{"dross no metal can explain", underway(), line(melt.Skim, 130, weighed(5*kg)), "mass", true, "at least 6.646 kg came out, dross counted as the metal it ate, but only 5.000 kg went in", "lb"},
		{"spilled what was poured", underway(), line(melt.Spill, 210, weighed(2*kg)), "mass", true, "at least 6.000 kg came out", "lb"},
		{"steel heavier than the charge", underway(), line(melt.Steel, 130, weighed(9*kg)), "mass", true, "That is 9.000 kg, but only 5.000 kg went in", "lb"},
		{"between two steps of the scale", underway(), line(melt.Skim, 130, weighed(142*quantity.Gram), scaled(4)), "mass", true, "Hook goes in steps of 0.050 kg, so it cannot have shown 0.142 kg", "lb"},
		{"below the first step", underway(), line(melt.Skim, 130, weighed(20*quantity.Gram), scaled(4)), "mass", true, "Hook goes in steps", "lb"},
		{"between two steps in pounds", underway(), line(melt.Skim, 130, weighed(142*quantity.Gram), scaled(5)), "mass", true, "Yard scale goes in steps", "steps of 0,010 lb"},
		{"closed with the power on", written(append(underway(), line(melt.PowerOn, 205))...), line(melt.Close, 210), "kind", true, "The power is on since 13:25", ""},
		{"void with the power on", written(line(melt.PowerOn, 5)), line(melt.Void, 210, noted("x")), "kind", true, "The power is on since 10:05", ""},
		{"closed with nothing charged", nil, line(melt.Close, 210), "kind", true, "Nothing is weighed in", ""},
		{"closed with nothing poured", written(charge()), line(melt.Close, 210), "kind", true, "Nothing is poured", ""},
		{"closed with a time nobody named", written(append(underway(), line(melt.Stamp, 205))...), line(melt.Close, 210), "kind", true, "One time was marked", ""},
		{"closed with times nobody named", written(append(underway(), line(melt.Stamp, 205), line(melt.Stamp, 206))...), line(melt.Close, 210), "kind", true, "2 times were marked", ""},
		{"more left than in", underway(), line(melt.HeelOut, 210, weighed(6*kg)), "mass", true, "only 5.000 kg went in", "lb"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := melt.Check(heading, c.lines, c.line, bench())
			var rs melt.Refusals
			require.ErrorAs(t, err, &rs)
			require.Len(t, rs, 1)
			assert.Equal(t, c.field, rs[0].Field)
			assert.Equal(t, c.soft, rs[0].Soft)
			assert.Contains(t, rs[0].Say(metric), c.metric)
			assert.Contains(t, rs[0].Say(imperial), c.lb)
			assert.Regexp(t, `^\S.*\.$`, rs[0].Say(metric))
			assert.Equal(t, "line refused: "+c.field, err.Error())

			sure := bench()
			sure.Sure = true
			if c.soft {
				assert.NoError(t, melt.Check(heading, c.lines, c.line, sure), "whoever is sure may")
			} else {
				assert.Error(t, melt.Check(heading, c.lines, c.line, sure), "however sure one is")
			}
		})
	}
}

// What lies just on the right side of each rule is taken.
func TestCheckTakes(t *testing.T) {
	closed := written(append(underway(), line(melt.Close, 210))...)
	void := written(append(underway(), line(melt.Void, 210))...)
	poured := written(line(melt.Charge, 0, of(1), weighed(7*kg)), line(melt.Pour, 50))
	for _, c := range []struct {
		name  string
		lines []melt.Line
		line  melt.Line
	}{
		{"a charge", nil, charge()},
		{"ingots", nil, charge(of(0), func(l *melt.Line) { l.Pour = 9 })},
		{"just the safe fill", underway(), charge(weighed(3 * kg))},
		{"just a tonne out", nil, line(melt.Steel, 0, weighed(1000*kg))},
		{"just what the scale shows", nil, line(melt.Spill, 0, weighed(10*kg), scaled(3))},
		{"a scale without a limit", nil, line(melt.Spill, 0, weighed(100*kg), scaled(4))},
		{"an unknown pour was in between", poured, line(melt.Charge, 60, of(1), weighed(7*kg))},
		{"a skim to be weighed later", underway(), line(melt.Skim, 130)},
		{"an empty crucible", underway(), line(melt.HeelOut, 210, weighed(0))},
		{"5 % more out than in", underway(), line(melt.Pour, 210, weighed(125*kg/100))},
		{"oxygen in the dross", written(line(melt.Charge, 0, of(1), weighed(kg))), line(melt.Skim, 60, weighed(1889*quantity.Gram))},
		{"whole steps", underway(), line(melt.Skim, 130, weighed(150*quantity.Gram, 0), scaled(4))},
		{"read in pounds on a scale with steps in grams", underway(), line(melt.Skim, 130, weighed(1_000_171), scaled(4))},
		{"a whole number of hundredths of a pound", underway(), line(melt.Skim, 130, weighed(557_919), scaled(5))},
		{"clocks that differ by two minutes", nil, line(melt.Stamp, 302)},
		{"a day and a half early", nil, line(melt.Stamp, -36*60)},
		{"the same minute", underway(), line(melt.Pour, 0, weighed(kg))},
		{"on again after off", underway(), line(melt.PowerOn, 185)},
		{"liquid at once with molten", underway(), line(melt.FirstLiquid, 120)},
		{"the meter stands still", underway(), line(melt.Meter, 180, showing(109*kWh))},
		{"closing", underway(), line(melt.Close, 200)},
		{"reopening", closed, line(melt.Reopen, 205, noted("a spill was found"))},
		{"making void what is closed", closed, line(melt.Void, 220, noted("not ours"))},
		{"reopening what is void", void, line(melt.Reopen, 220, noted("ours"))},
		{"a meter of nothing", nil, line(melt.Meter, 5, showing(0))},
	} {
		assert.NoError(t, melt.Check(heading, c.lines, c.line, bench()), c.name)
	}

	// A melt that is closed, reopened and made void long after it was made.
	late := bench()
	late.Now = start + quantity.Moment(1000*quantity.Hour)
	for _, k := range []melt.Kind{melt.Close, melt.Void} {
		assert.NoError(t, melt.Check(heading, underway(), line(k, 59_000, noted("late")), late), k)
	}
	assert.NoError(t, melt.Check(heading, closed, line(melt.Reopen, 59_000, noted("late")), late))
	assert.Error(t, melt.Check(heading, underway(), line(melt.Spill, 36*60+1, weighed(kg)), late))

	unknown := bench()
	unknown.SafeFill = nil
	assert.NoError(t, melt.Check(heading, nil, charge(weighed(500*kg)), unknown), "nobody knows the safe fill")
}

// What is open in a melt is told with the power first.
func TestStillOpen(t *testing.T) {
	assert.Empty(t, melt.StillOpen(underway()))
	var told []melt.Kind
	for _, o := range melt.StillOpen(written(line(melt.Stamp, 1), charge(), line(melt.PowerOn, 50))) {
		told = append(told, o.Settle)
		assert.NotEmpty(t, o.Say(metric))
	}
	assert.Equal(t, []melt.Kind{melt.Isolated, melt.Pour, ""}, told)
	left := written(charge(), line(melt.HeelOut, 60, weighed(kg)))
	assert.Empty(t, melt.StillOpen(left), "all of it left in the crucible")
}

// All that is wrong is said at once.
func TestCheckNamesEveryField(t *testing.T) {
	l := line(melt.Temperature, 400, func(l *melt.Line) { l.Temp, l.Gross = new(2000*quantity.Celsius), []quantity.Mass{-1} })
	err := melt.Check(heading, nil, l, bench())
	assert.EqualError(t, err, "line refused: which, mass, temp, at")
}

func TestCheckStrike(t *testing.T) {
	open := underway()
	closed := written(append(underway(), line(melt.Close, 210))...)
	void := written(append(underway(), line(melt.Void, 210))...)
	refused := func(err error, field, words string) {
		t.Helper()
		var rs melt.Refusals
		require.ErrorAs(t, err, &rs)
		assert.Equal(t, field, rs[0].Field)
		assert.Contains(t, rs[0].Say(metric), words)
	}
	for _, l := range open {
		assert.NoError(t, melt.CheckStrike(heading, open, l, true), l.Kind)
	}
	refused(melt.CheckStrike(heading, closed, closed[0], true), "kind", "A26-041 is closed")
	refused(melt.CheckStrike(heading, closed, closed[0], false), "kind", "Reopen it")
	refused(melt.CheckStrike(heading, void, void[0], true), "kind", "A26-041 is void")
	assert.NoError(t, melt.CheckStrike(heading, closed, closed[6], true), "the close itself")
	assert.NoError(t, melt.CheckStrike(heading, void, void[6], true), "the void itself")

	// A strike is lifted where the line still fits.
	struck := written(append(underway(), line(melt.PowerOn, 15), line(melt.Meter, 190, showing(120*kWh)), line(melt.Skim, 130))...)
	for i := 6; i < 9; i++ {
		struck[i].Strike = &melt.Strike{}
	}
	refused(melt.CheckStrike(heading, struck, struck[6], false), "at", "The power is on since 10:10")
	assert.NoError(t, melt.CheckStrike(heading, struck, struck[7], false))
	assert.NoError(t, melt.CheckStrike(heading, struck, struck[8], false))
	later := written(append(struck, line(melt.Meter, 200, showing(110*kWh)))...)
	refused(melt.CheckStrike(heading, later, later[7], false), "meter", "120.00 kWh")

	// Two readings of one moment: the one written first must not be above.
	same := written(line(melt.Meter, 10, showing(5*kWh)), line(melt.Meter, 10, showing(3*kWh)))
	same[0].Strike = &melt.Strike{}
	refused(melt.CheckStrike(heading, same, same[0], false), "meter", "kWh")
}

// Whatever comes in, there is an answer and no panic; and what is taken is a
// line that says what it must say, with a mass that scales show.
func TestCheckAnswersAnything(t *testing.T) {
	any64 := func(t *rapid.T, name string) int64 {
		return rapid.OneOf(rapid.Int64(), rapid.Int64Range(-10, 1e9), rapid.Int64Range(int64(start)-1e8, int64(start)+1e8)).Draw(t, name)
	}
	var kinds []melt.Kind
	for _, s := range melt.Specs() {
		kinds = append(kinds, s.Kind)
	}
	draw := func(t *rapid.T) melt.Line {
		l := melt.Line{
			ID: any64(t, "id"), Kind: rapid.SampledFrom(append(kinds, "")).Draw(t, "kind"), At: quantity.Moment(any64(t, "at")),
			Source: any64(t, "source"), Pour: rapid.Int64Range(0, 1).Draw(t, "pour"), Scale: rapid.Int64Range(0, 4).Draw(t, "scale"),
			Tare: quantity.Mass(any64(t, "tare")), Which: rapid.SampledFrom([]string{"", "metal", "silicon", "bright", "x"}).Draw(t, "which"),
			Note: rapid.String().Draw(t, "note"), Crucible: rapid.Int64Range(0, 1).Draw(t, "crucible"),
		}
		for _, g := range rapid.SliceOfN(rapid.Int64(), 0, 3).Draw(t, "gross") {
			l.Gross = append(l.Gross, quantity.Mass(g))
		}
		if rapid.Bool().Draw(t, "readings") {
			l.Meter, l.Energy, l.Temp = new(quantity.Energy(any64(t, "meter"))), new(quantity.Energy(any64(t, "energy"))), new(quantity.Temperature(any64(t, "temp")))
			l.Volts, l.Amps, l.Watts, l.Ohms = new(quantity.Voltage(any64(t, "volts"))), new(quantity.Current(any64(t, "amps"))), new(quantity.Power(any64(t, "watts"))), new(quantity.Resistance(any64(t, "ohms")))
			l.Count, l.Cost, l.Spread = new(int(any64(t, "count"))), new(quantity.Money(any64(t, "cost"))), new(quantity.Mass(any64(t, "spread")))
		}
		return l
	}
	rapid.Check(t, func(t *rapid.T) {
		var lines []melt.Line
		for range rapid.IntRange(0, 6).Draw(t, "lines") {
			lines = append(lines, draw(t))
		}
		l, b := draw(t), bench()
		b.Sure = rapid.Bool().Draw(t, "sure")
		err := melt.Check(heading, lines, l, b)
		_ = melt.CheckStrike(heading, lines, l, rapid.Bool().Draw(t, "strike"))
		var rs melt.Refusals
		if err == nil {
			spec, ok := melt.SpecOf(l.Kind)
			assert.True(t, ok)
			assert.GreaterOrEqual(t, l.Mass(), quantity.Mass(0))
			assert.LessOrEqual(t, l.Mass(), 1000*kg)
			assert.True(t, l.Weighed() || !spec.Requires(melt.PartMass))
			return
		}
		require.ErrorAs(t, err, &rs)
		for _, r := range rs {
			assert.NotEmpty(t, r.Field)
			assert.NotEmpty(t, r.Say(metric))
			assert.NotEmpty(t, r.Say(imperial))
		}
	})
}
