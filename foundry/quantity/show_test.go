package quantity_test

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"drosswise/foundry/quantity"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestShow(t *testing.T) {
	kg := quantity.Style{Currency: "GBP"}
	g := quantity.Style{MassUnit: quantity.Grams, Comma: true, Fahrenheit: true, Currency: "JPY"}
	lb := quantity.Style{MassUnit: quantity.Pounds, Currency: "KWD"}
	for _, c := range []struct{ want, got string }{
		{"1.842 kg", kg.Mass(1_842_000)},
		{"−0.020 kg", kg.Mass(-20_000)},
		{"0.000 kg", kg.Mass(-499)},
		{"−0.001 kg", kg.Mass(-500)},
		{"1842 g", g.Mass(1_842_000)},
		{"12\u202f842 g", g.Mass(12_842_000)},
		{"1\u202f234\u202f567.000 kg", kg.Mass(1_234_567_000_000)},
		{"99,5 g", g.Mass(99_500)},
		{"99 g", g.Mass(99_000)},
		{"4.061 lb", lb.Mass(1_842_000)},
		{"11.60 kWh", kg.Energy(41_760_000)},
		{"694 °C", kg.Temperature(69_400)},
		{"1328 °F", g.Temperature(72_000)},
		{"−40 °F", g.Temperature(-4_000)},
		{"−1 °C", kg.Temperature(-50)},
		{"28.8 Ω", kg.Resistance(28_800)},
		{"0.450 Ω", kg.Resistance(450)},
		{"9.99 Ω", kg.Resistance(9_994)},
		{"10.0 Ω", kg.Resistance(9_996)},
		{"100 Ω", kg.Resistance(99_960)},
		{"1234 Ω", kg.Resistance(1_234_000)},
		{"230 V", kg.Voltage(230_000)},
		{"231,5 V", g.Voltage(231_500)},
		{"0.030 V", kg.Voltage(30)},
		{"8.05 A", kg.Current(8_050)},
		{"13.0 A", kg.Current(13_000)},
		{"850 W", kg.Power(850_000)},
		{"1.85 kW", kg.Power(1_850_000)},
		{"12.3 kW", kg.Power(12_345_000)},
		{"3.25 mm", kg.Length(3_250)},
		{"12.4 m", kg.Length(12_400_000)},
		{"450 ml", kg.Volume(450_000)},
		{"1.85 L", kg.Volume(1_850_000)},
		{"8.71 GBP", kg.Money(871)},
		{"−8.71 GBP", kg.Money(-871)},
		{"12\u202f000 JPY", g.Money(12_000)},
		{"1.200 KWD", lb.Money(1_200)},
		{"8.71", quantity.Style{}.Money(871)},
		{"0.2573 GBP", kg.Price(257_300)},
		{"0.80 GBP", kg.Price(800_000)},
		{"31 JPY", g.Price(31_000_000)},
		{"0,000001 JPY", g.Price(1)},
		{"93.4 %", kg.Percent(0.934, 1)},
		{"−0,25 %", g.Percent(-0.0025, 2)},
		{"—", kg.Percent(math.NaN(), 1)},
		{"—", kg.Number(math.Inf(1), 1)},
		{"0.0", kg.Number(-0.01, 1)},
		{"1234.5", kg.Number(1234.5, 1)},
		{"12\u202f345,7", g.Number(12345.67, 1)},
		{"3 h 10 min", kg.Span(190 * quantity.Minute)},
		{"3 h", kg.Span(180*quantity.Minute + 20*quantity.Second)},
		{"1 h", kg.Span(quantity.Hour - 1)},
		{"1 min", kg.Span(quantity.Minute - 1)},
		{"34 s", kg.Span(34 * quantity.Second)},
		{"0 s", kg.Span(-1)},
		{"−5 min", kg.Span(-5 * quantity.Minute)},
		{"0:34", kg.SpanClock(34*quantity.Minute + 59*quantity.Second)},
		{"−1:00", kg.SpanClock(-quantity.Hour)},
		{"0:00", kg.SpanClock(-1)},
		{"3:10", kg.SpanInput(190 * quantity.Minute)},
		{"3:10:05.250", kg.SpanInput(190*quantity.Minute + 5_250)},
		{"1,842", quantity.Style{Comma: true}.MassInput(1_842_000)},
		{"12345678.9", kg.MassInput(12_345_678_900_000)},
		{"-2", kg.MassInput(-2_000_000)},
		{"1842", g.MassInput(1_842_000)},
		{"8.70", kg.MoneyInput(870)},
		{"0.2573", kg.PriceInput(257_300)},
		{"93.4", kg.PercentInput(934_000)},
		{"1328", g.TemperatureInput(72_000)},
		{"kg g lb", kg.MassSymbol() + " " + g.MassSymbol() + " " + lb.MassSymbol()},
		{"°C °F", kg.TemperatureSymbol() + " " + g.TemperatureSymbol()},
	} {
		assert.Equal(t, c.want, c.got)
	}
}

