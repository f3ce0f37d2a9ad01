package sheet

import (
	"fmt"
	"math"

	"drosswise/foundry/balance"
	"drosswise/foundry/element"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// Flag is something about a melt that does not fit and that a person should
// look at. A and B are the figures it speaks of, in the Sheet's units.
type Flag struct {
	Code FlagCode `json:"code"`
	A    float64  `json:"a,omitempty"`
	B    float64  `json:"b,omitempty"`
	Text string   `json:"text,omitempty"`
}

// FlagCode says what does not fit.
type FlagCode string

// What may not fit.
const (
	MoreIn        FlagCode = "more_in"       // U above k·u(U)
	MoreOut       FlagCode = "more_out"      // U below −k·u(U), more than oxygen explains
	Oxygen        FlagCode = "oxygen"        // U below −k·u(U), oxygen in the dross may explain it
	TooExact      FlagCode = "too_exact"     // closes to the milligram over several readings
	YieldOver     FlagCode = "yield_over"    // more metal out than in
	DrossOver     FlagCode = "dross_over"    // more dross than charge
	AsFound       FlagCode = "as_found"      // weighed with attachments
	EnergyLow     FlagCode = "energy_low"    // less than the metal had to take
	EnergyTwice   FlagCode = "energy_twice"  // meter and typed energy differ
	MeterShort    FlagCode = "meter_short"   // the meter was not read over the whole time
	PowerOpen     FlagCode = "power_open"    // closed, and the power never isolated
	Contradiction FlagCode = "contradiction" // electrical readings that Ohm's law does not allow
	StampsOpen    FlagCode = "stamps_open"   // time marks nobody named
)

// Coverage is the factor k beyond which a balance that does not close is
// pointed out: 2, about 95 % (JCGM 100:2008, 6.3.3).
const Coverage = 2

// oxygenShare is the most that oxygen can be of dross, as pure Al2O3:
// 3·15.999/(2·26.982+3·15.999) (IUPAC standard atomic weights, 2021).
const oxygenShare = 3 * 15.999 / (2*26.982 + 3*15.999)

// flag lists what does not fit, the gravest first.
func (s *Sheet) flag(standing []melt.Line, b balance.Balance) {
	s.flagBalance(b)
	s.flagEnergy(standing)
	for _, l := range standing {
		for _, fact := range contradictions(l) {
			s.Flags = append(s.Flags, Flag{Code: Contradiction, Text: fact.Sentence()})
		}
	}
	if s.Unnamed > 0 {
		s.Flags = append(s.Flags, Flag{Code: StampsOpen, A: float64(s.Unnamed)})
	}
}

func (s *Sheet) flagBalance(b balance.Balance) {
	add := func(c FlagCode, x, y float64) { s.Flags = append(s.Flags, Flag{Code: c, A: tidy(x), B: tidy(y)}) }
	if y := s.Yield; y.Known() && y.X > 1+Coverage*y.U {
		add(YieldOver, y.X, y.U)
	}
	if d := s.DrossRate; d.Known() && d.X > 1 {
		add(DrossOver, d.X, d.U)
	}
	// Where no scale was named, nobody can say what the scales explain.
	if u := s.Unaccounted; u.Known() && u.U > 0 {
		switch {
		case u.X > Coverage*u.U:
			add(MoreIn, u.X, u.U)
		case u.X < -Coverage*u.U && -u.X > s.Dross.X*oxygenShare+Coverage*u.U:
			add(MoreOut, -u.X, u.U)
		case u.X < -Coverage*u.U:
			add(Oxygen, -u.X, u.U)
		case math.Abs(u.X) < 1e-9 && b.Readings >= 4:
			add(TooExact, 0, u.U)
		}
	}
	if b.AsFound {
		add(AsFound, 0, 0)
	}
}

// energyDisagreement is how far a typed energy may lie from the meter's before
// it is said: a tenth, common practice, no source.
const energyDisagreement = 0.1

func (s *Sheet) flagEnergy(standing []melt.Line) {
	if s.Energy.Known() && s.IntoMetal.Known() && s.Energy.X < s.IntoMetal.X {
		s.Flags = append(s.Flags, Flag{Code: EnergyLow, A: s.Energy.X, B: s.IntoMetal.X})
	}
	if s.EnergyBasis == ByMeter {
		s.flagMeter(standing)
	}
	if _, open := melt.OnTime(standing, 0); open && s.State == melt.Closed {
		s.Flags = append(s.Flags, Flag{Code: PowerOpen})
	}
}

func (s *Sheet) flagMeter(standing []melt.Line) {
	var typed, first, last quantity.Moment
	var kwh float64
	for _, l := range standing {
		if l.Kind == melt.Energy && l.Energy != nil {
			typed, kwh = l.At, kwh+l.Energy.KilowattHours()
		}
		if l.Meter != nil {
			if first == 0 {
				first = l.At
			}
			last = l.At
		}
	}
	if typed != 0 && math.Abs(kwh-s.Energy.X) > energyDisagreement*s.Energy.X {
		s.Flags = append(s.Flags, Flag{Code: EnergyTwice, A: s.Energy.X, B: tidy(kwh)})
	}
	on := HotTime(standing)
	if len(on) == 0 {
		return
	}
	missed := max(0, first.Since(on[0].From)) + max(0, on[len(on)-1].To.Since(last))
	if missed > quantity.Minute {
		s.Flags = append(s.Flags, Flag{Code: MeterShort, A: tidy(missed.Hours())})
	}
}

// contradictions holds a line's electrical readings against Ohm's law. They
// are of the hot element; ohms that were read cold lie within the tolerance.
func contradictions(l melt.Line) []element.Fact {
	if l.Kind != melt.Electric {
		return nil
	}
	return element.Contradictions(element.Readings{Ohms: l.Ohms, Volts: l.Volts, Amps: l.Amps, Watts: l.Watts}, element.DefaultTolerance)
}

// Say words the flag for a person.
func (f Flag) Say(s quantity.Style) string {
	kg := func(x, u float64) string {
		return s.MassTo(quantity.Mass(math.Round(x*1e6)), quantity.Mass(math.Round(u*1e6)))
	}
	kwh := func(x float64) string { return s.Energy(quantity.Energy(math.Round(x * 3.6e6))) }
	switch f.Code {
	case MoreIn:
		return fmt.Sprintf("%s more went in than came out, which is more than the scales explain (± %s, k = 2). Coating, oil or moisture burnt off, fine spills, or a weighing that was left out.",
			kg(f.A, f.B), kg(Coverage*f.B, f.B))
	case MoreOut:
		return fmt.Sprintf("%s more came out than went in. Neither the scales (± %s, k = 2) nor oxygen in the dross explain that: a weight is wrong, or a charge or heel was left out.",
			kg(f.A, f.B), kg(Coverage*f.B, f.B))
	case Oxygen:
		return fmt.Sprintf("%s more came out than went in, beyond the scales (± %s, k = 2). Dross takes up oxygen and can weigh more than the metal it ate, so this may be right.",
			kg(f.A, f.B), kg(Coverage*f.B, f.B))
	case TooExact:
		return fmt.Sprintf("It adds up to nothing left over, closer than the scales allow (± %s, k = 2). Was one of the masses worked out from the others instead of weighed?", kg(Coverage*f.B, f.B))
	case YieldOver:
		return fmt.Sprintf("More metal came out than was charged (%s). Look for a charge or a heel that was left out, or a mass in the wrong unit.", s.Percent(f.A, 1))
	case DrossOver:
		return "There is more dross than charge. Look for a mass in the wrong unit."
	case AsFound:
		return "Some of the charge was weighed as found, with steel, plastic, oil or water on it. The yield counts that as charge: it tells what the find gives, not what the metal gives."
	case EnergyLow:
		return fmt.Sprintf("%s was used, but the metal alone had to take %s. The meter, the masses or the temperature must be wrong, or the charge went into hot metal that was not written down.", kwh(f.A), kwh(f.B))
	case EnergyTwice:
		return fmt.Sprintf("The meter gives %s, the typed energy %s. The meter's is used; strike the one that is wrong.", kwh(f.A), kwh(f.B))
	case MeterShort:
		return fmt.Sprintf("The meter was not read over the whole time with power on: %s are missing from the energy.", s.Span(quantity.Span(math.Round(f.A*float64(quantity.Hour)))))
	case PowerOpen:
		return "The power was never marked as isolated. The time hot runs to the last line; add the isolation with its true time."
	case Contradiction:
		return f.Text
	case StampsOpen:
		if f.A == 1 {
			return "One time was marked and nobody has said yet what it was."
		}
		return fmt.Sprintf("%.0f times were marked and nobody has said yet what they were.", f.A)
	}
	return string(f.Code)
}
