package life_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"drosswise/foundry/life"
)

// many makes n pieces, every third of them in service.
func many(n int) []life.Piece {
	rng := rand.New(rand.NewPCG(1, uint64(n)))
	pieces := make([]life.Piece, n)
	for i := range pieces {
		pieces[i] = life.Piece{Age: 1 + math.Floor(90*rng.Float64()), End: life.WornOut}
		if i%3 == 0 {
			pieces[i].End = life.InService
		}
	}
	return pieces
}

func BenchmarkLearn300(b *testing.B) {
	pieces := many(300)
	for b.Loop() {
		if _, err := life.Learn(pieces, life.Heats, 0); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOutlook(b *testing.B) {
	l, err := life.Learn(many(300), life.Heats, 0)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := l.Outlook(40, 10); err != nil {
			b.Fatal(err)
		}
	}
}
