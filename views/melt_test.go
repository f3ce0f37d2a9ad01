package views

import (
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"drosswise/foundry/curve"
	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/recovery"
	"drosswise/foundry/sheet"
)

var (
	inputTags   = regexp.MustCompile(`<input[^>]*>`)
	namedAs     = regexp.MustCompile(` name="([^"]*)"`)
	autofocused = regexp.MustCompile(` autofocus[ >]`)
)

var ten = quantity.At(time.Date(2026, 3, 14, 10, 0, 0, 0, time.UTC))

// melted is the page of a melt with these lines, a minute apart.
func melted(lines ...melt.Line) Melt {
	h := melt.Heading{ID: 1, Code: "A26-041", At: ten, Furnace: 1}
	for i := range lines {
		lines[i].ID, lines[i].At = int64(i+1), ten+quantity.Moment(quantity.Span(i)*quantity.Minute)
	}
	return Melt{Heading: h, Lines: lines, Sheet: sheet.Of(h, lines, sheet.Facts{}), May: true, SafeFill: new(3 * quantity.Kilogram)}
}

func weighing(k melt.Kind, grams quantity.Mass) melt.Line {
	return melt.Line{Kind: k, Source: 1, Gross: []quantity.Mass{grams * quantity.Gram}}
}

func TestNoBarWhereNoMetalWasCharged(t *testing.T) {
	b := melted(weighing(melt.Charge, 1500), weighing(melt.Steel, 9000), weighing(melt.Pour, 1000)).metalBar(quantity.Style{})
	assert.Equal(t, "Where the charge went", b.Title)
	assert.Equal(t, sheet.NoNet.Sentence(), b.Missing)
	assert.Empty(t, b.Parts)
}

// A heel that nobody wrote is not shown as one of nothing.
func TestHeelsThatWereWritten(t *testing.T) {
	terms := func(m Melt) map[string]string {
		all := map[string]string{}
		for _, f := range m.metalFacts(quantity.Style{}) {
			all[f.Term] = f.Note
		}
		return all
	}
	left := terms(melted(weighing(melt.Charge, 1500), weighing(melt.Pour, 1000), weighing(melt.HeelOut, 300)))
	assert.NotContains(t, left, "Heel before")
	assert.Contains(t, left, "Heel after")
	assert.Equal(t, "No heel before was written: the crucible is taken as empty before.", left["Metal recovered"])
	found := terms(melted(weighing(melt.HeelIn, 300), weighing(melt.Charge, 1500), weighing(melt.Pour, 1000)))
	assert.Contains(t, found, "Heel before")
	assert.NotContains(t, found, "Heel after")
}

// The bar shows what its share speaks of: what is inside, poured or not.
func TestFillAfterAPour(t *testing.T) {
	charged := melted(weighing(melt.Charge, 1500)).fill(quantity.Style{})
	assert.Equal(t, int64(1500*quantity.Gram), charged.Parts[0].Amount)
	assert.Equal(t, "50 %", charged.Share)

	poured := melted(weighing(melt.Charge, 1500), weighing(melt.Pour, 900)).fill(quantity.Style{})
	assert.Equal(t, []Part{{Kind: Heat, Label: "left inside", Amount: int64(600 * quantity.Gram), Value: "0.600 kg"}}, poured.Parts)
	assert.Equal(t, "20 %", poured.Share)

	unweighed := melted(weighing(melt.Charge, 1500), melt.Line{Kind: melt.Pour}).fill(quantity.Style{})
	assert.Empty(t, unweighed.Parts)
	assert.Empty(t, unweighed.Share)
	assert.NotContains(t, render(t, unweighed.View()), "<svg class=\"bar\"")
}

func TestNothingIsExpectedOnceItIsPoured(t *testing.T) {
	m := melted(weighing(melt.Charge, 1500))
	m.Expect = &recovery.Expectation{Metal: recovery.Range{Low: 0.9, High: 0.95}, Kilograms: 1.5, Known: 1}
	assert.Contains(t, m.expects(quantity.Style{}), "Expect")
	m.Lines = append(m.Lines, weighing(melt.Pour, 900))
	assert.Empty(t, m.expects(quantity.Style{}))
}

