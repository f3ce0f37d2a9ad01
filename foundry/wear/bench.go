package wear

import (
	"math"

	"drosswise/foundry/element"
	"drosswise/foundry/kit"
	"drosswise/foundry/quantity"
)

// Bench is what a coil will do, before it is fitted. Ranges are as wide as the
// maker's tolerance of the wire's resistivity.
type Bench struct {
	Wire        element.Wire         `json:"-"`
	Alloy       string               `json:"wire"`
	Millimetres float64              `json:"diameter_mm"`
	Metres      Range                `json:"length_m"` // a range only where it was worked out for a power
	Volts       float64              `json:"volts"`
	Hot         quantity.Temperature `json:"hot"` // hundredths of °C
	HotSaid     bool                 `json:"hot_said"`
	// Ct is hot over cold resistance; 1 where the wire has no table there
	// (CtKnown false), and then hot figures are the cold ones.
	Ct      float64 `json:"ct"`
	CtKnown bool    `json:"ct_known"`

	ColdOhms  Range `json:"cold_ohms"`
	HotOhms   Range `json:"hot_ohms"`
	ColdAmps  Range `json:"cold_amps"`
	HotAmps   Range `json:"hot_amps"`
	ColdWatts Range `json:"cold_watts"`
	HotWatts  Range `json:"hot_watts"`
	Surface   Range `json:"surface_w_cm2"` // hot

	Turns   *float64 `json:"turns"`
	Pitch   *float64 `json:"pitch"`   // from turn to turn, in diameters of the wire
	Winding *float64 `json:"winding"` // mean diameter of the coil, in diameters of the wire
	Circuit *Burden  `json:"circuit"`
	Plug    *Burden  `json:"plug"`
	TooHot  bool     `json:"too_hot"` // for this wire in air
}

// Burden is what the coil draws from something rated for a current, at most.
type Burden struct {
	Rated quantity.Current `json:"rated"` // mA
	Load  kit.Load         `json:"load"`
}

// Good winding by a maker's handbook of alloys for appliances: pitch 2 to 4
// diameters of the wire, coil 5 to 12 (a copy of its page 79 was read). Other
// makers say 3 to 6 inside, and 5.5 to 12 outside.
var (
	goodPitch   = Range{Low: 2, High: 4}
	goodWinding = Range{Low: 5, High: 12}
)

// CoilSurface is the surface load of small wire coils in brick grooves that
// last, W/cm²: common practice, no source.
var CoilSurface = Range{Low: 1, Middle: 1.5, High: 2}

// Check works out what the coil will do, or says what is missing.
func (c Coil) Check() (b Bench, faults []Refusal) {
	m, faults := c.measure()
	if len(faults) == 0 && m.metres == 0 {
		faults = []Refusal{plainly("length", Missing, "Type the length of the wire, or the turns and the diameter of the former.")}
	}
	if len(faults) > 0 {
		return b, faults
	}
	return c.bench(m, Range{m.metres, m.metres, m.metres}), nil
}

// For works out the length of wire for a wanted power in use, and what the coil
// then does. A length or turns given are not looked at.
func (c Coil) For(power quantity.Power) (b Bench, faults []Refusal) {
	c.Length, c.Turns, c.Stretched = nil, nil, nil
	m, faults := c.measure()
	if power <= 0 {
		faults = append(faults, plainly("power", NotPositive, "Type the power you want, above zero."))
	}
	if len(faults) > 0 {
		return b, faults
	}
	ct, _ := ratioAt(m.wire, m.hot)
	cold := m.volts * m.volts / power.Watts() / ct
	metres, err := element.LengthFor(m.wire, cold, m.millimetres)
	if err != nil {
		return b, []Refusal{plainly("power", OutOfReason, "No length of this wire gives that power. Look at volts, diameter and power.")}
	}
	m.metres = metres
	tolerance := m.wire.Tolerance / 100
	if c.Former != nil {
		m.turns = metres / metresPerTurn(millimetres(*c.Former), m.millimetres)
	}
	return c.bench(m, Range{metres / (1 + tolerance), metres, metres / (1 - tolerance)}), nil
}

// ratioAt is hot over cold resistance, 1 and false where the wire has no table.
func ratioAt(w element.Wire, t quantity.Temperature) (float64, bool) {
	if ct, ok := w.Ct(t); ok {
		return ct, true
	}
	return 1, false
}

func (c Coil) bench(m measures, metres Range) Bench {
	b := Bench{Wire: m.wire, Alloy: m.wire.Name, Millimetres: m.millimetres, Metres: metres, Volts: m.volts, Hot: m.hot, HotSaid: c.Hot != nil}
	b.Ct, b.CtKnown = ratioAt(m.wire, m.hot)
	b.TooHot = m.hot > m.wire.MaxTemperature
	// The measures were checked to be above zero, so the formulas cannot refuse.
	cold, _ := element.Ohms(m.wire, m.metres, m.millimetres)
	tolerance := m.wire.Tolerance / 100
	b.ColdOhms = Range{cold * (1 - tolerance), cold, cold * (1 + tolerance)}
	b.HotOhms = b.ColdOhms.times(b.Ct)
	b.ColdAmps, b.HotAmps = b.ColdOhms.under(m.volts), b.HotOhms.under(m.volts)
	b.ColdWatts, b.HotWatts = b.ColdAmps.times(m.volts), b.HotAmps.times(m.volts)
	perWatt, _ := element.SurfaceLoad(1, m.metres, m.millimetres)
	b.Surface = b.HotWatts.times(perWatt)
	if m.turns > 0 {
		b.Turns = &m.turns
		if c.Stretched != nil {
			pitch := millimetres(*c.Stretched) / m.turns / m.millimetres
			b.Pitch = &pitch
		}
	}
	if c.Former != nil {
		winding := millimetres(*c.Former)/m.millimetres + 1
		b.Winding = &winding
	}
	b.Circuit, b.Plug = b.burden(c.Circuit), b.burden(c.Plug)
	return b
}

// burden holds the most that the coil may draw, cold or hot, against a rating.
func (b Bench) burden(rated *quantity.Current) *Burden {
	if rated == nil {
		return nil
	}
	volts := quantity.Voltage(math.Round(b.Volts * float64(quantity.Volt)))
	power := quantity.Power(math.Round(max(b.ColdWatts.High, b.HotWatts.High) * float64(quantity.Watt)))
	load, ok := kit.Item{Volts: &volts, Power: &power, Circuit: rated}.Load()
	if !ok {
		return nil
	}
	return &Burden{Rated: *rated, Load: load}
}

// times scales the range by a factor above zero.
func (r Range) times(k float64) Range { return Range{r.Low * k, r.Middle * k, r.High * k} }

// under divides x by the range, which is above zero.
func (r Range) under(x float64) Range { return Range{x / r.High, x / r.Middle, x / r.Low} }
