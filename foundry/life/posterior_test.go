package life_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/life"
	"drosswise/foundry/quantity"
)

// exactly is the chance to do more given the age, once r ≥ 1 pieces wore out:
// with scale^−b integrated out in closed form, it is (1 + ((a+m)^b − a^b)/Σt^b)^−r
// at a shape b, whose log has the density r·ln b + b·Σ ln t(worn) − r·ln Σt^b − ln b
// and the prior. Only the shape is integrated numerically, on a fixed fine grid.
func exactly(pieces []life.Piece, age, more float64) float64 {
	top, total, seen := math.Inf(-1), 0.0, 0.0
	for u := math.Log(2) - 3; u < math.Log(2)+3; u += 0.005 {
		b, r, sum, worn := math.Exp(u), 0.0, 0.0, 0.0
		for _, p := range pieces {
			sum += math.Pow(p.Age/50, b)
			if p.End == life.WornOut {
				r, worn = r+1, worn+math.Log(p.Age/50)
			}
		}
		log := (r-1)*u + b*worn - r*math.Log(sum) - math.Pow((u-math.Log(2))/0.5, 2)/2
		if log > top {
			total, seen, top = total*math.Exp(top-log), seen*math.Exp(top-log), log
		}
		w := math.Exp(log - top)
		total += w
		seen += w * math.Pow(1+(math.Pow((age+more)/50, b)-math.Pow(age/50, b))/sum, -r)
	}
	return seen / total
}

// Checked against a closed form with no grid over the scale (the predictive of
// the exponential-gamma pair, such as Lawless 2003, chapter 4).
func TestPosteriorAgainstClosedForm(t *testing.T) {
	for name, pieces := range map[string][]life.Piece{
		"one worn":       {{Age: 62, End: life.WornOut}, {Age: 40, End: life.InService}},
		"three worn":     example(t, "e_weak_prior_1"),
		"twelve of many": scaledBy(example(t, "e_generator_fan"), 0.01),
		"23 worn":        example(t, "e_ball_bearings"),
		"alike": {{Age: 60, End: life.WornOut}, {Age: 60, End: life.WornOut}, {Age: 61, End: life.WornOut},
			{Age: 60, End: life.WornOut}, {Age: 60, End: life.WornOut}, {Age: 59, End: life.WornOut}},
	} {
		l, err := life.Learn(pieces, life.Heats, 0)
		require.NoError(t, err)
		for _, age := range []float64{0, 12, 40, 90, 200} {
			for _, more := range []float64{0.1, 3, 10, 60, 300} {
				o, err := l.Outlook(age, more)
				require.NoError(t, err)
				assert.InDelta(t, exactly(pieces, age, more), *o.Chance, 1e-4, "%s, %g more at %g", name, more, age)
			}
			o, err := l.Outlook(age, 10)
			require.NoError(t, err)
			for q, x := range map[float64]float64{0.95: o.Left.Low, 0.5: o.Left.Middle, 0.05: o.Left.High} {
				assert.InDelta(t, q, exactly(pieces, age, x), 1e-4, "%s, quantile at %g", name, age)
			}
		}
	}
}

func scaledBy(pieces []life.Piece, by float64) []life.Piece {
	scaled := make([]life.Piece, len(pieces))
	for i, p := range pieces {
		scaled[i] = life.Piece{ID: p.ID, Age: p.Age * by, End: p.End}
	}
	return scaled
}

// An end by accident or for another reason says what being in service says.
func TestOtherEndsAreCensored(t *testing.T) {
	of := func(e life.End) *life.Life {
		l, err := life.Learn(append(worn(62, 88, 101), life.Piece{Age: 40, End: e}, life.Piece{Age: 95, End: e}), life.Heats, 0)
		require.NoError(t, err)
		return l
	}
	going := of(life.InService)
	for _, e := range []life.End{life.Accident, life.Otherwise} {
		l := of(e)
		assert.Equal(t, going.New, l.New)
		assert.Equal(t, going.Curve, l.Curve)
		assert.Equal(t, []int{3, 0, 2}, []int{l.WornOut, l.InService, l.Otherwise})
	}
	assert.Equal(t, []int{3, 2, 0}, []int{going.WornOut, going.InService, going.Otherwise})
	assert.Less(t, of(life.WornOut).New.High, going.New.High)
}

// A far end that no piece comes near is not shown as if it were known.
func TestOpen(t *testing.T) {
	for _, c := range []struct {
		pieces []life.Piece
		open   bool
	}{{use(worn(64), 31), true}, {use(worn(62, 88, 101), 31), false}} {
		l, err := life.Learn(c.pieces, life.Heats, 0)
		require.NoError(t, err)
		o, err := l.Outlook(31, 10)
		require.NoError(t, err)
		assert.Equal(t, c.open, o.Open)
		if c.open {
			assert.Contains(t, o.Say(quantity.Style{}, life.Crucible), "at least 4 heats (19 chances in 20) with no far end in sight")
		}
	}
}

// While nothing has worn out, the prior of the scale is all there is of it: with
// no piece used, ln life = ln scale + ln(E)/shape with E exponential, whose
// median is found here by plain integration.
func TestBelievedAgainstIntegration(t *testing.T) {
	l, err := life.Learn(nil, life.Heats, 60)
	require.NoError(t, err)
	require.Equal(t, life.Believed, l.Basis)
	for q, x := range map[float64]float64{0.95: l.New.Low, 0.5: l.New.Middle, 0.05: l.New.High} {
		sum, total := 0.0, 0.0
		for u := -6.0; u <= 6; u += 0.02 {
			for v := -6.0; v <= 6; v += 0.02 {
				w := math.Exp(-(u*u + v*v) / 2)
				total += w
				sum += w * math.Exp(-math.Pow(x/(60*math.Exp(0.8*v)), 2*math.Exp(0.5*u)))
			}
		}
		assert.InDelta(t, q, sum/total, 1e-4)
	}
	assert.InDelta(t, 2, l.Shape.Middle, 0.01)
	assert.InDelta(t, 2*math.Exp(-1.645*0.5), l.Shape.Low, 0.01)
	assert.InDelta(t, 2*math.Exp(1.645*0.5), l.Shape.High, 0.05)
}
