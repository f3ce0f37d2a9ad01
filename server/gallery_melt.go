package main

import (
	"net/url"

	"github.com/a-h/templ"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/views"
)

// meltScenes are a melt in all its states.
func meltScenes() []scene {
	show := func(m views.Melt) func(views.Frame) templ.Component {
		return func(f views.Frame) templ.Component { return m.Page(f) }
	}
	saved := galleryMelt(runningLines())
	saved.Done = saved.Lines[6].Key
	struck := galleryMelt(runningLines())
	struck.Done = struck.Lines[4].Key
	over := galleryMelt(append(runningLines(), numberedFrom(8, weighed(melt.Line{Kind: melt.Charge, At: at(14, 46), Source: 4, IntoHot: true}, 1900*gram))...))
	heel := galleryMelt(nil)
	heel.HeelLeft, heel.HeelFrom = new(300*gram), "A26-040"
	lacking := galleryMelt(append(runningLines(), numberedFrom(8, melt.Line{Kind: melt.Stamp, At: at(14, 44)}, melt.Line{Kind: melt.Pour, At: at(14, 46), Count: new(6)}, melt.Line{Kind: melt.Close, At: at(14, 46)})...))
	reader := galleryMelt(closedLines())
	reader.May = false
	odd := galleryMelt(append(runningLines(), numberedFrom(8, melt.Line{Kind: melt.Electric, At: at(14, 45), Volts: new(230 * quantity.Volt), Amps: new(4 * quantity.Ampere), Ohms: new(27 * quantity.Ohm)})...))
	void := galleryMelt(numbered(melt.Line{Kind: melt.Void, At: at(14, 10), Note: "started twice"}))
	expects := galleryMelt(runningLines())
	expects.Expect = &recovery.Expectation{Metal: recovery.Range{Low: 0.91, Middle: 0.93, High: 0.95}, Dross: recovery.Range{Low: 0.04, Middle: 0.06, High: 0.09}, Kilograms: 1.842, Known: 1}
	unusual := galleryMelt(closedLines())
	unusual.Held = &recovery.Held{Seen: 0.907, Expected: 0.945, SD: 0.011, Z: -3.4, Mistyped: 0.4}
	unusual.Fit = &recovery.MeltFit{Melt: 1, Code: "A26-041", Metal: unusual.Held, Suspect: true, Slips: []recovery.Slip{{Reading: 4, Part: recovery.PartCharge, Source: 2, Kilograms: 0.364, Fits: 0.264, Chance: 0.6}}}
	unknown := galleryMelt(runningLines())
	unknown.SafeFill = nil
	unknown.Heading.Crucible, unknown.Heading.Element = 6, 0

	return []scene{
		{"melt/new", "A melt just started", show(galleryMelt(nil))},
		{"melt/heel", "A melt whose crucible holds a heel", show(heel)},
		{"melt/running", "A melt being logged", show(galleryMelt(runningLines()))},
		{"melt/saved", "A line was just saved", show(saved)},
		{"melt/struck", "A line was just struck", show(struck)},
		{"melt/over", "Charged over the safe fill", show(over)},
		{"melt/odd", "Volts, amps and ohms that cannot all be right", show(odd)},
		{"melt/unknown-fill", "No safe fill known, a very long crucible name", show(unknown)},
		{"melt/expects", "What the charge so far should give", show(expects)},
		{"melt/unusual", "A closed melt that is unusual for its charge", show(unusual)},
		{"melt/closed", "A closed melt", show(galleryMelt(closedLines()))},
		{"melt/reader", "A closed melt, to a reader", show(reader)},
		{"melt/lacking", "Closed with nothing weighed", show(lacking)},
		{"melt/void", "A void melt", show(void)},
	}
}

func numberedFrom(first int64, lines ...melt.Line) []melt.Line {
	lines = numbered(lines...)
	for i := range lines {
		lines[i].ID = first + int64(i)
		lines[i].Key = "gallery-" + string(rune('a'+lines[i].ID))
	}
	return lines
}

// lineScenes are the form of every kind of line, and a line's own page.
func lineScenes() []scene {
	var all []scene
	for _, spec := range melt.Specs() {
		form := galleryForm(spec)
		all = append(all, scene{"add/" + string(spec.Kind), spec.Verb, func(f views.Frame) templ.Component { return form.Page(f) }})
	}
	charge, _ := melt.SpecOf(melt.Charge)
	refused := galleryForm(charge)
	refused.Typed = url.Values{"source": {"source-1"}, "mass": {"4.1.2.0", "12"}, "tare": {"-3"}, "at_date": {"2026-11-21"}, "at_clock": {"23:59"}, "note": {long}}
	refused.Faults = map[string]string{"mass": "“4.1.2.0” is not a number. Type it like 1.842 or 1,842.", "tare": "A mass cannot be below zero.", "at": "23:59 is still to come."}
	doubt := galleryForm(charge)
	doubt.Typed = url.Values{"source": {"source-4"}, "mass": {"1.9"}}
	doubt.Doubts = map[string]string{"mass": "With this the crucible holds 3.742 kg, above its safe fill of 2.593 kg. Do not charge more than that."}
	all = append(all,
		scene{"add/refused", "A charge that was refused", func(f views.Frame) templ.Component { return refused.Page(f) }},
		scene{"add/doubt", "A charge that is doubted", func(f views.Frame) templ.Component { return doubt.Page(f) }},
	)
	for name, i := range map[string]int{"stands": 3, "struck": 4} {
		p := views.LinePage{Heading: galleryHeading(), State: melt.Running, Line: runningLines()[i], Names: galleryNames(), Key: "gallery-strike"}
		all = append(all, scene{"line/" + name, "A line that is " + name, func(f views.Frame) templ.Component { return p.Page(f) }})
	}
	mark := views.LinePage{Heading: galleryHeading(), State: melt.Running, Line: numbered(melt.Line{Kind: melt.Stamp, At: at(14, 44)})[0], Names: galleryNames(), Key: "gallery-mark"}
	return append(all, scene{"line/mark", "A time that was marked", func(f views.Frame) templ.Component { return mark.Page(f) }})
}

func galleryForm(spec melt.Spec) views.LineForm {
	return views.LineForm{
		Code: "A26-041", Spec: spec, Key: "gallery-form", Names: galleryNames(), Typed: url.Values{},
		Sources: []views.Option{{Value: "source-1", Label: "Rims"}, {Value: "source-2", Label: "Crank arms"}, {Value: "source-4", Label: long}, {Value: "pour-900", Label: "Ingots of A26-040 (3.120 kg poured)"}},
		Hazards: views.HazardsOf(gallerySources()[3]),
	}
}
