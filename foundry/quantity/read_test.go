package quantity_test

import (
	"errors"
	"strings"
	"testing"
	"unicode"

	"drosswise/foundry/quantity"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadMass(t *testing.T) {
	kg, g, lb := quantity.Style{}, quantity.Style{MassUnit: quantity.Grams}, quantity.Style{MassUnit: quantity.Pounds}
	for _, c := range []struct {
		style quantity.Style
		text  string
		want  quantity.Mass
	}{
		{kg, "1.842", 1_842_000},
		{kg, "1,842", 1_842_000},
		{kg, " 1.842 ", 1_842_000},
		{kg, ".5", 500_000},
		{kg, "0", 0},
		{kg, "007", 7_000_000},
		{kg, "+2", 2_000_000},
		{kg, "-2,5", -2_500_000},
		{kg, "−2.5", -2_500_000},
		{kg, "1.842,5", 1_842_500_000},
		{kg, "1,842.5", 1_842_500_000},
		{kg, "1.842.000", 1_842_000_000_000},
		{kg, "1,842,000.25", 1_842_000_250_000},
		{kg, "1 842", 1_842_000_000},
		{kg, "1\u00a0842,5", 1_842_500_000},
		{kg, "12\u202f842", 12_842_000_000},
		{kg, "12\u2009842", 12_842_000_000},
		{kg, "1'842.5", 1_842_500_000},
		{kg, "1’842", 1_842_000_000},
		{kg, "1842 g", 1_842_000},
		{kg, "1842g", 1_842_000},
		{kg, "1\u202f842 g", 1_842_000},
		{kg, "2 KG", 2_000_000},
		{kg, "12.5mg", 13}, // half away from zero
		{kg, "-12.5 mg", -13},
		{kg, "12.4 mg", 12},
		{kg, "0.002 t", 2_000_000},
		// Pound and ounce: NIST SP 811 (2008) B.8, exact in its footnote; 1959 agreement.
		{kg, "1 lb", 453_592},
		{kg, "1000 lbs", 453_592_370},
		{kg, "1600 oz", 45_359_237},
		{g, "1842", 1_842_000},
		{g, "1.842 kg", 1_842_000},
		{lb, "100", 45_359_237},
		{lb, "4.061", 1_842_039}, // 4.061 × 453 592.37 = 1 842 038.6
	} {
		got, err := c.style.ReadMass(c.text)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.want, got, c.text)
	}
}

func TestReadMassRefuses(t *testing.T) {
	for text, sentence := range map[string]string{
		"":                       "No mass was typed. Type it like 1.842 or 1,842.",
		" \t":                    "No mass was typed. Type it like 1.842 or 1,842.",
		"12,3,4":                 "“12,3,4” is not a number. Type it like 1.842 or 1,842.",
		"1.84.2":                 "",
		"1,84.2":                 "",
		"1.842,5.3":              "",
		"1.842,":                 "", // still being typed
		"0,842.5":                "", // not a group of thousands
		"1 842.000.000":          "",
		"1  842":                 "",
		"12 34":                  "",
		"1'84":                   "",
		"--1":                    "",
		"1-":                     "",
		"NaN":                    "",
		"Inf":                    "",
		"0x10":                   "",
		"1e3":                    "",
		"١٢":                     "",
		"kg":                     "",
		".":                      "",
		"one":                    "",
		"5 bananas":              "“5 bananas” ends in a unit that is not read here. Use kg, g, mg, t, lb, oz, or no unit for kg.",
		"1234567890123":          "“1234567890123” has more than 12 digits before the decimal mark. Check it and type it again.",
		"99999999999 t":          "“99999999999 t” is too large to be a mass here. Check it and its unit, and type it again.",
		"999999999999.9999999":   "",
		strings.Repeat("9", 500): "",
		"1\x00\x1b[31m2\u202e":   "“1[31m2” is not a number. Type it like 1.842 or 1,842.",
	} {
		_, err := quantity.Style{}.ReadMass(text)
		requireRefusal(t, err)
		if sentence != "" {
			var refusal *quantity.Refusal
			errors.As(err, &refusal)
			assert.Equal(t, sentence, refusal.Sentence)
		}
	}
}

