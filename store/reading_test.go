package store

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/curve"
	"drosswise/foundry/quantity"
)

// batch are n readings of a thermocouple, one a second.
func batch(from quantity.Moment, n int) []curve.Sample {
	all := make([]curve.Sample, n)
	for i := range all {
		all[i] = curve.Sample{At: from + quantity.Moment(i)*1000, Value: 20_00 + int64(i)}
	}
	return all
}

func readingsOf(c curve.Channel, all []curve.Sample) Sending {
	return Sending{Series: []Sent{{Series: curve.Series{Channel: c, Name: "shed:metal", Samples: all}}}}
}

func TestReadingsAreStoredOnce(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.start(t, 0)
	all := batch(h.At, 237)
	taken, err := w.AddReadings(ctx, w.by, h.Code, readingsOf(curve.Temperature, all), w.Now())
	require.NoError(t, err)
	assert.Equal(t, Taken{New: 237}, taken)

	again := append(batch(h.At, 237), curve.Sample{At: h.At + 500_000, Value: 7})
	again[3].Value++
	taken, err = w.AddReadings(ctx, w.by, h.Code, readingsOf(curve.Temperature, again), w.Now())
	require.NoError(t, err)
	assert.Equal(t, Taken{New: 1, Had: 236, Other: 1}, taken)

	taken, err = w.AddReadings(ctx, w.by, h.Code, readingsOf(curve.Power, all[:1]), w.Now())
	require.NoError(t, err)
	assert.Equal(t, Taken{New: 1}, taken, "another channel at the same time")

	w.reopen(t)
	told, err := w.MeltSeries(ctx, h.ID)
	require.NoError(t, err)
	require.Len(t, told, 2)
	assert.Equal(t, 238, told[0].Samples)
	got, err := w.Readings(ctx, told[0].ID, 0, 0)
	require.NoError(t, err)
	assert.Equal(t, append(all, curve.Sample{At: h.At + 500_000, Value: 7}), got, "the first value of a time stays")
	got, err = w.Readings(ctx, told[0].ID, all[9].At, 5)
	require.NoError(t, err)
	assert.Equal(t, all[10:15], got)

	_, err = w.AddReadings(ctx, w.by, "A26-999", readingsOf(curve.Power, all), w.Now())
	assert.ErrorIs(t, err, ErrNotFound)
	_, err = w.write.Exec("UPDATE reading SET value = 0")
	assert.ErrorContains(t, err, "never changed")
	_, err = w.write.Exec("DELETE FROM reading")
	assert.ErrorContains(t, err, "never deleted")
}

// A batch without times of its own that is sent again lies on the times at
// which it came first.
func TestLooseReadingsAreStoredOnce(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.start(t, 0)
	send := func(key string) Taken {
		b := readingsOf(curve.Temperature, batch(w.Now()-20_000, 20))
		b.Key, b.Series[0].Loose = key, true
		taken, err := w.AddReadings(ctx, w.by, h.Code, b, w.Now())
		require.NoError(t, err)
		return taken
	}
	assert.Equal(t, Taken{New: 20}, send("logger-0001"))
	w.pass(7300 * time.Millisecond)
	assert.Equal(t, Taken{Had: 20}, send("logger-0001"))
	assert.Equal(t, Taken{New: 20}, send("logger-0002"))
	other := w.start(t, 1)
	b := readingsOf(curve.Temperature, batch(w.Now(), 1))
	b.Key = "logger-0001"
	_, err := w.AddReadings(ctx, w.by, other.Code, b, w.Now())
	assert.ErrorIs(t, err, ErrConflict)
}

func TestSeriesAreStruckAndPutBack(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.start(t, 0)
	_, err := w.AddReadings(ctx, w.by, h.Code, readingsOf(curve.Temperature, batch(h.At, 3)), w.Now())
	require.NoError(t, err)
	mark := func(struck bool, key string) Series {
		require.NoError(t, w.StrikeSeries(ctx, w.by, h.Code, 1, Mark{Key: key, Struck: struck, Reason: "probe fell out"}))
		told, err := w.MeltSeries(ctx, h.ID)
		require.NoError(t, err)
		return told[0]
	}
	assert.Equal(t, "probe fell out", mark(true, "strike-01").Strike.Reason)
	assert.False(t, mark(true, "strike-01").Stands())
	assert.True(t, mark(false, "strike-02").Stands())
	assert.ErrorIs(t, w.StrikeSeries(ctx, w.by, "A26-999", 1, Mark{Key: "strike-03", Struck: true}), ErrNotFound)
}

func TestTooManySeriesAreRefused(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.start(t, 0)
	var b Sending
	for range MostSeries + 1 {
		b.Series = append(b.Series, Sent{Series: curve.Series{Channel: curve.Power, Name: w.key(), Samples: batch(h.At, 1)}})
	}
	_, err := w.AddReadings(ctx, w.by, h.Code, b, w.Now())
	assert.ErrorIs(t, err, ErrFull)
	told, err := w.MeltSeries(ctx, h.ID)
	require.NoError(t, err)
	assert.Empty(t, told, "nothing of what was refused is kept")
}

// BenchmarkReadings stores batches of 100 one after another, each on disk
// before the next. A million are stored with -benchtime 10000x.
func BenchmarkReadings(b *testing.B) {
	w, ctx := newWorkshop(b), context.Background()
	h := w.start(b, 0)
	at := h.At
	b.ResetTimer()
	for b.Loop() {
		all := batch(at, 100)
		at += 100_000
		if _, err := w.AddReadings(ctx, w.by, h.Code, readingsOf(curve.Temperature, all), at); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(100*b.N)/b.Elapsed().Seconds(), "readings/s")
}

// What is kept is what would be made, is known to be old when readings come or
// a series is struck, and is made anew then.
func TestCurveIsKeptAndKnownToBeOld(t *testing.T) {
	w, ctx := newWorkshop(t), context.Background()
	h := w.start(t, 0)
	_, all, made, _, err := w.Curve(ctx, h.ID)
	require.NoError(t, err)
	assert.Empty(t, all)
	assert.False(t, made)

	add := func(from quantity.Moment, c curve.Channel) {
		_, err := w.AddReadings(ctx, w.by, h.Code, readingsOf(c, batch(from, 1000)), w.Now())
		require.NoError(t, err)
	}
	add(h.At, curve.Temperature)
	report, err := w.MakeCurve(ctx, h.ID)
	require.NoError(t, err)
	check := func(wantOld bool) {
		kept, _, made, old, err := w.Curve(ctx, h.ID)
		require.NoError(t, err)
		assert.True(t, made)
		assert.Equal(t, wantOld, old)
		assert.Equal(t, report, kept)
	}
	check(false)
	add(h.At, curve.Temperature) // the same once more
	check(false)
	add(h.At, curve.Power)
	check(true)
	report, err = w.MakeCurve(ctx, h.ID)
	require.NoError(t, err)
	check(false)
	require.NotNil(t, report.Energy)
	require.NoError(t, w.StrikeSeries(ctx, w.by, h.Code, 2, Mark{Key: "strike-01", Struck: true}))
	check(true)
	report, err = w.MakeCurve(ctx, h.ID)
	require.NoError(t, err)
	check(false)
	assert.Nil(t, report.Energy, "what is struck counts nowhere")
}
