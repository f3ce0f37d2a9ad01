package ageing_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/drift"
	"drosswise/foundry/kit"
	"drosswise/foundry/life"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/foundry/wear"
	"drosswise/server/ageing"
	"drosswise/server/demo"
	"drosswise/store"
)

// shop is the demo shop with its kit by name.
type shop struct {
	*store.Store
	items map[string]kit.Item
}

func newShop(t *testing.T) shop {
	t.Helper()
	dir := t.TempDir()
	_, err := demo.Make(t.Context(), dir, "no password's hash")
	require.NoError(t, err)
	st, err := store.Open(t.Context(), dir, time.Now)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, st.Close()) })
	s := shop{st, map[string]kit.Item{}}
	items, err := st.Kit(t.Context())
	require.NoError(t, err)
	for _, it := range items {
		s.items[it.Name] = it
	}
	return s
}

func (s shop) read(t *testing.T) *ageing.Book {
	t.Helper()
	book, err := ageing.Read(t.Context(), s.Store)
	require.NoError(t, err)
	return book
}

// write writes a line about a piece of kit.
func (s shop) write(t *testing.T, name string, l kit.Line) {
	t.Helper()
	l.Item, l.Key = s.items[name].ID, "ageing-test-"+time.Now().Format("150405.000000000")
	require.NoError(t, s.AddKitLine(t.Context(), 1, l))
}

// The demo's truth is known: element E5 rises by 0.215 % for each hour hot, so
// that it is 10 % over new at 46.5 h; three crucibles and four sets wore out.
func TestTheDemoAsItWears(t *testing.T) {
	s := newShop(t)
	book := s.read(t)

	e5 := book.Elements[s.items["E5"].ID]
	require.Equal(t, wear.Foreseen, e5.Code)
	require.NotNil(t, e5.Left.Late)
	end := 0.10/0.00215 - e5.Hours
	assert.True(t, *e5.Left.Early <= end && end <= *e5.Left.Late, "%.1f h are left, foreseen %.1f to %.1f", end, *e5.Left.Early, *e5.Left.Late)
	assert.Equal(t, wear.TooFew, book.Elements[s.items["BE1"].ID].Code)

	assert.Equal(t, 3, book.Crucibles.WornOut)
	assert.Equal(t, 2, book.Crucibles.InService)
	assert.Equal(t, 4, book.Sets.WornOut)
	assert.Equal(t, life.Assumed, book.Sets.Basis)
	c4 := book.Crucibles.Each[s.items["C4"].ID]
	require.NotNil(t, c4.Outlook.Chance)
	assert.Positive(t, *c4.Cost.SoFar)
	c1 := book.Crucibles.Each[s.items["C1"].ID]
	assert.Nil(t, c1.Outlook, "it is retired")
	require.NotNil(t, c1.Weight.Loss)
	assert.True(t, c1.Weight.Loss.Low <= 2.1 && 2.1 <= c1.Weight.Loss.High, "it gets 2.1 g lighter a heat: %+v", *c1.Weight.Loss)

	yard := book.Furnaces[s.items["Yard furnace"].ID]
	assert.Equal(t, drift.Charting, yard.Energy.Stage)
	require.NotNil(t, yard.Wall)
	// 0.7 kW is true of its walls; kilograms and hours go together so much that
	// the two are told apart only roughly.
	require.NotNil(t, yard.Loss)
	assert.InDelta(t, 0.70, yard.Loss.Measured.Middle, 0.2)
	assert.Len(t, yard.Stays, 5+4, "element sets and crucibles that served in it")
	assert.True(t, yard.Stays[4].Now)
	assert.Equal(t, s.items["E5"].ID, yard.Stays[4].Item)
	assert.Equal(t, drift.Within, book.Tools[s.items["Kitchen scale"].ID].Checks[0].Verdict)

	t.Run("a hot reading moves the forecast", func(t *testing.T) {
		// 231 V over the wire's ohms hot, two points of the ohms above the last.
		volts, ohms := 231.0, 26.5*1.115*1.04
		s.write(t, "E5", kit.Line{Kind: kit.Read, Volts: new(quantity.Voltage(volts * float64(quantity.Volt))), Amps: new(quantity.Current(volts / ohms * float64(quantity.Ampere)))})
		moved := s.read(t).Elements[s.items["E5"].ID]
		assert.Equal(t, e5.Readings+1, moved.Readings)
		if moved.Left != nil && moved.Left.Middle != nil {
			assert.Less(t, *moved.Left.Middle, *e5.Left.Middle)
		} else {
			assert.Equal(t, wear.Past, moved.Code)
		}
	})
	t.Run("a scale beyond its own ± puts melts in doubt", func(t *testing.T) {
		s.write(t, "Kitchen scale", kit.Line{Kind: kit.Inspected, KnownMass: new(quantity.Kilogram), Mass: new(1012 * quantity.Gram)})
		in := s.read(t).Tools[s.items["Kitchen scale"].ID]
		assert.Equal(t, drift.Beyond, in.Checks[1].Verdict)
		assert.Greater(t, len(in.Doubtful), 100, "all since it was last found within")
	})
	t.Run("what an accident ended did not wear out", func(t *testing.T) {
		s.write(t, "C4", kit.Line{Kind: kit.Retired, Cause: kit.Broken, Note: "dropped"})
		after := s.read(t).Crucibles
		assert.Equal(t, 3, after.WornOut)
		assert.Equal(t, 1, after.InService)
		assert.Equal(t, 1, after.Otherwise)
	})
	t.Run("an alarm is closed once judged", func(t *testing.T) {
		alarm, _ := yard.Open()
		require.NotNil(t, alarm, "the yard furnace has got slower")
		c := store.AlarmClose{Melt: melt.Code(alarm.Code), How: string(drift.RealChange)}
		for range 2 { // two taps
			require.NoError(t, s.CloseAlarm(t.Context(), 1, s.items["Yard furnace"].ID, "close-the-alarm", c))
		}
		after := s.read(t).Furnaces[s.items["Yard furnace"].ID]
		again, _ := after.Open()
		assert.True(t, again == nil || again.ID != alarm.ID)
		assert.Len(t, after.Closed, 1)
		require.ErrorIs(t, s.CloseAlarm(t.Context(), 1, s.items["Bench furnace"].ID, "of-another-furnace", c), store.ErrNotFound)
	})
}

// An empty shop, and kit that nothing was done with, give a book without figures.
func TestNothingToRead(t *testing.T) {
	st, err := store.Open(t.Context(), t.TempDir(), time.Now)
	require.NoError(t, err)
	defer st.Close()
	book, err := ageing.Read(t.Context(), st)
	require.NoError(t, err)
	assert.Empty(t, book.Elements)
	assert.Equal(t, life.Nothing, book.Crucibles.Basis)
}
