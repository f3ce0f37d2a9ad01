package demo

import (
	"context"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/sheet"
	"drosswise/store"
)

// testHash stands for the hash of Password: what it looks like is not the
// demo's business.
const testHash = "the hash of a password"

// TestMake makes the demo shop twice and holds its log against the truth behind
// it.
func TestMake(t *testing.T) {
	again := t.TempDir()
	made := make(chan error)
	go func() {
		_, err := Make(t.Context(), again, testHash)
		made <- err
	}()
	began := time.Now()
	d := newShop(t)
	t.Logf("the demo was made in %s, two at once", time.Since(began).Round(10*time.Millisecond))
	require.NoError(t, <-made)

	t.Run("is the same each time", func(t *testing.T) {
		for _, table := range []string{"melt", "line", "weighing", "strike", "lot", "source", "kit", "kit_line", "tariff", "tariff_band",
			"figure", "figure_source", "figure_lot", "tally", "source_sum", "wear"} {
			one := dumpTable(t, d.dir, table)
			assert.NotEmpty(t, one, table)
			assert.True(t, one == dumpTable(t, again, table), "%s differs", table)
		}
	})
	t.Run("is never written over", func(t *testing.T) {
		before := dumpTable(t, again, "change")
		_, err := Make(t.Context(), again, testHash)
		assert.ErrorContains(t, err, "there is a shop in "+again+" already")
		assert.Equal(t, before, dumpTable(t, again, "change"))
	})
	t.Run("has what the scenario says", d.hasWhatItShould)
	t.Run("mishaps are in the log", d.mishapsAreThere)
	t.Run("yields are near the truth", d.yieldsAreTrue)
	t.Run("estimates are near the truth", d.estimatesAreTrue)
	t.Run("energy is near the truth", d.energyIsTrue)
	t.Run("elements age", d.elementsAge)
	t.Run("was written when it happened", d.writtenInTime)
	t.Run("people have joined", d.peopleJoined)
	t.Run("figures are those of the lines", d.rebuilds)
}

// A demo that is cut off leaves no half shop behind.
func TestMakeCutOff(t *testing.T) {
	ctx, stop := context.WithTimeout(t.Context(), 400*time.Millisecond)
	defer stop()
	dir := t.TempDir()
	_, err := Make(ctx, dir, testHash)
	assert.ErrorIs(t, err, context.DeadlineExceeded)
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left)
}

// shop is a demo shop that was made, beside the truth behind it.
type shop struct {
	dir   string
	st    *store.Store
	truth []*Melt
}

func newShop(t *testing.T) *shop {
	t.Helper()
	d := &shop{dir: t.TempDir()}
	var err error
	d.truth, err = Make(t.Context(), d.dir, testHash)
	require.NoError(t, err, "no line was refused")
	d.st, err = store.Open(t.Context(), d.dir, func() time.Time { return lastDay(time.UTC).Add(20 * time.Hour) })
	require.NoError(t, err)
	t.Cleanup(func() { d.st.Close() })
	return d
}

func (d *shop) melt(t *testing.T, code melt.Code) ([]melt.Line, sheet.Sheet) {
	t.Helper()
	h, lines, err := d.st.Melt(t.Context(), code)
	require.NoError(t, err)
	s, err := d.st.Sheet(t.Context(), h.ID)
	require.NoError(t, err)
	return lines, s
}

