package copies_test

import (
	"context"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/server/copies"
	"drosswise/store"
)

func zone(t *testing.T) *time.Location {
	z, err := time.LoadLocation("Europe/Vienna")
	require.NoError(t, err)
	return z
}

// TestOneADayForTwoYears makes a copy each day and takes the spare ones out, as
// a shop that runs for two years does.
func TestOneADayForTwoYears(t *testing.T) {
	z := zone(t)
	var all []copies.Copy
	day := time.Date(2025, 1, 1, 3, 1, 0, 0, z)
	for range 730 {
		all = append([]copies.Copy{{Name: day.Format("20060102"), At: day}}, all...)
		spare := map[string]bool{}
		for _, c := range copies.Spare(all, z) {
			spare[c.Name] = true
		}
		var kept []copies.Copy
		for _, c := range all {
			if !spare[c.Name] {
				kept = append(kept, c)
			}
		}
		all, day = kept, day.AddDate(0, 0, 1)
		require.NotEmpty(t, all)
		require.Equal(t, day.AddDate(0, 0, -1), all[0].At, "never the newest")
	}
	require.LessOrEqual(t, len(all), copies.Days+copies.Weeks+copies.Months)
	for i := range copies.Days {
		assert.Equal(t, day.AddDate(0, 0, -1-i).Format("20060102"), all[i].Name, "each of the last days")
	}
	assert.Greater(t, day.Sub(all[len(all)-1].At), 330*24*time.Hour, "the last year")
}

// TestWhenACopyIsDue goes round the quiet hour, over the night of summer time.
func TestWhenACopyIsDue(t *testing.T) {
	z := zone(t)
	at := func(day, hour, minute int) time.Time { return time.Date(2026, 3, day, hour, minute, 0, 0, z) }
	made := func(t time.Time) []copies.Copy { return []copies.Copy{{At: t}} }
	assert.True(t, copies.Due(nil, at(1, 12, 0), z), "none yet")
	assert.False(t, copies.Due(made(at(1, 3, 1)), at(1, 23, 0), z))
	assert.False(t, copies.Due(made(at(1, 3, 1)), at(2, 2, 59), z))
	assert.True(t, copies.Due(made(at(1, 3, 1)), at(2, 3, 0), z))
	assert.True(t, copies.Due(made(at(1, 3, 1)), at(9, 18, 0), z), "the machine was off")
	assert.False(t, copies.Due(made(at(1, 18, 0)), at(2, 2, 0), z))
	assert.True(t, copies.Due(made(at(28, 3, 1)), at(29, 3, 30), z), "summer time begins")
}

// TestCopiesOfAShop makes copies while the shop is open; each can be opened, and
// what fails takes nothing out.
func TestCopiesOfAShop(t *testing.T) {
	data, dir := t.TempDir(), filepath.Join(t.TempDir(), "copies")
	st, err := store.Open(t.Context(), data, time.Now)
	require.NoError(t, err)
	defer st.Close()
	f := copies.In(dir, data, slog.New(slog.DiscardHandler))
	all, err := f.List()
	require.NoError(t, err)
	assert.Empty(t, all)
	now := time.Date(2026, 11, 20, 12, 0, 0, 0, time.UTC)
	for i := range 10 {
		require.NoError(t, f.Make(t.Context(), now.AddDate(0, 0, i), time.UTC))
	}
	require.NoError(t, f.Make(t.Context(), now.AddDate(0, 0, 9), time.UTC), "a second tap in the same second")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "drosswise-20300101-000000.db"), nil, 0o600), "one in the making")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "mine.db"), []byte("x"), 0o600))
	all, err = f.List()
	require.NoError(t, err)
	assert.Len(t, all, 8, "seven days, and the last of the week before")
	_, err = store.Restore(t.Context(), filepath.Join(dir, all[0].Name), t.TempDir(), false, now)
	require.NoError(t, err)

	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	require.Error(t, f.Make(ctx, now.AddDate(0, 1, 0), time.UTC))
	require.NotNil(t, f.Failed())
	assert.Equal(t, f.Failed(), copies.In(dir, data, slog.New(slog.DiscardHandler)).Failed(), "remembered by the next run")
	after, err := f.List()
	require.NoError(t, err)
	assert.Equal(t, all, after, "what failed takes nothing out and leaves nothing")
	require.NoError(t, f.Make(t.Context(), now.AddDate(0, 1, 0), time.UTC))
	assert.Nil(t, f.Failed())
	assert.Nil(t, copies.In(dir, data, slog.New(slog.DiscardHandler)).Failed())

	block := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(block, nil, 0o600))
	err = copies.In(filepath.Join(block, "copies"), data, slog.New(slog.DiscardHandler)).Make(t.Context(), now, time.UTC)
	require.Error(t, err)
	assert.Contains(t, copies.Why(err), "not there")
	assert.Contains(t, copies.Why(errors.New("x")), "log")
}

// TestCopiesThatDoNotCount has one made while the clock was wrong, one that was
// cut short and what a killed try left: none of them keeps a copy from being
// made, pushes a good one out or counts as the last good one.
func TestCopiesThatDoNotCount(t *testing.T) {
	data, dir := t.TempDir(), filepath.Join(t.TempDir(), "copies")
	st, err := store.Open(t.Context(), data, time.Now)
	require.NoError(t, err)
	defer st.Close()
	f := copies.In(dir, data, slog.New(slog.DiscardHandler))
	now := time.Date(2026, 11, 20, 12, 0, 0, 0, time.UTC)
	for day := range 12 { // a clock that ran a year ahead for a while
		require.NoError(t, f.Make(t.Context(), now.AddDate(1, 0, day), time.UTC))
	}
	require.NoError(t, f.Make(t.Context(), now, time.UTC))
	cut := "drosswise-20261120-110000.db"
	whole, err := os.ReadFile(filepath.Join(dir, now.Format("drosswise-20060102-150405.db")))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, cut), whole[:len(whole)-1], 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "drosswise-20261120-100000.db"), whole[:20], 0o600))
	left := []string{"drosswise-20261119-030000.db" + store.Unfinished, "drosswise-20261119-030000.db" + store.Unfinished + "-journal"}
	for _, name := range left {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), whole[:100], 0o600))
	}
	mine := filepath.Join(dir, "notes"+store.Unfinished)
	require.NoError(t, os.WriteFile(mine, nil, 0o600))

	all, err := f.List()
	require.NoError(t, err)
	good := copies.Good(all, now)
	require.Len(t, good, 1)
	assert.Equal(t, now, good[0].At)
	assert.False(t, good[0].Short)
	assert.True(t, copies.Due(good, now.AddDate(0, 0, 1), time.UTC), "due the next night, whatever is dated ahead")
	for day := range 9 {
		require.NoError(t, f.Make(t.Context(), now.AddDate(0, 0, 1+day), time.UTC))
	}
	all, err = f.List()
	require.NoError(t, err)
	good = copies.Good(all, now.AddDate(0, 0, 9))
	assert.GreaterOrEqual(t, len(good), copies.Days)
	assert.Equal(t, now.AddDate(0, 0, 9), good[0].At)
	for _, name := range left {
		assert.NoFileExists(t, filepath.Join(dir, name))
	}
	assert.FileExists(t, mine, "what is not ours stays")
	assert.FileExists(t, filepath.Join(dir, cut), "left for a person to look at")
}