func TestShowTime(t *testing.T) {
	london, err := time.LoadLocation("Europe/London")
	assert.NoError(t, err)
	s := quantity.Style{Zone: london}
	m := quantity.At(time.Date(2026, 7, 3, 13, 46, 5, 0, time.UTC))
	assert.Equal(t, "14:46", s.Clock(m))
	assert.Equal(t, "3 Jul 2026", s.Date(m))
	assert.Equal(t, "3 Jul 2026 14:46", s.DateTime(m))
	assert.Equal(t, "2026-07-03", s.DateInput(m))
	assert.Equal(t, "14:46:05", s.ClockInput(m))
	assert.Equal(t, "13:46", quantity.Style{}.Clock(m))
}

func TestRound(t *testing.T) {
	s := quantity.Style{}
	for _, c := range []struct {
		value, u      float64
		most          int
		shown, shownU string
	}{
		{93.375, 0.2996, 3, "93.4", "0.3"},
		{93.42, 0.14, 3, "93.42", "0.14"},
		{93.42, 0.0996, 3, "93.42", "0.10"},
		{93.42, 0.96, 3, "93.4", "1.0"},
		{1234, 28.05, 3, "1230", "30"},
		{-0.02, 0.0245, 3, "−0.02", "0.02"},
		{-0.004, 0.3, 3, "0.0", "0.3"},
		{7.471234, 0.00002, 3, "7.471", "0.001"},
		{7.47, 0, 3, "7.47", ""},
		{7, math.NaN(), 3, "7", ""},
		{7, math.Inf(1), 3, "7", ""},
		{math.NaN(), 0.1, 3, "—", ""},
		// GUM (JCGM 100:2008) 7.2.6 rounds 10,057 62 Ω with 27 mΩ to 10,058 Ω and
		// 27 mΩ, "at most two" digits; a first digit of 2 keeps one of them here.
		{10.05762, 0.027, 5, "10.06", "0.03"},
		// Of 10,47 mΩ it keeps two, as a first digit of 1 does here.
		{10057.62, 10.47, 5, "10\u202f058", "10"},
	} {
		shown, shownU := s.Round(c.value, c.u, c.most)
		assert.Equal(t, c.shown, shown, "%v ± %v", c.value, c.u)
		assert.Equal(t, c.shownU, shownU, "%v ± %v", c.value, c.u)
	}
}

// What GUM 7.2.6 asks of any pair: at most two digits of the uncertainty, and
// a value that ends at the same place.
func TestRoundKeepsToGUM(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.Float64Range(-9000, 9000).Draw(t, "value")
		u := rapid.Float64Range(0.001, 500).Draw(t, "u")
		shown, shownU := quantity.Style{}.Round(value, u, 9)
		_, valueDecimals, _ := strings.Cut(shown, ".")
		whole, uDecimals, _ := strings.Cut(shownU, ".")
		require.Len(t, valueDecimals, len(uDecimals))
		digits := strings.TrimLeft(whole+uDecimals, "0")
		if uDecimals == "" {
			digits = strings.TrimRight(digits, "0")
		}
		require.LessOrEqual(t, len(digits), 2, shownU)
		require.GreaterOrEqual(t, len(digits), 1, shownU)
		number, err := strconv.ParseFloat(shownU, 64)
		require.NoError(t, err)
		require.InEpsilon(t, u, number, 0.25, "half of the last digit of 2 at most")
		number, err = strconv.ParseFloat(strings.Replace(shown, "\u2212", "-", 1), 64)
		require.NoError(t, err)
		require.InDelta(t, value, number, u*0.5*1.0001+1e-9, "never off by more than half of u")
	})
}

func TestMassTo(t *testing.T) {
	kg, g, lb := quantity.Style{}, quantity.Style{MassUnit: quantity.Grams}, quantity.Style{MassUnit: quantity.Pounds}
	for _, c := range []struct{ want, got string }{
		{"7.47 kg", kg.MassTo(7_470_000, 20_000)},
		{"7.52 kg", kg.MassTo(7_520_000, 10_000)},
		{"−0.02 kg", kg.MassTo(-20_000, 24_495)},
		{"7.470 kg", kg.MassTo(7_470_000, 0)},
		{"7.4700 kg", kg.MassTo(7_470_000, 408)},
		{"10 kg", kg.MassTo(7_470_000, 14_000_000)},
		{"7470 g", g.MassTo(7_471_000, 20_000)},
		{"7471 g", g.MassTo(7_471_300, 4_082)},
		{"16.47 lb", lb.MassTo(7_470_000, 20_000)},
	} {
		assert.Equal(t, c.want, c.got)
	}
	value, u, symbol := kg.MassPair(7_470_000, 20_000)
	assert.Equal(t, []string{"7.47", "0.02", "kg"}, []string{value, u, symbol})
	value, u, symbol = g.MassPair(7_470_000, 4_082)
	assert.Equal(t, []string{"7470", "4", "g"}, []string{value, u, symbol})
}
