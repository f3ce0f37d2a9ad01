package melt_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

const (
	kg  = quantity.Kilogram
	kWh = quantity.KilowattHour
)

var start = quantity.At(time.Date(2026, 3, 14, 10, 0, 0, 0, time.UTC))

// line is something that happened some minutes after ten o'clock.
func line(k melt.Kind, minute int, edits ...func(*melt.Line)) melt.Line {
	l := melt.Line{Kind: k, At: start + quantity.Moment(quantity.Span(minute)*quantity.Minute)}
	for _, edit := range edits {
		edit(&l)
	}
	return l
}

func weighed(m ...quantity.Mass) func(*melt.Line) { return func(l *melt.Line) { l.Gross = m } }

func of(source int64) func(*melt.Line) { return func(l *melt.Line) { l.Source = source } }

func which(w string) func(*melt.Line) { return func(l *melt.Line) { l.Which = w } }

func noted(n string) func(*melt.Line) { return func(l *melt.Line) { l.Note = n } }

func showing(e quantity.Energy) func(*melt.Line) { return func(l *melt.Line) { l.Meter = new(e) } }

// written gives lines their ids in the order of writing.
func written(lines ...melt.Line) []melt.Line {
	for i := range lines {
		lines[i].ID, lines[i].Key = int64(i+1), fmt.Sprintf("line-%04d", i+1)
	}
	return lines
}

func TestCodesComeApartAgain(t *testing.T) {
	assert.Equal(t, melt.Code("A26-041"), melt.NewCode("A", 2026, 41))
	assert.Equal(t, melt.Code("Z07-1000"), melt.NewCode("Z", 2007, 1000))
	rapid.Check(t, func(t *rapid.T) {
		letter := string(rapid.RuneFrom(nil, upper).Draw(t, "letter"))
		year, n := rapid.IntRange(2000, 2099).Draw(t, "year"), rapid.IntRange(1, 99_999).Draw(t, "n")
		gotLetter, gotYear, gotN, ok := melt.NewCode(letter, year, n).Parts()
		assert.True(t, ok)
		assert.Equal(t, []any{letter, year, n}, []any{gotLetter, gotYear, gotN})
	})
}

func TestWhatIsNoCode(t *testing.T) {
	for _, text := range []string{"", "A26-41", "a26-041", "A26_041", "A26-0041", "A2-0041", "A26-", "A26-04x", "Å26-041", "A26--41", "A-6-041", "A26-000", "A+6-041", "A26-+41", "AA6-041", " A26-041", "A26-041 "} {
		_, _, _, ok := melt.Code(text).Parts()
		assert.False(t, ok, text)
	}
}

// Several readings make one mass, and the container comes off each of them. A
// typed zero is a mass.
func TestMass(t *testing.T) {
	l := line(melt.Charge, 0, weighed(2*kg, 3*kg))
	assert.Equal(t, 5*kg, l.Mass())
	l.Tare = kg / 2
	assert.Equal(t, 4*kg, l.Mass())
	assert.True(t, line(melt.Skim, 0, weighed(0)).Weighed())
	assert.False(t, line(melt.Skim, 0).Weighed())
}

// Standing lines come in the order in which they happened, those of one moment
// in the order in which they were written.
func TestStanding(t *testing.T) {
	lines := written(line(melt.Pour, 9), line(melt.Charge, 5, noted("second")), line(melt.Charge, 5, noted("third")), line(melt.HeelIn, 1), line(melt.Skim, 7))
	lines[4].Strike = &melt.Strike{Reason: "not skimmed"}
	var ids []int64
	for _, l := range melt.Standing(lines) {
		ids = append(ids, l.ID)
	}
	assert.Equal(t, []int64{4, 2, 3, 1}, ids)
	assert.Empty(t, melt.Standing(nil))
}

