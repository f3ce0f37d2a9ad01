package quantity_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drosswise/foundry/quantity"
)

// A pound is 0.45359237 kg (NIST SP 811, 2008, B.8): 0.35 for a pound is
// 0.771618 for a kilogram, and 0.80 for a kilogram 0.362874 for a pound.
func TestPricesOfAMass(t *testing.T) {
	kg := quantity.Style{Currency: "USD"}
	lb := quantity.Style{Currency: "USD", MassUnit: quantity.Pounds}
	p, err := lb.ReadMassPrice("0.35")
	require.NoError(t, err)
	assert.Equal(t, quantity.Price(771_618), p)
	assert.Equal(t, "0.35", lb.MassPriceInput(p))
	assert.Equal(t, "0.35 USD a lb", lb.MassPrice(p))
	assert.Equal(t, "0.3629 USD a lb", lb.MassPrice(800_000))
	assert.Equal(t, "0.362874", lb.MassPriceInput(800_000), "nothing is lost when the form is sent again")
	assert.Equal(t, "0.00 USD a lb", lb.MassPrice(0))
	assert.Equal(t, "0.80 USD a kg", kg.MassPrice(800_000))
	assert.Equal(t, "0.2573 USD a kg", kg.MassPrice(257_300))
	assert.Equal(t, "0,80 USD a kg", quantity.Style{Currency: "USD", MassUnit: quantity.Grams, Comma: true}.MassPrice(800_000))
	_, err = lb.ReadMassPrice("cheap")
	requireRefusal(t, err)
}

// What was typed is what is shown: up to four decimals, in any shop.
func TestTypedPricesAreShownAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := styles.Draw(t, "style")
		typed := s.PriceInput(quantity.Price(100 * rapid.Int64Range(0, 1_000_000).Draw(t, "price")))
		p, err := s.ReadMassPrice(typed)
		require.NoError(t, err)
		require.Equal(t, typed, s.MassPriceInput(p))
		require.Contains(t, s.MassPrice(p), s.MassPriceInput(p)[:1])
	})
}
