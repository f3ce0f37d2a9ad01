package quantity_test

import (
	"testing"

	"drosswise/foundry/quantity"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var styles = rapid.Custom(func(t *rapid.T) quantity.Style {
	return quantity.Style{
		Comma:      rapid.Bool().Draw(t, "comma"),
		MassUnit:   rapid.SampledFrom([]quantity.MassUnit{quantity.Kilo, quantity.Grams, quantity.Pounds}).Draw(t, "unit"),
		Fahrenheit: rapid.Bool().Draw(t, "fahrenheit"),
		Currency:   rapid.SampledFrom([]string{"", "GBP", "JPY", "KWD"}).Draw(t, "currency"),
	}
})

// backAgain says that what an input shows is read back as the same value.
func backAgain[Q ~int64](t *rapid.T, least, most int64, show func(Q) string, read func(string) (Q, error)) {
	q := Q(rapid.Int64Range(least, most).Draw(t, "value"))
	got, err := read(show(q))
	require.NoError(t, err, show(q))
	require.Equal(t, q, got, show(q))
}

func TestInputsReadBack(t *testing.T) {
	const much = 1_000_000_000_000_000
	rapid.Check(t, func(t *rapid.T) {
		s := styles.Draw(t, "style")
		backAgain(t, -much/10, much/10, s.MassInput, s.ReadMass)
		backAgain(t, -much, much, s.EnergyInput, s.ReadEnergy)
		backAgain(t, -27_315, 1_000_000, s.TemperatureInput, s.ReadTemperature)
		backAgain(t, 0, much/10, s.ResistanceInput, s.ReadResistance)
		backAgain(t, -much/10, much/10, s.VoltageInput, s.ReadVoltage)
		backAgain(t, -much/10, much/10, s.CurrentInput, s.ReadCurrent)
		backAgain(t, -much/10, much/10, s.PowerInput, s.ReadPower)
		backAgain(t, 0, much/10, s.LengthInput, s.ReadLength)
		backAgain(t, 0, much, s.VolumeInput, s.ReadVolume)
		backAgain(t, -much/10_000, much/10_000, s.MoneyInput, s.ReadMoney)
		backAgain(t, -much, much, s.PriceInput, s.ReadPrice)
		backAgain(t, -much/10, much/10, s.MassPriceInput, s.ReadMassPrice)
		backAgain(t, -much, much, s.PercentInput, s.ReadPercent)
		backAgain(t, 0, 999_999*int64(quantity.Hour), s.SpanInput, s.ReadSpan)
	})
}

// What is shown can be typed back: grouping, sign and unit are all read.
func TestShownMassReadsBackAsRounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := styles.Draw(t, "style")
		m := quantity.Mass(rapid.Int64Range(-1e14, 1e14).Draw(t, "mass"))
		got, err := s.ReadMass(s.Mass(m))
		require.NoError(t, err, s.Mass(m))
		require.InDelta(t, float64(m), float64(got), 500, s.Mass(m))
		require.Equal(t, s.Mass(m), s.Mass(got))
	})
}

func TestTypedDecimalsStayAsTyped(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := styles.Draw(t, "style")
		pounds := rapid.Int64Range(1, 99_999).Draw(t, "thousandths")
		typed := quantity.Style{Comma: s.Comma}.NumberInput(pounds, 3)
		m, err := s.ReadMass(typed)
		require.NoError(t, err)
		require.Equal(t, typed, s.MassInput(m))
	})
}
