package quantity

import (
	"fmt"
	"strings"
)

// Exponent is how many decimals the shop's currency has: the power of ten of
// its minor unit in ISO 4217. Currencies that are not listed have two.
func (s Style) Exponent() int {
	switch s.Currency {
	case "BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF",
		"UGX", "UYI", "VND", "VUV", "XAF", "XOF", "XPF":
		return 0
	case "BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND":
		return 3
	case "CLF", "UYW":
		return 4
	default:
		return 2
	}
}

// money is the shop's currency as a unit of minor units.
func (s Style) money() unit { return s.coin(s.Exponent()) }

// price is the shop's currency as a unit of millionths.
func (s Style) price() unit { return s.coin(6) }

func (s Style) coin(decimals int) unit {
	u := bare(decimals)
	u.symbol = s.Currency
	if s.Currency != "" {
		u.names = []string{s.Currency, strings.ToLower(s.Currency)}
	}
	return u
}

// ReadMoney reads a typed amount into the currency's minor units, with or
// without the currency's code after it. More decimals than the currency has
// are refused, not rounded: "1,200" typed for twelve hundred is then asked
// about and not booked as 1.20.
func (s Style) ReadMoney(text string) (Money, error) {
	u, r := s.money(), s.amounts("an amount", s.money().fixed(871, s.Exponent()))
	n, err := r.read(text, u)
	if err != nil {
		return 0, err
	}
	number, _ := splitUnit(text)
	if d, _ := parseDecimal(number); d.scale > s.Exponent() {
		return 0, refuse(text, s.tooFine())
	}
	return Money(n), nil
}

func (s Style) tooFine() string {
	whose := "the currency"
	if s.Currency != "" {
		whose = s.Currency
	}
	if s.Exponent() == 0 {
		return "{} has decimals, and " + whose + " has none. Type whole units, without a comma or a point."
	}
	return fmt.Sprintf("{} has more than the %d decimals of %s. For thousands, type no comma or point.", s.Exponent(), whose)
}

// ReadPrice reads a typed price into millionths of the currency's unit;
// what is finer is rounded half away from zero.
func (s Style) ReadPrice(text string) (Price, error) {
	n, err := s.amounts("a price", "0.2573").read(text, s.price())
	return Price(n), err
}

func (s Style) amounts(noun, example string) reading {
	r := reading{noun: noun, example: example}
	if s.Currency != "" {
		r.units = []unit{s.money()}
	}
	return r
}
