package findings

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/quantity"
)

// Constructed and worked by hand: pooled, not the mean of the ratios.
func TestMonthsByHand(t *testing.T) {
	on := func(day string, hour int) quantity.Moment {
		at, err := time.Parse(time.DateOnly, day)
		require.NoError(t, err)
		return quantity.At(at.Add(time.Duration(hour) * time.Hour))
	}
	melts := []Melt{
		{Started: on("2026-02-03", 9), Charged: of(10), Recovered: of(9), Cash: of(9), Energy: of(12), Cold: of(1)},
		{Started: on("2026-02-03", 13), Charged: of(2), Recovered: of(1), Cash: of(4), Energy: of(6), Cold: of(0)},
		{Started: on("2026-01-31", 23), Charged: of(5), Recovered: of(4), Cold: of(1)},
		{Started: on("2026-02-10", 9), Charged: of(4), Energy: of(6)},
	}
	months := Months(melts, nil)
	require.Len(t, months, 2)
	assert.Equal(t, "2026-01", months[0].Month)
	assert.Nil(t, months[0].Cash.Value, "blank is not zero")
	feb := months[1]
	assert.Equal(t, 3, feb.Melts)
	assert.InDelta(t, 13.0/10, *feb.Cash.Value, 1e-12, "the mean of the ratios would be 2.5")
	assert.Equal(t, []float64{1, 4}, []float64{feb.Cash.Low, feb.Cash.High})
	assert.Equal(t, []int{2, 1}, []int{feb.Cash.Melts, feb.Cash.Left})
	assert.InDelta(t, 24.0/16, *feb.Charged.Value, 1e-12)
	assert.InDelta(t, 18.0/10, *feb.Recovered.Value, 1e-12)
	assert.Nil(t, feb.Opportunity.Value)
	assert.Equal(t, "A kilogram of metal cost 1.30 in cash over 2 melts (one melt between 1.00 and 4.00). "+
		"Melting took 1.50 kWh a kilogram charged over 3 melts. The cost leaves out 1 melt without a cost or without metal weighed.", feb.Say(quantity.Style{}))

	east := Months(melts, time.FixedZone("east", 2*3600))
	require.Len(t, east, 1, "there it was February already")
	assert.Equal(t, 4, east[0].Melts)

	first, next := FirstAndNext(melts)
	assert.Equal(t, []int{2, 1}, []int{first.Melts, next.Melts}, "one melt does not say")
	assert.InDelta(t, 1.2, *first.Charged.Value, 1e-12)
	assert.InDelta(t, 3.0, *next.Charged.Value, 1e-12)
	assert.Empty(t, Months(nil, nil))
}

// A spoilt melt was paid for all the same.
func TestSpoiltMeltCounts(t *testing.T) {
	p := period([]Melt{{Recovered: of(4), Cash: of(4)}, {Recovered: of(0), Cash: of(4)}})
	assert.InDelta(t, 2, *p.Cash.Value, 1e-12)
	assert.Equal(t, 1.0, p.Cash.High)
}