func (d *shop) hasWhatItShould(t *testing.T) {
	rows, more, err := d.st.Melts(t.Context(), store.Filter{}, store.Place{}, false, 1000)
	require.NoError(t, err)
	require.False(t, more)
	states := map[melt.State]int{}
	letters := map[string]int{}
	for _, r := range rows {
		letter, _, _, _ := r.Code.Parts()
		states[r.State]++
		letters[letter]++
	}
	assert.Equal(t, map[melt.State]int{melt.Closed: yardHeats + benchHeats, melt.Voided: 1, melt.Running: 1}, states)
	assert.Equal(t, map[string]int{"A": yardHeats + 2, "B": benchHeats}, letters)
	assert.Equal(t, 150, len(rows))
	assert.InDelta(t, 2*365, rows[0].Started.Since(rows[len(rows)-1].Started).Hours()/24, 7, "two years")

	items, err := d.st.Kit(t.Context())
	require.NoError(t, err)
	wears, err := d.st.Wears(t.Context())
	require.NoError(t, err)
	used, serving := map[kit.Kind]int{}, map[kit.Kind]int{}
	for _, it := range items {
		if it.Retired {
			used[it.Kind]++
		} else {
			serving[it.Kind]++
		}
		if it.Kind == kit.Crucible || it.Kind == kit.Element {
			assert.Positive(t, wears[it.ID].Heats, it.Name)
		}
		assert.Empty(t, kit.Check(it), it.Name)
		assert.Empty(t, it.Remarks(quantity.Style{}), it.Name)
	}
	assert.Equal(t, map[kit.Kind]int{kit.Crucible: 3, kit.Element: 4, kit.Probe: 1}, used)
	assert.Equal(t, map[kit.Kind]int{kit.Furnace: 2, kit.Crucible: 2, kit.Element: 2, kit.Scale: 2, kit.Probe: 1}, serving)
	tariffs, err := d.st.Tariffs(t.Context())
	require.NoError(t, err)
	require.Len(t, tariffs, 2, "the price changed once")
	for _, p := range tariffs {
		assert.NoError(t, p.Check())
		assert.NotEmpty(t, p.Bands)
	}
	quotes, err := d.st.Quotes(t.Context())
	require.NoError(t, err)
	assert.Len(t, quotes, 6)
	lots, err := d.st.Lots(t.Context(), 0)
	require.NoError(t, err)
	assert.Greater(t, len(lots), 30)
	for _, l := range lots {
		left, ok := l.Left()
		require.True(t, ok)
		assert.Greater(t, left, -310*quantity.Gram, "but for the charge typed 300 g too heavy, no more was charged than came")
	}
}

// writtenInTime: nothing was written before it happened, nothing after the last
// evening, and the store's order is that of the clock.
func (d *shop) writtenInTime(t *testing.T) {
	var last quantity.Moment
	ids := map[int64]quantity.Moment{}
	var most int64
	for _, m := range d.truth {
		lines, _ := d.melt(t, m.Code)
		for _, l := range lines {
			assert.LessOrEqual(t, l.At, l.Noted, "%s %s", m.Code, l.Kind)
			ids[l.ID], most = l.Noted, max(most, l.ID)
		}
	}
	for id := int64(1); id <= most; id++ {
		if noted, ok := ids[id]; ok {
			assert.GreaterOrEqual(t, noted, last, "line %d", id)
			last = noted
		}
	}
	assert.Greater(t, most, int64(2000))
	zone := settings().Style().Zone
	assert.Less(t, last, quantity.At(lastDay(zone).AddDate(0, 0, 1)))
	assert.Greater(t, last, quantity.At(lastDay(zone).AddDate(0, 0, -7)))
}

func (d *shop) peopleJoined(t *testing.T) {
	for _, p := range People {
		who, hash, err := d.st.PersonNamed(t.Context(), p.Name)
		require.NoError(t, err)
		assert.Equal(t, p.Role, who.Role)
		assert.Equal(t, testHash, hash, p.Name)
	}
	links, err := d.st.OpenLinks(t.Context())
	require.NoError(t, err)
	assert.Zero(t, links)
}

func (d *shop) rebuilds(t *testing.T) {
	assert.Equal(t, "ok\n", pragmaSays(t, d.dir, "integrity_check"))
	assert.Empty(t, pragmaSays(t, d.dir, "foreign_key_check"))
	before := dumpTable(t, d.dir, "figure")
	n, err := d.st.Rebuild(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 150, n)
	assert.True(t, before == dumpTable(t, d.dir, "figure"), "Rebuild changed figures")
}
