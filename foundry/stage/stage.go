// Package stage tells from the lines of a running melt which step it is at and
// what comes next. It is a reminder of the order of the work, common practice,
// no source: it knows only what was written, never what is in the furnace, and
// never that something may be done without danger.
package stage

import (
	"drosswise/foundry/caution"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// Step is what comes next in a melt.
type Step struct {
	Stage caution.Stage // whose cautions belong to it
	Text  string        // what to do, a sentence
	Kind  melt.Kind     // the line that says that it was done
}

// Next gives the step after the lines that stand, in any order.
func Next(standing []melt.Line) Step {
	w := seen(standing)
	switch {
	case w.poured != 0:
		return w.afterPour()
	case w.molten():
		return w.beforePour()
	case w.charged != 0:
		return w.melting()
	case w.checked == 0 && w.on == 0:
		return Step{caution.BeforeStart, "Go through the points before power on, and tick those you read.", melt.Checked}
	}
	if w.powered() {
		return Step{caution.Charging, "Isolate before you charge, and tap at that moment.", melt.Isolated}
	}
	return Step{caution.Charging, "Weigh in what goes into the crucible.", melt.Charge}
}

// written is when each thing was last written to have happened, 0 for never.
type written struct {
	checked, charged, on, isolated, liquid, allMolten, read, skimmed, poured, heelOut quantity.Moment
	poursWeighed                                                                      bool
}

func seen(standing []melt.Line) written {
	w := written{poursWeighed: true}
	last := func(at *quantity.Moment, l melt.Line) { *at = max(*at, l.At) }
	for _, l := range standing {
		switch l.Kind {
		case melt.Checked:
			last(&w.checked, l)
		case melt.Charge, melt.HeelIn:
			last(&w.charged, l)
		case melt.PowerOn:
			last(&w.on, l)
		case melt.Isolated:
			last(&w.isolated, l)
		case melt.FirstLiquid:
			last(&w.liquid, l)
		case melt.AllMolten:
			last(&w.allMolten, l)
		case melt.Temperature:
			if l.Which == melt.InMetal {
				last(&w.read, l)
			}
		case melt.Skim:
			last(&w.skimmed, l)
		case melt.Pour:
			last(&w.poured, l)
			w.poursWeighed = w.poursWeighed && len(l.Gross) > 0
		case melt.HeelOut:
			last(&w.heelOut, l)
		}
	}
	return w
}

// molten reports whether nothing solid was charged since all was molten.
func (w written) molten() bool { return w.allMolten != 0 && w.allMolten >= w.charged }

// powered reports whether the power was not isolated since it was last on.
func (w written) powered() bool { return w.on > w.isolated }

func (w written) melting() Step {
	switch {
	case w.on == 0 && w.checked == 0:
		return Step{caution.BeforeStart, "Go through the points before power on, and tick those you read.", melt.Checked}
	case w.on == 0:
		return Step{caution.Charging, "Weigh in the rest, or switch on and tap at that moment.", melt.PowerOn}
	case !w.powered():
		return Step{caution.Charging, "Isolated: charge and weigh in now, then switch on and tap.", melt.PowerOn}
	case w.liquid == 0:
		return Step{caution.Charging, "Wait for the first liquid. Isolate before you reach in.", melt.FirstLiquid}
	}
	return Step{caution.Charging, "Wait until all is molten. Isolate before you add or reach in.", melt.AllMolten}
}

func (w written) beforePour() Step {
	switch {
	case w.read < w.allMolten && w.skimmed < w.allMolten && w.powered():
		return Step{caution.FluxSkim, "Isolate, then read the temperature in the metal.", melt.Isolated}
	case w.read < w.allMolten && w.skimmed < w.allMolten:
		return Step{caution.FluxSkim, "Read the temperature in the metal.", melt.Temperature}
	case w.powered() && w.skimmed < w.allMolten:
		return Step{caution.FluxSkim, "When it is hot enough for what you pour, isolate; then skim.", melt.Isolated}
	case w.powered():
		return Step{caution.Pouring, "Isolate before the lid comes off.", melt.Isolated}
	case w.skimmed < w.allMolten:
		return Step{caution.FluxSkim, "Skim. Weigh the dross once it is cold.", melt.Skim}
	case w.read != 0 && w.read < w.allMolten: // there is a thermometer
		return Step{caution.Pouring, "Read the temperature in the metal: the last was read before all was molten.", melt.Temperature}
	case w.read == 0:
		return Step{caution.Pouring, "No temperature was read in the metal. If it is hot enough for what you pour, pour, and count the pieces.", melt.Pour}
	}
	return Step{caution.Pouring, "Pour, and count the pieces.", melt.Pour}
}

func (w written) afterPour() Step {
	switch {
	case w.powered():
		return Step{caution.After, "Isolate, and tap at that moment.", melt.Isolated}
	case w.charged > w.poured:
		return w.melting()
	case !w.poursWeighed:
		return Step{caution.After, "Weigh what was poured once it is cold.", melt.Pour}
	case w.heelOut < w.poured:
		return Step{caution.After, "Write the heel that is left in the crucible, or that none is.", melt.HeelOut}
	}
	return Step{caution.After, "Look through the lines, then close the melt.", melt.Close}
}
