package wear

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"

	"drosswise/foundry/quantity"
)

// truth is a made-up element whose ohms are known at every hour.
type truth struct {
	ageing string
	new    float64
	limit  float64 // hours at which it reaches 10 % over new
	set    Set
	read   []Reading
	now    float64
}

// ageings are how made-up elements grow old: straight, faster and faster, or
// straight with a wander of one to three scatters of a reading.
var ageings = []string{"steady", "speeding up", "wandering"}

// invent makes an element of 8 to 40 Ω that reaches the limit at 100 to 1200
// hours, read n times, at uneven hours, up to 30 to 90 % of that, on a meter of
// 0.01 or 0.1 Ω with half to two steps of scatter.
func invent(ageing string, n int, seed uint64) truth {
	rng := rand.New(rand.NewPCG(seed, uint64(n)))
	uniform := func(low, high float64) float64 { return low + (high-low)*rng.Float64() }
	step := 0.01
	if rng.Float64() < 0.3 {
		step = 0.1
	}
	tr := truth{ageing: ageing, new: uniform(8, 40)}
	life, scatter := uniform(100, 1200), step*uniform(0.5, 2)
	power, speed := 1.0, 0.0
	if ageing == "speeding up" {
		power, speed = uniform(1.2, 2.5), uniform(0.3, 1)
	}
	rise := func(t float64) float64 {
		return 0.1 * tr.new * ((1-speed)*t/life + speed*math.Pow(t/life, power))
	}
	upTo := life * uniform(0.3, 0.9)
	walk := 0.0
	if ageing == "wandering" {
		walk = scatter * uniform(1, 3) / math.Sqrt(upTo)
	}
	// The truth, in 400 steps of life; the limit is where it first gets to 10 %.
	hours, wander := make([]float64, n), 0.0
	for i := range hours {
		hours[i] = upTo * (float64(i) + uniform(-0.3, 0.3)) / float64(n-1)
	}
	hours[0] = 0
	tr.now, tr.limit = hours[n-1], math.Inf(1)
	next := 0
	for k := 0; k <= 12000; k++ {
		t := float64(k) * life / 1200
		ohms := tr.new + rise(t) + wander
		for next < n && hours[next] <= t {
			shown := math.Round((ohms+scatter*rng.NormFloat64())/step) * step
			r := quantity.Resistance(math.Round(shown * float64(quantity.Ohm)))
			tr.read = append(tr.read, Reading{ID: int64(next + 1), Hours: hours[next], Heats: next * 3, Ohms: &r,
				Meter: Meter{Ohms: quantity.Resistance(step * float64(quantity.Ohm))}})
			next++
		}
		if ohms >= 1.1*tr.new && t > tr.now {
			tr.limit = t
			break
		}
		wander += walk * math.Sqrt(life/1200) * rng.NormFloat64()
	}
	fresh := quantity.Resistance(math.Round(tr.new * float64(quantity.Ohm)))
	tr.set = Set{New: &fresh, Hours: tr.now}
	return tr
}

// tally is how a cell of elements came out.
type tally struct {
	elements, covered, early, late       int
	open, unseen, past, trendless, jumps int
	width                                float64
}

func (c *tally) add(tr truth, l Life) {
	c.elements++
	c.jumps += hit(len(l.Jumps) > 0)
	c.past += hit(l.Code == Past)
	c.trendless += hit(l.Code == NoTrend)
	left := tr.limit - tr.now
	if l.Left == nil {
		return
	}
	early, late := math.Inf(1), math.Inf(1)
	if l.Left.Early != nil {
		early = *l.Left.Early
	}
	if l.Left.Late != nil {
		late = *l.Left.Late
		c.width += (late - early) / left
	}
	c.unseen += hit(l.Left.Early == nil)
	c.open += hit(l.Left.Late == nil)
	c.early += hit(left < early) // it came sooner than the earliest
	c.late += hit(left > late)
	c.covered += hit(early <= left && left <= late)
}

func hit(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (c tally) per(n int) float64 { return 100 * float64(n) / float64(max(c.elements, 1)) }

const heading = "ageing       readings elements | covered  sooner  later | late end open  no trend  past  false steps | width of closed ranges (of hours left)"

func (c tally) line(ageing string, n int) string {
	return fmt.Sprintf("%-12s %8d %8d | %7.1f %7.1f %6.1f | %13.1f %9.1f %5.1f %12.1f | %6.2f", ageing, n, c.elements,
		c.per(c.covered), c.per(c.early), c.per(c.late), c.per(c.open), c.per(c.trendless), c.per(c.past), c.per(c.jumps), c.width/float64(max(c.elements-c.open, 1)))
}

func full() bool { return os.Getenv("DROSSWISE_SIM") == "full" }

// Elements whose truth is known: how often the 90 % range of the hours left holds
// it. In full (about a minute), with a table:
//
//	DROSSWISE_SIM=full go test ./foundry/wear -run Simulated -v
func TestSimulatedElements(t *testing.T) {
	elements := 40
	if full() {
		elements = 600
	}
	t.Log(heading)
	var all tally
	for _, ageing := range ageings {
		for _, n := range []int{4, 6, 10, 20} {
			var c tally
			for seed := range elements {
				tr := invent(ageing, n, uint64(seed))
				c.add(tr, Look(tr.set, tr.read))
			}
			t.Log(c.line(ageing, n))
			all.elements, all.covered, all.jumps = all.elements+c.elements, all.covered+c.covered, all.jumps+c.jumps
			if full() {
				assert.GreaterOrEqual(t, c.per(c.covered), 82.0, "%s, %d readings", ageing, n)
				assert.LessOrEqual(t, c.per(c.covered), 97.0, "%s, %d readings", ageing, n)
			}
		}
	}
	t.Logf("all: %.1f %% of %d covered", all.per(all.covered), all.elements)
	assert.InDelta(t, 90, all.per(all.covered), 6)
	assert.LessOrEqual(t, all.per(all.jumps), 2.0, "steps that are none")
}
