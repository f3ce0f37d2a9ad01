package recovery

// netCharges gives the kilograms of metal charged by source, less attachments,
// and the variance of the yield that doubtful ones add.
func (m Melt) netCharges(index map[int64]int) (net []share, extra float64, why OutCode) {
	if why := m.refuse(index); why != "" {
		return nil, 0, why
	}
	var found, all, sorted float64 // as found and not known, everything, taken off by sorting
	for _, c := range m.Charges {
		all += c.Kilograms
		sorted += c.Kilograms - c.sorted()
		if c.unsure() {
			found += c.Kilograms
		}
	}
	if all <= 0 {
		return nil, 0, OutNoCharge
	}
	// Steel came off what was weighed with it, as far as anyone knows.
	steel, from := max(0, m.Steel-sorted), all
	if found > 0 {
		from = found
	}
	for _, c := range m.Charges {
		kg := c.sorted()
		if c.unsure() || found == 0 {
			kg -= steel * c.Kilograms / from
		}
		if kg <= 0 {
			continue
		}
		if c.unsure() {
			extra += sq(AsFoundDoubt * kg / all)
		}
		if c.Wet {
			extra += sq(WetDoubt * kg / all)
		}
		net = add(net, index[c.Source], kg)
	}
	return net, extra, ""
}

// refuse says why the masses cannot be worked with, "" when they can.
func (m Melt) refuse(index map[int64]int) OutCode {
	if bad(m.Steel) || bad(m.HeelIn) || bad(m.ChargedU) || badAmount(m.Recovered) || badAmount(m.Dross) {
		return OutNumber
	}
	for _, c := range m.Charges {
		if bad(c.Kilograms) || bad(c.Ready) {
			return OutNumber
		}
		if _, known := index[c.Source]; !known {
			return OutSource
		}
	}
	return ""
}

// unsure reports whether nobody knows how much of the charge was metal.
func (c Charge) unsure() bool { return c.AsFound && c.Ready == 0 }

// sorted is the mass after sorting, as far as it is known.
func (c Charge) sorted() float64 {
	if c.AsFound && c.Ready > 0 {
		return c.Kilograms * min(c.Ready, 1)
	}
	return c.Kilograms
}
