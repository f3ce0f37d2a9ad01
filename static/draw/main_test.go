package main

import (
	"image/png"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The bitmaps that are built in are the ones that are drawn.
func TestPictures(t *testing.T) {
	for _, p := range pictures {
		f, err := os.Open("../" + p.name)
		require.NoError(t, err)
		got, err := png.Decode(f)
		require.NoError(t, err)
		require.NoError(t, f.Close())
		want := picture(p.size, p.margin)
		require.Equal(t, want.Bounds(), got.Bounds(), p.name)
		for y := range p.size {
			for x := range p.size {
				require.Equal(t, want.RGBAAt(x, y), got.At(x, y), "%s at %d, %d: run go generate ./static", p.name, x, y)
			}
		}
	}
}

// What a phone cuts to a circle keeps the whole mark: its corners lie within
// four fifths of the width from the middle.
func TestTheMarkSurvivesACircle(t *testing.T) {
	last := pictures[len(pictures)-1]
	rim := mark[0]
	for _, x := range []float64{rim.x0, rim.x1} {
		for _, y := range []float64{rim.y0, rim.y1} {
			scale := (1 - 2*last.margin) / 64
			assert.LessOrEqual(t, math.Hypot((x-32)*scale, (y-32)*scale), 0.4)
		}
	}
}
