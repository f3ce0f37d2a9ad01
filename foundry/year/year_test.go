package year

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"drosswise/foundry/quantity"
)

const kg = quantity.Kilogram

// tenTimes is ten melts of the trade notes' test vector (TRADE.md §4): 8 kg
// charged, 7.47 kg of metal (93.4 %), 11.6 kWh (1.45 kWh/kg charged). What each
// cost is made up: 7.47 in coin, so that a kg costs 1.
func tenTimes() Sums {
	return Sums{Melts: 10, Charged: 80 * kg, YieldCharged: 80 * kg, Recovered: 747 * kg / 10, EnergyCharged: 80 * kg, Energy: 116 * quantity.KilowattHour,
		Priced: 10, Cash: 7470, CashRecovered: 747 * kg / 10}
}

func TestAYearInWords(t *testing.T) {
	s := quantity.Style{Currency: "EUR", Zone: time.UTC}
	y := Year{Of: 2026}
	y.Months[2], y.Months[6] = tenTimes(), Sums{Melts: 1, Charged: kg, Recovered: kg, YieldCharged: kg, EnergyCharged: kg, Energy: quantity.KilowattHour, Priced: 1, Cash: 100, CashRecovered: kg}
	assert.Nil(t, Year{Of: 2025}.Say(Year{}, s))
	told := strings.Join(y.Say(Year{Of: 2025}, s), " ")
	assert.Equal(t, "93.5 % of the charge came back as metal. Melting took 1.44 kWh for each kg charged. A kg of metal cost 1.00 EUR in cash. "+
		"There are too few melts in 2025 to compare 2026 with. The most was charged in March, 80.0 kg.", strings.ReplaceAll(told, "\u202f", ""))

	last := Year{Of: 2025}
	last.Months[0] = tenTimes()
	last.Months[0].Recovered -= 2 * kg    // (74.7−2)/80 = 90.9 %, 2.6 points less than 93.5
	last.Months[0].Energy *= 2            // 2.90 kWh/kg
	last.Months[0].Cash = 7470 - 74_7/100 // the same to the cent
	told = strings.Join(y.Say(last, s), " ")
	assert.Contains(t, told, "93.5 % of the charge came back as metal, 2.6 points more than in 2025. Other scrap changes that as well as other work.")
	assert.Contains(t, told, "1.44 kWh for each kg charged, 1.46 kWh less than in 2025.")
	assert.Contains(t, told, "in cash, as in 2025.")
	assert.NotContains(t, told, "too few")

	pounds := s
	pounds.MassUnit = quantity.Pounds
	told = strings.Join(y.Say(last, pounds), " ")
	assert.Contains(t, told, "0.66 kWh for each lb charged", "1.444 kWh/kg × 0.45359237 kg/lb (NIST SP 811)")
	assert.Contains(t, told, "A lb of metal cost 0.45 EUR")
}

func TestTooFewMeltsSaySo(t *testing.T) {
	s := quantity.Style{Currency: "EUR", Zone: time.UTC}
	y := Year{Of: 2026}
	y.Months[0] = Sums{Melts: 1, Charged: kg}
	assert.Equal(t, []string{"With one melt the figures tell of those melts, not of the year. Five or more can be compared with another year."}, y.Say(Year{}, s))
	y.Months[0] = Sums{Melts: 6, Charged: 60 * kg, YieldCharged: 30 * kg, Recovered: 27 * kg}
	told := strings.Join(y.Say(Year{Of: 2025}, s), " ")
	assert.Contains(t, told, "90.0 % of the charge came back as metal.")
	assert.NotContains(t, told, "The most was charged", "with one month there is nothing to choose from")
	assert.Contains(t, told, "30.0 kg of the charge are left out of the recovery")
	assert.Contains(t, told, "60.0 kg of the charge went into melts whose electricity is not known.")
	assert.Contains(t, told, "The cost of 6 melts is not known.")
	_, ok := y.Total().PerKg()
	assert.False(t, ok)
}

func TestTotalIsTheSumOfTheMonths(t *testing.T) {
	var y Year
	for i := range y.Months {
		y.Months[i] = tenTimes()
	}
	assert.Equal(t, Sums{120, 960 * kg, 960 * kg, 8964 * kg / 10, 960 * kg, 1392 * quantity.KilowattHour, 120, 89_640, 8964 * kg / 10}, y.Total())
}
