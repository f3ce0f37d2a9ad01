package curve_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"drosswise/foundry/curve"
	"drosswise/foundry/quantity"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	start = quantity.Moment(1773504000000)
	melts = 660.323 // °C, aluminium (ITS-90, Preston-Thomas 1990, table 1)
	fuses = 397e3   // J/kg, aluminium (NIST-JANAF, testdata/physics/al_enthalpy_check.csv)
	heats = 1.1e3   // J/(kg K), near the melting point (the same, rounded)
)

var style = quantity.Style{Zone: time.UTC}

// sample reads a function of seconds every so often.
func sample(c curve.Channel, every, until float64, of func(float64) float64) []curve.Sample {
	scale := map[curve.Channel]float64{curve.Temperature: 100, curve.Power: 1000, curve.Energy: 1, curve.Voltage: 1000, curve.Current: 1000}[c]
	var all []curve.Sample
	for t := 0.0; t <= until; t += every {
		all = append(all, curve.Sample{At: start + quantity.Moment(math.Round(t*1000)), Value: int64(math.Round(of(t) * scale))})
	}
	return all
}

// Energies are worked out by hand from the integral.
func TestEnergyOfKnownCurves(t *testing.T) {
	const day = 10800.0
	for name, c := range map[string]struct {
		every float64
		power func(float64) float64
		is    float64
	}{
		"steady":          {10, func(float64) float64 { return 1500 }, 1500 * day},
		"raised cosine":   {30, func(t float64) float64 { return 750 * (1 - math.Cos(2*math.Pi*t/day)) }, 750 * day},
		"falling off":     {10, func(t float64) float64 { return 2000 * math.Exp(-t/3600) }, 2000 * 3600 * (1 - math.Exp(-3))},
		"on and off, 1 s": {1, func(t float64) float64 { return 1800 * float64(int(t/60)%2) }, 1800 * day / 2},
	} {
		t.Run(name, func(t *testing.T) {
			f, ok := curve.Clean(curve.Power, sample(curve.Power, c.every, day, c.power)).Integrated()
			require.True(t, ok)
			assert.InEpsilon(t, c.is, f.Joules, 1e-3)
			assert.LessOrEqual(t, math.Abs(f.Joules-c.is), 2*f.U+1e-3*day, "within what it says of itself and a milliwatt")
		})
	}
}

// A plug that switches beside the heater sends one reading that no furnace takes.
func TestSurgesOfPowerAreLeftOut(t *testing.T) {
	for c, most := range map[curve.Channel]float64{curve.Power: 99000, curve.Voltage: 4000, curve.Current: 600} {
		usual := map[curve.Channel]float64{curve.Power: 1800, curve.Voltage: 230, curve.Current: 7.8}[c]
		k := curve.Clean(c, sample(c, 10, 5000, func(t float64) float64 {
			if t == 1000 {
				return most
			}
			return usual
		}))
		require.Len(t, k.Doubts, 1, c)
		assert.Equal(t, curve.Spiked, k.Doubts[0].Kind)
		assert.Equal(t, 1, k.Doubts[0].Count)
		assert.Len(t, k.Samples, 500)
		if c == curve.Power {
			f, _ := k.Integrated()
			assert.InEpsilon(t, 1800*5000, f.Joules, 1e-9)
		}
	}
	short := sample(curve.Power, 30, 9000, func(t float64) float64 { return 60 + 1800*float64(1-min(1, int(t/30)%5)) })
	k := curve.Clean(curve.Power, short)
	assert.Empty(t, k.Doubts, "an element that is on for one reading in five")
	assert.Equal(t, short, k.Samples)
}

// Volts times amperes of a heater: 230 V rms at 35.3 Ω is 1498.58 W (Ohm's law).
func TestEnergyOfVoltsAndAmperes(t *testing.T) {
	volts := curve.Clean(curve.Voltage, sample(curve.Voltage, 7, 3610, func(t float64) float64 { return 230 + 5*math.Sin(t/600) }))
	amps := curve.Clean(curve.Current, sample(curve.Current, 5, 3600, func(t float64) float64 { return (230 + 5*math.Sin(t/600)) / 35.3 }))
	f, ok := curve.VoltsTimesAmperes(volts, amps).Integrated()
	require.True(t, ok)
	// ∫(230+5 sin(t/600))²/35.3 dt from 0 to 3600
	is := (230*230*3600 + 2*230*5*600*(1-math.Cos(6)) + 25*(1800-150*math.Sin(12))) / 35.3
	assert.InEpsilon(t, is, f.Joules, 1e-3)
}