func TestATemperatureIsOfThePourOnlyWithAPour(t *testing.T) {
	read := melt.Line{Kind: melt.Temperature, Which: melt.InMetal, Temp: new(382 * quantity.Celsius)}
	assert.Contains(t, melted(weighing(melt.Charge, 1500), read, melt.Line{Kind: melt.Close}).over(quantity.Style{}), "last read in the metal 382 °C")
	assert.Contains(t, melted(weighing(melt.Charge, 1500), read, weighing(melt.Pour, 900), melt.Line{Kind: melt.Close}).over(quantity.Style{}), "poured at 382 °C")
}

func TestAVoidMeltShowsOnlyItsLines(t *testing.T) {
	page := render(t, melted(weighing(melt.Charge, 1500), melt.Line{Kind: melt.Void, Note: "never lit"}).Page(Frame{}))
	assert.Contains(t, page, "made void")
	assert.Contains(t, page, "never lit")
	assert.NotContains(t, page, "not known")
}

// What a thumb has learnt stays where it was, from the first tap to the last.
func TestTheDockStays(t *testing.T) {
	before, after := melted(), melted(weighing(melt.Charge, 1500), weighing(melt.Pour, 900))
	assert.Equal(t, before.dock(), after.dock())
	const close = `add/close">Close the melt</a>`
	assert.NotContains(t, render(t, before.Page(Frame{})), close)
	assert.Contains(t, render(t, after.Page(Frame{})), close)
}

// The safe fill is the same on the page of the crucible and on the melt's.
func TestOneSafeFill(t *testing.T) {
	pot := kit.Item{Kind: kit.Crucible, Brim: new(1380 * quantity.Millilitre)}
	fill, _, _ := pot.SafeFill()
	m := melted()
	m.SafeFill = &fill
	shown, ok := safeFill(pot, quantity.Style{})
	assert.True(t, ok)
	assert.Equal(t, shown, m.fill(quantity.Style{}).Safe)
}

func TestNoElectricityIsNotZero(t *testing.T) {
	for _, f := range (KitItem{Item: kit.Item{Kind: kit.Furnace}}).figures(quantity.Style{}) {
		if f.Sentence == "of electricity, where it was read" {
			assert.NotEmpty(t, f.Missing)
			return
		}
	}
	assert.Fail(t, "no figure of the electricity")
}

// However often a form comes back, it has the fields that were filled in and
// the same few spare ones.
func TestARefusedFormDoesNotGrow(t *testing.T) {
	spec, _ := melt.SpecOf(melt.Charge)
	form := LineForm{Spec: spec, Typed: url.Values{"mass": {"1.2", "", "0.4", "", "", "", ""}}}
	masses := func(f LineForm) int {
		n := 0
		for _, tag := range inputTags.FindAllString(render(t, f.mass(Frame{})), -1) {
			if namedAs.FindStringSubmatch(tag)[1] == "mass" {
				n++
			}
		}
		return n
	}
	assert.Equal(t, 2+spare, masses(form))
}

// On a pour the ingots are counted first.
func TestWhereTheCursorWaits(t *testing.T) {
	for kind, field := range map[melt.Kind]string{melt.Pour: "count", melt.Charge: "mass", melt.Skim: "mass", melt.Reject: "mass"} {
		spec, _ := melt.SpecOf(kind)
		var waits []string
		for _, tag := range inputTags.FindAllString(render(t, LineForm{Spec: spec, Sources: []Option{{Value: "source-1", Label: "Rims"}}}.whole(Frame{})), -1) {
			if autofocused.MatchString(tag) {
				waits = append(waits, namedAs.FindStringSubmatch(tag)[1])
			}
		}
		assert.Equal(t, []string{field}, waits, kind)
	}
}

// One sentence over both fields of the time, not half a column under one.
func TestAWrongTimeIsToldOverBothFields(t *testing.T) {
	page := render(t, DateTime("When it happened", Field{Name: "at_date"}, Field{Name: "at_clock", Error: "No date was given."}))
	assert.Regexp(t, `<p class="error" id="f-at_clock-error">No date was given\.</p> ?<div class="pair">`, page)
	assert.Equal(t, 1, strings.Count(page, "No date was given."))
}

