package melt

import "slices"

// Kind is the kind of thing a line records.
type Kind string

// The kinds of line, roughly in the order of a melt.
const (
	Checked     Kind = "check"
	HeelIn      Kind = "heel_in"
	Charge      Kind = "charge"
	PowerOn     Kind = "power_on"
	Isolated    Kind = "isolated"
	Meter       Kind = "meter"
	Energy      Kind = "energy"
	Electric    Kind = "electric"
	Temperature Kind = "temperature"
	FirstLiquid Kind = "first_liquid"
	AllMolten   Kind = "all_molten"
	Addition    Kind = "addition"
	Skim        Kind = "skim"
	Pour        Kind = "pour"
	Spill       Kind = "spill"
	Reject      Kind = "reject"
	HeelOut     Kind = "heel_out"
	Steel       Kind = "steel"
	Stamp       Kind = "stamp"
	Note        Kind = "note"
	Using       Kind = "using"
	Close       Kind = "close"
	Reopen      Kind = "reopen"
	Void        Kind = "void"
)

// Part is a part of a line that a person fills in.
type Part string

// The parts of a line.
const (
	PartSource   Part = "source"
	PartMass     Part = "mass"
	PartBasis    Part = "basis"
	PartHandling Part = "handling"
	PartWhich    Part = "which"
	PartMould    Part = "mould"
	PartCount    Part = "count"
	PartCost     Part = "cost"
	PartMeter    Part = "meter"
	PartEnergy   Part = "energy"
	PartTemp     Part = "temp"
	PartProbe    Part = "probe"
	PartElectric Part = "electric"
	PartKit      Part = "kit"
	PartNote     Part = "note"
)

// Spec says how people speak of a kind of line and what belongs to it.
type Spec struct {
	Kind    Kind
	Verb    string   // what one does: "Weigh in"
	Done    string   // what was done: "Charged"
	Parts   []Part   // what may be filled in, in this order
	Needs   []Part   // what must be filled in
	Choices []Choice // what Which may be
	Says    string   // one sentence on what the line is for
}

// Choice is one of the words a kind of line offers.
type Choice struct{ Value, Label string }

// Where a temperature was read. Only a reading in the metal is the metal's.
const (
	InMetal  = "metal"
	Chamber  = "chamber"
	Infrared = "infrared"
)

// Fluxes among additions.
const (
	CoverFlux    = "cover flux"
	DrossingFlux = "drossing flux"
)

