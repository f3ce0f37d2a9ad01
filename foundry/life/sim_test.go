package life_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/life"
)

// plan is a kind of shop whose truth is known.
type plan struct {
	lives truth
	worn  int     // crucibles worn out before this one
	guess float64 // what the shop expects over the true median, in the middle
}

// truth is how crucibles of a shop truly last.
type truth struct {
	name   string
	median float64 // heats
	draw   func(*rand.Rand) float64
}

const trueScale = 60.0

func weibull(shape float64) truth {
	return truth{fmt.Sprintf("shape %g", shape), trueScale * math.Pow(math.Ln2, 1/shape), func(rng *rand.Rand) float64 {
		return trueScale * math.Pow(rng.ExpFloat64(), 1/shape)
	}}
}

// Lives that no Weibull curve describes: log-normal, and one in ten gone early
// by a fault it came with.
var (
	logNormal = truth{"log-normal", 50, func(rng *rand.Rand) float64 { return 50 * math.Exp(0.5*rng.NormFloat64()) }}
	faulty    = truth{"1 in 10 faulty", 50, func(rng *rand.Rand) float64 {
		if rng.Float64() < 0.1 {
			return 10 * rng.ExpFloat64()
		}
		return weibull(3).draw(rng)
	}}
)

// inUse draws the life of a piece that is met in use on any day: those that
// last long are met more often, in proportion to their life.
func (tr truth) inUse(rng *rand.Rand) float64 {
	for {
		if t := tr.draw(rng); rng.Float64() < t/(10*trueScale) {
			return t
		}
	}
}

// shop is a made-up history: crucibles used one after the other, one in four to
// five of them ended by accident, until enough have worn out; and one in
// service, met on an ordinary day: it is as old as a piece in use is on any
// day, and lives on as those do. left is how many heats it truly still does.
type shop struct {
	pieces []life.Piece
	age    float64
	left   float64
	guess  float64
}

func invent(pl plan, seed uint64) shop {
	rng := rand.New(rand.NewPCG(seed, uint64(1000*pl.lives.median)+uint64(pl.worn)))
	var s shop
	end := func(age float64, e life.End) {
		s.pieces = append(s.pieces, life.Piece{ID: int64(len(s.pieces) + 1), Age: age, End: e})
	}
	for worn := 0; worn < pl.worn; {
		t, accident := pl.lives.draw(rng), 4*trueScale*rng.ExpFloat64()
		if accident < t {
			end(math.Floor(accident), life.Accident)
			continue
		}
		end(math.Ceil(t), life.WornOut)
		worn++
	}
	t := pl.lives.inUse(rng)
	s.age = math.Floor(t * rng.Float64())
	s.left = math.Ceil(t) - s.age
	end(s.age, life.InService)
	s.guess = pl.lives.median * pl.guess * math.Exp(0.5*rng.NormFloat64())
	return s
}

// tally is how the shops of a plan came out.
type tally struct {
	shops, covered, below, above int // left within the range, under it, over it
	fresh                        int // life of a new crucible within its range
	next                         int // truly did the next ten
	chance, width                float64
	bounded, bound               int // bounds said; of these, true
}

func (c *tally) add(t *testing.T, pl plan, seed uint64) {
	s := invent(pl, seed)
	l, err := life.Learn(s.pieces, life.Heats, s.guess)
	require.NoError(t, err)
	o, err := l.Outlook(s.age, 10)
	require.NoError(t, err)
	c.shops++
	c.below += one(s.left < o.Left.Low)
	c.above += one(s.left > o.Left.High)
	c.covered += one(o.Left.Low <= s.left && s.left <= o.Left.High)
	c.next += one(s.left > 10)
	c.chance += *o.Chance
	c.width += math.Log(o.Left.High / o.Left.Low)
	fresh := pl.lives.draw(rand.New(rand.NewPCG(seed, 7)))
	c.fresh += one(l.New.Low <= fresh && fresh <= l.New.High)
	if l.Bound != nil {
		c.bounded++
		c.bound += one(*l.Bound <= pl.lives.median)
	}
}

