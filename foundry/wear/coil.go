package wear

import (
	"fmt"
	"math"

	"drosswise/foundry/element"
	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// Coil is a coil on the bench, before it is fitted: one length of wire between
// two terminals. A nil pointer was not said.
type Coil struct {
	Wire      string           // alloy, as element.Find knows it
	Diameter  *quantity.Length // of the wire, or its Gauge
	Gauge     *int             // American wire gauge
	Length    *quantity.Length // of the wire, or Turns on a Former
	Turns     *float64
	Former    *quantity.Length // diameter of what it is wound on
	Stretched *quantity.Length // length of the coil as it lies in the furnace
	Volts     *quantity.Voltage
	Circuit   *quantity.Current     // rated
	Plug      *quantity.Current     // rated
	Hot       *quantity.Temperature // of the wire at full power; nil: HotUsual is taken
}

// measures are what the coil is made of, in the units of the formulas.
type measures struct {
	wire        element.Wire
	millimetres float64 // diameter of the wire
	metres      float64 // of wire; 0 when it is not said
	turns       float64 // 0 when not said
	volts       float64
	hot         quantity.Temperature
}

// measure reads the coil, or says what is missing or cannot be. The length may
// be left open.
func (c Coil) measure() (m measures, faults []Refusal) {
	var known bool
	if m.wire, known = element.Find(c.Wire); !known {
		faults = append(faults, plainly("wire", Missing, "Choose the wire: its ohms per metre and how they change with heat depend on it."))
	}
	faults = append(faults, c.checkRanges()...)
	diameter, wrong := c.diameter()
	faults = append(faults, wrong...)
	if c.Volts == nil {
		faults = append(faults, plainly("volts", Missing, "Type the supply volts."))
	}
	if len(faults) > 0 {
		return m, faults
	}
	m.millimetres, m.volts, m.hot = diameter, c.Volts.Volts(), HotUsual
	if c.Hot != nil {
		m.hot = *c.Hot
	}
	if c.Turns != nil {
		m.turns = *c.Turns
	}
	m.metres, wrong = c.metres(diameter)
	return m, append(wrong, c.checkStretch(m)...)
}

// checkRanges holds wire, supply and circuit to the limits that kit holds them to.
func (c Coil) checkRanges() []Refusal {
	wire := kit.Item{Kind: kit.Element, Name: "coil", Diameter: c.Diameter, Length: c.Length}
	supply := kit.Item{Kind: kit.Furnace, Name: "coil", Letter: "A", Volts: c.Volts, Circuit: c.Circuit}
	plug := kit.Item{Kind: kit.Furnace, Name: "coil", Letter: "A", Circuit: c.Plug}
	faults := append(refused(kit.Check(wire)), refused(kit.Check(supply))...)
	for _, f := range refused(kit.Check(plug)) {
		f.Field = "plug"
		faults = append(faults, f)
	}
	if c.Turns != nil && !(*c.Turns >= 1 && *c.Turns <= 10_000) {
		faults = append(faults, plainly("turns", OutOfReason, "Type how many turns the coil has, 1 or more, or leave the field empty."))
	}
	if c.Former != nil && (*c.Former <= 0 || *c.Former > quantity.Metre) {
		faults = append(faults, plainly("former", OutOfReason, "Type the diameter of the rod that it is wound on, up to a metre."))
	}
	if c.Hot != nil && (*c.Hot < 100*quantity.Celsius || *c.Hot > 1500*quantity.Celsius) {
		faults = append(faults, refuse("hot", OutOfReason, func(s quantity.Style) string {
			return fmt.Sprintf("The wire's temperature at full power lies between %s and %s. Leave the field empty for %s.", s.Temperature(100*quantity.Celsius), s.Temperature(1500*quantity.Celsius), s.Temperature(HotUsual))
		}))
	}
	return faults
}

func refused(rs melt.Refusals) []Refusal {
	var faults []Refusal
	for _, r := range rs {
		faults = append(faults, refuse(r.Field, OutOfReason, r.Say))
	}
	return faults
}

// diameter is that of the wire in mm, measured or by its gauge.
func (c Coil) diameter() (float64, []Refusal) {
	switch {
	case c.Diameter != nil:
		return millimetres(*c.Diameter), nil
	case c.Gauge == nil:
		return 0, []Refusal{plainly("diameter", Missing, "Type the wire's diameter, or its gauge.")}
	}
	d, err := element.AWG(*c.Gauge)
	if err != nil {
		return 0, []Refusal{plainly("gauge", OutOfReason, "The gauge lies between −3 (0000) and 40. Type the diameter if the wire is sold by it.")}
	}
	return d, nil
}

// metres is the length of wire, measured or by its turns; 0 when not said.
func (c Coil) metres(diameter float64) (float64, []Refusal) {
	if c.Turns == nil || c.Former == nil {
		if c.Length == nil {
			return 0, nil
		}
		return c.Length.Metres(), nil
	}
	wound := *c.Turns * metresPerTurn(millimetres(*c.Former), diameter)
	if c.Length == nil {
		return wound, nil
	}
	if ratio := c.Length.Metres() / wound; max(ratio, 1/ratio) > 1+element.DefaultTolerance {
		return 0, []Refusal{refuse("length", Disagrees, func(s quantity.Style) string {
			return fmt.Sprintf("%s turns on %s take %s m of wire, but %s was given. Count the turns and measure the former again; straight tails belong to the length.",
				s.Number(*c.Turns, 0), s.Length(*c.Former), s.Number(wound, 2), s.Length(*c.Length))
		})}
	}
	return c.Length.Metres(), nil
}

// metresPerTurn is the wire in one turn wound close on a former, both diameters
// in mm: a helix of mean diameter former + wire that rises by one wire.
func metresPerTurn(former, wire float64) float64 {
	return math.Hypot(math.Pi*(former+wire), wire) / 1000
}

// checkStretch refuses a coil shorter than close-wound, or longer than its wire.
func (c Coil) checkStretch(m measures) []Refusal {
	if c.Stretched == nil || m.turns == 0 {
		return nil
	}
	close := m.turns * m.millimetres
	stretched := millimetres(*c.Stretched)
	if stretched >= close && (m.metres == 0 || stretched < 1000*m.metres) {
		return nil
	}
	return []Refusal{refuse("stretched", OutOfReason, func(s quantity.Style) string {
		return fmt.Sprintf("The coil is %s mm long wound close and cannot be %s. Measure it as it lies in its groove.", s.Number(close, 0), s.Length(*c.Stretched))
	})}
}

func millimetres(l quantity.Length) float64 { return float64(l) / float64(quantity.Millimetre) }
