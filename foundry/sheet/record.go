package sheet

import (
	"drosswise/foundry/balance"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
)

// OwnIngots is the source that ingots of earlier pours count as when many
// melts are read together: metal that was melted before.
const OwnIngots = -1

// Record is the melt as recovery reads it beside many others. Which melt left
// its heel is not in its lines, and stays open.
func Record(h melt.Heading, lines []melt.Line, f Facts) recovery.Melt {
	standing := melt.Standing(lines)
	b := balance.Of(standing, f.Scales)
	m := recovery.Melt{
		ID: h.ID, Code: string(h.Code), Started: h.At,
		ChargedU: tidy(b.Charged.U()), Steel: tidy(b.Attachments.X), HeelIn: tidy(b.HeelIn.X),
	}
	if b.HasIngots && !b.UnweighedPour {
		m.Recovered = &recovery.Amount{Kilograms: tidy(b.Recovered().X), U: tidy(b.Recovered().U())}
	}
	if b.HasDross && !b.UnweighedSkim {
		m.Dross = &recovery.Amount{Kilograms: tidy(b.Dross.X), U: tidy(b.Dross.U())}
	}
	for _, l := range standing {
		if l.Kind == melt.Charge {
			m.Charges = append(m.Charges, recovery.Charge{
				Source: sourceOf(l), Kilograms: l.Mass().Kilograms(), AsFound: l.AsFound, Ready: f.Lots[l.Lot].Ready,
				Wet: f.Sources[l.Source].Wet && !l.Dry,
			})
		}
		m.Readings = append(m.Readings, readings(l)...)
	}
	return m
}

func sourceOf(l melt.Line) int64 {
	if l.Pour != 0 {
		return OwnIngots
	}
	return l.Source
}

// partOf says where a kind of line's mass counts; kinds that count nowhere
// are missing.
var partOf = map[melt.Kind]recovery.Part{
	melt.Charge: recovery.PartCharge, melt.Pour: recovery.PartMetal, melt.Reject: recovery.PartMetal, melt.Spill: recovery.PartMetal,
	melt.HeelIn: recovery.PartHeelIn, melt.HeelOut: recovery.PartHeelOut, melt.Skim: recovery.PartDross, melt.Steel: recovery.PartSteel,
}

// readings are the scale readings of a line, each named by the line's number.
func readings(l melt.Line) []recovery.Reading {
	part, ok := partOf[l.Kind]
	if !ok {
		return nil
	}
	source := int64(0)
	if l.Kind == melt.Charge {
		source = sourceOf(l)
	}
	read := func(part recovery.Part, m quantity.Mass) recovery.Reading {
		return recovery.Reading{ID: l.ID, Part: part, Source: source, Kilograms: m.Kilograms()}
	}
	var all []recovery.Reading
	for _, g := range l.Gross {
		all = append(all, read(part, g))
	}
	if l.Tare > 0 {
		all = append(all, read(recovery.PartTare, l.Tare))
	}
	return all
}
