package scrap

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

func fields(rs melt.Refusals) []string {
	var all []string
	for _, r := range rs {
		all = append(all, r.Field)
	}
	return all
}

func TestWhatCannotBeSo(t *testing.T) {
	fine := Source{Name: "Rims", Form: Profile, Coating: "anodised", Alloy: "6061", Sure: "likely", Paid: new(quantity.Price(0))}
	with := func(change func(*Source)) Source { p := fine; change(&p); return p }
	for name, c := range map[string]struct {
		p    Source
		want []string
	}{
		"fine":          {fine, nil},
		"bare":          {Source{Name: "?", Form: Other}, nil},
		"no name":       {with(func(p *Source) { p.Name = "" }), []string{"name"}},
		"long name":     {with(func(p *Source) { p.Name = strings.Repeat("r", 81) }), []string{"name"}},
		"two lines":     {with(func(p *Source) { p.Name = "Rims\nold" }), []string{"name"}},
		"alloy in two":  {with(func(p *Source) { p.Alloy = "6061\n6063" }), []string{"alloy"}},
		"no form":       {with(func(p *Source) { p.Form = "" }), []string{"form"}},
		"odd coating":   {with(func(p *Source) { p.Coating = "gold" }), []string{"coating"}},
		"odd sureness":  {with(func(p *Source) { p.Sure = "perhaps" }), []string{"sure"}},
		"sure of what":  {with(func(p *Source) { p.Alloy, p.Sure = "", "sure" }), []string{"alloy"}},
		"below nothing": {with(func(p *Source) { p.Paid = new(quantity.Price(-1)) }), []string{"paid"}},
		"gold":          {with(func(p *Source) { p.Fetches = new(60_000 * quantity.PriceUnit) }), []string{"fetches"}},
	} {
		assert.Equal(t, c.want, fields(Check(c.p)), name)
	}
}

func TestWhichDeliveriesCanBe(t *testing.T) {
	const now = quantity.Moment(1_800_000_000_000)
	kg := func(x float64) *quantity.Mass { return new(quantity.Mass(x * float64(quantity.Kilogram))) }
	for name, c := range map[string]struct {
		l    Lot
		want []string
	}{
		"as found":         {Lot{At: now, AsFound: kg(12)}, nil},
		"as charged":       {Lot{At: now, AsCharged: kg(12)}, nil},
		"all of it":        {Lot{At: now, AsFound: kg(12), AsCharged: kg(10.5), Steel: kg(1), Plastic: kg(0.25)}, nil},
		"not weighed":      {Lot{At: now}, []string{"as_found"}},
		"nothing":          {Lot{At: now, AsFound: kg(0)}, []string{"as_found"}},
		"below nothing":    {Lot{At: now, AsFound: kg(-1)}, []string{"as_found"}},
		"grown":            {Lot{At: now, AsFound: kg(10), AsCharged: kg(11)}, []string{"as_charged"}},
		"too much steel":   {Lot{At: now, AsFound: kg(10), AsCharged: kg(9), Steel: kg(2)}, []string{"steel"}},
		"within the scale": {Lot{At: now, AsFound: kg(10), AsCharged: kg(9), Steel: kg(1.1)}, nil},
		"steel below zero": {Lot{At: now, AsFound: kg(10), Steel: kg(-2)}, []string{"steel"}},
		"a shipload":       {Lot{At: now, AsFound: kg(2e5)}, []string{"as_found"}},
		"to come":          {Lot{At: now + quantity.Moment(quantity.Hour), AsFound: kg(1)}, []string{"at"}},
		"paid to take":     {Lot{At: now, AsFound: kg(1), Paid: new(quantity.Price(-5))}, []string{"paid"}},
	} {
		got := CheckLot(c.l, now)
		assert.Equal(t, c.want, fields(got), name)
		for _, r := range got {
			assert.NotEmpty(t, r.Say(quantity.Style{}), name)
		}
	}
}

// Sums over sums, not the mean of percentages: 7.47 of 8.00 kg (the worked
// melt of the trade's own log, 93.4 %) and 0.5 of 1 kg are 7.97 of 9.
func TestYieldAlone(t *testing.T) {
	a := Alone{Melts: 2, Charged: 9 * quantity.Kilogram, Recovered: 7970 * quantity.Gram, Spread: 27 * quantity.Gram}
	y, u, ok := a.Yield()
	require.True(t, ok)
	assert.InDelta(t, 0.88556, y, 1e-5)
	assert.InDelta(t, 0.003, u, 1e-9)
	_, _, ok = Alone{}.Yield()
	assert.False(t, ok)
}

func TestLeft(t *testing.T) {
	kg := quantity.Kilogram
	left, ok := Lot{AsFound: new(10 * kg), Steel: new(kg), Charged: 4 * kg}.Left()
	assert.True(t, ok)
	assert.Equal(t, 5*kg, left)
	left, _ = Lot{AsFound: new(10 * kg), AsCharged: new(8 * kg), Steel: new(kg), Charged: 9 * kg}.Left()
	assert.Equal(t, -kg, left)
	_, ok = Lot{}.Left()
	assert.False(t, ok)
}

func TestHazardsInWords(t *testing.T) {
	assert.Empty(t, Hazards{}.Words())
	all := Hazards{true, true, true, true, true}.Words()
	assert.Len(t, all, 5)
}
