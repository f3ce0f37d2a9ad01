package wear

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drosswise/foundry/element"
	"drosswise/foundry/quantity"
	"drosswise/testdata"
)

func mm(x float64) *quantity.Length { return p(quantity.Length(math.Round(x * 1000))) }

// workedCoil is the worked element of limits_practice.csv: 14.3511 m of AWG 14
// at 1.45 Ω·mm²/m, 10 Ω cold, at 230 V.
func workedCoil(t testing.TB) Coil {
	metres := testdata.Find(t, "physics/limits_practice.csv", "item", "worked_element").Number(t, "value")
	return Coil{Wire: fecral, Gauge: p(14), Length: mm(metres * 1000), Volts: volt(230), Hot: deg(1000)}
}

// Source: worked element of limits_practice.csv (ASTM B258; handbook's 1.45 and
// Ct 1.04): 5290.0 W cold, 10.400 Ω and 5086.5 W hot, 6.931 W/cm².
func TestBenchOfTheWorkedElement(t *testing.T) {
	b, faults := workedCoil(t).Check()
	require.Empty(t, faults)
	assert.InDelta(t, 10, b.ColdOhms.Middle, 0.0001)
	assert.InDelta(t, 10.4, b.HotOhms.Middle, 0.0001)
	assert.InDelta(t, 5290, b.ColdWatts.Middle, 0.1)
	assert.InDelta(t, 5086.5, b.HotWatts.Middle, 0.1)
	assert.InDelta(t, 5086.5/230, b.HotAmps.Middle, 0.001)
	assert.InDelta(t, 6.931, b.Surface.Middle, 0.0005)
	assert.InDelta(t, 9.5, b.ColdOhms.Low, 0.0001, "± 5 % of the resistivity")
	assert.InDelta(t, 230/9.5, b.ColdAmps.High, 0.001)

	back, faults := workedCoil(t).For(quantity.Power(math.Round(5086.5 * 1000)))
	require.Empty(t, faults)
	assert.InDelta(t, 14.3511, back.Metres.Middle, 0.001)
	assert.InDelta(t, 14.3511/1.05, back.Metres.Low, 0.001)
	assert.InDelta(t, 5086.5, back.HotWatts.Middle, 0.01)
}

// Source: a wire maker's page on designing round wire elements: 750 W at 240 V
// and 1100 °C in 80/20 wire of 0.417 mm at 7.91 Ω/m, with a factor of 1.071, is
// 76.8 Ω hot, 71.7 Ω cold, so 9.07 m. Our tables print 1.09 Ω·mm²/m for its 1.08
// and 1.06 for its 1.071.
func TestLengthAgainstAMakersExample(t *testing.T) {
	c := Coil{Wire: "NiCr 80/20", Diameter: mm(0.417), Volts: volt(240), Hot: deg(1100)}
	b, faults := c.For(750 * quantity.Watt)
	require.Empty(t, faults)
	assert.InDelta(t, 76.8, b.HotOhms.Middle, 0.001)
	assert.InEpsilon(t, 71.7, b.ColdOhms.Middle, 0.02)
	assert.InEpsilon(t, 71.7/7.91, b.Metres.Middle, 0.02)
	assert.Less(t, b.Metres.Low, 71.7/7.91)
	assert.Greater(t, b.Metres.High, 71.7/7.91)
}

// Source: a wire maker's table of the length of a coil wound close, in mm for a
// metre of wire, by diameter of the wire and inside the coil.
func TestTurnsAgainstAMakersTable(t *testing.T) {
	for _, row := range []struct{ wire, inside, closeWound float64 }{
		{3.25, 10, 78}, {2.03, 5, 92}, {1.63, 3, 112}, {1.63, 10, 45}, {1.02, 6, 46}, {0.71, 10, 21}, {0.51, 8, 19},
	} {
		turns := 1 / metresPerTurn(row.inside, row.wire)
		assert.InDelta(t, row.closeWound, turns*row.wire, 0.5+0.02*row.closeWound, "%v mm on %v mm", row.wire, row.inside)
	}
}

