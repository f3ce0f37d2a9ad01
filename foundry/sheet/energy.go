package sheet

import (
	"drosswise/foundry/balance"
	"drosswise/foundry/heat"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// EnergyBasis says where a melt's energy comes from.
type EnergyBasis string

// Where energy may come from, best first.
const (
	ByMeter    EnergyBasis = "meter"    // difference of two meter readings
	ByTyping   EnergyBasis = "typed"    // kWh typed for the whole melt
	ByElectric EnergyBasis = "electric" // volts × amps, or watts, × time with power on
)

// energy fills in the electricity and what it comes to per kilogram.
func (s *Sheet) energy(standing []melt.Line, b balance.Balance, f Facts) {
	kwh, basis := Energy(standing)
	s.EnergyBasis = basis
	s.Energy = lacking(NoEnergy)
	if basis != "" {
		s.Energy = exact(kwh)
	}
	s.PerCharged = ratio(s.Energy, s.Charged, NoCharge)
	s.PerUsable = ratio(s.Energy, s.Recovered, NoMetal)
}

// Energy gives the melt's electricity in kWh and where it comes from; the
// basis is empty when nothing was written to know it by.
func Energy(standing []melt.Line) (kwh float64, basis EnergyBasis) {
	if e, ok := metered(standing); ok {
		return e.KilowattHours(), ByMeter
	}
	var typed quantity.Energy
	for _, l := range standing {
		if l.Kind == melt.Energy && l.Energy != nil {
			typed, basis = typed+*l.Energy, ByTyping
		}
	}
	if basis == ByTyping {
		return typed.KilowattHours(), ByTyping
	}
	if watts, ok := drawn(standing); ok {
		if hours := melt.Total(HotTime(standing)).Hours(); hours > 0 {
			return watts / 1000 * hours, ByElectric
		}
	}
	return 0, ""
}

// metered is the difference between the first and the last meter reading.
func metered(standing []melt.Line) (quantity.Energy, bool) {
	var first, last *quantity.Energy
	for _, l := range standing {
		if l.Meter == nil {
			continue
		}
		if first == nil {
			first = l.Meter
			continue
		}
		last = l.Meter
	}
	if last == nil {
		return 0, false
	}
	return *last - *first, true
}

// drawn is the mean power of the melt's electrical readings in watts: watts
// where read, else volts × amps (Joule's law).
func drawn(standing []melt.Line) (watts float64, ok bool) {
	var sum float64
	var n int
	for _, l := range standing {
		if l.Kind != melt.Electric {
			continue
		}
		switch {
		case l.Watts != nil:
			sum, n = sum+l.Watts.Watts(), n+1
		case l.Volts != nil && l.Amps != nil:
			sum, n = sum+l.Volts.Volts()*l.Amps.Amperes(), n+1
		}
	}
	if n == 0 {
		return 0, false
	}
	return sum / float64(n), true
}

// heat splits the electricity into what the metal had to take, what the
// crucible took, and the rest: walls, lid and holding.
func (s *Sheet) heat(h melt.Heading, standing []melt.Line, b balance.Balance, f Facts) {
	s.PourTemp = lacking(NoPourTemp)
	hot, ok := PouredAt(standing)
	if ok {
		s.PourTemp = exact(hot.Celsius())
	}
	cold := f.Ambient
	if h.Ambient != nil {
		cold = *h.Ambient
	}
	s.IntoMetal = s.metalHeat(standing, f, cold, hot)
	s.IntoPot = s.potHeat(h, f, cold, hot)
	s.Rest = lacking(lacks(s.Energy, s.IntoMetal, s.IntoPot)...)
	if s.Rest.Known() {
		s.Rest = exact(s.Energy.X - s.IntoMetal.X - s.IntoPot.X)
	}
	s.Efficiency = ratio(s.IntoMetal, s.Energy, NoEnergy)
	s.Efficiency.Without = nil
}

// metalHeat is the heat of the net charge from the shed's to the pouring
// temperature, each source with its own alloy. A heel is not counted: it is
// metal that was melted before.
func (s *Sheet) metalHeat(standing []melt.Line, f Facts, cold, hot quantity.Temperature) Figure {
	if l := lacks(s.Charged, s.PourTemp); len(l) > 0 {
		return lacking(l...)
	}
	if s.Attachments.X >= s.Charged.X {
		return lacking(NoNet)
	}
	var sum float64
	used := map[string]bool{}
	for _, l := range standing {
		if l.Kind != melt.Charge {
			continue
		}
		r, err := heat.Needed(l.Mass(), cold, hot, f.Sources[l.Source].Alloy)
		if err != nil {
			return lacking(ColdAmbient)
		}
		sum += r.Energy.KilowattHours()
		if !used[r.LatentOf] {
			used[r.LatentOf] = true
			s.LatentOf = append(s.LatentOf, r.LatentOf)
		}
	}
	return exact(sum * (s.Charged.X - s.Attachments.X) / s.Charged.X)
}

// potHeat is the heat the crucible took up. One that was still hot from the
// melt before took none worth counting.
func (s *Sheet) potHeat(h melt.Heading, f Facts, cold, hot quantity.Temperature) Figure {
	switch {
	case !s.PourTemp.Known():
		return lacking(NoPourTemp)
	case h.Warm:
		return exact(0)
	case f.Crucible == nil:
		return lacking(NoCrucible)
	case f.Crucible.Mass == nil:
		return lacking(NoCrucibleMass)
	}
	if hot < cold {
		return lacking(ColdAmbient)
	}
	e, ok := heat.CrucibleHeat(f.Crucible.Kind, *f.Crucible.Mass, cold, hot)
	if !ok {
		return lacking(NoCrucibleHeat)
	}
	return exact(e.KilowattHours())
}

// PouredAt is the temperature the metal was brought to: as read at the last
// pour that has one, else the last reading in the metal.
func PouredAt(standing []melt.Line) (t quantity.Temperature, ok bool) {
	for _, l := range standing {
		if l.Kind == melt.Pour && l.Temp != nil {
			t, ok = *l.Temp, true
		}
	}
	if ok {
		return t, true
	}
	for _, l := range standing {
		if l.Kind == melt.Temperature && l.Which == melt.InMetal && l.Temp != nil {
			t, ok = *l.Temp, true
		}
	}
	return t, ok
}