// What was written last of close, void and reopen holds, whatever time it was
// given.
func TestStateOf(t *testing.T) {
	for _, c := range []struct {
		name  string
		lines []melt.Line
		want  melt.State
	}{
		{"nothing", nil, melt.Running},
		{"charged", []melt.Line{line(melt.Charge, 0)}, melt.Running},
		{"closed", []melt.Line{line(melt.Charge, 0), line(melt.Close, 9)}, melt.Closed},
		{"void", []melt.Line{line(melt.Void, 9)}, melt.Voided},
		{"reopened", []melt.Line{line(melt.Close, 9), line(melt.Reopen, 10)}, melt.Running},
		{"reopened with an earlier time", []melt.Line{line(melt.Close, 9), line(melt.Reopen, 5)}, melt.Running},
		{"closed again with an earlier time", []melt.Line{line(melt.Close, 9), line(melt.Reopen, 20), line(melt.Close, 15)}, melt.Closed},
		{"closed, then void", []melt.Line{line(melt.Close, 9), line(melt.Void, 8)}, melt.Voided},
	} {
		assert.Equal(t, c.want, melt.StateOf(melt.Standing(written(c.lines...))), c.name)
	}
}

func TestKitOf(t *testing.T) {
	h := melt.Heading{Crucible: 1, Element: 2}
	using := func(minute int, crucible, element int64) melt.Line {
		return line(melt.Using, minute, func(l *melt.Line) { l.Crucible, l.Element = crucible, element })
	}
	assert.Equal(t, melt.Kit{Crucible: 1, Element: 2}, melt.KitOf(h, nil))
	assert.Equal(t, melt.Kit{Crucible: 3, Element: 2}, melt.KitOf(h, melt.Standing(written(using(0, 3, 0)))))
	assert.Equal(t, melt.Kit{Crucible: 5, Element: 4}, melt.KitOf(h, melt.Standing(written(using(0, 3, 4), using(9, 5, 0)))))
	assert.Equal(t, melt.Kit{Crucible: 5, Element: 2}, melt.KitOf(h, melt.Standing(written(using(9, 3, 0), using(0, 5, 0)))), "the last one written")
}

func TestOnTime(t *testing.T) {
	at := func(minute int) quantity.Moment { return line(melt.Note, minute).At }
	on, off := melt.PowerOn, melt.Isolated
	for _, c := range []struct {
		name  string
		lines []melt.Line
		want  []melt.Stretch
		open  bool
		total quantity.Span
	}{
		{"never on", []melt.Line{line(off, 3)}, nil, false, 0},
		{"on and off", []melt.Line{line(on, 1), line(off, 61)}, []melt.Stretch{{From: at(1), To: at(61)}}, false, quantity.Hour},
		{"twice", []melt.Line{line(on, 0), line(off, 10), line(on, 20), line(off, 40)}, []melt.Stretch{{From: at(0), To: at(10)}, {From: at(20), To: at(40)}}, false, 30 * quantity.Minute},
		{"on still", []melt.Line{line(on, 0), line(off, 10), line(on, 20)}, []melt.Stretch{{From: at(0), To: at(10)}, {From: at(20), To: at(100)}}, true, 90 * quantity.Minute},
		{"on since after the end", []melt.Line{line(on, 200)}, []melt.Stretch{{From: at(200), To: at(200)}}, true, 0},
		{"on twice is on once", []melt.Line{line(on, 0), line(on, 20), line(off, 30)}, []melt.Stretch{{From: at(0), To: at(30)}}, false, 30 * quantity.Minute},
		{"off twice is off once", []melt.Line{line(on, 0), line(off, 20), line(off, 30)}, []melt.Stretch{{From: at(0), To: at(20)}}, false, 20 * quantity.Minute},
	} {
		got, open := melt.OnTime(melt.Standing(written(c.lines...)), at(100))
		assert.Equal(t, c.want, got, c.name)
		assert.Equal(t, c.open, open, c.name)
		assert.Equal(t, c.total, melt.Total(got), c.name)
	}
}

