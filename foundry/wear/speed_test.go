package wear

import (
	"fmt"
	"testing"
)

// A forecast is made beside a page: that of 200 readings has 50 ms.
func BenchmarkForecast(b *testing.B) {
	for _, n := range []int{10, 50, 200, 2000} {
		tr := invent(plan{ageing: "wandering", readings: n}, 1)
		b.Run(fmt.Sprintf("%d-readings", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Look(tr.set, tr.read)
			}
		})
	}
}
