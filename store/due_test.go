package store

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// heat melts something in a furnace, with the crucible and coil of the same
// number.
func (w *workshop) heat(t *testing.T, furnace int) melt.Heading {
	t.Helper()
	h := w.start(t, furnace)
	w.add(t, h, w.line(h, melt.Charge, 0, weighed(kg), of(w.sources[0])))
	return h
}

func (w *workshop) looks(t *testing.T) map[int64]kit.Look {
	t.Helper()
	all, err := w.LastLooks(context.Background())
	require.NoError(t, err)
	return all
}

func TestLastLooks(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	furnished := w.Now()
	pot, coil := w.crucibles[0], w.elements[0]
	fresh := w.looks(t)
	assert.Len(t, fresh, 8, "two of four kinds")
	assert.Equal(t, kit.Look{At: furnished}, fresh[pot])
	assert.Equal(t, kit.Look{At: furnished}, fresh[w.scales[0]])

	for range 3 {
		w.pass(24 * time.Hour)
		w.heat(t, 0)
	}
	w.start(t, 0) // nothing charged, no heat
	for _, id := range []int64{pot, coil, w.furnaces[0]} {
		assert.Equal(t, kit.Look{At: furnished, Heats: 3}, w.looks(t)[id])
	}
	assert.Zero(t, w.looks(t)[w.crucibles[1]].Heats, "the other pot was in none of them")
	assert.Zero(t, w.looks(t)[w.scales[0]].Heats, "a scale's heats are not counted")

	write := func(item int64, k kit.LineKind, edits ...func(*kit.Line)) {
		l := kit.Line{Key: w.key(), Item: item, Kind: k, Note: "."}
		for _, edit := range edits {
			edit(&l)
		}
		require.NoError(t, w.AddKitLine(ctx, w.by, l))
	}
	w.pass(time.Hour)
	for _, k := range []kit.LineKind{kit.Note, kit.Repaired} {
		write(pot, k)
	}
	write(w.furnaces[0], kit.Read, func(l *kit.Line) { l.Volts = new(230 * quantity.Volt) })
	assert.Equal(t, 3, w.looks(t)[pot].Heats, "a note is no look, nor is a repair")
	assert.Equal(t, 3, w.looks(t)[w.furnaces[0]].Heats, "nor volts at the plug of the contactor")

	write(pot, kit.Inspected)
	write(coil, kit.Read, func(l *kit.Line) { l.Ohms = new(10 * quantity.Ohm) })
	seen := w.Now()
	assert.Equal(t, kit.Look{At: seen, By: kit.Inspected}, w.looks(t)[pot])
	assert.Equal(t, kit.Look{At: seen, By: kit.Read}, w.looks(t)[coil])
	w.pass(time.Hour)
	h := w.heat(t, 0)
	assert.Equal(t, 1, w.looks(t)[pot].Heats)
	require.NoError(t, w.Add(ctx, w.by, h.Code, w.line(h, melt.Void, 1, noted("dropped")), true))
	assert.Zero(t, w.looks(t)[pot].Heats, "a void melt was no heat")

	_, lines, _, err := w.KitItem(ctx, pot)
	require.NoError(t, err)
	look := lines[len(lines)-1]
	require.NoError(t, w.StrikeKitLine(ctx, w.by, pot, look.ID, struck(w.key(), "it was C2")))
	assert.Equal(t, kit.Look{At: furnished, Heats: 3}, w.looks(t)[pot], "a struck inspection was none")
	require.NoError(t, w.StrikeKitLine(ctx, w.by, pot, look.ID, Mark{Key: w.key()}))
	assert.Equal(t, kit.Look{At: seen, By: kit.Inspected}, w.looks(t)[pot])

	write(pot, kit.Retired)
	assert.NotContains(t, w.looks(t), pot)
	write(pot, kit.Returned)
	assert.Equal(t, seen, w.looks(t)[pot].At, "back in use, and no look since")
	write(coil, kit.Fitted, func(l *kit.Line) { l.Furnace = w.furnaces[1] })
	assert.Equal(t, kit.Fitted, w.looks(t)[coil].By)

	w.reopen(t)
	assert.Equal(t, seen, w.looks(t)[pot].At)
	late, err := w.AddKit(ctx, w.by, kit.Item{Key: w.key(), Kind: kit.Probe, Name: "T1"})
	require.NoError(t, err)
	assert.Equal(t, kit.Look{At: w.Now()}, w.looks(t)[late])
}

// What is handed out is a copy: a caller that changes it changes nothing kept.
func TestLooksAreKeptUntilSomethingIsWritten(t *testing.T) {
	w := newWorkshop(t)
	pot := w.crucibles[0]
	delete(w.looks(t), pot)
	heard := w.listen(t)
	assert.Contains(t, w.looks(t), pot)
	assert.Len(t, *heard, 1, "only what was written is asked for")
}