// Turns on a former say the length; given with it they must agree.
func TestTurnsAndLength(t *testing.T) {
	c := Coil{Wire: fecral, Diameter: mm(1.6), Turns: p(200.0), Former: mm(10), Stretched: mm(900), Volts: volt(230)}
	b, faults := c.Check()
	require.Empty(t, faults)
	assert.InDelta(t, 200*math.Pi*11.6/1000, b.Metres.Middle, 0.01)
	assert.InDelta(t, 900/(200*1.6), *b.Pitch, 1e-9)
	assert.InDelta(t, 7.25, *b.Winding, 1e-9)
	assert.False(t, b.HotSaid)
	assert.Contains(t, strings.Join(b.Say(plain), "\n"), "and 1000 °C (taken, since nobody said")

	c.Length = mm(7500)
	_, faults = c.Check()
	assert.Empty(t, faults, "tails belong to the length")
	c.Length = mm(9500)
	_, faults = c.Check()
	require.Len(t, faults, 1)
	assert.Equal(t, Disagrees, faults[0].Fault)
	assert.Equal(t, "200 turns on 10 mm take 7.30 m of wire, but 9.5 m was given. Count the turns and measure the former again; straight tails belong to the length.", faults[0].Say(plain))
}

// Common practice, no source: 80 % of the rating for hours on end. 22 A is the
// worked element's current hot, 24.2 A the most it may draw cold.
func TestCircuitAndPlug(t *testing.T) {
	for _, try := range []struct {
		rated float64
		part  string
	}{
		{16, "Do not run it on this circuit."},
		{26, "A load that runs for hours is kept to 80 % (common practice, no source): take longer wire, or ask a licensed electrician"},
		{32, "and it is below that."},
	} {
		c := workedCoil(t)
		c.Circuit = ampere(try.rated)
		b, faults := c.Check()
		require.Empty(t, faults)
		assert.InDelta(t, 230/9.5/try.rated, b.Circuit.Load.Share, 0.001)
		assert.Contains(t, strings.Join(b.Say(plain), "\n"), try.part)
	}
	// Source: BS 1363 plugs are fused for 13 A at most, 2990 W at 230 V.
	rating := testdata.Find(t, "physics/limits_practice.csv", "item", "plug_13A_watts_230V").Number(t, "value")
	c := Coil{Wire: fecral, Diameter: mm(1), Volts: volt(230), Hot: deg(1000), Plug: ampere(13)}
	b, faults := c.For(quantity.Power(rating * 1000))
	require.Empty(t, faults)
	assert.InDelta(t, 13, b.HotAmps.Middle, 0.001)
	assert.Greater(t, b.Plug.Load.Share, 1.0)
	assert.Contains(t, strings.Join(b.Say(plain), "\n"), "Do not run it on this plug.")
}

func TestRemarksOfTheBench(t *testing.T) {
	said := func(c Coil) string {
		b, faults := c.Check()
		require.Empty(t, faults)
		return strings.Join(b.Say(plain), "\n")
	}
	good := Coil{Wire: fecral, Diameter: mm(1.6), Turns: p(200.0), Former: mm(10), Stretched: mm(900), Volts: volt(60), Hot: deg(1000)}
	assert.NotContains(t, said(good), "handbook")
	assert.NotContains(t, said(good), "a lot")
	near, narrow, hot, open := good, good, good, good
	near.Stretched = mm(410)
	assert.Contains(t, said(near), "The turns lie 1.3 wire diameters apart; a maker's handbook asks for 2 to 4")
	narrow.Former = mm(5)
	assert.Contains(t, said(narrow), "The coil is 4.1 wire diameters wide")
	hot.Hot = deg(1450)
	assert.Contains(t, said(hot), "1450 °C is more than the 1400 °C that this wire bears in air")
	open.Wire = "FeCrAl 15Cr-4.3Al"
	assert.Contains(t, said(open), "in no table for this wire")
	assert.Contains(t, said(workedCoil(t)), "That is a lot: 1 to 2 W/cm² is usual")
	assert.Contains(t, Cautions()[len(Cautions())-1], "Local code and a licensed electrician come first.")
}