func TestCounterThatBeginsAnew(t *testing.T) {
	const watts = 1500.0
	count := sample(curve.Energy, 60, 7200, func(t float64) float64 { return 5e6 + watts*t })
	plain := curve.Clean(curve.Energy, count)
	f, ok := plain.Counted()
	require.True(t, ok)
	assert.Equal(t, watts*7200, f.Joules)

	// The plug was pulled for a moment after an hour and forty seconds.
	reset := sample(curve.Energy, 60, 7200, func(t float64) float64 {
		if t > 3640 {
			return watts * (t - 3640)
		}
		return 5e6 + watts*t
	})
	anew := curve.Clean(curve.Energy, reset)
	f, ok = anew.Counted()
	require.True(t, ok)
	assert.InDelta(t, watts*7200, f.Joules, 2*f.U)
	require.Len(t, anew.Doubts, 1)
	assert.Contains(t, anew.Doubts[0].Say(style), "began anew")

	count[40].Value, count[70].Value = 0, 1e12 // two glitches
	glitch := curve.Clean(curve.Energy, count)
	f, _ = glitch.Counted()
	assert.Equal(t, watts*7200, f.Joules)
	require.Len(t, glitch.Doubts, 1)
	assert.Equal(t, 2, glitch.Doubts[0].Count)
}

// furnace is the temperature of a kilogram of aluminium that is heated to 760 °C
// by a wall at 900 °C, held there, and left to cool, second by second: Newton's law
// with the heat of fusion taken or given at the melting point. The thermocouple
// lags by 15 s, freezing begins 4 K too low, and the reading scatters.
func furnace(noise float64, step float64, seed uint64) []float64 {
	r := rand.New(rand.NewPCG(seed, 7))
	const exchange = 0.35 // W/K, times mass over a kilogram
	temp, latent, lag := 20.0, 0.0, 20.0
	held, cold := 0, false
	var all []float64
	for second := 0; second < 6*3600; second++ {
		around := 900.0
		switch {
		case held > 1800:
			around = 20
		case temp >= 760:
			held++
			around = temp // the set point is held
		}
		power := exchange * (around - temp)
		if around == 20 {
			power /= 3
		}
		switch {
		case power > 0 && temp >= melts && latent < fuses:
			latent += power * 1.0
			temp = melts
		case power < 0 && latent > 0 && temp <= melts && (cold || temp <= melts-4):
			cold = true
			latent += power
			temp = math.Min(melts, temp+0.05)
		default:
			temp += power / heats
			if power > 0 && latent < fuses {
				temp = math.Min(temp, melts)
			}
		}
		lag += (temp - lag) / 15
		x := lag + noise*r.NormFloat64()
		if step > 0 {
			x = math.Round(x/step) * step
		}
		all = append(all, x)
	}
	return all
}

func seconds(every int, all []float64) []curve.Sample {
	return sample(curve.Temperature, float64(every), float64(len(all)-1), func(t float64) float64 { return all[int(t)] })
}

// The plateaus of a synthetic curve of aluminium are found within 1 K of its
// melting point on the ITS-90, and the set point that is held is none.
func TestFindsTheMeltingPoint(t *testing.T) {
	for name, c := range map[string]struct {
		noise, step float64
		every       int
	}{
		"clean, 1 s":                       {0, 0, 1},
		"scatter of 1 K, 1 s":              {1, 0, 1},
		"in steps of 0.25 K, 5 s":          {0.3, 0.25, 5},
		"in steps of 1 K, 10 s":            {0.5, 1, 10},
		"scatter of 2 K, every 30 seconds": {2, 0, 30},
	} {
		t.Run(name, func(t *testing.T) {
			for seed := range uint64(3) {
				found := curve.Clean(curve.Temperature, seconds(c.every, furnace(c.noise, c.step, seed))).Plateaus()
				require.Len(t, found, 2)
				assert.InDelta(t, melts, found[0].Temp.Celsius(), 1)
				assert.InDelta(t, melts, found[1].Temp.Celsius(), 1)
				assert.False(t, found[0].Falling)
				assert.True(t, found[1].Falling)
			}
		})
	}
	straight := curve.Clean(curve.Temperature, sample(curve.Temperature, 1, 7200, func(t float64) float64 { return 20 + t/9 }))
	assert.Empty(t, straight.Plateaus(), "a steady rise has none")
	held := curve.Clean(curve.Temperature, sample(curve.Temperature, 1, 14000, func(t float64) float64 { return math.Min(20+t/9, 760) - math.Max(0, (t-9000)/9) }))
	assert.Empty(t, held.Plateaus(), "a set point that is held has none")
}

