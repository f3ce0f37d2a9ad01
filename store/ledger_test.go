package store

import (
	"context"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

func TestCodesCountUpByFurnaceAndYear(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	p, err := w.Shop(ctx)
	require.NoError(t, err)
	p.Zone = "Europe/Berlin"
	require.NoError(t, w.SetShop(ctx, w.by, p))

	assert.Equal(t, melt.Code("A26-001"), w.start(t, 0).Code)
	assert.Equal(t, melt.Code("A26-002"), w.start(t, 0).Code)
	assert.Equal(t, melt.Code("B26-001"), w.start(t, 1).Code)
	w.clock.Store(time.Date(2026, 12, 31, 22, 59, 0, 0, time.UTC).UnixMilli())
	assert.Equal(t, melt.Code("A26-003"), w.start(t, 0).Code)
	w.pass(time.Minute) // midnight on the shop's clock
	assert.Equal(t, melt.Code("A27-001"), w.start(t, 0).Code)

	// A melt that was made void keeps its code.
	h := w.start(t, 0)
	w.add(t, h, w.line(h, melt.Void, 0, noted("nothing was melted")))
	assert.Equal(t, melt.Code("A27-003"), w.start(t, 0).Code)
}

func TestTheSameKeyStartsOneMelt(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := melt.Heading{Key: "phone-key-1", At: w.Now(), Furnace: w.furnaces[0], Target: melt.Trial}
	first, err := w.Start(ctx, w.by, h, "")
	require.NoError(t, err)
	before := w.dump(t)
	w.pass(time.Minute)
	again, err := w.Start(ctx, w.by, h, "")
	require.NoError(t, err)
	assert.Equal(t, first, again)
	w.still(t, before)

	for _, other := range []func(*melt.Heading){
		func(h *melt.Heading) { h.Furnace = w.furnaces[1] }, func(h *melt.Heading) { h.Probe = 99 }, func(h *melt.Heading) { h.Warm = true },
		func(h *melt.Heading) { h.Target = melt.Casting }, func(h *melt.Heading) { h.Ambient = new(20 * quantity.Celsius) },
	} {
		changed := h
		other(&changed)
		_, err := w.Start(ctx, w.by, changed, "")
		assert.ErrorIs(t, err, ErrKeyUsed, "%+v", changed)
	}
	w.still(t, before)

	read, lines, err := w.Melt(ctx, first.Code)
	require.NoError(t, err)
	assert.Equal(t, first, read)
	assert.Empty(t, lines)
	last, err := w.LastHeading(ctx)
	require.NoError(t, err)
	assert.Equal(t, first, last)
}

// A melt is started in a furnace, with a crucible and an element: not with any
// other kit, nor with none.
func TestHeadingsNameKitOfTheRightKind(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	before := w.dump(t)
	for name, h := range map[string]melt.Heading{
		"no furnace":           {},
		"an unknown furnace":   {Furnace: 999},
		"a crucible":           {Furnace: w.crucibles[0]},
		"crucible is a coil":   {Furnace: w.furnaces[0], Crucible: w.elements[0]},
		"element is a scale":   {Furnace: w.furnaces[0], Element: w.scales[0]},
		"probe is a furnace":   {Furnace: w.furnaces[0], Probe: w.furnaces[1]},
		"an unknown element":   {Furnace: w.furnaces[0], Element: 999},
		"an unknown probe too": {Furnace: w.furnaces[0], Probe: 999},
	} {
		h.Key, h.At, h.Target = w.key(), w.Now(), melt.Ingots
		_, err := w.Start(ctx, w.by, h, "")
		assert.ErrorIs(t, err, ErrNotFound, name)
	}
	w.still(t, before)
	_, _, err := w.Melt(ctx, "A26-001")
	assert.ErrorIs(t, err, ErrNotFound)
	_, err = w.LastHeading(ctx)
	assert.ErrorIs(t, err, ErrNotFound)
}

func TestALineReadsBackAsItWasWritten(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	other := w.vector(t)
	h := w.start(t, 1)
	probe, err := w.AddKit(ctx, w.by, kit.Item{Key: w.key(), Kind: kit.Probe, Name: "Probe", Couple: "K"})
	require.NoError(t, err)
	for _, want := range []melt.Line{
		w.line(h, melt.Charge, 0, of(w.sources[2]), noted("crushed"), func(l *melt.Line) {
			l.Lot, l.Scale, l.Tare, l.Gross = w.lots[2], w.scales[1], 200*quantity.Gram, []quantity.Mass{3 * kg, 200 * quantity.Gram, kg}
			l.AsFound, l.Dry, l.Preheated, l.IntoHot = true, true, true, true
		}),
		w.line(h, melt.Charge, 0, weighed(kg), func(l *melt.Line) { l.Pour = w.lineOf(t, other, melt.Pour).ID }),
		w.line(h, melt.PowerOn, 0, showing(0)),
		w.line(h, melt.Energy, 0, func(l *melt.Line) { l.Energy = new(3 * kWh) }),
		w.line(h, melt.Electric, 0, func(l *melt.Line) {
			l.Volts, l.Amps, l.Watts, l.Ohms = new(230*quantity.Volt), new(10*quantity.Ampere), new(2300*quantity.Watt), new(23*quantity.Ohm)
		}),
		w.line(h, melt.Temperature, 0, func(l *melt.Line) { l.Temp, l.Which, l.Probe = new(-5*quantity.Celsius), melt.Chamber, probe }),
		w.line(h, melt.Addition, 0, weighed(0), func(l *melt.Line) { l.Which, l.Cost = "silicon", new(quantity.Money(0)) }),
		w.line(h, melt.Pour, 0, func(l *melt.Line) { l.Count, l.Mould = new(0), "Loaf tin" }),
		w.line(h, melt.Using, 0, func(l *melt.Line) { l.Crucible, l.Element = w.crucibles[0], w.elements[0] }),
	} {
		require.NoError(t, w.Add(ctx, w.by, h.Code, want, false), want.Kind)
		_, lines, err := w.Melt(ctx, h.Code)
		require.NoError(t, err)
		got := lines[len(lines)-1]
		want.ID, want.Noted, want.By = got.ID, w.Now(), w.by
		assert.Equal(t, want, got)
		code, err := w.CodeOf(ctx, got.ID)
		require.NoError(t, err)
		assert.Equal(t, h.Code, code)
	}
	_, err = w.CodeOf(ctx, 9999)
	assert.ErrorIs(t, err, ErrNotFound)
}

// A line sent twice is one line; its key never stands for two.
func TestTheSameKeyIsOneLine(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h, other := w.start(t, 0), w.start(t, 1)
	l := w.line(h, melt.Charge, 0, weighed(kg), of(w.sources[0]))
	w.add(t, h, l)
	before := w.dump(t)

	w.pass(time.Hour)
	require.NoError(t, w.Add(ctx, w.by, h.Code, l, false), "the same again")
	for name, edit := range map[string]func(*melt.Line){
		"another mass":   func(l *melt.Line) { l.Gross = []quantity.Mass{2 * kg} },
		"another time":   func(l *melt.Line) { l.At-- },
		"another source": func(l *melt.Line) { l.Source = w.sources[1] },
		"another kind":   func(l *melt.Line) { l.Kind = melt.HeelIn },
		"no spread":      func(l *melt.Line) { l.Spread = nil },
	} {
		changed := l
		edit(&changed)
		assert.ErrorIs(t, w.Add(ctx, w.by, h.Code, changed, true), ErrConflict, name)
	}
	l.At = other.At
	assert.ErrorIs(t, w.Add(ctx, w.by, other.Code, l, true), ErrConflict, "in another melt")
	w.still(t, before)

	// Sent again after it was struck, it stays struck: it was sent before.
	l = w.lineOf(t, h, melt.Charge)
	require.NoError(t, w.Strike(ctx, w.by, h.Code, l.ID, Mark{Key: w.key(), Struck: true}))
	before = w.dump(t)
	require.NoError(t, w.Add(ctx, w.by, h.Code, l, false))
	w.still(t, before)
}

// A line without a time happened when it came, also when it comes again later.
// No readings and an empty list of them are the same.
func TestNoTimeIsNow(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.start(t, 0)
	w.pass(10 * time.Minute)
	l := melt.Line{Key: "phone-key-1", Kind: melt.PowerOn}
	require.NoError(t, w.Add(ctx, w.by, h.Code, l, false))
	got := w.lineOf(t, h, melt.PowerOn)
	assert.Equal(t, w.Now(), got.At)
	before := w.dump(t)
	w.pass(10 * time.Minute)
	l.Gross = []quantity.Mass{}
	require.NoError(t, w.Add(ctx, w.by, h.Code, l, false))
	l.At = got.At
	require.NoError(t, w.Add(ctx, w.by, h.Code, l, false))
	w.still(t, before)
}

// A refused line leaves nothing behind, and says why.
func TestRefusalsLeaveNothing(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.vector(t)
	closed := w.start(t, 1)
	w.add(t, closed, w.line(closed, melt.Close, 0))
	pour := w.lineOf(t, h, melt.Pour)
	stray := w.start(t, 1)
	w.add(t, stray, w.line(stray, melt.Charge, 0, weighed(10*kg), of(w.sources[0])))
	before := w.dump(t)
	for _, c := range []struct {
		name string
		h    melt.Heading
		line melt.Line
		want any // field of a refusal, or an error
	}{
		{"no mass", h, w.line(h, melt.Charge, 3, of(w.sources[0])), "mass"},
		{"more than the scale shows", h, w.line(h, melt.Charge, 3, of(w.sources[0]), func(l *melt.Line) { l.Gross, l.Scale = []quantity.Mass{11 * kg}, w.scales[0] }), "mass"},
		{"over the safe fill", stray, w.line(stray, melt.Charge, 0, weighed(kg), of(w.sources[0])), "mass"},
		{"out of order", h, w.line(h, melt.Isolated, 4), "at"},
		{"meter backwards", h, w.line(h, melt.Meter, 100, showing(kWh)), "meter"},
		{"on a closed melt", closed, w.line(closed, melt.Note, 0, noted("late")), "kind"},
		{"unknown source", h, w.line(h, melt.Charge, 3, weighed(kg/10), of(99)), ErrNotFound},
		{"unknown scale", h, w.line(h, melt.Spill, 3, weighed(kg/10), func(l *melt.Line) { l.Scale = 999 }), ErrNotFound},
		{"a scale that is a coil", h, w.line(h, melt.Spill, 3, weighed(kg/10), func(l *melt.Line) { l.Scale = w.elements[0] }), ErrNotFound},
		{"another source's lot", h, w.line(h, melt.Charge, 3, weighed(kg/10), of(w.sources[0]), func(l *melt.Line) { l.Lot = w.lots[1] }), ErrNotFound},
		{"its own ingots", h, w.line(h, melt.Charge, 216, weighed(kg), func(l *melt.Line) { l.Pour = pour.ID }), ErrNotFound},
		{"ingots of a spill", stray, w.line(stray, melt.Addition, 0, func(l *melt.Line) { l.Which, l.Pour = "silicon", w.lineOf(t, h, melt.Spill).ID }), ErrNotFound},
		{"unknown melt", melt.Heading{Code: "Z99-001", At: h.At}, w.line(h, melt.Stamp, 3), ErrNotFound},
	} {
		err := w.Add(ctx, w.by, c.h.Code, c.line, false)
		switch want := c.want.(type) {
		case string:
			var rs melt.Refusals
			if assert.ErrorAs(t, err, &rs, c.name) {
				assert.Equal(t, want, rs[0].Field, c.name)
				assert.NotEmpty(t, rs[0].Say(quantity.Style{}), c.name)
			}
		case error:
			assert.ErrorIs(t, err, want, c.name)
		}
	}
	w.still(t, before)
	assert.NoError(t, w.Add(ctx, w.by, stray.Code, w.line(stray, melt.Charge, 0, weighed(kg), of(w.sources[0])), true), "whoever is sure may")
}

// The file itself refuses to change or forget what was written.
func TestWhatWasWrittenStays(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.vector(t)
	require.NoError(t, w.Strike(ctx, w.by, h.Code, w.lineOf(t, h, melt.Spill).ID, Mark{Key: w.key(), Struck: true}))
	require.NoError(t, w.AddKitLine(ctx, w.by, kit.Line{Key: w.key(), Item: w.crucibles[0], Kind: kit.Inspected, At: w.Now()}))
	p, err := w.Shop(ctx)
	require.NoError(t, err)
	p.Name = "The shed"
	require.NoError(t, w.SetShop(ctx, w.by, p))
	before := w.dump(t)
	for table, column := range map[string]string{
		"melt": "warm", "line": "note", "weighing": "gross", "strike": "reason", "kit_line": "note", "lot": "note", "change": "was",
	} {
		require.NotEmpty(t, texts(t, w.read, "SELECT * FROM "+table), "%s holds something to lose", table)
		_, err := w.write.Exec("UPDATE " + table + " SET " + column + " = " + column)
		assert.ErrorContains(t, err, "never changed", table)
		_, err = w.write.Exec("DELETE FROM " + table)
		assert.ErrorContains(t, err, "never deleted", table)
	}
	w.still(t, before)
}

// Two people, two programs: whoever writes at the same time, nothing is lost
// and the sums are right.
func TestWritersAtOnce(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	second := *w
	second.open(t)
	defer func() { assert.NoError(t, second.Close()) }()
	melts := []melt.Heading{w.start(t, 0), w.start(t, 1)}

	const writers, each = 4, 30
	lines := make([][]melt.Line, writers)
	for i := range lines {
		for range each {
			lines[i] = append(lines[i], w.line(melts[0], melt.Charge, 0, weighed(quantity.Gram), of(w.sources[i%3])))
		}
	}
	var wg sync.WaitGroup
	for i := range writers {
		wg.Go(func() {
			s := []*Store{w.Store, second.Store}[i%2]
			for n, l := range lines[i] {
				assert.NoError(t, s.Add(ctx, w.by, melts[n%2].Code, l, true))
				_, _, err := s.Melts(ctx, Filter{}, Place{}, false, 10)
				assert.NoError(t, err)
			}
		})
	}
	wg.Wait()
	assert.Len(t, texts(t, w.read, "SELECT key FROM line"), writers*each)
	total, err := w.Totals(ctx, Filter{})
	require.NoError(t, err)
	assert.Equal(t, writers*each*quantity.Gram, total.Charged)
	before := w.dump(t)
	_, err = w.Rebuild(ctx)
	require.NoError(t, err)
	w.still(t, before)
	w.sound(t)
}
