// Command draw draws the mark of the pages as the bitmaps that phones want for
// their home screens, from the same figures as icon.svg. It is run by go
// generate in the folder above.
package main

import (
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"log"
	"os"
)

// The colours of the mark, as in icon.svg.
var (
	paper = color.RGBA{0xff, 0xfe, 0xfa, 0xff}
	ink   = color.RGBA{0x1a, 0x19, 0x17, 0xff}
	metal = color.RGBA{0x6d, 0x7b, 0x8a, 0xff}
	ember = color.RGBA{0xb5, 0x36, 0x0f, 0xff}
)

// box is a rectangle of the mark, in sixty-fourths of its width.
type box struct {
	x0, y0, x1, y1 float64
	fill           color.Color
}

// mark is the ingot tray seen from above: a rim of ink, and three ingots, the
// last one hot. A box inside another is drawn after it.
var mark = []box{
	{3.5, 7.5, 60.5, 56.5, ink}, {8.5, 12.5, 55.5, 51.5, paper},
	{13.5, 17.5, 23.5, 46.5, ink}, {16.5, 20.5, 20.5, 43.5, metal},
	{27, 17.5, 37, 46.5, ink}, {30, 20.5, 34, 43.5, metal},
	{40.5, 17.5, 50.5, 46.5, ink}, {43.5, 20.5, 47.5, 43.5, ember},
}

// picture draws the mark in a square of so many points, with a margin as a part
// of its width on every side.
func picture(size int, margin float64) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, size, size))
	draw.Draw(img, img.Bounds(), image.NewUniform(paper), image.Point{}, draw.Src)
	at := func(x float64) int {
		return int(float64(size)*(margin+(1-2*margin)*x/64) + 0.5)
	}
	for _, b := range mark {
		draw.Draw(img, image.Rect(at(b.x0), at(b.y0), at(b.x1), at(b.y1)), image.NewUniform(b.fill), image.Point{}, draw.Src)
	}
	return img
}

// pictures are the files with their sizes. The last may be cut to a circle by a
// phone, which leaves the middle four fifths (W3C, Web Application Manifest,
// 2024, "maskable").
var pictures = []struct {
	name   string
	size   int
	margin float64
}{
	{"icon-180.png", 180, 0.08}, {"icon-192.png", 192, 0}, {"icon-512.png", 512, 0}, {"icon-mask.png", 512, 0.18},
}

func main() {
	for _, p := range pictures {
		f, err := os.Create(p.name)
		if err != nil {
			log.Fatal(err)
		}
		if err := png.Encode(f, picture(p.size, p.margin)); err != nil {
			log.Fatal(err)
		}
		if err := f.Close(); err != nil {
			log.Fatal(err)
		}
	}
}
