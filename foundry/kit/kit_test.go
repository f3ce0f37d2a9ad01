package kit_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/crucible"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
)

const kg = quantity.Kilogram

// Liquid aluminium at 750 °C weighs 2.35 kg/L (Assael et al. 2006, J. Phys.
// Chem. Ref. Data 35:285): 2377.2 − 0.311·(1023.15 − 933.47) = 2349 kg/m³.
func TestSafeFill(t *testing.T) {
	const density = 2.3493
	litres3 := new(3 * quantity.Litre)
	half := new(int64(500_000))
	for _, c := range []struct {
		name  string
		item  kit.Item
		want  float64 // kg
		basis kit.FillBasis
	}{
		{"from the brim", kit.Item{Brim: litres3}, 3 * 0.8 * density, kit.FromBrim},
		{"with a share of its own", kit.Item{Brim: litres3, Fill: half}, 3 * 0.5 * density, kit.FromBrim},
		{"from a rating in aluminium", kit.Item{Rated: new(10 * kg), RatedIn: crucible.Aluminium}, 10 * 0.8, kit.FromRating},
		// Copper at 7900 kg/m³ (handbooks, from memory).
		{"from a rating in copper", kit.Item{Rated: new(10 * kg), RatedIn: crucible.Copper}, 10 * 0.8 * density / 7.9, kit.FromRating},
		{"the smaller of both: brim", kit.Item{Brim: litres3, Rated: new(30 * kg), RatedIn: crucible.Aluminium}, 3 * 0.8 * density, kit.FromBrim},
		{"the smaller of both: rating", kit.Item{Brim: litres3, Rated: new(5 * kg), RatedIn: crucible.Aluminium}, 4, kit.FromRating},
	} {
		fill, basis, ok := c.item.SafeFill()
		require.True(t, ok, c.name)
		assert.LessOrEqual(t, fill.Kilograms(), 1.002*c.want, c.name)
		assert.Greater(t, fill.Kilograms(), 0.998*c.want-0.01, c.name)
		assert.Zero(t, fill%(10*quantity.Gram), c.name)
		assert.Equal(t, c.basis, basis, c.name)
	}
	for name, item := range map[string]kit.Item{
		"nothing known":           {},
		"a rating in nothing":     {Rated: new(10 * kg)},
		"a rating in some metal":  {Rated: new(10 * kg), RatedIn: "gold"},
		"a share that cannot be":  {Brim: litres3, Fill: new(int64(1_500_000))},
		"a brim of nothing":       {Brim: new(quantity.Volume(0))},
		"a rating below anything": {Rated: new(-kg), RatedIn: crucible.Aluminium},
	} {
		_, _, ok := item.SafeFill()
		assert.False(t, ok, name)
	}
}

// The last line that stands says where a piece is.
func TestFate(t *testing.T) {
	struck := &kit.Strike{Reason: "wrong piece"}
	for _, c := range []struct {
		name    string
		lines   []kit.Line
		retired bool
		on      int64
	}{
		{"no lines", nil, false, 0},
		{"fitted", []kit.Line{{Kind: kit.Fitted, Furnace: 3}}, false, 3},
		{"moved", []kit.Line{{Kind: kit.Fitted, Furnace: 3}, {Kind: kit.Read}, {Kind: kit.Fitted, Furnace: 4}}, false, 4},
		{"retired", []kit.Line{{Kind: kit.Fitted, Furnace: 3}, {Kind: kit.Retired}}, true, 0},
		{"back in use", []kit.Line{{Kind: kit.Fitted, Furnace: 3}, {Kind: kit.Retired}, {Kind: kit.Returned}}, false, 0},
		{"fitted again", []kit.Line{{Kind: kit.Retired}, {Kind: kit.Fitted, Furnace: 3}}, false, 3},
		{"retired by mistake", []kit.Line{{Kind: kit.Fitted, Furnace: 3}, {Kind: kit.Retired, Strike: struck}}, false, 3},
	} {
		retired, on := kit.Fate(c.lines)
		assert.Equal(t, c.retired, retired, c.name)
		assert.Equal(t, c.on, on, c.name)
	}
}

func TestKinds(t *testing.T) {
	for _, k := range kit.Kinds {
		assert.True(t, k.Valid())
		assert.NotEmpty(t, k.Name())
		assert.NotEmpty(t, k.Plural())
	}
	assert.False(t, kit.Kind("ladle").Valid())
}

func TestWhatHappensToWhichKit(t *testing.T) {
	applies := map[kit.LineKind]map[kit.Kind]bool{}
	for _, s := range kit.LineSpecs {
		assert.NotEmpty(t, s.Verb)
		assert.NotEmpty(t, s.Done)
		applies[s.Kind] = map[kit.Kind]bool{}
		for _, k := range kit.Kinds {
			applies[s.Kind][k] = s.Applies(k)
		}
	}
	assert.Len(t, applies, len(kit.LineSpecs), "no kind twice")
	assert.True(t, applies[kit.Fitted][kit.Element])
	assert.False(t, applies[kit.Fitted][kit.Scale])
	assert.True(t, applies[kit.Read][kit.Furnace])
	assert.False(t, applies[kit.Read][kit.Crucible])
	for _, k := range kit.Kinds {
		assert.True(t, applies[kit.Retired][k], k)
	}
}