func TestWithoutScrapTheWayToItIsShown(t *testing.T) {
	spec, _ := melt.SpecOf(melt.Charge)
	page := render(t, LineForm{Spec: spec}.whole(Frame{}))
	assert.Contains(t, page, `href="/scrap/new"`)
	assert.NotContains(t, page, "<form")
}

// A reading that advice speaks of can be found in the lines.
func TestReadingsAreShownWithTheirContainer(t *testing.T) {
	skim := weighing(melt.Skim, 589)
	skim.Tare = 385 * quantity.Gram
	told := Tell(skim, Names{}, quantity.Style{})
	assert.Equal(t, "0.204 kg", told.Value)
	assert.Contains(t, told.Note, "scale showed 0.589 kg, container 0.385 kg taken off")
}

func TestTheButtonNamesTheAct(t *testing.T) {
	assert.Equal(t, "Mark isolated", PowerAfter(melt.PowerOn, "", "").action().Label)
	assert.Equal(t, "Mark power on", PowerAfter(melt.Isolated, "", "").action().Label)
	for _, spec := range melt.Specs() {
		act := LineForm{Spec: spec}.act()
		assert.Regexp(t, "^(Check|Weigh in|Write|Mark|Skim|Pour|Change|Close|Reopen|Make)", act, spec.Kind)
		assert.Equal(t, "Write it anew", LineForm{Spec: spec, Of: 7}.act())
	}
}

// A look at the dross that nobody gave is no word of its own.
func TestNotSaidIsNotSaid(t *testing.T) {
	assert.NotContains(t, Tell(weighing(melt.Skim, 80), Names{}, quantity.Style{}).Note, "not said")
}

// The summary calls the fields what the form calls them.
func TestFaultsBearTheNamesOfTheirFields(t *testing.T) {
	for _, spec := range melt.Specs() {
		form := LineForm{Spec: spec, Faults: map[string]string{}, Sources: []Option{{Value: "source-1", Label: "Rims"}}}
		for _, name := range []string{"source", "mass", "tare", "spread", "scale", "which", "count", "cost", "meter", "energy", "volts", "amps", "watts", "ohms", "crucible", "element"} {
			form.Faults[name] = "Wrong."
		}
		page := render(t, form.whole(Frame{}))
		for _, fault := range form.faults() {
			if strings.Contains(page, `id="`+fault.ID+`"`) && fault.Label != "" {
				assert.Regexp(t, `>\s*`+regexp.QuoteMeta(fault.Label)+`[\s<]`, strings.SplitN(page, `</div>`, 2)[1], "%s of %s", fault.ID, spec.Kind)
			}
		}
	}
}

// Over the safe fill is said in the glance too, since the bar may lie below it.
func TestTheGlanceSaysWhatIsOverTheSafeFill(t *testing.T) {
	f := Frame{Now: ten}
	charge := func(grams quantity.Mass) glance { return melted(weighing(melt.Charge, grams)).glances(f)[1] }
	assert.Equal(t, glance{Label: "Charged", Value: "2.00 kg", More: "of 3.00 kg safe fill"}, charge(2000))
	assert.Equal(t, glance{Label: "Charged", Value: "4.00 kg", More: "over the safe fill of 3.00 kg", Beyond: true}, charge(4000))
}

func TestEnergiesThatAreApartAreSaid(t *testing.T) {
	said := func(other float64) bool {
		m := melted()
		flow := func(kwh float64, c curve.Channel) curve.Flow {
			return curve.Flow{Joules: kwh * 3.6e6, U: 0.003 * 3.6e6, From: c, Name: "plug"}
		}
		m.Curves = &Curves{Report: curve.Report{Energy: new(flow(2.493, curve.Energy)), Other: []curve.Flow{flow(other, curve.Power)}}}
		facts := m.curveFacts(quantity.Style{})
		assert.NotContains(t, facts[0].Note, "farther apart")
		return strings.Contains(facts[1].Note, "farther apart")
	}
	assert.True(t, said(1.999))
	assert.False(t, said(2.5))
}
