package main

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"drosswise/store"
)

// BenchmarkMoving exports the large shop and takes it in again.
func BenchmarkMoving(b *testing.B) {
	from := largeDir(b)
	if dir := os.Getenv("DROSSWISE_BENCH_SMALL"); dir != "" {
		from = b.TempDir()
		fillLarge(b, from, largeMelts/10, largeLines/10)
	}
	st, err := open(b.Context(), from)
	require.NoError(b, err)
	defer st.Close()
	zipped, err := os.Create(filepath.Join(b.TempDir(), "shop.zip"))
	require.NoError(b, err)
	defer zipped.Close()
	b.Run("export", func(b *testing.B) {
		for b.Loop() {
			require.NoError(b, zipped.Truncate(0))
			_, err := zipped.Seek(0, 0)
			require.NoError(b, err)
			require.NoError(b, st.ExportShop(b.Context(), zipped))
		}
	})
	b.Run("import", func(b *testing.B) {
		info, err := zipped.Stat()
		require.NoError(b, err)
		for b.Loop() {
			in, err := store.ImportShop(b.Context(), zipped, info.Size(), b.TempDir(), false, time.Now)
			require.NoError(b, err)
			b.ReportMetric(float64(in.Lines), "lines")
		}
	})
}