// requireRefusal checks what every refusal owes the person who reads it.
func requireRefusal(t testing.TB, err error) {
	t.Helper()
	var refusal *quantity.Refusal
	require.ErrorAs(t, err, &refusal)
	require.Regexp(t, `^[\p{Lu}“].*\.$`, refusal.Sentence)
	require.LessOrEqual(t, len([]rune(refusal.Text)), 20)
	require.NotContains(t, strings.ReplaceAll(refusal.Sentence, refusal.Text, ""), "{}")
	for _, r := range refusal.Sentence + refusal.Error() {
		require.Truef(t, unicode.IsPrint(r), "%U in %q", r, refusal.Sentence)
	}
	require.Regexp(t, `^refused input ".*"$`, refusal.Error())
}

func TestRefusalShortensLongText(t *testing.T) {
	_, err := quantity.Style{}.ReadMass("a very long text that somebody pasted")
	var refusal *quantity.Refusal
	require.ErrorAs(t, err, &refusal)
	assert.Equal(t, "a very long text th…", refusal.Text)
}

func TestReadOtherQuantities(t *testing.T) {
	s, f := quantity.Style{}, quantity.Style{Fahrenheit: true}
	type read struct {
		what string
		got  int64
		err  error
		want int64
	}
	row := func(what string, got int64, err error, want int64) read { return read{what, got, err, want} }
	energy := func(text string, want int64) read {
		v, err := s.ReadEnergy(text)
		return row(text, int64(v), err, want)
	}
	temperature := func(s quantity.Style, text string, want int64) read {
		v, err := s.ReadTemperature(text)
		return row(text, int64(v), err, want)
	}
	resistance := func(text string, want int64) read {
		v, err := s.ReadResistance(text)
		return row(text, int64(v), err, want)
	}
	length := func(text string, want int64) read {
		v, err := s.ReadLength(text)
		return row(text, int64(v), err, want)
	}
	volume := func(text string, want int64) read {
		v, err := s.ReadVolume(text)
		return row(text, int64(v), err, want)
	}
	rows := []read{
		energy("11.6", 41_760_000),
		energy("11,6 kWh", 41_760_000),
		energy("11600 Wh", 41_760_000),
		energy("41.76 MJ", 41_760_000),
		temperature(s, "694", 69_400),
		temperature(s, "694,5 °C", 69_450),
		temperature(s, "694 ºC", 69_400),
		temperature(s, "694°", 69_400),
		// t/°C = (t/°F − 32)/1.8, exact (NIST SP 811, 2008, B.8): fixed points of the scale.
		temperature(s, "32 F", 0),
		temperature(s, "212°F", 10_000),
		temperature(s, "-40 °F", -4_000),
		temperature(s, "273.15 K", 0),
		// Aluminium freezes at 660.323 °C (ITS-90), which is 933.473 K.
		temperature(s, "933.473 K", 66_032),
		temperature(f, "1328", 72_000),
		temperature(f, "720 C", 72_000),
		temperature(f, "1328°", 72_000),
		temperature(s, "-459.67 F", -27_315),
		resistance("28.8", 28_800),
		resistance("28,8 Ω", 28_800),
		resistance("28.8 \u2126", 28_800),
		resistance("28.8 ohms", 28_800),
		resistance("450 mΩ", 450),
		resistance("1.2kΩ", 1_200_000),
		length("1.25", 1_250),
		length("1 in", 25_400), // exact, 1959 agreement
		length("12.4 m", 12_400_000),
		length("3 cm", 30_000),
		volume("1.85", 1_850_000),
		volume("450 ml", 450_000),
		volume("450 cm3", 450_000),
		volume("450cm³", 450_000),
		volume("2 L", 2_000_000),
	}
	v, err := s.ReadVoltage("231.5 V")
	rows = append(rows, row("231.5 V", int64(v), err, 231_500))
	v, err = s.ReadVoltage("30 mV")
	rows = append(rows, row("30 mV", int64(v), err, 30))
	a, err := s.ReadCurrent("8,05")
	rows = append(rows, row("8,05", int64(a), err, 8_050))
	p, err := s.ReadPower("1.85 kW")
	rows = append(rows, row("1.85 kW", int64(p), err, 1_850_000))
	ppm, err := s.ReadPercent("93,4 %")
	rows = append(rows, row("93,4 %", ppm, err, 934_000))
	n, err := s.ReadNumber("12.5", 2)
	rows = append(rows, row("12.5", n, err, 1_250))
	count, err := s.ReadCount("1 200")
	rows = append(rows, row("1 200", count, err, 1_200))
	count, err = s.ReadCount("1.200.000")
	rows = append(rows, row("1.200.000", count, err, 1_200_000))
	for _, r := range rows {
		require.NoError(t, r.err, r.what)
		assert.Equal(t, r.want, r.got, r.what)
	}
}

