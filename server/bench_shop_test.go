package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drosswise/foundry/heat"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
	"drosswise/foundry/scrap"
	"drosswise/foundry/tariff"
	"drosswise/store"
)

// The large shop is a busy one after twenty years: what it owns and melts.
const (
	largeFurnaces  = 3
	largeCrucibles = 60
	largeElements  = 90
	largeScales    = 8
	largeProbes    = 3
	largeSources   = 40
	largeLots      = 2000
	largePeople    = 6
)

var (
	largeFrom = time.Date(2006, 7, 3, 7, 0, 0, 0, time.UTC)
	largeTo   = time.Date(2026, 6, 29, 19, 0, 0, 0, time.UTC)
)

// largeShop is what the lines of the large shop refer to, by id.
type largeShop struct {
	people                                               []int64
	furnaces, crucibles, elements, scales, probes, scrap []int64
}

// setClock is a clock that the generator moves.
type setClock struct{ at time.Time }

func (c *setClock) now() time.Time { return c.at }

// stock sets the shop up through the store's own methods, with the kit as old
// as its place in the twenty years makes it.
func stock(tb testing.TB, st *store.Store, c *setClock, people []int64) largeShop {
	tb.Helper()
	ctx, by := context.Background(), people[0]
	shop := largeShop{people: people}
	require.NoError(tb, st.SetShop(ctx, by, store.Shop{
		Name: "The shed", Zone: "Europe/London", MassUnit: "kg", Currency: "GBP", Ambient: 15 * quantity.Celsius, Ready: true,
	}))
	add := func(it kit.Item) int64 {
		it.Key = largeKey("kit", it.Name)
		require.Empty(tb, kit.Check(it))
		id, err := st.AddKit(ctx, by, it)
		require.NoError(tb, err)
		return id
	}
	for i := range largeFurnaces {
		shop.furnaces = append(shop.furnaces, add(kit.Item{
			Kind: kit.Furnace, Name: fmt.Sprintf("Furnace %d", i+1), Letter: string(rune('A' + i)),
			Volts: new(230 * quantity.Volt), Power: new(3200 * quantity.Watt), Circuit: new(16 * quantity.Ampere),
		}))
	}
	for i := range largeScales {
		shop.scales = append(shop.scales, add(kit.Item{
			Kind: kit.Scale, Name: fmt.Sprintf("Scale %d", i+1), Resolution: []quantity.Mass{1, 5, 10, 20}[i%4] * quantity.Gram, Capacity: 60 * quantity.Kilogram,
		}))
	}
	for i := range largeProbes {
		shop.probes = append(shop.probes, add(kit.Item{Kind: kit.Probe, Name: fmt.Sprintf("Thermocouple %d", i+1), Couple: "K"}))
	}
	stockScrap(tb, st, by, &shop)
	for year := range 21 {
		require.NoError(tb, st.AddTariff(ctx, by, store.Tariff{Key: largeKey("tariff", year), Tariff: tariff.Tariff{
			From: quantity.At(largeFrom.AddDate(year, 0, -30)), Price: quantity.Price(140_000 + 8_000*year),
			Bands: []tariff.Band{{FromMinute: 30, ToMinute: 450, Price: quantity.Price(70_000 + 4_000*year)}},
		}}))
	}
	stockWear(tb, st, c, &shop, add)
	return shop
}

func stockScrap(tb testing.TB, st *store.Store, by int64, shop *largeShop) {
	r := rand.New(rand.NewPCG(1, 2))
	what := []string{"Rims", "Crank arms", "Frames", "Brake castings", "Window profile", "Drink cans", "Lathe swarf", "Own sprues", "Cable", "Pistons"}
	for i := range largeSources {
		p := scrap.Source{
			Key: largeKey("source", i), Name: fmt.Sprintf("%s %d", what[i%len(what)], i/len(what)+1), Form: scrap.Forms[i%len(scrap.Forms)].Form,
			Coating: scrap.Coatings[i%len(scrap.Coatings)].Coating, Alloy: []string{"6063", "A356.0", "", "3104"}[i%4], Sure: "likely",
			Fetches: new(quantity.Price(500_000 + 10_000*i)), Hazards: scrap.Hazards{Hollow: i%7 == 0, Wet: i%5 == 0, Magnesium: i%11 == 0},
		}
		if r.IntN(2) == 0 {
			p.Paid = new(quantity.Price(300_000 + 20_000*i))
		}
		require.Empty(tb, scrap.Check(p))
		id, err := st.AddSource(context.Background(), by, p)
		require.NoError(tb, err)
		shop.scrap = append(shop.scrap, id)
	}
}

