package sheet_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/sheet"
)

// kinds are all kinds of line, and one that is none.
func kinds() []melt.Kind {
	all := []melt.Kind{"nonsense"}
	for _, s := range melt.Specs() {
		all = append(all, s.Kind)
	}
	return all
}

// maybe draws a pointer that is nil half of the time.
func maybe[N quantity.Mass | quantity.Money | quantity.Energy | quantity.Temperature | quantity.Voltage | quantity.Current | quantity.Power | quantity.Resistance | int](t *rapid.T, most int64, name string) *N {
	if rapid.Bool().Draw(t, name+" said") {
		return nil
	}
	return new(N(rapid.Int64Range(-most/10, most).Draw(t, name)))
}

// drawLine makes a line that may be anything: most cannot be written. Masses
// reach to most, other readings beyond what any furnace shows.
func drawLine(t *rapid.T, most quantity.Mass) melt.Line {
	l := melt.Line{
		Kind:    rapid.SampledFrom(kinds()).Draw(t, "kind"),
		Source:  rapid.Int64Range(0, 3).Draw(t, "source"),
		Pour:    rapid.Int64Range(0, 1).Draw(t, "pour"),
		Lot:     rapid.Int64Range(0, 5).Draw(t, "lot"),
		Scale:   rapid.Int64Range(0, 4).Draw(t, "scale"),
		Tare:    quantity.Mass(rapid.Int64Range(0, int64(most)/2).Draw(t, "tare")),
		AsFound: rapid.Bool().Draw(t, "as found"),
		Which:   rapid.SampledFrom([]string{"", melt.InMetal, melt.Chamber, "silicon", "cover flux", "master alloy"}).Draw(t, "which"),
		Spread:  maybe[quantity.Mass](t, int64(most), "spread"),
		Meter:   maybe[quantity.Energy](t, 1e18, "meter"),
		Energy:  maybe[quantity.Energy](t, 1e15, "energy"),
		Temp:    maybe[quantity.Temperature](t, 500_000, "temp"),
		Volts:   maybe[quantity.Voltage](t, 1e12, "volts"),
		Amps:    maybe[quantity.Current](t, 1e12, "amps"),
		Watts:   maybe[quantity.Power](t, 1e12, "watts"),
		Ohms:    maybe[quantity.Resistance](t, 1e12, "ohms"),
		Cost:    maybe[quantity.Money](t, 1e15, "cost"),
		Count:   maybe[int](t, 1000, "count"),
	}
	for _, g := range rapid.SliceOfN(rapid.Int64Range(0, int64(most)), 0, 3).Draw(t, "gross") {
		l.Gross = append(l.Gross, quantity.Mass(g)+l.Tare)
	}
	return l
}

// drawLines makes a melt of such lines at distinct times within two days.
func drawLines(t *rapid.T, most quantity.Mass) []melt.Line {
	n := rapid.IntRange(0, 25).Draw(t, "n")
	var all []melt.Line
	minutes := rapid.SliceOfNDistinct(rapid.IntRange(-1440, 1440), n, n, rapid.ID[int]).Draw(t, "minutes")
	for _, m := range minutes {
		l := drawLine(t, most)
		l.At = line(melt.Note, m).At
		all = append(all, l)
	}
	return written(all...)
}

// drawBook is a book that a person could have written: masses to 50 kg, all of
// them known, and heads that go with them.
func drawBook(t *rapid.T) []melt.Line {
	all := drawLines(t, 50*kg)
	for i := range all {
		all[i].Tare = min(all[i].Tare, 5*kg)
		if len(all[i].Gross) == 0 {
			all[i].Gross = []quantity.Mass{all[i].Tare}
		}
	}
	return written(append(all, line(melt.Charge, 2000, weighed(kg), of(wheels)), line(melt.Pour, 2001, weighed(kg)), line(melt.Skim, 2002, weighed(kg)))...)
}

func asJSON(t require.TestingT, s sheet.Sheet) string {
	body, err := json.Marshal(s)
	require.NoError(t, err)
	return string(body)
}

// What goes in comes out or is unaccounted: (C − A) + H0 = I + J + S + H1 + D + U.
func TestBalanceAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := sheet.Of(vectorHeading(), drawBook(t), vectorFacts())
		require.Empty(t, s.Unaccounted.Lacks)
		in := s.Charged.X - s.Attachments.X + s.HeelIn.X
		out := s.Ingots.X + s.Rejects.X + s.Spills.X + s.HeelOut.X + s.Dross.X
		assert.InDelta(t, in, out+s.Unaccounted.X, 1e-9*max(1, in))
		assert.InDelta(t, s.Recovered.X, s.Ingots.X+s.Rejects.X+s.Spills.X+s.HeelOut.X-s.HeelIn.X, 1e-9*max(1, in))
		if s.Yield.Known() {
			assert.InDelta(t, 1, s.Yield.X+s.Loss.X, 1e-8*max(1, math.Abs(s.Yield.X)))
		}
	})
}

// Whatever is in the lines, a sheet comes out that can be kept, and is the same
// each time.
func TestASheetCanAlwaysBeKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		most := rapid.SampledFrom([]quantity.Mass{10, kg, 50 * kg, 1e15}).Draw(t, "most")
		h, l, f := vectorHeading(), drawLines(t, most), vectorFacts()
		h.Warm = rapid.Bool().Draw(t, "warm")
		h.Ambient = maybe[quantity.Temperature](t, 500_000, "ambient")
		s := sheet.Of(h, l, f)
		body := asJSON(t, s) // refuses what is not a number
		assert.Equal(t, body, asJSON(t, sheet.Of(h, l, f)))
		for name, figure := range figures(s) {
			assert.False(t, math.IsNaN(figure.X+figure.U) || math.IsInf(figure.X, 0) || math.IsInf(figure.U, 0), name)
			assert.GreaterOrEqual(t, figure.U, 0.0, name)
		}
		for _, flag := range s.Flags {
			assert.NotEmpty(t, flag.Say(quantity.Style{}))
		}
		var back sheet.Sheet
		require.NoError(t, json.Unmarshal([]byte(body), &back))
		assert.Equal(t, body, asJSON(t, back), "what was kept reads back")
	})
}

// Lines tell their own time: the order in which they are handed over does not
// matter.
func TestOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLines(t, 50*kg)
		want := asJSON(t, sheet.Of(vectorHeading(), l, vectorFacts()))
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		r.Shuffle(len(l), func(i, j int) { l[i], l[j] = l[j], l[i] })
		assert.Equal(t, want, asJSON(t, sheet.Of(vectorHeading(), l, vectorFacts())))
	})
}

// A struck line was never written, and a strike that is lifted was never made.
func TestStrikes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLines(t, 50*kg)
		whole := asJSON(t, sheet.Of(vectorHeading(), l, vectorFacts()))
		var rest []melt.Line
		for i := range l {
			if rapid.Bool().Draw(t, "strike") {
				l[i].Strike = &melt.Strike{At: start, By: 1, Reason: "read wrong"}
			} else {
				rest = append(rest, l[i])
			}
		}
		assert.Equal(t, asJSON(t, sheet.Of(vectorHeading(), rest, vectorFacts())), asJSON(t, sheet.Of(vectorHeading(), l, vectorFacts())))
		for i := range l {
			l[i].Strike = nil
		}
		assert.Equal(t, whole, asJSON(t, sheet.Of(vectorHeading(), l, vectorFacts())))
	})
}