func TestHeatsAreCountedNoFurtherThanTheyTell(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	require.NoError(t, w.SetDueRules(ctx, w.by, []kit.Rule{{Kind: kit.Crucible, Heats: new(1)}}))
	began := w.Now()
	for range enough + 1 {
		w.pass(12 * time.Hour)
		w.heat(t, 0)
	}
	assert.Equal(t, kit.Look{At: began, Heats: enough + 1}, w.looks(t)[w.crucibles[0]])
	w.pass(12 * time.Hour)
	w.heat(t, 0)
	assert.Equal(t, kit.Look{At: began, Heats: enough + 1, More: true}, w.looks(t)[w.crucibles[0]])

	pot, _, _, err := w.KitItem(ctx, w.crucibles[0])
	require.NoError(t, err)
	pace, err := w.Pace(ctx, pot) // two a day, but 102 of them reach 51 days back
	require.NoError(t, err)
	assert.Equal(t, kit.Pace{Heats: enough + 2, Over: quantity.Span(enough+1) * 12 * quantity.Hour}, pace)
	w.pass(time.Hour * 24 * 40)
	pace, err = w.Pace(ctx, pot)
	require.NoError(t, err)
	assert.Equal(t, kit.Pace{Heats: 41, Over: 60 * 24 * quantity.Hour}, pace, "those of the last 60 days")
	other, _, _, err := w.KitItem(ctx, w.crucibles[1])
	require.NoError(t, err)
	pace, err = w.Pace(ctx, other)
	require.NoError(t, err)
	assert.Zero(t, pace.Heats)
}

func TestDueRules(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	rules, err := w.DueRules(ctx)
	require.NoError(t, err)
	for i, u := range kit.UsualRules {
		assert.Equal(t, u.Rule, rules[i])
	}
	rules[0].Heats, rules[0].Days = new(20), new(90)
	rules[3] = kit.Rule{Kind: kit.Scale}
	for range 2 { // two taps
		require.NoError(t, w.SetDueRules(ctx, w.by, rules))
	}
	got, err := w.DueRules(ctx)
	require.NoError(t, err)
	assert.Equal(t, rules, got)
	assert.Equal(t, []string{
		`{"Kind":"furnace","Heats":10,"Days":null}` + "\x1f" + `{"Kind":"furnace","Heats":20,"Days":90}` + "\x1f1",
		`{"Kind":"scale","Heats":null,"Days":180}` + "\x1f" + `{"Kind":"scale","Heats":null,"Days":null}` + "\x1f1",
	}, texts(t, w.read, "SELECT was, became, person_id FROM change WHERE thing = 'due_rule'"), "who changed what")
	assert.NotContains(t, w.looks(t), w.scales[0], "off the list")
	assert.Contains(t, w.looks(t), w.furnaces[0])
	rules[3].Days = new(30)
	require.NoError(t, w.SetDueRules(ctx, w.by, rules))
	assert.Contains(t, w.looks(t), w.scales[0], "the last rule holds")
	assert.Error(t, w.SetDueRules(ctx, w.by, []kit.Rule{{Kind: kit.Scale, Days: new(0)}}))
	assert.Error(t, w.SetDueRules(ctx, w.by, []kit.Rule{{Kind: "anvil", Days: new(1)}}))
}

func TestCalendarAddresses(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	since, err := w.CalendarSince(ctx, w.by)
	require.NoError(t, err)
	assert.Nil(t, since)
	first, err := w.MakeCalendar(ctx, w.by)
	require.NoError(t, err)
	require.NoError(t, w.HasCalendar(ctx, first))
	since, err = w.CalendarSince(ctx, w.by)
	require.NoError(t, err)
	assert.Equal(t, w.Now(), *since)
	assert.NotContains(t, w.dump(t), first, "only a hash is kept")

	second, err := w.MakeCalendar(ctx, w.by)
	require.NoError(t, err)
	require.ErrorIs(t, w.HasCalendar(ctx, first), ErrNotFound, "a new one ends the old")
	require.NoError(t, w.HasCalendar(ctx, second))
	for range 2 {
		require.NoError(t, w.EndCalendar(ctx, w.by))
	}
	for _, token := range []string{first, second, "", "never made"} {
		require.ErrorIs(t, w.HasCalendar(ctx, token), ErrNotFound)
	}

	token, _, err := w.Invite(ctx, w.by, "reader")
	require.NoError(t, err)
	guest, err := w.Join(ctx, token, "Committee", "-")
	require.NoError(t, err)
	mine, err := w.MakeCalendar(ctx, guest.ID)
	require.NoError(t, err)
	require.NoError(t, w.EndCalendar(ctx, w.by))
	require.NoError(t, w.HasCalendar(ctx, mine), "each ends only their own")
	require.NoError(t, w.EndPerson(ctx, w.by, guest.ID))
	require.ErrorIs(t, w.HasCalendar(ctx, mine), ErrNotFound)
	reset, _, err := w.ResetLink(ctx, w.by, guest.ID)
	require.NoError(t, err)
	_, err = w.Reset(ctx, reset, "-")
	require.NoError(t, err)
	require.ErrorIs(t, w.HasCalendar(ctx, mine), ErrNotFound, "who comes back makes a new one")
}
