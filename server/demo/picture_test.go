package demo

import (
	"bytes"
	"image/jpeg"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Drawings are the same each time, differ by what they show and how worn it is,
// and weigh little.
func TestDrawings(t *testing.T) {
	draw := func(of func(drawing)) []byte {
		d := newDrawing(7)
		of(d)
		file, err := d.jpeg()
		require.NoError(t, err)
		return file
	}
	seen := map[string]string{}
	for name, of := range map[string]func(drawing){
		"heap": drawing.heap, "dross": drawing.dross, "ingots": drawing.ingots,
		"new wall": func(d drawing) { d.wall(1) }, "worn wall": func(d drawing) { d.wall(40) },
		"new coil": func(d drawing) { d.coil(0) }, "worn coil": func(d drawing) { d.coil(30) },
	} {
		file := draw(of)
		assert.Equal(t, file, draw(of), name)
		assert.Empty(t, seen[string(file)], name)
		seen[string(file)] = name
		assert.Less(t, len(file), 60_000, name)
		c, err := jpeg.DecodeConfig(bytes.NewReader(file))
		require.NoError(t, err)
		assert.Equal(t, drawnWidth, c.Width, name)
	}
}
