package life_test

import (
	"encoding/json"
	"math"
	"reflect"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drosswise/foundry/life"
	"drosswise/foundry/quantity"
)

// ages are all that are not refused, the oddest among them.
var ages = rapid.OneOf(
	rapid.Custom(func(t *rapid.T) float64 { return float64(rapid.IntRange(0, 200).Draw(t, "heats")) }),
	rapid.Custom(func(t *rapid.T) float64 { return math.Exp(rapid.Float64Range(-13.8, 20.7).Draw(t, "log")) }),
	rapid.SampledFrom([]float64{0, life.LeastAge, 1, 60, 60, 60, life.LongestAge}),
)

var histories = rapid.Custom(func(t *rapid.T) []life.Piece {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) life.Piece {
		p := life.Piece{Age: ages.Draw(t, "age"), End: rapid.SampledFrom([]life.End{life.InService, life.WornOut, life.WornOut, life.Accident, life.Otherwise}).Draw(t, "end")}
		if p.End == life.WornOut && p.Age == 0 {
			p.Age = 1
		}
		return p
	}), 0, 30).Draw(t, "pieces")
})

// numbers walks through all floats of a value and fails on those that are none.
func numbers(t assert.TestingT, v reflect.Value, path string) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			numbers(t, v.Elem(), path)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				numbers(t, v.Field(i), path+"."+v.Type().Field(i).Name)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			numbers(t, v.Index(i), path)
		}
	case reflect.Float64:
		x := v.Float()
		assert.False(t, math.IsNaN(x) || math.IsInf(x, 0), "%s is %g", path, x)
	}
}

func ordered(t assert.TestingT, r *life.Range) {
	if r != nil {
		assert.LessOrEqual(t, r.Low, r.Middle)
		assert.LessOrEqual(t, r.Middle, r.High)
	}
}

// Whatever the history, every figure is a number, every range is in order and
// everything can be said and written as JSON.
func TestAnyHistory(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pieces, expected := histories.Draw(t, "history"), ages.Draw(t, "expected")
		l, err := life.Learn(pieces, life.Heats, expected)
		require.NoError(t, err)
		o, err := l.Outlook(ages.Draw(t, "at"), ages.Draw(t, "next"))
		require.NoError(t, err)
		c, err := life.CostOf(ages.Draw(t, "price"), o)
		require.NoError(t, err)
		for _, v := range []any{l, o, c} {
			numbers(t, reflect.ValueOf(v), "")
			_, err := json.Marshal(v)
			assert.NoError(t, err)
		}
		for _, r := range []*life.Range{l.New, l.Shape, o.Left, c.Whole} {
			ordered(t, r)
		}
		if o.Chance != nil {
			assert.GreaterOrEqual(t, o.Left.Low, 0.0)
			assert.True(t, *o.Chance >= 0 && *o.Chance <= 1, "chance %g", *o.Chance)
		}
		style := quantity.Style{Currency: "GBP"}
		said := []string{l.Say(style, life.Crucible), o.Say(style, life.Crucible), c.Say(style, life.Crucible)}
		if l.Curve != nil {
			said = append(said, l.Curve.Say(style, l.Unit, life.Crucible))
		}
		for _, text := range said {
			plain(t, text)
		}
	})
}

func TestOrderIsIrrelevant(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pieces := histories.Draw(t, "history")
		other := rapid.Permutation(slices.Clone(pieces)).Draw(t, "other")
		a, err := life.Learn(pieces, life.Heats, 60)
		require.NoError(t, err)
		b, err := life.Learn(other, life.Heats, 60)
		require.NoError(t, err)
		assert.Equal(t, a.New, b.New)
		assert.Equal(t, a.Shape, b.Shape)
		assert.Equal(t, a.Bound, b.Bound)
		assert.Equal(t, a.Curve, b.Curve)
		assert.Equal(t, a.Fit, b.Fit)
	})
}

// In other units every life is scaled and the shape stays.
func TestScaling(t *testing.T) {
	usual := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) life.Piece {
		return life.Piece{Age: rapid.Float64Range(1, 300).Draw(t, "age"), End: rapid.SampledFrom([]life.End{life.InService, life.WornOut}).Draw(t, "end")}
	}), 0, 30)
	rapid.Check(t, func(t *rapid.T) {
		pieces, by := usual.Draw(t, "history"), math.Exp(rapid.Float64Range(-5, 5).Draw(t, "log by"))
		a, err := life.Learn(pieces, life.Heats, 60)
		require.NoError(t, err)
		b, err := life.Learn(scaledBy(pieces, by), life.Kilograms, 60*by)
		require.NoError(t, err)
		same(t, a.New, b.New, by)
		same(t, a.Shape, b.Shape, 1)
		oa, err := a.Outlook(40, 10)
		require.NoError(t, err)
		ob, err := b.Outlook(40*by, 10*by)
		require.NoError(t, err)
		same(t, oa.Left, ob.Left, by)
		assert.InDelta(t, *oa.Chance, *ob.Chance, 1e-9)
		if a.Bound != nil {
			assert.InEpsilon(t, *a.Bound*by, *b.Bound, 1e-9)
		}
		f, err := life.Maximize(pieces)
		g, other := life.Maximize(scaledBy(pieces, by))
		require.Equal(t, err, other)
		if err == nil {
			assert.InEpsilon(t, f.Scale*by, g.Scale, 1e-6)
			assert.InEpsilon(t, f.ShapeHigh, g.ShapeHigh, 1e-6)
		}
	})
}

func same(t assert.TestingT, a, b *life.Range, by float64) {
	assert.InEpsilon(t, a.Low*by, b.Low, 1e-7)
	assert.InEpsilon(t, a.Middle*by, b.Middle, 1e-7)
	assert.InEpsilon(t, a.High*by, b.High, 1e-7)
}

// Either there is a fit of numbers, with the shape in its range, or none.
func TestAnyFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, err := life.Maximize(histories.Draw(t, "history"))
		if err != nil {
			assert.ErrorIs(t, err, life.ErrNoMaximum)
			return
		}
		numbers(t, reflect.ValueOf(f), "")
		assert.LessOrEqual(t, f.ShapeLow, f.Shape)
		assert.LessOrEqual(t, f.Shape, f.ShapeHigh)
	})
}

// The chance falls the more is asked for, from certainty for nothing more.
func TestChanceFalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, err := life.Learn(histories.Draw(t, "history"), life.Heats, 60)
		require.NoError(t, err)
		age := ages.Draw(t, "at")
		last := 1.0
		for _, next := range []float64{0, 1, 10, 100, 1e6} {
			o, err := l.Outlook(age, next)
			require.NoError(t, err)
			assert.LessOrEqual(t, *o.Chance, last+1e-12)
			last = *o.Chance
		}
	})
}
