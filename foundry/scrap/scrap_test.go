package scrap_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
)

const kg = quantity.Kilogram

// What is left of a delivery is what was ready to charge, less what was.
func TestLeft(t *testing.T) {
	for _, c := range []struct {
		name string
		lot  scrap.Lot
		left quantity.Mass
		ok   bool
	}{
		{"never weighed", scrap.Lot{Charged: kg}, 0, false},
		{"ready metal weighed", scrap.Lot{AsFound: new(10 * kg), AsCharged: new(8 * kg), Steel: new(kg), Charged: 3 * kg}, 5 * kg, true},
		{"as found alone", scrap.Lot{AsFound: new(10 * kg), Charged: 3 * kg}, 7 * kg, true},
		{"less steel and plastic", scrap.Lot{AsFound: new(10 * kg), Steel: new(kg), Plastic: new(kg / 2), Charged: 3 * kg}, 55 * kg / 10, true},
		{"more than came", scrap.Lot{AsCharged: new(2 * kg), Charged: 3 * kg}, -kg, true},
		{"an empty delivery", scrap.Lot{AsCharged: new(quantity.Mass(0))}, 0, true},
	} {
		left, ok := c.lot.Left()
		assert.Equal(t, c.ok, ok, c.name)
		assert.Equal(t, c.left, left, c.name)
	}
}

func TestNames(t *testing.T) {
	for _, f := range scrap.Forms {
		assert.NotEmpty(t, f.Form.Name())
	}
	for _, c := range scrap.Coatings {
		assert.NotEmpty(t, c.Coating.Name())
	}
	assert.Empty(t, scrap.Form("wood").Name())
	assert.Empty(t, scrap.Coating("gilt").Name())
}

// Paint, lacquer and oil burn off and fume; an oxide layer does not.
func TestBurns(t *testing.T) {
	for c, want := range map[scrap.Coating]bool{"": false, "bare": false, "anodised": false, "painted": true, "lacquered": true, "oily": true, "mixed": true} {
		assert.Equal(t, want, c.Burns(), c)
	}
}

func TestAnyHazard(t *testing.T) {
	assert.False(t, scrap.Hazards{}.Any())
	for _, h := range []scrap.Hazards{{Hollow: true}, {Wet: true}, {Magnesium: true}, {ZincLead: true}, {Batteries: true}} {
		assert.True(t, h.Any(), "%+v", h)
	}
}