func TestRatesAndStaysOfAKnownCurve(t *testing.T) {
	// 20 °C and 0.1 K/s for 7000 s to 720 °C, then down at 0.05 K/s.
	k := curve.Clean(curve.Temperature, sample(curve.Temperature, 10, 14000, func(t float64) float64 { return math.Min(20+t/10, 720-(t-7000)/20) }))
	r, ok := k.Fastest()
	require.True(t, ok)
	assert.InDelta(t, 360, r.KelvinPerHour, 0.5)
	assert.Equal(t, []curve.Stay{{Above: 600_00, Span: 3600 * quantity.Second}, {Above: 700_00, Span: 600 * quantity.Second}}, k.Stays())
}

func TestDoubtsAreMendedAndSaid(t *testing.T) {
	clean := func(t float64) float64 { return 20 + t/10 }
	all := sample(curve.Temperature, 10, 6000, clean)
	for i := 300; i < 360; i++ {
		all[i].Value = int64(math.Round(float64(all[i].Value)*1.8)) + 3200 // °F = °C × 9/5 + 32 (NIST SP 811, appendix B.8)
	}
	all[100].Value, all[450].Value = 0, 1372_00
	holed := append(all[:500:500], all[530:]...)
	k := curve.Clean(curve.Temperature, holed)
	for _, x := range k.Samples {
		assert.InDelta(t, clean(float64(x.At-start)/1000), float64(x.Value)/100, 0.02)
	}
	assert.Len(t, k.Samples, len(holed)-2)
	said := map[curve.Kind]curve.Doubt{}
	for _, d := range k.Doubts {
		said[d.Kind] = d
		assert.NotEmpty(t, d.Say(style))
	}
	assert.Equal(t, 60, said[curve.Fahrenheit].Count)
	assert.Equal(t, 2, said[curve.Spiked].Count)
	assert.Equal(t, curve.Doubt{Kind: curve.Gapped, Count: 1, At: start + 4990_000, Lasted: 310 * quantity.Second}, said[curve.Gapped])
	assert.Equal(t, int64(1372_00), all[450].Value, "the readings themselves stay")

	// A probe that goes from the chamber into the metal jumps as °F would, and does
	// not jump back.
	dipped := curve.Clean(curve.Temperature, sample(curve.Temperature, 60, 3600, func(t float64) float64 {
		if t < 1200 {
			return 400
		}
		return 752
	}))
	require.Len(t, dipped.Doubts, 1)
	assert.True(t, dipped.Doubts[0].Left)
	assert.Equal(t, int64(752_00), dipped.Samples[30].Value)
}

func TestThinningKeepsWhatIsSeen(t *testing.T) {
	all := sample(curve.Temperature, 1, 99_999, func(t float64) float64 { return 700 + 50*math.Sin(t/5000) })
	all[54_321].Value = 1200_00
	thin := curve.Thin(all, all[0].At, all[len(all)-1].At, 360)
	assert.LessOrEqual(t, len(thin), 4*360)
	assert.Contains(t, thin, all[54_321])
	assert.Equal(t, all[0], thin[0])
	assert.Equal(t, all[len(all)-1], thin[len(thin)-1])
	for i := 1; i < len(thin); i++ {
		require.Less(t, thin[i-1].At, thin[i].At)
	}
	assert.Equal(t, all[:100], curve.Thin(all[:100], all[0].At, all[99].At, 360))
}

// A logger that wakes for ten readings every two minutes leaves a gap each time,
// and what is drawn stays small.
func TestReportOfManyGapsStaysSmall(t *testing.T) {
	var all []curve.Sample
	for i := range 100_000 {
		all = append(all, curve.Sample{At: start + quantity.Moment(i/10)*120_000 + quantity.Moment(i%10)*1000, Value: int64(i % 977)})
	}
	r := curve.Work([]curve.Numbered{{ID: 1, Series: curve.Series{Channel: curve.Power, Name: "plug", Samples: all}}})
	points := 0
	for _, run := range r.Curves[0].Runs {
		points += len(run)
	}
	assert.LessOrEqual(t, points, 8*curve.Pixels)
	assert.Equal(t, 9_999, r.Curves[0].Doubts[len(r.Curves[0].Doubts)-1].Count)
}

