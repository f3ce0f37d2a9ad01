package recovery

import (
	"fmt"
	"testing"
)

func benchmark(b *testing.B, melts, sources int) {
	tr := invent(plan{melts: melts, sources: sources, mistyped: 0.02, heels: true}, 1)
	b.ReportAllocs()
	for b.Loop() {
		Estimate(tr.Shop, Settings{})
	}
}

// The two shops that must be quick: 300 melts of 20 sources in 50 ms, 100,000
// melts of 200 sources in 2 s, on two cores.
func BenchmarkUsualShop(b *testing.B) { benchmark(b, 300, 20) }
func BenchmarkLargeShop(b *testing.B) { benchmark(b, 100_000, 200) }

// How the cost grows: in proportion to the melts, and with something between
// the square and the cube of the sources once they outweigh the melts.
func BenchmarkGrowth(b *testing.B) {
	for _, size := range [][2]int{{30, 20}, {300, 20}, {3000, 20}, {30_000, 20}, {300, 5}, {300, 10}, {300, 40}, {300, 80}, {300, 160}} {
		b.Run(fmt.Sprintf("%d-melts-%d-sources", size[0], size[1]), func(b *testing.B) { benchmark(b, size[0], size[1]) })
	}
}