func one(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (c tally) per(n int) float64 { return 100 * float64(n) / float64(c.shops) }

const heading = "lives          worn | left: covered  under  over | new covered | next 10: said  true | high/low | bound true"

func (c tally) line(pl plan) string {
	text := fmt.Sprintf("%-14s %4d | %13.1f %6.1f %5.1f | %11.1f | %13.1f %5.1f | %8.1f",
		pl.lives.name, pl.worn, c.per(c.covered), c.per(c.below), c.per(c.above), c.per(c.fresh),
		100*c.chance/float64(c.shops), c.per(c.next), math.Exp(c.width/float64(c.shops)))
	if c.bounded > 0 {
		text += fmt.Sprintf(" | %.1f", 100*float64(c.bound)/float64(c.bounded))
	}
	return text
}

func simulate(t *testing.T, pl plan, shops int) (c tally) {
	for seed := range shops {
		c.add(t, pl, uint64(seed))
	}
	return c
}

func full() bool { return os.Getenv("DROSSWISE_SIM") == "full" }

// Crucibles of known truth, 500 to a row in full (about four minutes with those below):
//
//	DROSSWISE_SIM=full go test ./foundry/life -run Simulated -v
func TestSimulatedCrucibles(t *testing.T) {
	shops, worn, room := 15, []int{0, 1, 3, 10, 20}, 15.0
	if full() {
		shops, worn, room = 500, []int{0, 1, 2, 3, 4, 5, 7, 10, 15, 20}, 0
	}
	t.Logf("%d crucibles a row; per cent", shops)
	t.Log(heading)
	var all tally
	for _, shape := range []float64{1.3, 2.5, 4} {
		for _, n := range worn {
			pl := plan{weibull(shape), n, 1}
			c := simulate(t, pl, shops)
			t.Log(c.line(pl))
			// A range that is a little too wide is honest, one too narrow is not. In
			// the small run a row of 15 strays: the rows together may not.
			assert.GreaterOrEqual(t, c.per(c.covered), 82-room, "shape %g, %d worn out", shape, n)
			assert.LessOrEqual(t, c.per(c.covered), 99+room, "shape %g, %d worn out", shape, n)
			all.shops, all.covered = all.shops+c.shops, all.covered+c.covered
			all.next, all.chance = all.next+c.next, all.chance+c.chance
			all.bounded, all.bound = all.bounded+c.bounded, all.bound+c.bound
		}
	}
	t.Logf("all: covered %.1f, next ten heats said %.1f and true %.1f", all.per(all.covered), 100*all.chance/float64(all.shops), all.per(all.next))
	assert.GreaterOrEqual(t, all.per(all.covered), 84.0)
	assert.LessOrEqual(t, all.per(all.covered), 96.0)
	assert.InDelta(t, all.per(all.next), 100*all.chance/float64(all.shops), 6)
	assert.GreaterOrEqual(t, float64(all.bound), 0.95*float64(all.bounded), "lower bounds of the median life")
}

// What the model does not hold: an expected life off by half or double while
// nothing has worn out, and lives that no Weibull curve describes. Only printed,
// but for ranges that would mislead.
func TestSimulatedOddCrucibles(t *testing.T) {
	if !full() {
		t.Skip("DROSSWISE_SIM=full runs it")
	}
	t.Log(heading)
	row := func(pl plan, name string) {
		c := simulate(t, pl, 500)
		t.Log(c.line(pl) + name)
		assert.GreaterOrEqual(t, c.per(c.covered), 80.0)
	}
	for _, guess := range []float64{0.5, 2} {
		for _, shape := range []float64{1.3, 2.5, 4} {
			row(plan{weibull(shape), 0, guess}, fmt.Sprintf("  guess times %g", guess))
		}
	}
	for _, lives := range []truth{logNormal, faulty} {
		for _, n := range []int{0, 1, 3, 5, 10, 20} {
			row(plan{lives, n, 1}, "")
		}
	}
}
