package sheet_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/sheet"
)

func electric(minute int, volts, amps, watts float64) melt.Line {
	return line(melt.Electric, minute, func(l *melt.Line) {
		if volts > 0 {
			l.Volts = new(quantity.Voltage(volts * 1000))
		}
		if amps > 0 {
			l.Amps = new(quantity.Current(amps * 1000))
		}
		if watts > 0 {
			l.Watts = new(quantity.Power(watts * 1000))
		}
	})
}

// A meter is believed before typing, typing before volts and amps. The vector
// has the power on for 215 minutes; 230 V × 10 A are 2300 W (Joule's law).
func TestWhereEnergyComesFrom(t *testing.T) {
	typed := func(minute int, e quantity.Energy) melt.Line {
		return line(melt.Energy, minute, func(l *melt.Line) { l.Energy = new(e) })
	}
	unread := vectorLines()
	change(unread, melt.PowerOn, func(l *melt.Line) { l.Meter = nil })
	change(unread, melt.Isolated, func(l *melt.Line) { l.Meter = nil })
	const hours = 215.0 / 60
	for _, c := range []struct {
		name  string
		lines []melt.Line
		want  float64
		basis sheet.EnergyBasis
	}{
		{"meter", vectorLines(), 11.6, sheet.ByMeter},
		{"meter before all others", append(vectorLines(), typed(230, 12*kWh), electric(30, 230, 10, 0)), 11.6, sheet.ByMeter},
		{"first and last of many readings", append(vectorLines(), line(melt.Meter, 60, showing(1_203*kWh)), line(melt.Meter, 3, showing(1_199*kWh))), 12.6, sheet.ByMeter},
		{"typing before volts and amps", append(unread, typed(230, 12*kWh), electric(30, 230, 10, 0)), 12, sheet.ByTyping},
		{"several typed add up", append(unread, typed(230, 12*kWh), typed(231, kWh/2)), 12.5, sheet.ByTyping},
		{"one reading of a meter is none", append(unread, line(melt.Meter, 60, showing(1_203*kWh)), typed(230, 12*kWh)), 12, sheet.ByTyping},
		{"volts × amps × time", append(unread, electric(30, 230, 10, 0)), 2.3 * hours, sheet.ByElectric},
		{"watts before volts × amps", append(unread, electric(30, 230, 10, 2200)), 2.2 * hours, sheet.ByElectric},
		{"the mean of several", append(unread, electric(30, 230, 10, 0), electric(60, 0, 0, 2100), electric(90, 230, 0, 0)), 2.2 * hours, sheet.ByElectric},
	} {
		s := sheet.Of(vectorHeading(), c.lines, vectorFacts())
		assert.Equal(t, c.basis, s.EnergyBasis, c.name)
		assert.InDelta(t, c.want, s.Energy.X, 1e-8, c.name)
	}
	for name, lines := range map[string][]melt.Line{
		"volts alone":           append(unread, electric(30, 230, 0, 0)),
		"volts and amps, no on": without(append(unread, electric(30, 230, 10, 0)), melt.PowerOn, melt.Isolated),
		"nothing":               nil,
	} {
		s := sheet.Of(vectorHeading(), lines, vectorFacts())
		assert.Equal(t, []sheet.Lack{sheet.NoEnergy}, s.Energy.Lacks, name)
		assert.Empty(t, s.EnergyBasis, name)
	}
}

// The temperature at the last pour that has one goes before the last reading
// in the metal; chamber and infrared readings never count.
func TestWhichTemperatureCounts(t *testing.T) {
	for _, c := range []struct {
		name  string
		extra []melt.Line
		want  float64
	}{
		{"last in the metal", []melt.Line{line(melt.Temperature, 190, hot(700, melt.InMetal)), line(melt.Temperature, 212, hot(800, melt.Chamber))}, 720},
		{"at the pour", []melt.Line{line(melt.Pour, 214, hot(705, ""), weighed(0)), line(melt.Temperature, 216, hot(690, melt.InMetal))}, 705},
		{"at the last pour", []melt.Line{line(melt.Pour, 213, hot(705, ""), weighed(0)), line(melt.Pour, 214, hot(700, ""), weighed(0))}, 700},
	} {
		s := sheet.Of(vectorHeading(), append(vectorLines(), c.extra...), vectorFacts())
		assert.Equal(t, c.want, s.PourTemp.X, c.name)
	}
}

// Heat is that of the net charge, each source with its own alloy: steel that
// was charged with it takes heat too, but none of it is counted as metal.
func TestHeatOfTheNetCharge(t *testing.T) {
	plain := sheet.Of(vectorHeading(), vectorLines(), vectorFacts())
	l := append(vectorLines(), line(melt.Steel, 218, weighed(800*quantity.Gram)))
	s := sheet.Of(vectorHeading(), l, vectorFacts())
	assert.InDelta(t, plain.IntoMetal.X*0.9, s.IntoMetal.X, 1e-8)
	assert.InDelta(t, 7.47/7.2, s.Yield.X, 1e-9, "and the yield is over it")

	f := vectorFacts()
	f.Sources[wheels] = sheet.Source{Name: "Wheels", Alloy: "A356.0", Paid: new(quantity.Price(0))}
	s = sheet.Of(vectorHeading(), vectorLines(), f)
	assert.Equal(t, []string{"A356.0", "pure aluminium"}, s.LatentOf)
	// 6 kg at 389 kJ/kg of melting instead of pure aluminium's 397 (NIST-JANAF).
	assert.InDelta(t, plain.IntoMetal.X-6*(396.9-389)/3600, s.IntoMetal.X, 1e-4)
}