// What is in the crucible: heel and charges and metal added, less what was
// weighed out. After a pour that nobody weighed nobody can say.
func TestContents(t *testing.T) {
	for _, c := range []struct {
		name  string
		lines []melt.Line
		want  quantity.Mass
		known bool
	}{
		{"empty", nil, 0, true},
		{"heel and charges", []melt.Line{line(melt.HeelIn, 0, weighed(kg)), line(melt.Charge, 1, weighed(2*kg)), line(melt.Charge, 2, weighed(3*kg))}, 6 * kg, true},
		{"silicon counts", []melt.Line{line(melt.Addition, 0, weighed(kg), which("silicon")), line(melt.Addition, 0, weighed(kg), which("master alloy"))}, 2 * kg, true},
		{"flux does not", []melt.Line{line(melt.Addition, 0, weighed(kg), which("cover flux"))}, 0, true},
		{"what came out", []melt.Line{line(melt.Charge, 0, weighed(9*kg)), line(melt.Skim, 1, weighed(kg)), line(melt.Steel, 1, weighed(kg)), line(melt.Pour, 2, weighed(4*kg)), line(melt.Spill, 3, weighed(kg)), line(melt.Reject, 3, weighed(kg))}, kg, true},
		{"an unweighed skim is little", []melt.Line{line(melt.Charge, 0, weighed(9*kg)), line(melt.Skim, 1)}, 9 * kg, true},
		{"an unweighed pour is unknown", []melt.Line{line(melt.Charge, 0, weighed(9*kg)), line(melt.Pour, 1), line(melt.Charge, 2, weighed(kg))}, 10 * kg, false},
		{"never less than nothing", []melt.Line{line(melt.Charge, 0, weighed(kg)), line(melt.Pour, 1, weighed(2*kg))}, 0, true},
	} {
		got, known := melt.Contents(melt.Standing(written(c.lines...)))
		assert.Equal(t, c.want, got, c.name)
		assert.Equal(t, c.known, known, c.name)
	}
	assert.Equal(t, 3*kg, melt.Charged(written(line(melt.Charge, 0, weighed(2*kg)), line(melt.HeelIn, 0, weighed(4*kg)),
		line(melt.Addition, 0, weighed(kg), which("silicon")), line(melt.Addition, 0, weighed(kg), which("degasser")))))
}

func TestFirstAndLast(t *testing.T) {
	lines := melt.Standing(written(line(melt.Charge, 5), line(melt.Charge, 1), line(melt.Pour, 3)))
	first, ok := melt.First(lines, melt.Charge)
	assert.True(t, ok && first.ID == 2)
	last, ok := melt.Last(lines, melt.Charge)
	assert.True(t, ok && last.ID == 1)
	_, ok = melt.First(lines, melt.Skim)
	assert.False(t, ok)
	_, ok = melt.Last(lines, melt.Skim)
	assert.False(t, ok)
}

// Every kind has words, needs only what it has, and choices where it asks for
// one.
func TestSpecs(t *testing.T) {
	seen := map[melt.Kind]bool{}
	for _, s := range melt.Specs() {
		assert.False(t, seen[s.Kind], s.Kind)
		seen[s.Kind] = true
		assert.NotEmpty(t, s.Verb, s.Kind)
		assert.NotEmpty(t, s.Done, s.Kind)
		assert.Regexp(t, `^[A-Z].*\.$`, s.Says, s.Kind)
		for _, p := range s.Needs {
			assert.True(t, s.Uses(p), "%s needs %s", s.Kind, p)
			assert.True(t, s.Requires(p))
		}
		assert.Equal(t, s.Uses(melt.PartWhich), len(s.Choices) > 0, s.Kind)
		for _, c := range s.Choices {
			assert.NotEmpty(t, c.Label)
			assert.Equal(t, c.Label, s.Label(c.Value))
		}
		got, ok := melt.SpecOf(s.Kind)
		assert.True(t, ok)
		assert.Equal(t, s, got)
	}
	assert.Len(t, seen, 24)
	_, ok := melt.SpecOf("nonsense")
	assert.False(t, ok)
}
