package demo

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"math/rand/v2"
)

// drawing is a picture made by code: flat colours and dark outlines, so that
// nobody takes it for a photo. Only integers are reckoned with, so that it is
// the same on every machine.
type drawing struct {
	*image.RGBA
	r *rand.Rand
}

const drawnWidth, drawnHeight = 480, 360

var (
	paper = color.RGBA{236, 229, 214, 255}
	ink   = color.RGBA{52, 46, 42, 255}
	clay  = color.RGBA{176, 120, 84, 255}
	soot  = color.RGBA{92, 84, 78, 255}
	glow  = color.RGBA{222, 128, 60, 255}
)

func newDrawing(n uint64) drawing {
	d := drawing{image.NewRGBA(image.Rect(0, 0, drawnWidth, drawnHeight)), rand.New(rand.NewPCG(seed, 1<<32+n))}
	draw.Draw(d, d.Rect, image.NewUniform(paper), image.Point{}, draw.Src)
	return d
}

func (d drawing) jpeg() ([]byte, error) {
	var b bytes.Buffer
	err := jpeg.Encode(&b, d, &jpeg.Options{Quality: 90})
	return b.Bytes(), err
}

func (d drawing) box(x0, y0, x1, y1 int, c color.Color) {
	draw.Draw(d, image.Rect(x0, y0, x1, y1), image.NewUniform(c), image.Point{}, draw.Src)
}

// ring fills what lies between two radii; a disc is a ring from 0.
func (d drawing) ring(x0, y0, from, to int, c color.RGBA) {
	for y := y0 - to; y <= y0+to; y++ {
		for x := x0 - to; x <= x0+to; x++ {
			if far := (x-x0)*(x-x0) + (y-y0)*(y-y0); far >= from*from && far <= to*to && image.Pt(x, y).In(d.Rect) {
				d.SetRGBA(x, y, c)
			}
		}
	}
}

// bar is a thick stroke from one point to another.
func (d drawing) bar(x0, y0, x1, y1, thick int, c color.RGBA) {
	const steps = 60
	for i := range steps + 1 {
		d.ring(x0+(x1-x0)*i/steps, y0+(y1-y0)*i/steps, 0, thick, c)
	}
}

func (d drawing) metal() color.RGBA {
	l := uint8(150 + d.r.IntN(70))
	return color.RGBA{l, l, l + 8, 255}
}

// heap is wheels and arms on a pile.
func (d drawing) heap() {
	d.box(0, 310, drawnWidth, drawnHeight, clay)
	for i := range 34 {
		high := d.r.IntN(180)
		x, y := 240+(d.r.IntN(360)-180)*(200-high)/200, 305-high
		if i%2 == 0 {
			size := 20 + d.r.IntN(30)
			d.ring(x, y, size-9, size+2, ink)
			d.ring(x, y, size-7, size, d.metal())
			continue
		}
		x1, y1 := x+d.r.IntN(100)-50, y+d.r.IntN(60)-30
		d.bar(x, y, x1, y1, 9, ink)
		d.bar(x, y, x1, y1, 7, d.metal())
	}
}

// dross is lumps in a round tin, seen from above.
func (d drawing) dross() {
	d.ring(240, 180, 0, 160, ink)
	d.ring(240, 180, 0, 150, soot)
	for range 150 {
		x, y, size := 240+d.r.IntN(210)-105, 180+d.r.IntN(210)-105, 4+d.r.IntN(15)
		l := uint8(90 + d.r.IntN(110))
		d.ring(x, y, 0, size+1, ink)
		d.ring(x, y, 0, size, color.RGBA{l, l - 4, l - 10, 255})
	}
}

// ingots is the tops of a tray of them, each with its pipe.
func (d drawing) ingots() {
	for i := range 8 {
		x, y := 24+i%4*110, 50+i/4*140
		d.box(x-3, y-3, x+97, y+123, ink)
		d.box(x, y, x+94, y+120, d.metal())
		d.box(x+10, y+10, x+84, y+110, color.RGBA{214, 216, 222, 255})
		px, py, size := x+47+d.r.IntN(20)-10, y+60+d.r.IntN(30)-15, 6+d.r.IntN(9)
		d.ring(px, py, 0, size+2, soot)
		d.ring(px, py, 0, size, color.RGBA{160, 162, 170, 255})
	}
}

// wall is a crucible cut through: the more it has served, the deeper its wall is
// eaten at the metal line.
func (d drawing) wall(heats int) {
	const left, right, top, bottom, thick = 110, 370, 40, 320, 34
	d.box(left-3, top, right+3, bottom+3, ink)
	d.box(left, top, right, bottom, clay)
	d.box(left+thick, top, right-thick, bottom-thick, paper)
	d.box(left+thick, top+70, right-thick, top+76, ink) // the metal line
	for range 10 + 4*heats {
		y := top + 50 + d.r.IntN(50)
		bite := 2 + d.r.IntN(3+min(heats, 40)/3)
		d.ring(left+thick, y, 0, bite, soot)
		d.ring(right-thick, y, 0, bite, soot)
	}
	for range heats { // dross that clings
		d.ring(left+thick+d.r.IntN(right-left-2*thick), bottom-thick-d.r.IntN(14), 0, 2+d.r.IntN(5), soot)
	}
}

// coil is turns of wire in a groove of brick; those of one that has served lean.
func (d drawing) coil(heats int) {
	for _, y := range []int{90, 180, 270} {
		d.box(20, y-38, drawnWidth-20, y+38, ink)
		d.box(23, y-35, drawnWidth-23, y+35, clay)
		for x := 40; x < drawnWidth-80; x += 60 {
			lean := d.r.IntN(1 + min(heats, 40)/3)
			d.bar(x, y-24, x+28+lean, y+24, 4, ink)
			d.bar(x, y-24, x+28+lean, y+24, 2, glow)
			d.bar(x+28+lean, y+24, x+60, y-24, 3, ink)
		}
	}
}
