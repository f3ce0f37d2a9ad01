package quantity

// Prices of a mass are kept per kilogram and spoken of in the shop's way: per
// kilogram, or per pound where masses are in pounds. A pound's millionth is
// coarser than a kilogram's, so that what is typed per pound reads back.

// PriceMass is the mass that prices are spoken of by, in kilograms: a pound
// where masses are in pounds, exactly 0.453 592 37 kg (international agreement,
// 1959; NIST SP 811 (2008) B.8), else a kilogram.
func (s Style) PriceMass() (symbol string, kg float64) {
	if s.MassUnit == Pounds {
		return pound.symbol, 0.453_592_37
	}
	return kilogram.symbol, 1
}

// massPrice is the shop's currency for that mass as a unit of what is kept,
// millionths for a kilogram.
func (s Style) massPrice() unit {
	u := s.price()
	if s.MassUnit == Pounds { // u for a pound is u·kilogram/pound for a kilogram
		u.num, u.den, u.decimals = u.num*kilogram.num*pound.den, pound.num, u.decimals+1
	}
	return u
}

// ReadMassPrice reads a price typed per kilogram or pound; what is finer than
// a millionth for a kilogram is rounded half away from zero.
func (s Style) ReadMassPrice(text string) (Price, error) {
	n, err := s.amounts("a price", "0.80").read(text, s.massPrice())
	return Price(n), err
}

// MassPriceInput fills a field read by ReadMassPrice.
func (s Style) MassPriceInput(p Price) string {
	u := s.massPrice()
	return s.marked(atLeast(u.shortest(int64(p)), s.Exponent()))
}

// MassPrice shows a price of a mass with that mass, with as many decimals as
// were typed, or four where it was typed for another mass: "0.35 USD a lb".
func (s Style) MassPrice(p Price) string {
	u := s.massPrice()
	text := u.shortest(int64(p))
	if s.MassUnit == Pounds && decimals(text) > 4 {
		text = trim(u.fixed(int64(p), 4), 0)
	}
	symbol, _ := s.PriceMass()
	return s.with(u, atLeast(text, s.Exponent())) + " a " + symbol
}
