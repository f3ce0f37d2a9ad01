package views

import (
	"encoding/xml"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/a-h/templ"
	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestNeighboursInTheCrucibleDiffer(t *testing.T) {
	parts := FillBar{Parts: []Part{{}, {}, {Kind: Heat}, {}}}.sources()
	assert.Equal(t, []Kind{Metal, MetalLined, Heat, Metal}, []Kind{parts[0].Kind, parts[1].Kind, parts[2].Kind, parts[3].Kind})
}

func TestCut(t *testing.T) {
	for name, c := range map[string]struct {
		amounts []int64
		whole   int64
		pieces  []piece
		mark    percent
	}{
		"nothing":          {nil, 0, []piece{}, full},
		"only zeros":       {[]int64{0, 0}, 0, []piece{{}, {}}, full},
		"thirds":           {[]int64{1, 1, 1}, 0, []piece{{0, 3333}, {3333, 3334}, {6667, 3333}}, full},
		"room left":        {[]int64{1066, 776}, 2600, []piece{{0, 4100}, {4100, 2985}}, full},
		"more than whole":  {[]int64{60, 65}, 100, []piece{{0, 4800}, {4800, 5200}}, 8000},
		"less than nought": {[]int64{75, -5, 25}, 0, []piece{{0, 7500}, {7500, 0}, {7500, 2500}}, full},
	} {
		pieces, mark := cut(c.amounts, c.whole)
		assert.Equal(t, c.pieces, pieces, name)
		assert.Equal(t, c.mark, mark, name)
	}
}

// Pieces follow one another without a gap and never leave the drawing; parts
// without a whole fill it.
func TestCutFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		amounts := rapid.SliceOf(rapid.Int64Range(-1e12, 1e15)).Draw(t, "amounts")
		whole := rapid.Int64Range(0, 1e16).Draw(t, "whole")
		pieces, mark := cut(amounts, whole)
		var at percent
		var sum int64
		for i, p := range pieces {
			if p.at != at && sum > 0 || p.width < 0 {
				t.Fatalf("piece %d lies at %d, not %d, width %d", i, p.at, at, p.width)
			}
			at = p.at + p.width
			sum += max(amounts[i], 0)
		}
		if at > full || mark > full || mark < 0 {
			t.Fatalf("ends at %d, mark at %d", at, mark)
		}
		if whole == 0 && sum > 0 && at != full {
			t.Fatalf("parts without a whole end at %d", at)
		}
		if (mark < full) && sum <= whole {
			t.Fatalf("marked at %d although %d is not more than %d", mark, sum, whole)
		}
	})
}

func TestPlace(t *testing.T) {
	assert.Equal(t, percent(2500), place(70, 60, 100))
	assert.Equal(t, percent(0), place(-5, 60, 100))
	assert.Equal(t, full, place(130, 60, 100))
	assert.Equal(t, percent(0), place(math.NaN(), 60, 100))
	assert.Equal(t, full, place(math.Inf(1), 60, 100))
	assert.Equal(t, percent(0), place(5, 7, 7))
}

func TestPercentAsAnAttribute(t *testing.T) {
	for p, want := range map[percent]string{0: "0%", full: "100%", 3333: "33.33%", 5: "0.05%", 4100: "41%"} {
		assert.Equal(t, want, p.String())
	}
}

// The drawings are XML: a browser forgives what a printer's reader may not.
func TestDrawingsAreWellFormed(t *testing.T) {
	for _, c := range []templ.Component{
		patterns(), drawing(nasty, []Part{{Metal, nasty, 1, "1 kg", ""}, {Dross, "b", 2, "", ""}}, 2, true),
		Whisker{From: 0, To: 100, Low: 1, Mid: 2, High: 3, Says: nasty}.View(), swatch(Walls),
	} {
		d := xml.NewDecoder(strings.NewReader(render(t, c)))
		for {
			if _, err := d.Token(); err == io.EOF {
				break
			} else if !assert.NoError(t, err) {
				break
			}
		}
	}
}

func TestEveryKindHasItsPattern(t *testing.T) {
	defs := render(t, patterns())
	for _, k := range []Kind{Metal, MetalLined, Dross, Gone, Heat, Pot, Walls, "room"} {
		assert.Contains(t, defs, `id="p-`+string(k)+`"`)
	}
}
