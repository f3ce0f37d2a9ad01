package life_test

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/life"
	"drosswise/foundry/quantity"
)

var never = regexp.MustCompile(`(?i)\bsafe|\bwill (fail|last|crack|wear)|NaN|Inf\b|—|%!`)

// plain checks a sentence: one, whole, and without what must never be said.
func plain(t assert.TestingT, text string) {
	assert.Regexp(t, `^[A-Z0-9][^\n]*[a-z0-9)]\.$`, text)
	assert.NotRegexp(t, never, text)
	assert.NotContains(t, strings.TrimSuffix(text, "."), ". ", "one sentence")
}

func worn(ages ...float64) (pieces []life.Piece) {
	for _, a := range ages {
		pieces = append(pieces, life.Piece{Age: a, End: life.WornOut})
	}
	return pieces
}

func use(pieces []life.Piece, ages ...float64) []life.Piece {
	for _, a := range ages {
		pieces = append(pieces, life.Piece{Age: a, End: life.InService})
	}
	return pieces
}

// What is said follows how many have worn out.
func TestSaysWhatItRestsOn(t *testing.T) {
	gbp := quantity.Style{Currency: "GBP"}
	lives := []float64{62, 88, 101, 74, 55, 91, 83, 70, 66, 97, 79, 58, 85, 77, 69, 93, 64, 81, 73, 89}
	for _, c := range []struct {
		name     string
		pieces   []life.Piece
		expected float64
		basis    life.Basis
		life     string
		outlook  string
	}{
		{"nothing", nil, 0, life.Nothing,
			"No crucible has done anything yet, so how long one lasts cannot be said: type how long you expect.",
			"This crucible has done 40 heats; how much more it may do cannot be said, with none worn out and none in service and no expected life given."},
		{"bound", use(nil, 40), 0, life.Nothing,
			"No crucible has worn out yet, with 1 in service, so there is only a lower bound: half of such crucibles do at least 9 heats (19 chances in 20).",
			"This crucible has done 40 heats; how much more it may do cannot be said, with none worn out and 1 in service and no expected life given."},
		{"believed", use(nil, 40), 60, life.Believed, "which rests on the 60 heats that you expect of one, with none worn out and 1 in service; from what they did alone, half of such crucibles do at least 9 heats (19 chances in 20).",
			"going by the life that you expect, with none worn out and 1 in service; the chance that it does the next 10 heats is"},
		{"assumed", use(worn(lives[:3]...), 40), 60, life.Assumed, "which rests mainly on how such things usually wear, with 3 worn out and 1 in service.",
			"going by how such things usually wear, with 3 worn out and 1 in service; the chance that it does the next 10 heats is 9"},
		{"learned", use(worn(lives[:7]...), 40), 60, life.Learned, "going by your own crucibles, 7 worn out and 1 in service, with some help from how such things usually wear.",
			"going by 7 worn out and 1 in service; the chance that it does the next 10 heats is 9"},
		{"fitted", use(worn(lives...), 40, 12), 60, life.Fitted, "going by your own crucibles, 20 worn out and 2 in service.",
			"going by 20 worn out and 2 in service; the chance that it does the next 10 heats is 96 %, so check it at its usual times, and any crack retires it."},
	} {
		l, err := life.Learn(c.pieces, life.Heats, c.expected)
		require.NoError(t, err, c.name)
		assert.Equal(t, c.basis, l.Basis, c.name)
		assert.Equal(t, c.basis == life.Fitted, l.Fit != nil, c.name)
		assert.Contains(t, l.Say(gbp, life.Crucible), c.life, c.name)
		o, err := l.Outlook(40, 10)
		require.NoError(t, err, c.name)
		assert.Contains(t, o.Say(gbp, life.Crucible), c.outlook, c.name)
	}
}

func TestSaysOtherUnits(t *testing.T) {
	pieces := use(worn(620, 880, 1010), 400)
	kg, err := life.Learn(pieces, life.Kilograms, 0)
	require.NoError(t, err)
	o, err := kg.Outlook(400, 100)
	require.NoError(t, err)
	assert.Contains(t, o.Say(quantity.Style{}, life.Crucible), "has done 400 kilograms and may do 460 more kilograms, between 63 and 1500 (9 chances in 10)")
	pounds := quantity.Style{MassUnit: quantity.Pounds}
	assert.Contains(t, o.Say(pounds, life.Crucible), "has done 882 pounds and may do 1000 more pounds")
	hours, err := life.Learn(pieces, life.HoursHot, 0)
	require.NoError(t, err)
	assert.Contains(t, hours.Say(quantity.Style{}, life.ElementSet), "A new element set may do 810 hours hot, between")
	c, err := life.CostOf(50, life.Outlook{Unit: life.HoursHot, Age: 400})
	require.NoError(t, err)
	assert.Equal(t, "This element set has cost 0.13 GBP an hour hot, its price over what it has done.", c.Say(quantity.Style{Currency: "GBP"}, life.ElementSet))
}