func BenchmarkClean(b *testing.B) {
	all := sample(curve.Temperature, 1, 99_999, func(t float64) float64 { return 400 + 300*math.Sin(t/5000) })
	for b.Loop() {
		k := curve.Clean(curve.Temperature, all)
		k.Plateaus()
		k.Fastest()
		k.Stays()
	}
}

// A counter goes before power, and power before volts times amperes.
func TestReportTakesTheBestEnergy(t *testing.T) {
	series := func(id int64, c curve.Channel, of func(float64) float64) curve.Numbered {
		return curve.Numbered{ID: id, Series: curve.Series{Channel: c, Name: string(c), Samples: sample(c, 10, 3600, of)}}
	}
	volts := series(1, curve.Voltage, func(float64) float64 { return 230 })
	amps := series(2, curve.Current, func(float64) float64 { return 5 })
	power := series(3, curve.Power, func(float64) float64 { return 1200 })
	count := series(4, curve.Energy, func(t float64) float64 { return 1e6 + 1190*t })
	r := curve.Work([]curve.Numbered{volts, amps})
	require.NotNil(t, r.Energy)
	assert.Equal(t, curve.Voltage, r.Energy.From)
	assert.InDelta(t, 230*5*3600, r.Energy.Joules, 1)
	r = curve.Work([]curve.Numbered{volts, amps, power})
	assert.Equal(t, curve.Power, r.Energy.From)
	r = curve.Work([]curve.Numbered{power, count, volts, amps})
	assert.Equal(t, curve.Energy, r.Energy.From)
	assert.InDelta(t, 1190*3600, r.Energy.Joules, 1)
	require.Len(t, r.Other, 1)
	assert.Equal(t, 1200.0*3600, r.Other[0].Joules)
	assert.Equal(t, start, r.From)
	assert.Len(t, r.Curves, 4)
	assert.Equal(t, curve.Report{}, curve.Work(nil))
}

func TestTheLastTemperatureIsOfTheFirstSensorThatStillReads(t *testing.T) {
	_, _, ok := curve.Work(nil).Temperature()
	assert.False(t, ok)
	at := func(second int, celsius int64) curve.Sample {
		return curve.Sample{At: 1773498000000 + quantity.Moment(second)*1000, Value: celsius * 100}
	}
	sensor := func(id int64, c curve.Channel, name string, samples ...curve.Sample) curve.Numbered {
		return curve.Numbered{ID: id, Series: curve.Series{Channel: c, Name: name, Samples: samples}}
	}
	gone := sensor(1, curve.Temperature, "gone", at(0, 300), at(10, 301))
	metal := sensor(2, curve.Temperature, "metal", at(0, 600), at(100, 610))
	wall := sensor(3, curve.Temperature, "wall", at(1, 900), at(101, 910))
	plug := sensor(4, curve.Power, "plug", at(0, 1500), at(200, 1500))
	name, last, ok := curve.Work([]curve.Numbered{gone, metal, wall, plug}).Temperature()
	assert.True(t, ok)
	assert.Equal(t, "metal", name)
	assert.Equal(t, at(100, 610), last)
	name, last, _ = curve.Work([]curve.Numbered{gone}).Temperature()
	assert.Equal(t, "gone", name)
	assert.Equal(t, at(10, 301), last)
}

func TestEnergiesThatAreApart(t *testing.T) {
	counted := curve.Flow{Joules: 2.493 * 3.6e6, U: 0.003 * 3.6e6, From: curve.Energy}
	for kwh, apart := range map[float64]bool{2.493: false, 2.41: false, 2.58: false, 1.999: true, 2.9: true} {
		power := curve.Flow{Joules: kwh * 3.6e6, U: 0.002 * 3.6e6, From: curve.Power}
		assert.Equal(t, apart, counted.Apart(power), kwh)
		assert.Equal(t, apart, power.Apart(counted), kwh)
	}
	vague := curve.Flow{Joules: 1.999 * 3.6e6, U: 0.3 * 3.6e6}
	assert.False(t, counted.Apart(vague), "within what is not known of it")
}
