package wear

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/quantity"
	"drosswise/testdata"
)

// wornSet is the set of d_resistance_1 with its ten readings.
func wornSet(t testing.TB) (Set, []Reading) {
	var readings []Reading
	for i, row := range testdata.Rows(t, "statistics/d_resistance_1.csv") {
		readings = append(readings, Reading{
			ID: int64(i + 1), Hours: row.Number(t, "hours"), Heats: 4 * i, Ohms: ohm(row.Number(t, "ohm")),
			Meter: Meter{Ohms: quantity.Ohm / 100},
		})
	}
	return Set{Wire: fecral, New: ohm(14), Hours: 190, HeatHours: []float64{3, 3.2, 3.4, 3.2}}, readings
}

// Readings that cannot be are refused with a sentence, and change nothing.
func TestRefusedReadingsChangeNothing(t *testing.T) {
	set, readings := wornSet(t)
	before := Look(set, readings)
	require.Equal(t, Foreseen, before.Code)
	for name, try := range map[string]struct {
		reading Reading
		field   string
		fault   Fault
		part    string
	}{
		"nothing read":         {Reading{}, "ohms", Missing, "two of volts, amps and watts"},
		"volts alone":          {Reading{Volts: volt(230)}, "ohms", Missing, "two of volts, amps and watts"},
		"zero":                 {Reading{Ohms: ohm(0)}, "ohms", NotPositive, "Leave blank what was not measured"},
		"negative":             {Reading{Ohms: ohm(-14)}, "ohms", NotPositive, "no working element reads"},
		"negative amps":        {Reading{Volts: volt(230), Amps: ampere(-16)}, "amps", NotPositive, "no working element reads"},
		"kΩ for Ω":             {Reading{Ohms: ohm(0.014)}, "ohms", UnitSlip, "read in kΩ"},
		"mΩ for Ω":             {Reading{Ohms: ohm(14_300)}, "ohms", UnitSlip, "read in mΩ"},
		"mA for A":             {Reading{Volts: volt(230), Amps: ampere(15_500)}, "amps", UnitSlip, "read in mA"},
		"kW for W":             {Reading{Volts: volt(230), Watts: watt(3.6)}, "watts", UnitSlip, "read in kW"},
		"volts and amps":       {Reading{Volts: volt(16), Amps: ampere(230)}, "volts", Swapped, "in each other's place"},
		"far off":              {Reading{Ohms: ohm(90)}, "ohms", OutOfReason, "about 14.00 Ω. Read it again."},
		"contradictory":        {Reading{Ohms: ohm(14.3), Volts: volt(230), Amps: ampere(9)}, "amps", Disagrees, "By Ohm's law"},
		"hours below none":     {Reading{Ohms: ohm(14), Hours: -1}, "hours", NotPositive, "less than none"},
		"hours not a number":   {Reading{Ohms: ohm(14), Hours: math.NaN()}, "hours", NotPositive, "less than none"},
		"hours past the set's": {Reading{Ohms: ohm(14), Hours: 500}, "hours", Swapped, "has only been hot for 190 h"},
		"leads above all":      {Reading{Ohms: ohm(14), Leads: ohm(15)}, "leads", OutOfReason, "Hold the leads together"},
		"meter still":          {Reading{Drawn: &Drawn{On: quantity.Hour, Volts: 230 * quantity.Volt}}, "energy", NotPositive, "did not move"},
		"meter backwards":      {Reading{Drawn: &Drawn{Energy: -quantity.KilowattHour, On: quantity.Hour, Volts: 230 * quantity.Volt}}, "energy", NotPositive, "ran backwards"},
		"no time on":           {Reading{Drawn: &Drawn{Energy: quantity.KilowattHour, Volts: 230 * quantity.Volt}}, "on", NotPositive, "no time with power on"},
		"no volts":             {Reading{Drawn: &Drawn{Energy: quantity.KilowattHour, On: quantity.Hour}}, "volts", NotPositive, "supply volts"},
		"Wh for kWh":           {Reading{Drawn: &Drawn{Energy: 3600 * quantity.KilowattHour, On: quantity.Hour, Volts: 230 * quantity.Volt}}, "energy", UnitSlip, "unit of the energy"},
		"minutes for hours":    {Reading{Drawn: &Drawn{Energy: 11 * quantity.KilowattHour, On: 180 * quantity.Hour, Volts: 230 * quantity.Volt}}, "on", UnitSlip, "in minutes"},
	} {
		r := try.reading
		r.ID = 99
		if r.Hours == 0 {
			r.Hours = 100
		}
		after := Look(set, append([]Reading{r}, readings...))
		require.Len(t, after.Series.Refused, 1, name)
		refusal := after.Series.Refused[0]
		assert.Equal(t, int64(99), refusal.ID, name)
		assert.Equal(t, try.field, refusal.Field, name)
		assert.Equal(t, try.fault, refusal.Fault, name)
		assert.Contains(t, refusal.Say(quantity.Style{}), try.part, name)
		assert.ErrorContains(t, refusal, try.field)

		after.Series.Refused = nil
		assert.Equal(t, before, after, name)
	}
}

// A coil open beside another leaves twice the ohms: that must be let through.
func TestTwiceTheOhmsIsNoSlip(t *testing.T) {
	set, _ := wornSet(t)
	assert.Empty(t, Reading{Ohms: ohm(28)}.Check(set, 14))
	assert.Empty(t, Reading{Ohms: ohm(7)}.Check(set, 14))
}

// Without new ohms the set as built, or the middle of the readings, tells a slip.
func TestWhatIsKnownOfTheSet(t *testing.T) {
	set, readings := wornSet(t)
	set.New = nil
	slipped := append(readings, Reading{ID: 99, Hours: 60, Ohms: ohm(0.0142)})
	require.Len(t, Gather(set, slipped).Refused, 1)
	assert.Empty(t, Gather(set, slipped[9:]).Refused, "two readings cannot tell which is wrong")
	set.Built = ohm(13)
	require.Len(t, Gather(set, slipped[9:]).Refused, 1)
}