func TestReadOtherRefusals(t *testing.T) {
	s := quantity.Style{}
	var errs []error
	add := func(_ any, err error) { errs = append(errs, err) }
	add(s.ReadTemperature("-300"))
	add(s.ReadTemperature("-460 F"))
	add(s.ReadResistance("-1"))
	add(s.ReadResistance("1 MΩ"))
	add(s.ReadVoltage("230 A"))
	add(s.ReadCurrent("1 MA"))
	add(s.ReadEnergy("1 mJ"))
	add(s.ReadLength("-1"))
	add(s.ReadLength("1 ft"))
	add(s.ReadVolume("-1 ml"))
	add(s.ReadPower("2 hp"))
	add(s.ReadPercent("93 g"))
	add(s.ReadNumber("5 kg", 1))
	add(s.ReadCount("1,200"))
	add(s.ReadCount("-3"))
	add(s.ReadCount("2.0"))
	add(s.ReadCount(""))
	add(s.ReadCount("12345678901234"))
	add(s.ReadCount("two"))
	for _, err := range errs {
		requireRefusal(t, err)
	}
}

func TestReadMoney(t *testing.T) {
	gbp := quantity.Style{Currency: "GBP"}
	for _, c := range []struct {
		currency, text string
		want           quantity.Money
	}{
		{"GBP", "8.71", 871},
		{"GBP", "8,71 GBP", 871},
		{"GBP", "8.7 gbp", 870},
		{"GBP", "1,234.50", 123_450},
		{"", "8.71", 871},
		{"JPY", "1200", 1200},
		{"JPY", "1.200.000", 1_200_000},
		{"KWD", "1,200", 1200},
	} {
		got, err := quantity.Style{Currency: c.currency}.ReadMoney(c.text)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.want, got, c.text)
	}
	for _, text := range []string{"1,200", "8.715", "8.71 EUR", ""} {
		_, err := gbp.ReadMoney(text)
		requireRefusal(t, err)
	}
	_, err := quantity.Style{Currency: "JPY"}.ReadMoney("1,200")
	requireRefusal(t, err)

	price, err := gbp.ReadPrice("0,2573")
	require.NoError(t, err)
	assert.Equal(t, quantity.Price(257_300), price)
	_, err = gbp.ReadPrice("cheap")
	requireRefusal(t, err)
}

// The exponents that are not two, from the list of ISO 4217 as Java's
// java.util.Currency (OpenJDK 25) gives it; UYW from the ISO list itself.
func TestExponent(t *testing.T) {
	for exponent, codes := range map[int]string{
		0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
		2: "GBP EUR USD CHF SEK MGA MRU HUF",
		3: "BHD IQD JOD KWD LYD OMR TND",
		4: "CLF UYW",
	} {
		for code := range strings.FieldsSeq(codes) {
			assert.Equal(t, exponent, quantity.Style{Currency: code}.Exponent(), code)
		}
	}
}

func TestReadSpan(t *testing.T) {
	const h, m, sec = quantity.Hour, quantity.Minute, quantity.Second
	for text, want := range map[string]quantity.Span{
		"3:10":         3*h + 10*m,
		"0:34":         34 * m,
		"3:10:05":      3*h + 10*m + 5*sec,
		"3:10:05.25":   3*h + 10*m + 5*sec + 250,
		"3h10":         3*h + 10*m,
		"3 h 10 min":   3*h + 10*m,
		"3H 10M":       3*h + 10*m,
		"1.5 h":        90 * m,
		"1,5h":         90 * m,
		"190 min":      190 * m,
		"190\u00a0min": 190 * m,
		"45":           45 * m,
		"1h30s":        h + 30*sec,
		"90 s":         90 * sec,
		"2 min 5 sec":  2*m + 5*sec,
	} {
		got, err := quantity.Style{}.ReadSpan(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "3:75", "3:1", "3h75", "-5", "soon", ".", "3 5", "1:00:61",
		"9999999 h", "1.2.3 h", "999999999999999 h", strings.Repeat("1", 99)} {
		_, err := quantity.Style{}.ReadSpan(text)
		requireRefusal(t, err)
	}
}
