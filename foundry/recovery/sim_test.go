package recovery

import (
	"fmt"
	"math"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// tally is how a cell of simulated shops came out.
type tally struct {
	figures, covered, drossCovered int
	pairs, ordered, claims, right  int
	outside                        int
	slips, found, plain, plainIn   int
	named                          int
	clean, alarms                  int
	width                          float64
	noisy, noisyIn, noisyDross     int
}

// plainSlip is how far a slip must move yield or dross rate, in scatters of a
// melt, to be called plain. What moves them less is lost in the scatter and
// does next to no harm.
const plainSlip = 4

// noisy is by how much more than usual a source must scatter to be counted on
// its own.
const noisy = 1.6

func (t *tally) add(tr truth, e *Estimates) {
	for j, s := range e.Sources {
		if s.Melts == 0 {
			continue
		}
		t.figures++
		t.covered += hit(s.Metal.Low <= tr.metal[j] && tr.metal[j] <= s.Metal.High)
		t.drossCovered += hit(s.Dross.Low <= tr.dross[j] && tr.dross[j] <= s.Dross.High)
		t.width += s.Metal.Width()
		if tr.factor != nil && tr.factor[j] > noisy {
			t.noisy++
			t.noisyIn += hit(s.Metal.Low <= tr.metal[j] && tr.metal[j] <= s.Metal.High)
			t.noisyDross += hit(s.Dross.Low <= tr.dross[j] && tr.dross[j] <= s.Dross.High)
		}
		for _, f := range []Figure{s.Metal, s.Dross} {
			t.outside += hit(!(0 <= f.Low && f.Low <= f.Middle && f.Middle <= f.High && f.High <= 1))
		}
		for k := range j {
			if e.Sources[k].Melts > 0 {
				t.addPair(tr, e, j, k)
			}
		}
	}
	for _, m := range e.Melts {
		t.addMelt(tr, m)
	}
}

func (t *tally) addPair(tr truth, e *Estimates, j, k int) {
	c, _ := e.Compare(e.Sources[j].Source, e.Sources[k].Source)
	more := tr.metal[j] > tr.metal[k]
	t.pairs++
	t.ordered += hit((c.MoreMetal > 0.5) == more)
	if c.Verdict == GivesMore || c.Verdict == GivesLess {
		t.claims++
		t.right += hit((c.Verdict == GivesMore) == more)
	}
}

func (t *tally) addMelt(tr truth, m MeltFit) {
	slip, mistyped := tr.slips[m.Melt]
	if !mistyped {
		t.clean++
		t.alarms += hit(m.Suspect)
		return
	}
	t.slips++
	t.found += hit(m.Suspect)
	if slip.moved < plainSlip {
		return
	}
	t.plain++
	t.plainIn += hit(m.Suspect)
	t.named += hit(len(m.Slips) > 0 && m.Slips[0].Reading == slip.reading)
}

func (t *tally) merge(u tally) {
	t.figures, t.covered, t.drossCovered = t.figures+u.figures, t.covered+u.covered, t.drossCovered+u.drossCovered
	t.pairs, t.ordered, t.claims, t.right = t.pairs+u.pairs, t.ordered+u.ordered, t.claims+u.claims, t.right+u.right
	t.slips, t.found, t.plain, t.plainIn = t.slips+u.slips, t.found+u.found, t.plain+u.plain, t.plainIn+u.plainIn
	t.named, t.clean, t.alarms = t.named+u.named, t.clean+u.clean, t.alarms+u.alarms
	t.noisy, t.noisyIn, t.noisyDross = t.noisy+u.noisy, t.noisyIn+u.noisyIn, t.noisyDross+u.noisyDross
	t.outside, t.width = t.outside+u.outside, t.width+u.width
}

func hit(b bool) int {
	if b {
		return 1
	}
	return 0
}

func per(a, b int) float64 { return 100 * float64(a) / float64(max(b, 1)) }

const heading = "melts sources | covered: metal dross | width | ordered  claims right (made) | slips found: all  plain  reading named | false alarms | outside"

func (t tally) line(pl plan) string {
	return fmt.Sprintf("%5d %7d | %14.1f %5.1f | %5.1f | %7.1f %13.1f %6.1f | %16.1f %6.1f %14.1f | %12.2f | %d",
		pl.melts, pl.sources, per(t.covered, t.figures), per(t.drossCovered, t.figures), 100*t.width/float64(max(t.figures, 1)),
		per(t.ordered, t.pairs), per(t.right, t.claims), per(t.claims, t.pairs),
		per(t.found, t.slips), per(t.plainIn, t.plain), per(t.named, t.plainIn), per(t.alarms, t.clean), t.outside)
}

func simulate(pl plan, shops int) (t tally) {
	for seed := range shops {
		tr := invent(pl, uint64(seed))
		t.add(tr, Estimate(tr.Shop, Settings{}))
	}
	return t
}

func full() bool { return os.Getenv("DROSSWISE_SIM") == "full" }

// Shops with a known truth, made up by shop_test.go: 1–4 sources a melt, scales
// of 1–10 g, heels judged by eye, 2 % of melts with a mass mistyped, a tenth of
// the sources under a wrong form. In full (about three minutes), with a table:
//
//	DROSSWISE_SIM=full go test ./foundry/recovery -run Simulated -v -timeout 30m
func TestSimulatedShops(t *testing.T) {
	shops := 8
	if full() {
		shops = 200
	}
	t.Logf("%d shops a row; per cent; width of the 90 %% range of metal in points; plain slips move a figure by %d scatters or more", shops, plainSlip)
	t.Log(heading)
	var all tally
	for _, melts := range []int{15, 40, 150, 300} {
		for _, sources := range []int{3, 8, 20} {
			pl := plan{melts: melts, sources: sources, mistyped: 0.02, heels: true}
			cell := simulate(pl, shops)
			t.Log(cell.line(pl))
			all.merge(cell)
			assert.Zero(t, cell.outside, "no estimate outside 0 … 1")
			if full() {
				cell.holds(t, pl)
			}
		}
	}
	t.Log("all           " + all.line(plan{})[13:])
	assert.InDelta(t, 90, per(all.covered, all.figures), 4, "metal covered")
	assert.InDelta(t, 90, per(all.drossCovered, all.figures), 4, "dross covered")
	assert.GreaterOrEqual(t, per(all.ordered, all.pairs), 90.0, "pairs ordered right")
	assert.GreaterOrEqual(t, per(all.right, all.claims), 95.0, "claims right")
	assert.GreaterOrEqual(t, per(all.plainIn, all.plain), 85.0, "plain slips found")
	assert.GreaterOrEqual(t, per(all.named, all.plainIn), 70.0, "the reading named")
	assert.Less(t, per(all.alarms, all.clean), 1.0, "false alarms")
}

// holds checks what must hold in every cell.
func (t tally) holds(tt *testing.T, pl plan) {
	name := fmt.Sprintf("%d melts, %d sources", pl.melts, pl.sources)
	assert.GreaterOrEqual(tt, per(t.covered, t.figures), 84.0, name)
	assert.GreaterOrEqual(tt, per(t.drossCovered, t.figures), 84.0, name)
	assert.GreaterOrEqual(tt, per(t.right, t.claims), 95.0, name)
	assert.Less(tt, per(t.alarms, t.clean), 1.0, name)
}

// Shops that are not as the model thinks: truths that have nothing to do with
// the priors, deliveries that differ, many slips, coarse scales, sources always
// mixed by three or four. Only printed, but for what must never happen.
func TestSimulatedOddShops(t *testing.T) {
	if !full() {
		t.Skip("DROSSWISE_SIM=full runs it")
	}
	t.Log(heading)
	for _, odd := range []struct {
		name string
		plan plan
	}{
		{"truths unlike the priors", plan{melts: 15, sources: 8, mistyped: 0.02, blind: true}},
		{"truths unlike the priors", plan{melts: 40, sources: 8, mistyped: 0.02, blind: true}},
		{"truths unlike the priors", plan{melts: 150, sources: 20, mistyped: 0.02, blind: true}},
		{"deliveries differ by 3 points", plan{melts: 40, sources: 8, mistyped: 0.02, lots: 0.03}},
		{"deliveries differ by 3 points", plan{melts: 150, sources: 20, mistyped: 0.02, lots: 0.03}},
		{"5 % mistyped", plan{melts: 40, sources: 8, mistyped: 0.05}},
		{"5 % mistyped", plan{melts: 150, sources: 20, mistyped: 0.05}},
		{"scale of 50 g", plan{melts: 40, sources: 8, mistyped: 0.02, step: 0.05}},
		{"nothing mistyped", plan{melts: 40, sources: 8}},
		{"one source a melt", plan{melts: 40, sources: 8, most: 1}},
	} {
		cell := simulate(odd.plan, 200)
		t.Log(cell.line(odd.plan) + "  " + odd.name)
		assert.Zero(t, cell.outside)
	}
}

// Shops whose sources scatter more and less, with what scatters much looked at
// on its own: nobody can know of a source with a melt or two that it is one of
// those, so that its ranges hold somewhat less.
func TestSimulatedUnevenShops(t *testing.T) {
	melts, sources, shops, least := []int{40, 150}, []int{8}, 20, 70.0
	if full() {
		melts, sources, shops, least = []int{15, 40, 150, 300}, []int{3, 8, 20}, 200, 82.0
	}
	for _, s := range []scattering{byItself, byLoss} {
		t.Log(heading + " | noisy: metal dross  " + string(s))
		var all tally
		for _, n := range melts {
			for _, k := range sources {
				pl := plan{melts: n, sources: k, mistyped: 0.02, heels: true, scatter: s}
				cell := simulate(pl, shops)
				t.Log(cell.line(pl) + cell.noisyPart())
				all.merge(cell)
				if full() {
					cell.holds(t, pl)
				}
			}
		}
		t.Log("all           " + all.line(plan{})[13:] + all.noisyPart())
		assert.InDelta(t, 90, per(all.covered, all.figures), 5, "metal covered")
		assert.InDelta(t, 90, per(all.drossCovered, all.figures), 5, "dross covered")
		assert.GreaterOrEqual(t, per(all.noisyIn+all.noisyDross, 2*all.noisy), least, "noisy sources covered")
		assert.Less(t, per(all.alarms, all.clean), 1.0, "false alarms")
		assert.Zero(t, all.outside)
	}
}

func (t tally) noisyPart() string {
	return fmt.Sprintf(" | %.1f %.1f", per(t.noisyIn, t.noisy), per(t.noisyDross, t.noisy))
}

// Two sources always charged together are said to be inseparable, and no other
// two of a well-mixed shop are.
func TestSimulatedPairs(t *testing.T) {
	shops := 4
	if full() {
		shops = 200
	}
	for _, melts := range []int{15, 40, 150, 300} {
		for _, sources := range []int{3, 8, 20} {
			said, apart, truths := 0, 0, 0
			for seed := range shops {
				tr := invent(plan{melts: melts, sources: sources, mistyped: 0.02, pair: true}, uint64(seed))
				e := Estimate(tr.Shop, Settings{})
				a, b := e.Sources[0], e.Sources[1]
				if a.Melts == 0 {
					continue
				}
				truths++
				said += hit(a.tiedTo(b.Source) && b.tiedTo(a.Source))
				apart += hit(a.Separable && b.Separable)
			}
			t.Logf("%d melts, %d sources: said of %d in %d, called separable in %d", melts, sources, said, truths, apart)
			assert.Equal(t, truths, said)
			assert.Zero(t, apart)
		}
	}
}

func (s SourceEstimate) tiedTo(other int64) bool {
	return slices.ContainsFunc(s.Reasons, func(r Reason) bool {
		return (r.Code == Together || r.Code == NeverApart) && slices.Contains(r.With, other)
	})
}

// The 90 % ranges get narrower with more melts: by half or more from 15 to 300.
func TestSimulatedMoreMeltsTellMore(t *testing.T) {
	few, many := simulate(plan{melts: 15, sources: 8}, 6), simulate(plan{melts: 300, sources: 8}, 6)
	assert.Less(t, many.width/float64(many.figures), 0.5*few.width/float64(few.figures))
	assert.False(t, math.IsNaN(many.width))
}
