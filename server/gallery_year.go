package main

import (
	"drosswise/foundry/quantity"
	"drosswise/foundry/year"
	"drosswise/views"
)

// yearScenes are years to look back on: none, one melt, many, long names.
func yearScenes() []scene {
	page := func(y year.Year, years ...int) views.Year {
		return views.Year{Year: y, Before: year.Year{Of: y.Of - 1}, Years: years, Names: galleryNames()}
	}
	one := year.Year{Of: 2026, Sources: map[int64]year.Source{1: {Melts: 1, Charged: 2 * kilogram}}, Heats: map[int64]int{}}
	one.Months[10] = year.Sums{Melts: 1, Charged: 2 * kilogram}
	many := year.Year{
		Of: 2026, Sources: map[int64]year.Source{1: {Melts: 31, Charged: 70 * kilogram}, 2: {Melts: 20, Charged: 22 * kilogram}, 4: {Melts: 2, Charged: 900 * gram}},
		Heats: map[int64]int{2: 41, 3: 12, 6: 19}, Retired: []year.Retired{{Kit: 6, At: galleryWhen(3), Cause: "worn"}},
	}
	for i := range many.Months[:11] {
		n := 3 + i*5%4
		many.Months[i] = year.Sums{Melts: n, Charged: quantity.Mass(n) * 2 * kilogram, YieldCharged: quantity.Mass(n) * 2 * kilogram, Recovered: quantity.Mass(n*(1800+7*i)) * gram,
			EnergyCharged: quantity.Mass(n) * 2 * kilogram, Energy: quantity.Energy(n) * 3 * quantity.KilowattHour, Priced: n, Cash: quantity.Money(n * (160 + 3*i)), CashRecovered: quantity.Mass(n*(1800+7*i)) * gram}
	}
	compared := page(many, 2026, 2025, 2024)
	compared.Before = many
	compared.Before.Of = 2025
	compared.Before.Months[0].Energy *= 2
	return []scene{
		{"years/empty", "A year, nothing melted", page(year.Year{Of: 2019}, 2026, 2025).Page},
		{"years/one", "A year with one melt", page(one, 2026).Page},
		{"years/many", "A year with many melts", compared.Page},
	}
}