// stockWear adds what is used up, each piece with its lines from the day it was
// fitted to the day it was taken out.
func stockWear(tb testing.TB, st *store.Store, c *setClock, shop *largeShop, add func(kit.Item) int64) {
	ctx, by := context.Background(), shop.people[0]
	life := largeTo.Sub(largeFrom)
	line := func(l kit.Line, at time.Time) {
		l.Key, l.At = largeKey("kit line", l.Item, l.Kind, at), quantity.At(at)
		c.at = at
		require.NoError(tb, st.AddKitLine(ctx, by, l))
	}
	lived := func(id int64, kind kit.Kind, i, of int) {
		share := life * time.Duration(largeFurnaces) / time.Duration(of)
		from := largeFrom.Add(share * time.Duration(i/largeFurnaces))
		if kind == kit.Element {
			line(kit.Line{Item: id, Kind: kit.Fitted, Furnace: shop.furnaces[i%largeFurnaces]}, from)
		}
		for k := range 6 {
			l := kit.Line{Item: id, Kind: kit.Inspected, Note: "looked at in daylight"}
			if kind == kit.Element {
				l = kit.Line{Item: id, Kind: kit.Read, Ohms: new(quantity.Resistance(16_500 + 150*k))}
			}
			line(l, from.Add(share*time.Duration(k+1)/8))
		}
		if i/largeFurnaces < of/largeFurnaces-1 {
			line(kit.Line{Item: id, Kind: kit.Retired, Note: "worn"}, from.Add(share-time.Hour))
		}
	}
	for i := range largeCrucibles {
		id := add(kit.Item{
			Kind: kit.Crucible, Name: fmt.Sprintf("Crucible %d", i+1), Material: []heat.Crucible{heat.ClayGraphite, heat.SiliconCarbide, heat.Graphite}[i%3],
			Brim: new(5 * quantity.Litre), Mass: new(4200 * quantity.Gram), Wall: new(18 * quantity.Millimetre), Cost: new(quantity.Money(6500)), ExpectedHeats: new(100),
		})
		shop.crucibles = append(shop.crucibles, id)
		lived(id, kit.Crucible, i, largeCrucibles)
	}
	for i := range largeElements {
		id := add(kit.Item{
			Kind: kit.Element, Name: fmt.Sprintf("Element set %d", i+1), Wire: "", Diameter: new(1600 * quantity.Micrometre), Length: new(24 * quantity.Metre),
			Ohms: new(16_500 * quantity.Resistance(1)), Cost: new(quantity.Money(4500)), ExpectedHeats: new(200),
		})
		shop.elements = append(shop.elements, id)
		lived(id, kit.Element, i, largeElements)
	}
	c.at = largeTo
}

// using is the piece out of several that a furnace (its place) has in it when a
// share of the twenty years is over.
func using(all []int64, furnace int, share float64) int64 {
	per := len(all) / largeFurnaces
	return all[min(int(share*float64(per)), per-1)*largeFurnaces+furnace]
}

// sequence gives how many items fall to each of n so that they come to a sum.
func sequence(n, sum int) func(i int) int {
	swing := []int{0, -1, 1, -2, 2}
	base, rest := sum/n, sum%n
	full := n - n%len(swing)
	return func(i int) int {
		count := base
		if i < rest {
			count++
		}
		if i < full {
			count += swing[i%len(swing)]
		}
		return count
	}
}

// largeKey is a key as random as a phone's, and the same every time.
func largeKey(parts ...any) string {
	sum := sha256.Sum256(fmt.Append(nil, parts...))
	return hex.EncodeToString(sum[:16])
}
