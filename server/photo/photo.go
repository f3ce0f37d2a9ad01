// Package photo makes of what a phone sends a picture that the shop can keep:
// upright, of a size that a page can show, and without anything that was
// written into the file beside the picture, such as where it was taken. It
// takes bytes and gives bytes, and never opens more than one at a time.
package photo

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"runtime/debug"
)

// What is taken, and what is made of it.
const (
	MaxBytes  = 12 << 20   // of the file
	MaxPixels = 60_000_000 // of the picture
	Long      = 1600       // pixels of the longest side that is kept
	ThumbLong = 320        // and of the small one in lists

	maxMemory = 190_000_000 // bytes that opening one may take
	large     = 16_000_000  // bytes whose garbage is not left to wait
	quality   = 80          // of the JPEGs that are made, of 100
)

// Photo is a picture to keep: two JPEGs without metadata.
type Photo struct {
	Width, Height int // of Full, in pixels
	Full, Thumb   []byte
}

// ThumbSize is the size of the small picture of a photo.
func ThumbSize(width, height int) (int, int) { return size(width, height, ThumbLong) }

// Refusal says to a person why a file is not taken, and what to do.
type Refusal struct{ Sentence string }

func (r *Refusal) Error() string { return "photo refused: " + r.Sentence }

// one lets a single picture be opened at a time, so that the memory stays
// what one takes however many phones send.
var one = make(chan struct{}, 1)

// Read makes a photo of a file: JPEG, PNG, GIF or WebP. What is not taken
// comes back as *Refusal. It waits while another is being read, until the
// context ends.
func Read(ctx context.Context, file []byte) (Photo, error) {
	h, err := look(file)
	if err != nil {
		return Photo{}, err
	}
	select {
	case one <- struct{}{}:
		defer func() { <-one }()
	case <-ctx.Done():
		return Photo{}, ctx.Err()
	}
	full, err := open(file, h)
	if h.memory > large {
		debug.FreeOSMemory() // else the next one comes on top of what this one left
	}
	if err != nil {
		return Photo{}, err
	}
	return develop(turned(full, h.orientation))
}

// open decodes a file and brings it to the size that is kept.
func open(file []byte, h header) (*image.RGBA, error) {
	img, err := h.decode(bytes.NewReader(file))
	if err != nil {
		return nil, errDamaged
	}
	flat, ok := img.(image.RGBA64Image) // as are all that the standard library makes
	if !ok {
		return nil, &Refusal{"This kind of picture cannot be opened. Send a JPEG."}
	}
	return shrunk(flat, Long), nil
}

// develop encodes a picture and a small one of it.
func develop(full *image.RGBA) (Photo, error) {
	thumb := shrunk(full, ThumbLong)
	p := Photo{Width: full.Rect.Dx(), Height: full.Rect.Dy()}
	for _, x := range []struct {
		img *image.RGBA
		to  *[]byte
	}{{full, &p.Full}, {thumb, &p.Thumb}} {
		var b bytes.Buffer
		if err := jpeg.Encode(&b, x.img, &jpeg.Options{Quality: quality}); err != nil {
			return Photo{}, err
		}
		*x.to = b.Bytes()
	}
	return p, nil
}
