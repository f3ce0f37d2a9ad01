package store

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
)

// However many melts hold a word, all of them are found, page by page, in the
// order of lists, and together with every other filter.
func TestSearchFindsAllInOrder(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	const n = 600
	for i := range n {
		w.pass(time.Hour)
		h := w.start(t, i%2)
		w.add(t, h, w.line(h, melt.Charge, 0, weighed(kg), of(w.sources[i%3])))
	}
	pages := func(f Filter, newer bool) (codes []string) {
		place := Place{}
		for more := true; more; {
			var rows []Row
			var err error
			rows, more, err = w.Melts(ctx, f, place, newer, 70)
			require.NoError(t, err)
			for _, r := range rows {
				codes = append(codes, string(r.Code))
			}
			if len(rows) > 0 && newer {
				place = rows[0].Place()
			} else if len(rows) > 0 {
				place = rows[len(rows)-1].Place()
			}
		}
		return codes
	}
	month := Filter{From: w.Now() - 300*60*minute, To: w.Now() - 100*60*minute}
	for _, f := range []Filter{{}, {Source: w.sources[1]}, {Furnace: w.furnaces[1]}, {Source: w.sources[2], Furnace: w.furnaces[0]}, month} {
		plain := pages(f, false)
		f.Words = "Coil" // no melt's word
		assert.Empty(t, pages(f, false))
		for _, letter := range []string{"A", "B"} {
			f.Words = letter + "2"
			var want []string
			for _, code := range plain {
				if code[:1] == letter {
					want = append(want, code)
				}
			}
			assert.Equal(t, want, pages(f, false), "%+v", f)
			assert.ElementsMatch(t, want, pages(f, true), "%+v", f)
		}
	}
}

// A melt whose beginning turns out to be earlier moves in what a search finds
// as it does in the list; a void one is no source's any more.
func TestSearchFollowsTheMelt(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	first := w.start(t, 0)
	w.pass(time.Hour)
	second := w.start(t, 0)
	w.add(t, second, w.line(second, melt.Charge, 0, weighed(kg), of(w.sources[0])))
	found := func(f Filter) string {
		f.Words = "a26"
		rows, _, err := w.Melts(ctx, f, Place{}, false, 10)
		require.NoError(t, err)
		codes := ""
		for _, r := range rows {
			codes += fmt.Sprint(r.Code, " ")
		}
		return codes
	}
	assert.Equal(t, "A26-002 A26-001 ", found(Filter{}))
	w.add(t, second, w.line(second, melt.Charge, -120, weighed(kg), of(w.sources[1])))
	assert.Equal(t, "A26-001 A26-002 ", found(Filter{}))
	assert.Equal(t, "A26-002 ", found(Filter{Source: w.sources[1]}))
	assert.Equal(t, "", found(Filter{Source: w.sources[2]}))
	w.add(t, second, w.line(second, melt.Void, 0, noted("not melted")))
	assert.Equal(t, "", found(Filter{Source: w.sources[1]}))
	assert.Equal(t, "A26-001 A26-002 ", found(Filter{Furnace: first.Furnace}))
}
