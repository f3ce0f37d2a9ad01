package recovery_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/scrap"
)

// Two deliveries of one source, the second eight points worse, and a third that
// went into a single melt.
func TestAWorseDelivery(t *testing.T) {
	shop := recovery.Shop{Sources: []recovery.Source{{ID: 1, Name: "Rims", Form: scrap.Profile}, {ID: 2, Name: "Cranks", Form: scrap.Casting}}}
	good, bad, once := recovery.Batch{ID: 1, Charged: map[int64]float64{}}, recovery.Batch{ID: 2, Charged: map[int64]float64{}}, recovery.Batch{ID: 3, Charged: map[int64]float64{}}
	for i := range int64(24) {
		rims, yield := 1.5, 0.94
		if i%4 == 3 {
			yield = 0.86
		}
		wobble := []float64{-0.008, 0.005, 0.009, -0.006, 0.002}[i%5] // from melt to melt
		metal := rims*yield + 0.5*0.95 + 2*wobble
		shop.Melts = append(shop.Melts, recovery.Melt{
			ID: i + 1, Started: quantity.Moment(i * 1000), ChargedU: 0.002, Recovered: &recovery.Amount{Kilograms: metal, U: 0.002},
			Charges: []recovery.Charge{{Source: 1, Kilograms: rims}, {Source: 2, Kilograms: 0.5}},
		})
		switch {
		case i%4 == 3:
			bad.Charged[i+1] = rims
		case i == 0:
			once.Charged[i+1] = rims
		default:
			good.Charged[i+1] = rims
		}
	}
	fits := recovery.Estimate(shop, recovery.Settings{Trusting: true}).Batches([]recovery.Batch{good, bad, once})
	require.Len(t, fits, 3)
	assert.Equal(t, []int{17, 6, 1}, []int{fits[0].Melts, fits[1].Melts, fits[2].Melts})
	assert.Less(t, fits[1].Off.High, 0.0, "the second is worse: %v", fits[1].Off)
	assert.Greater(t, fits[0].Off.Low, fits[1].Off.High, "and worse than the first")
	difference := fits[0].Off.Middle - fits[1].Off.Middle
	assert.InDelta(t, 0.08, difference, 0.02, "eight points apart")
	assert.Equal(t, recovery.Range{}, fits[2].Off, "nothing is said of one melt")
}