var specs = []Spec{
	{Kind: Checked, Verb: "Check", Done: "Checked", Parts: []Part{PartCount, PartNote},
		Says: "You read the points before starting. A tick records that they were read; it proves nothing."},
	{Kind: HeelIn, Verb: "Heel before", Done: "Heel found", Parts: []Part{PartMass, PartNote}, Needs: []Part{PartMass},
		Says: "Metal already in the crucible from the melt before."},
	{Kind: Charge, Verb: "Weigh in", Done: "Charged", Parts: []Part{PartSource, PartMass, PartBasis, PartHandling, PartNote}, Needs: []Part{PartSource, PartMass},
		Says: "Scrap or ingots that go into the crucible. Several weighings make one charge."},
	{Kind: PowerOn, Verb: "Power on", Done: "Power on", Parts: []Part{PartMeter, PartNote},
		Says: "The furnace draws power from this moment."},
	{Kind: Isolated, Verb: "Isolated", Done: "Power isolated", Parts: []Part{PartMeter, PartNote},
		Says: "Cut off at the switch or the plug, not only at the controller."},
	{Kind: Meter, Verb: "Meter", Done: "Meter read", Parts: []Part{PartMeter, PartNote}, Needs: []Part{PartMeter},
		Says: "What the energy meter shows. Two readings give the energy between them."},
	{Kind: Energy, Verb: "Energy", Done: "Energy of the melt", Parts: []Part{PartEnergy, PartNote}, Needs: []Part{PartEnergy},
		Says: "Energy of the whole melt, when the meter itself was not read before and after."},
	{Kind: Electric, Verb: "Volts, amps", Done: "Element read", Parts: []Part{PartElectric, PartNote}, Needs: []Part{PartElectric},
		Says: "What the element draws at full power, from a meter made for it. Never touch the coil."},
	{Kind: Temperature, Verb: "Temp", Done: "Temperature", Parts: []Part{PartTemp, PartWhich, PartProbe, PartNote}, Needs: []Part{PartTemp, PartWhich},
		Choices: []Choice{{InMetal, "In the metal"}, {Chamber, "In the chamber"}, {Infrared, "Infrared, from outside"}},
		Says:    "Only a reading in the metal counts as the metal's temperature."},
	{Kind: FirstLiquid, Verb: "First liquid", Done: "First liquid", Parts: []Part{PartNote},
		Says: "The first pool of liquid metal was seen."},
	{Kind: AllMolten, Verb: "All molten", Done: "All molten", Parts: []Part{PartNote},
		Says: "The last solid piece has gone."},
	{Kind: Addition, Verb: "Addition", Done: "Added", Parts: []Part{PartWhich, PartMass, PartCost, PartNote}, Needs: []Part{PartWhich},
		Choices: []Choice{{CoverFlux, "Cover flux"}, {DrossingFlux, "Drossing flux"}, {"degasser", "Degassing"}, {"silicon", "Silicon"}, {"master alloy", "Master alloy"}, {"other", "Something else"}},
		Says:    "What was put in beside the charge: flux, gas, silicon."},
	{Kind: Skim, Verb: "Skim", Done: "Skimmed", Parts: []Part{PartMass, PartWhich, PartNote},
		Choices: []Choice{{"", "Not said"}, {"grey dry", "Grey and dry"}, {"bright", "Bright, metal in it"}, {"mixed", "In between"}},
		Says:    "Dross taken off. Weigh it cold and add the mass later."},
	{Kind: Pour, Verb: "Pour", Done: "Poured", Parts: []Part{PartCount, PartMould, PartTemp, PartMass, PartNote},
		Says: "Metal poured into moulds. Weigh the ingots cold and add the mass later."},
	{Kind: Spill, Verb: "Spill", Done: "Spilled", Parts: []Part{PartMass, PartNote}, Needs: []Part{PartMass},
		Says: "Drips and spills picked up and weighed: they are metal."},
	{Kind: Reject, Verb: "Rejects", Done: "Rejects", Parts: []Part{PartCount, PartMass, PartNote}, Needs: []Part{PartMass},
		Says: "Ingots or castings not good enough to keep, weighed apart from the good ones."},
	{Kind: HeelOut, Verb: "Heel after", Done: "Heel left", Parts: []Part{PartMass, PartNote}, Needs: []Part{PartMass},
		Says: "Metal left in the crucible for the next melt."},
	{Kind: Steel, Verb: "Steel found", Done: "Steel found", Parts: []Part{PartMass, PartNote}, Needs: []Part{PartMass},
		Says: "Steel and other pieces that did not melt, fished out and weighed. They were never metal to recover."},
	{Kind: Stamp, Verb: "Mark the time", Done: "Time marked", Parts: []Part{PartNote},
		Says: "Something happened at this moment. Say later what it was."},
	{Kind: Note, Verb: "Note", Done: "Noted", Parts: []Part{PartNote}, Needs: []Part{PartNote},
		Says: "Anything worth remembering."},
	{Kind: Using, Verb: "Change kit", Done: "Kit changed", Parts: []Part{PartKit, PartNote}, Needs: []Part{PartKit},
		Says: "The melt was made in another crucible or with another element than its heading says."},
	{Kind: Close, Verb: "Close the melt", Done: "Closed", Parts: []Part{PartNote},
		Says: "All is weighed and written. A closed melt is reopened with a reason."},
	{Kind: Reopen, Verb: "Reopen", Done: "Reopened", Parts: []Part{PartNote}, Needs: []Part{PartNote},
		Says: "Say why, so that the record stays honest."},
	{Kind: Void, Verb: "Void", Done: "Void", Parts: []Part{PartNote}, Needs: []Part{PartNote},
		Says: "Nothing was melted under this code. It stays in the book, counts nowhere and is never used again."},
}

var specOf = func() map[Kind]Spec {
	m := make(map[Kind]Spec, len(specs))
	for _, s := range specs {
		m[s.Kind] = s
	}
	return m
}()

// Specs are all kinds of line, roughly in the order of a melt.
func Specs() []Spec { return specs }

// SpecOf gives the spec of a kind; ok is false for a kind that is none.
func SpecOf(k Kind) (s Spec, ok bool) {
	s, ok = specOf[k]
	return s, ok
}

// Uses reports whether lines of this kind have the part.
func (s Spec) Uses(p Part) bool { return slices.Contains(s.Parts, p) }

// Requires reports whether lines of this kind must have the part.
func (s Spec) Requires(p Part) bool { return slices.Contains(s.Needs, p) }

// Label is how people call one of the kind's choices, or "" for none of them.
func (s Spec) Label(value string) string {
	for _, c := range s.Choices {
		if c.Value == value {
			return c.Label
		}
	}
	return ""
}