func TestBenchRefusals(t *testing.T) {
	for name, try := range map[string]struct {
		change func(*Coil)
		field  string
		fault  Fault
	}{
		"no wire":            {func(c *Coil) { c.Wire = "" }, "wire", Missing},
		"no diameter":        {func(c *Coil) { c.Gauge = nil }, "diameter", Missing},
		"gauge 60":           {func(c *Coil) { c.Gauge = p(60) }, "gauge", OutOfReason},
		"a metre thick":      {func(c *Coil) { c.Diameter = mm(1000) }, "diameter", OutOfReason},
		"no length":          {func(c *Coil) { c.Length = nil }, "length", Missing},
		"turns alone":        {func(c *Coil) { c.Length, c.Turns = nil, p(100.0) }, "length", Missing},
		"length below none":  {func(c *Coil) { c.Length = mm(-1) }, "length", OutOfReason},
		"no volts":           {func(c *Coil) { c.Volts = nil }, "volts", Missing},
		"volts below none":   {func(c *Coil) { c.Volts = volt(-230) }, "volts", OutOfReason},
		"turns not a number": {func(c *Coil) { c.Turns = p(math.NaN()) }, "turns", OutOfReason},
		"former of nothing":  {func(c *Coil) { c.Former = mm(0) }, "former", OutOfReason},
		"cold fire":          {func(c *Coil) { c.Hot = deg(20) }, "hot", OutOfReason},
		"circuit of nothing": {func(c *Coil) { c.Circuit = ampere(0) }, "circuit", OutOfReason},
		"plug of nothing":    {func(c *Coil) { c.Plug = ampere(0) }, "plug", OutOfReason},
		"shorter than close": {func(c *Coil) { c.Length, c.Turns, c.Former, c.Stretched = nil, p(200.0), mm(10), mm(200) }, "stretched", OutOfReason},
	} {
		c := workedCoil(t)
		try.change(&c)
		_, faults := c.Check()
		require.Len(t, faults, 1, name)
		assert.Equal(t, try.field, faults[0].Field, name)
		assert.Equal(t, try.fault, faults[0].Fault, name)
		assert.NotEmpty(t, faults[0].Say(plain), name)
	}
	_, faults := workedCoil(t).For(0)
	require.Len(t, faults, 1)
	assert.Equal(t, "power", faults[0].Field)
}

// The length worked out for a power gives that power, for every wire; figures
// are finite, and ranges in order.
func TestLengthAndPowerThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wire := rapid.SampledFrom(element.Wires()).Draw(t, "wire")
		c := Coil{Wire: wire.Name, Gauge: p(rapid.IntRange(8, 26).Draw(t, "gauge")), Volts: volt(rapid.Float64Range(24, 480).Draw(t, "volts")),
			Former: mm(rapid.Float64Range(3, 30).Draw(t, "former")), Circuit: ampere(20)}
		want := rapid.Float64Range(200, 10_000).Draw(t, "watts")
		b, faults := c.For(*watt(want))
		require.Empty(t, faults)
		require.InEpsilon(t, want, b.HotWatts.Middle, 1e-5)
		_, err := json.Marshal(b)
		require.NoError(t, err)
		for _, r := range []Range{b.Metres, b.ColdOhms, b.HotOhms, b.ColdAmps, b.HotAmps, b.ColdWatts, b.HotWatts, b.Surface} {
			require.True(t, 0 < r.Low && r.Low < r.Middle && r.Middle < r.High, "%v", r)
		}
		length := quantity.Length(math.Round(b.Metres.Middle * 1e6))
		if length < quantity.Metre/10 || length > 1000*quantity.Metre {
			return
		}
		c.Length = &length
		again, faults := c.Check()
		require.Empty(t, faults)
		require.InEpsilon(t, want, again.HotWatts.Middle, 1e-4)
	})
}
