package drift

// Cause is what may have made a furnace take more, or less.
type Cause string

// Causes.
const (
	Element Cause = "element"
	Lining  Cause = "lining"
	Lid     Cause = "lid"
	Holding Cause = "holding"
	Supply  Cause = "supply"
	Charge  Cause = "charge"
	Pouring Cause = "pouring"
	ByMeter Cause = "meter"
	ByScale Cause = "scale"
	ByProbe Cause = "probe"
)

// clue is one kind of reading that speaks for a cause when it went the way
// stated while the furnace took more; the other way when it took less.
type clue struct {
	cause        Cause
	name         string // json
	energy, time int    // +1 when more goes with more, −1 when more goes with less, 0 when it says nothing
	step         float64
	of           func(Melt) *float64
}

// clues is the whole table, in the order that counts where the evidence is
// equal: what wears comes first. Judgement.
var clues = []clue{
	{Element, "ohms", +1, +1, 0.1, func(m Melt) *float64 { return m.Ohms }},
	{Element, "power", -1, -1, 0.01, nil}, // at the rule's volts: see readings
	{Lining, "hold_loss", +1, +1, 0.05, func(m Melt) *float64 { return m.HoldLoss }},
	{Lid, "lid_open", +1, +1, 1, func(m Melt) *float64 { return m.LidOpen }},
	{Holding, "hold", +1, 0, 1.0 / 60, func(m Melt) *float64 { return m.Hold }},
	{Supply, "volts", -1, -1, 1, func(m Melt) *float64 { return m.Volts }},
	{Charge, "dross", +1, +1, 0.001, func(m Melt) *float64 { return m.Dross }},
	{Pouring, "pour", +1, 0, 1, func(m Melt) *float64 { return m.Pour }},
}

// check is an instrument whose error looks like a change of the furnace.
type check struct {
	cause        Cause
	energy, time int // +1 when reading too much looks like taking more
	of           func(Tools) *Instrument
}

var checks = []check{
	{ByMeter, +1, 0, func(t Tools) *Instrument { return t.Meter }},
	{ByScale, -1, -1, func(t Tools) *Instrument { return t.Scale }}, // reads too little: more metal than is known
	{ByProbe, -1, 0, func(t Tools) *Instrument { return t.Probe }},  // reads too little: hotter than is known
}

// Tools are the instruments of a furnace as their checks left them; nil for one
// that was never checked.
type Tools struct{ Scale, Probe, Meter *Instrument }

// readings are a clue's values over melts, each at most once a melt.
func (c clue) readings(melts []Melt, volts float64) (values []float64) {
	for _, m := range melts {
		if c.of != nil {
			if v := c.of(m); said(v) {
				values = append(values, *v)
			}
			continue
		}
		if said(m.Power) {
			values = append(values, *m.Power/m.supply(volts))
		}
	}
	return values
}

// way is +1 or −1 as the reading should have moved, 0 when it says nothing.
func way(energy, time int, kind Kind, up bool) int {
	sign := energy
	if kind == OfTime {
		sign = time
	}
	if !up {
		return -sign
	}
	return sign
}
