package tariff_test

import (
	"testing"
	"time"

	"drosswise/foundry/quantity"
	"drosswise/foundry/tariff"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const kWh = quantity.KilowattHour

func london(t testing.TB) *time.Location {
	zone, err := time.LoadLocation("Europe/London")
	require.NoError(t, err)
	return zone
}

// on is a moment on the clock of a zone.
func on(zone *time.Location, text string) quantity.Moment {
	at, err := time.ParseInLocation("2006-01-02 15:04", text, zone)
	if err != nil {
		panic(err)
	}
	return quantity.At(at)
}

// night is 10 a kWh from 23:00 to 07:00, 30 by day.
func night(from quantity.Moment) tariff.Tariff {
	return tariff.Tariff{From: from, Price: 30 * quantity.PriceUnit,
		Bands: []tariff.Band{{FromMinute: 23 * 60, ToMinute: 7 * 60, Price: 10 * quantity.PriceUnit}}}
}

// 11.6 kWh at 0.2573 is 2.98468, by hand.
func TestCostWithoutBands(t *testing.T) {
	start := on(time.UTC, "2026-01-01 00:00")
	tariffs := []tariff.Tariff{{From: start, Price: 257_300}}
	energy := 11*kWh + 6*kWh/10
	for _, length := range []quantity.Span{0, 190 * quantity.Minute, 60 * 24 * quantity.Hour} {
		cost, missing := tariff.Cost(tariffs, nil, []tariff.Use{{From: start, To: start + quantity.Moment(length), Energy: energy}})
		assert.Equal(t, quantity.Price(2_984_680), cost)
		assert.False(t, missing.Some)
	}
}

func TestCostByTimeOfDay(t *testing.T) {
	zone := london(t)
	tariffs := []tariff.Tariff{night(on(zone, "2026-01-01 00:00"))}
	const unit = quantity.PriceUnit
	for _, c := range []struct {
		name, from, to string
		energy         quantity.Energy
		want           quantity.Price
	}{
		{"all day", "2026-06-03 10:00", "2026-06-03 13:10", 10 * kWh, 300 * unit},
		{"over the evening edge", "2026-06-03 22:00", "2026-06-04 00:00", 10 * kWh, 200 * unit},
		{"over midnight", "2026-06-03 23:30", "2026-06-04 00:30", 10 * kWh, 100 * unit},
		{"over the morning edge", "2026-06-04 06:30", "2026-06-04 07:30", 10 * kWh, 200 * unit},
		{"two days: 32 h at 30, 16 h at 10", "2026-06-03 12:00", "2026-06-05 12:00", 48 * kWh, (32*30 + 16*10) * unit},
		{"at once by day", "2026-06-03 12:00", "2026-06-03 12:00", 10 * kWh, 300 * unit},
		{"at once on the edge", "2026-06-03 07:00", "2026-06-03 07:00", 10 * kWh, 300 * unit},
		{"at once by night", "2026-06-03 23:00", "2026-06-03 23:00", 10 * kWh, 100 * unit},
		// 29 March 2026 has 23 hours: from midnight to 08:00 are 7, 6 of them night.
		{"clocks forward", "2026-03-29 00:00", "2026-03-29 08:00", 7 * kWh, (6*10 + 30) * unit},
		// 25 October 2026 has 25: from midnight to 08:00 are 9, 8 of them night.
		{"clocks back", "2026-10-25 00:00", "2026-10-25 08:00", 9 * kWh, (8*10 + 30) * unit},
		{"given the wrong way round", "2026-06-04 00:00", "2026-06-03 22:00", 10 * kWh, 200 * unit},
	} {
		cost, missing := tariff.Cost(tariffs, zone, []tariff.Use{{From: on(zone, c.from), To: on(zone, c.to), Energy: c.energy}})
		assert.Equal(t, c.want, cost, c.name)
		assert.False(t, missing.Some, c.name)
	}
}

// An edge inside the hour that the clocks jump over is passed at the jump; one
// inside the hour that comes twice counts both times.
func TestBandEdgeInsideClockChange(t *testing.T) {
	zone := london(t)
	tariffs := []tariff.Tariff{{From: on(zone, "2026-01-01 00:00"), Price: 0,
		Bands: []tariff.Band{{FromMinute: 60, ToMinute: 90, Price: 6 * quantity.PriceUnit}}}}
	cost, _ := tariff.Cost(tariffs, zone, []tariff.Use{{
		From: on(zone, "2026-03-29 00:00"), To: on(zone, "2026-03-29 04:00"), Energy: 3 * kWh}})
	assert.Zero(t, cost, "01:00 to 01:30 did not happen")
	cost, _ = tariff.Cost(tariffs, zone, []tariff.Use{{
		From: on(zone, "2026-10-25 00:00"), To: on(zone, "2026-10-25 04:00"), Energy: 5 * kWh}})
	assert.Equal(t, 6*quantity.PriceUnit, cost, "01:00 to 01:30 happened twice")
}

func TestTariffChangesMidMelt(t *testing.T) {
	zone := london(t)
	change := on(zone, "2026-07-01 00:00")
	tariffs := []tariff.Tariff{ // in any order
		{From: change, Price: 50 * quantity.PriceUnit},
		night(on(zone, "2026-01-01 00:00")),
	}
	// One hour at 30, one at 10, one at 50: the new price has no night.
	use := tariff.Use{From: on(zone, "2026-06-30 22:00"), To: on(zone, "2026-07-01 01:00"), Energy: 3 * kWh}
	cost, missing := tariff.Cost(tariffs, zone, []tariff.Use{use})
	assert.Equal(t, 90*quantity.PriceUnit, cost)
	assert.False(t, missing.Some)
	assert.Equal(t, []tariff.Slice{
		{From: use.From, To: use.From + quantity.Moment(quantity.Hour), Energy: kWh, Price: 30 * quantity.PriceUnit, InForce: true},
		{From: use.From + quantity.Moment(quantity.Hour), To: change, Energy: kWh, Price: 10 * quantity.PriceUnit, InForce: true},
		{From: change, To: use.To, Energy: kWh, Price: 50 * quantity.PriceUnit, InForce: true},
	}, tariff.Split(tariffs, zone, use))
	corrected := append(tariffs, tariff.Tariff{From: change, Price: 60 * quantity.PriceUnit})
	cost, _ = tariff.Cost(corrected, zone, []tariff.Use{use})
	assert.Equal(t, 100*quantity.PriceUnit, cost, "of two with one start the later given counts")
}

func TestNoTariff(t *testing.T) {
	start := on(time.UTC, "2026-06-03 12:00")
	hour := quantity.Moment(quantity.Hour)
	parts := []tariff.Use{
		{From: start - hour, To: start + hour, Energy: 2 * kWh},
		{From: start - 2*hour, To: start - 2*hour, Energy: kWh},
		{From: start - 9*hour, To: start - 9*hour, Energy: 0},
	}
	cost, missing := tariff.Cost([]tariff.Tariff{{From: start, Price: quantity.PriceUnit}}, nil, parts)
	assert.Equal(t, quantity.PriceUnit, cost)
	assert.Equal(t, tariff.Missing{Some: true, Energy: 2 * kWh, From: start - 2*hour}, missing)
	_, missing = tariff.Cost(nil, nil, parts[:1])
	assert.Equal(t, 2*kWh, missing.Energy)
}

func TestCheck(t *testing.T) {
	for sentence, bands := range map[string][]tariff.Band{
		"The bands 22:00–06:00 and 05:00–07:00 overlap. Let one end where the other starts.":                                      {{FromMinute: 22 * 60, ToMinute: 6 * 60}, {FromMinute: 5 * 60, ToMinute: 7 * 60}},
		"The bands 01:00–02:00 and 00:30–03:00 overlap. Let one end where the other starts.":                                      {{FromMinute: 60, ToMinute: 120}, {FromMinute: 30, ToMinute: 180}},
		"The bands 23:00–01:00 and 22:00–23:30 overlap. Let one end where the other starts.":                                      {{FromMinute: 23 * 60, ToMinute: 60}, {FromMinute: 22 * 60, ToMinute: 23*60 + 30}},
		"The band 00:00–25:00 is not within a day. Give its start and end as times from 00:00 to 24:00.":                          {{FromMinute: 0, ToMinute: 1500}},
		"The band −00:05–01:00 is not within a day. Give its start and end as times from 00:00 to 24:00.":                         {{FromMinute: -5, ToMinute: 60}},
		"The band 07:00–07:00 has no length. Give it an end of its own, or leave it out and put its price as the tariff's price.": {{FromMinute: 420, ToMinute: 420}},
	} {
		var refusal *quantity.Refusal
		require.ErrorAs(t, tariff.Tariff{Bands: bands}.Check(), &refusal)
		assert.Equal(t, sentence, refusal.Sentence)
	}
	assert.NoError(t, tariff.Tariff{}.Check())
	assert.NoError(t, night(0).Check())
	assert.NoError(t, tariff.Tariff{Bands: []tariff.Band{
		{FromMinute: 22 * 60, ToMinute: 6 * 60}, {FromMinute: 6 * 60, ToMinute: 7 * 60}, {FromMinute: 7 * 60, ToMinute: 22 * 60}}}.Check())
	assert.NoError(t, tariff.Tariff{Bands: []tariff.Band{{FromMinute: 0, ToMinute: 1440}}}.Check())
}

// Whatever the tariffs, no energy is lost or made, slices follow one another,
// and each is priced as every minute in it is.
func TestSplitConservesEnergy(t *testing.T) {
	zone := london(t)
	rapid.Check(t, func(t *rapid.T) {
		// Ten days about the change of the clocks in October or in March.
		around := rapid.SampledFrom([]quantity.Moment{on(zone, "2026-10-25 00:00"), on(zone, "2026-03-29 00:00")}).Draw(t, "around")
		moment := rapid.Custom(func(t *rapid.T) quantity.Moment {
			return around + quantity.Moment(rapid.Int64Range(-5*24*3600_000, 5*24*3600_000).Draw(t, "ms"))
		})
		tariffs := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) tariff.Tariff {
			edges := rapid.SliceOfNDistinct(rapid.IntRange(0, 1439), 4, 4, rapid.ID[int]).Draw(t, "edges")
			price := rapid.Custom(func(t *rapid.T) quantity.Price { return quantity.Price(rapid.Int64Range(0, 900_000).Draw(t, "price")) })
			return tariff.Tariff{From: moment.Draw(t, "start"), Price: price.Draw(t, "base"), Bands: []tariff.Band{
				{FromMinute: edges[0], ToMinute: edges[1], Price: price.Draw(t, "one")},
				{FromMinute: edges[2], ToMinute: edges[3], Price: price.Draw(t, "two")}}}
		}), 0, 3).Draw(t, "tariffs")
		use := tariff.Use{From: moment.Draw(t, "from"), To: moment.Draw(t, "to"),
			Energy: quantity.Energy(rapid.Int64Range(1, 1e9).Draw(t, "energy"))}
		parts := tariff.Split(tariffs, zone, use)
		var sum quantity.Energy
		at := min(use.From, use.To)
		for _, part := range parts {
			require.Equal(t, at, part.From)
			require.GreaterOrEqual(t, part.Energy, quantity.Energy(0))
			sum, at = sum+part.Energy, part.To
			if part.From == part.To {
				continue
			}
			inside := part.From + quantity.Moment(rapid.Int64Range(0, int64(part.To-part.From)-1).Draw(t, "inside"))
			alone := tariff.Split(tariffs, zone, tariff.Use{From: inside, To: inside, Energy: 1})
			require.Equal(t, alone[0].Price, part.Price)
			require.Equal(t, alone[0].InForce, part.InForce)
		}
		require.Equal(t, max(use.From, use.To), at)
		require.Equal(t, use.Energy, sum)
	})
}
