package quantity_test

import (
	"testing"

	"drosswise/foundry/quantity"

	"github.com/stretchr/testify/require"
)

func FuzzReadMass(f *testing.F) {
	for _, seed := range []string{"", "1.842", "1,842", "1.842,5 kg", "−12 lb", "1’842 g", "999999999999.9999999",
		"9.3 t", "1e9", "\x00\u202e", "0.00000000000000000000000001", "12,3,4", "1\u202f842 oz"} {
		f.Add(seed, uint8(0))
	}
	f.Fuzz(func(t *testing.T, text string, unit uint8) {
		s := quantity.Style{MassUnit: quantity.MassUnit(unit % 3), Comma: unit%2 == 1}
		m, err := s.ReadMass(text)
		if err != nil {
			requireRefusal(t, err)
			require.Zero(t, m)
			return
		}
		again, err := s.ReadMass(s.MassInput(m))
		require.NoError(t, err, s.MassInput(m))
		require.Equal(t, m, again, s.MassInput(m))
	})
}

func FuzzReadNumber(f *testing.F) {
	for _, seed := range []string{"", "1.842", "1 234,5 %", "-40 °F", "28.8 Ω", "3:10", "3h10", "1 h 2 min 3 s", "8.71 GBP", "2 cm3", "NaN"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s := quantity.Style{Fahrenheit: len(text)%2 == 0, Comma: len(text)%3 == 0, Currency: "GBP"}
		reads(t, text, s.ReadEnergy, s.EnergyInput)
		reads(t, text, s.ReadTemperature, s.TemperatureInput)
		reads(t, text, s.ReadResistance, s.ResistanceInput)
		reads(t, text, s.ReadLength, s.LengthInput)
		reads(t, text, s.ReadVolume, s.VolumeInput)
		reads(t, text, s.ReadMoney, s.MoneyInput)
		reads(t, text, s.ReadPrice, s.PriceInput)
		reads(t, text, s.ReadPercent, s.PercentInput)
		reads(t, text, s.ReadSpan, s.SpanInput)
		reads(t, text, s.ReadCount, func(n int64) string { return s.NumberInput(n, 0) })
	})
}

// reads checks that a text is either refused in a sentence or read to a value
// that comes back from its own input.
func reads[Q ~int64](t *testing.T, text string, read func(string) (Q, error), input func(Q) string) {
	t.Helper()
	q, err := read(text)
	if err != nil {
		requireRefusal(t, err)
		require.Zero(t, q)
		return
	}
	again, err := read(input(q))
	require.NoError(t, err, input(q))
	require.Equal(t, q, again, input(q))
}

func FuzzReadMoment(f *testing.F) {
	zones := []string{"UTC", "Europe/London", "America/New_York", "Australia/Lord_Howe", "America/Sao_Paulo", "Pacific/Apia"}
	for i, seed := range [][2]string{{"2026-11-03", "14:46"}, {"2026-10-25", "1.30"}, {"2026-03-08", "0230"},
		{"2026-04-05", "01:45:59.999"}, {"2018-11-04", "00:30"}, {"2011-12-30", "12:00"}, {"", ""}} {
		f.Add(seed[0], seed[1], uint8(i))
	}
	f.Fuzz(func(t *testing.T, date, clock string, zone uint8) {
		s := in(t, zones[int(zone)%len(zones)])
		m, err := s.ReadMoment(date, clock)
		if err != nil {
			requireRefusal(t, err)
			return
		}
		again, err := s.ReadMoment(s.DateInput(m), s.ClockInput(m))
		require.NoError(t, err)
		require.Equal(t, m, again)
		day, err := s.ReadDate(date)
		require.NoError(t, err)
		require.LessOrEqual(t, day, m)
		require.Equal(t, s.DateInput(m), s.DateInput(day))
	})
}
