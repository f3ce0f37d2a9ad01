package wear

import (
	"math"

	"drosswise/foundry/element"
	"drosswise/foundry/gum"
	"drosswise/foundry/quantity"
)

// Way is how a reading was taken.
type Way string

// The ways to read an element.
const (
	Cold Way = "cold" // ohms, the element switched off and cold
	Hot  Way = "hot"  // ohms, volts and amps or watts, glowing
	Draw Way = "drawn"
)

// Point is a reading brought to a basis.
type Point struct {
	ID    int64   `json:"reading"`
	Hours float64 `json:"hours"` // to the second
	Heats int     `json:"heats"`
	Way   Way     `json:"way"`
	Ohms  float64 `json:"ohms"` // cold at 20 °C; hot as read where the wire has no table
	U     float64 `json:"u"`    // standard uncertainty of the reading alone
	Read  float64 `json:"read"` // Ω as read, leads taken off
	Ct    float64 `json:"ct"`   // Read was divided by it; 1 when not
	// Shared is the doubt of Ct as a share. All hot readings have it together, so
	// it does not touch their trend, only where they lie beside cold ones.
	Shared  float64 `json:"ct_u"`
	LeftOut bool    `json:"left_out"`
}

// HotUsual is the temperature taken for a wire at full power when nobody says:
// common practice, no source. Tables differ by 0.01 to 0.02 for 150 °C there.
const HotUsual = 1000 * quantity.Celsius

// How far the wire's temperature may be from what is taken: common practice, no
// source.
const (
	hotAssumedWithin = 150 * quantity.Celsius
	hotSaidWithin    = 50 * quantity.Celsius
)

// resistance is what was read, in Ω with leads taken off, and how. Cold ohms go
// before hot ones, and those before what was drawn. ok is false when there is
// too little to know it by.
func (r Reading) resistance() (v gum.Value, way Way, ok bool) {
	m := r.Meter.steps()
	if r.Ohms != nil {
		v = gum.Measured("ohms", r.Ohms.Ohms(), gum.Resolution(m.Ohms.Ohms()))
		if r.Leads != nil {
			v = v.Minus(gum.Measured("leads", r.Leads.Ohms(), gum.Resolution(m.Ohms.Ohms())))
		}
		if r.cold() {
			return v, Cold, true
		}
		return v, Hot, true
	}
	if v, ok := r.byOhmsLaw(m); ok {
		return v, Hot, true
	}
	if r.Drawn != nil {
		return r.Drawn.ohms(), Draw, true
	}
	return v, "", false
}

// byOhmsLaw works the hot resistance out of two of volts, amps and watts.
func (r Reading) byOhmsLaw(m Meter) (gum.Value, bool) {
	var volts, amps, watts gum.Value
	if r.Volts != nil {
		volts = gum.Measured("volts", r.Volts.Volts(), gum.Resolution(m.Volts.Volts()))
	}
	if r.Amps != nil {
		amps = gum.Measured("amps", r.Amps.Amperes(), gum.Resolution(m.Amps.Amperes()))
	}
	if r.Watts != nil {
		watts = gum.Measured("watts", r.Watts.Watts(), gum.Resolution(m.Watts.Watts()))
	}
	switch {
	case r.Volts != nil && r.Amps != nil:
		return volts.Over(amps), true
	case r.Volts != nil && r.Watts != nil:
		return volts.Times(volts).Over(watts), true
	case r.Amps != nil && r.Watts != nil:
		return watts.Over(amps.Times(amps)), true
	}
	return gum.Value{}, false
}

// point brings the reading to cold ohms at 20 °C by the wire's table. brought is
// false when a hot reading stays as it was read, for want of one.
func (r Reading) point(s Set) (p Point, brought bool) {
	v, way, _ := r.resistance()
	p = Point{ID: r.ID, Hours: math.Round(r.Hours*3600) / 3600, Heats: r.Heats, Way: way, Read: v.X, Ct: 1, LeftOut: r.LeftOut}
	wire, _ := element.Find(s.Wire)
	brought = true
	if way == Cold {
		if r.Temp != nil {
			if ct, ok := wire.Ct(*r.Temp); ok {
				p.Ct = ct
			}
		}
	} else {
		p.Ct, p.Shared, brought = hotRatio(wire, r.Temp, s.Hot)
	}
	p.Ohms, p.U = v.X/p.Ct, v.U()/p.Ct
	return p, brought
}

// hotRatio is the wire's hot over cold resistance with its standard
// uncertainty as a share: the last digit printed, tables that disagree, and how
// well the temperature is known. ok is false, and the ratio 1, when the wire has
// no table there.
func hotRatio(wire element.Wire, read, said *quantity.Temperature) (ct, u float64, ok bool) {
	at, off := HotUsual, hotAssumedWithin
	switch {
	case read != nil && *read > ColdBelow:
		at, off = *read, hotSaidWithin
	case said != nil:
		at, off = *said, hotSaidWithin
	}
	ct, ok = wire.Ct(at)
	if !ok {
		return 1, 0, false
	}
	const printed = 0.01
	square := sq(gum.Resolution(printed))
	for _, table := range wire.CtTables()[1:] {
		if other, ok := element.Ct(table, at); ok {
			square += sq(gum.Limits(other - ct))
		}
	}
	widest := 0.0
	for _, t := range []quantity.Temperature{at - off, at + off} {
		if other, ok := wire.Ct(t); ok {
			widest = max(widest, math.Abs(other-ct))
		}
	}
	return ct, math.Sqrt(square+sq(gum.Limits(widest))) / ct, true
}

func sq(x float64) float64 { return x * x }