// 60 over 100 heats is 0.60 a heat, and what may still come makes it less.
func TestCost(t *testing.T) {
	gbp := quantity.Style{Currency: "GBP"}
	done, err := life.CostOf(60, life.Outlook{Unit: life.Heats, Age: 100})
	require.NoError(t, err)
	assert.InDelta(t, 0.6, *done.SoFar, 1e-12)
	assert.Equal(t, "This crucible has cost 0.60 GBP a heat, its price over what it has done.", done.Say(gbp, life.Crucible))
	going, err := life.CostOf(60, life.Outlook{Unit: life.Heats, Age: 50, Left: &life.Range{Low: 10, Middle: 50, High: 150}})
	require.NoError(t, err)
	assert.Equal(t, life.Range{Low: 0.3, Middle: 0.6, High: 1}, *going.Whole)
	assert.Equal(t, "This crucible has cost 1.20 GBP a heat so far and may come to 0.60 GBP a heat over its whole life, between 0.30 GBP and 1.00 GBP (9 chances in 10).",
		going.Say(gbp, life.Crucible))
	none, err := life.CostOf(60, life.Outlook{Unit: life.Heats})
	require.NoError(t, err)
	assert.Equal(t, "What this crucible costs a heat cannot be said: it has done nothing yet and how long one lasts is not known.", none.Say(gbp, life.Crucible))
}

// Time to check when more than one in five would not do the next ten heats.
func TestTimeToCheck(t *testing.T) {
	l, err := life.Learn(use(worn(62, 88, 101), 95), life.Heats, 0)
	require.NoError(t, err)
	old, err := l.Outlook(95, 10)
	require.NoError(t, err)
	assert.True(t, old.Check)
	assert.Contains(t, old.Say(quantity.Style{}, life.Crucible), ", so it is time to check it, and any crack retires it.")
	young, err := l.Outlook(5, 10)
	require.NoError(t, err)
	assert.False(t, young.Check)
}

func refused(t *testing.T, err error, code life.RefusalCode, piece int64) {
	t.Helper()
	var r *life.Refusal
	require.ErrorAs(t, err, &r)
	assert.Equal(t, code, r.Code)
	assert.Equal(t, piece, r.Piece)
	assert.Regexp(t, `^[A-Z].*\.$`, r.Say(quantity.Style{}))
	assert.NotEmpty(t, r.Error())
}

var nan, inf = math.NaN(), math.Inf(1)

func TestRefuses(t *testing.T) {
	for _, p := range []struct {
		piece life.Piece
		code  life.RefusalCode
	}{
		{life.Piece{ID: 7, Age: -1, End: life.WornOut}, life.BadAge},
		{life.Piece{ID: 7, Age: 1e-9, End: life.InService}, life.BadAge},
		{life.Piece{ID: 7, Age: 2e9, End: life.InService}, life.BadAge},
		{life.Piece{ID: 7, Age: nan, End: life.InService}, life.BadAge},
		{life.Piece{ID: 7, Age: inf, End: life.Accident}, life.BadAge},
		{life.Piece{ID: 7, Age: 0, End: life.WornOut}, life.NothingDone},
		{life.Piece{ID: 7, Age: 5}, life.UnknownEnd},
	} {
		_, err := life.Learn([]life.Piece{{ID: 1, Age: 3, End: life.WornOut}, p.piece}, life.Heats, 60)
		refused(t, err, p.code, 7)
		_, err = life.Maximize([]life.Piece{p.piece})
		refused(t, err, p.code, 7)
	}
	l, err := life.Learn(worn(60), life.Heats, 60)
	require.NoError(t, err)
	for _, x := range []float64{-1, nan, inf, -inf, 1e10} {
		_, err := life.Learn(nil, life.Heats, x)
		refused(t, err, life.BadExpected, 0)
		_, err = l.Outlook(x, 10)
		refused(t, err, life.BadAge, 0)
		_, err = l.Outlook(10, x)
		refused(t, err, life.BadNext, 0)
		_, err = life.CostOf(1, life.Outlook{Age: x})
		refused(t, err, life.BadAge, 0)
	}
	for _, x := range []float64{-1, nan, inf} {
		_, err := life.CostOf(x, life.Outlook{Age: 1})
		refused(t, err, life.BadPrice, 0)
	}
}
