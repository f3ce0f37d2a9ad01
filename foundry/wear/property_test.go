package wear

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drosswise/foundry/element"
	"drosswise/foundry/quantity"
)

// anyReading draws readings that may make sense or none.
func anyReading(t *rapid.T, id int) Reading {
	r := Reading{ID: int64(id), Hours: rapid.Float64Range(0, 500).Draw(t, "hours"), Heats: rapid.IntRange(0, 150).Draw(t, "heats")}
	if rapid.Bool().Draw(t, "whole hours") {
		r.Hours = math.Round(r.Hours / 50)
	}
	r.LeftOut = rapid.IntRange(0, 9).Draw(t, "left out") == 0
	r.Meter.Ohms = quantity.Resistance(rapid.IntRange(0, 100).Draw(t, "step"))
	switch rapid.IntRange(0, 5).Draw(t, "way") {
	case 0:
		r.Volts, r.Amps = volt(rapid.Float64Range(-10, 400).Draw(t, "volts")), ampere(rapid.Float64Range(-1, 50).Draw(t, "amps"))
	case 1:
		r.Drawn = &Drawn{
			Energy: quantity.Energy(rapid.Int64Range(-1, 80_000_000).Draw(t, "energy")), On: quantity.Span(rapid.Int64Range(-1, 20_000_000).Draw(t, "on")),
			Volts: quantity.Voltage(rapid.Int64Range(-1, 400_000).Draw(t, "volts")),
		}
	case 2:
		r.Ohms = p(quantity.Resistance(rapid.Int64Range(-5, 20_000_000).Draw(t, "any ohms")))
	default:
		r.Ohms = ohm(rapid.Float64Range(10, 20).Draw(t, "ohms"))
		if rapid.Bool().Draw(t, "hot") {
			r.Temp = deg(rapid.Float64Range(0, 1300).Draw(t, "temp"))
		}
	}
	return r
}

func anySet(t *rapid.T) (Set, []Reading) {
	var readings []Reading
	for i := range rapid.IntRange(0, 25).Draw(t, "readings") {
		readings = append(readings, anyReading(t, i+1))
	}
	set := Set{Wire: rapid.SampledFrom([]string{"", fecral, "NiCr 80/20", "FeCrAl 15Cr-4.3Al"}).Draw(t, "wire"), Hours: rapid.SampledFrom([]float64{0, 500, 700}).Draw(t, "set hours")}
	if rapid.Bool().Draw(t, "new") {
		set.New = ohm(rapid.Float64Range(8, 15).Draw(t, "new ohms"))
	}
	if rapid.Bool().Draw(t, "taught") {
		set.Before = &Rate{Mean: 0.0002, SD: 0.0001, Sets: 2}
	}
	if rapid.Bool().Draw(t, "repaired") {
		set.Repairs = []Repair{{ID: 5, Hours: rapid.Float64Range(0, 500).Draw(t, "repair")}}
	}
	set.HeatHours = rapid.SampledFrom([][]float64{nil, {3, 4}, {0}}).Draw(t, "heat hours")
	return set, readings
}

func ordered(t require.TestingT, l *Left) {
	if l == nil {
		return
	}
	least := 0.0
	for _, end := range []*float64{l.Early, l.Middle, l.Late} {
		x := math.Inf(1)
		if end != nil {
			x = *end
			require.False(t, math.IsNaN(x) || math.IsInf(x, 0))
		}
		require.GreaterOrEqual(t, x, least)
		least = x
	}
}

// Whatever is read: figures are finite (JSON takes no others), ranges in order,
// and neither the order of the readings nor asking again changes the answer.
func TestAnyReadingsHaveAnAnswer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		set, readings := anySet(t)
		l := Look(set, readings)
		text, err := json.Marshal(l)
		require.NoError(t, err)
		ordered(t, l.Left)
		ordered(t, l.Melts)
		ordered(t, l.Earlier)
		require.True(t, l.Risen == nil || l.Risen.Low <= l.Risen.Middle && l.Risen.Middle <= l.Risen.High, "%v", l.Risen)
		require.True(t, l.Straight == nil || l.Straight.Low <= l.Straight.Middle && l.Straight.Middle <= l.Straight.High, "%v %+v", l.Straight, l.Line)
		require.NotEmpty(t, l.Say(plain))
		require.NotContains(t, l.Say(plain), "—", "a number that is none")

		shuffled := slices.Clone(readings)
		rand.New(rand.NewPCG(1, uint64(len(readings)))).Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		again, err := json.Marshal(Look(set, shuffled))
		require.NoError(t, err)
		require.Equal(t, string(text), string(again))
	})
}

// The answer does not depend on the size of the element: ten times the ohms on a
// meter of ten times the step lasts as long.
func TestForecastIsOfShares(t *testing.T) {
	set, readings := wornSet(t)
	small := Look(set, readings)
	big := Set{New: ohm(140), Hours: set.Hours, HeatHours: set.HeatHours}
	var tenfold []Reading
	for _, r := range readings {
		r.Ohms, r.Meter.Ohms = ohm(10*r.Ohms.Ohms()), 10*r.Meter.Ohms
		tenfold = append(tenfold, r)
	}
	large := Look(big, tenfold)
	assert.InEpsilon(t, *small.Left.Middle, *large.Left.Middle, 1e-6)
	assert.InEpsilon(t, *small.Left.Early, *large.Left.Early, 0.1, "draws differ, being seeded by the readings")
}

// Joule's law there and back: what an element of known ohms draws at full power
// gives its ohms again.
func TestDrawnThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cold := rapid.Float64Range(2, 60).Draw(t, "ohms")
		volts := rapid.Float64Range(100, 250).Draw(t, "volts")
		on := rapid.Float64Range(0.5, 6).Draw(t, "hours")
		wire, _ := element.Find(fecral)
		ct, _ := wire.Ct(HotUsual)
		d := Drawn{Energy: quantity.Energy(volts * volts / (cold * ct) * on * 3600), On: quantity.Span(on * 3.6e6), Volts: *volt(volts)}
		point, brought := Reading{Drawn: &d}.point(Set{Wire: fecral})
		require.True(t, brought)
		require.InEpsilon(t, cold, point.Ohms, 1e-4)
	})
}
