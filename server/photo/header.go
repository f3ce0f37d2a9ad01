package photo

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"io"
	"slices"

	"golang.org/x/image/webp"
)

// header is what a file says of itself before it is opened.
type header struct {
	width, height int
	memory        int // bytes that opening it takes
	orientation   int // 1 to 8 as in EXIF
	progressive   bool
	decode        func(io.Reader) (image.Image, error)
}

// What is told of files that are no photos for us.
var (
	errEmpty   = &Refusal{"No photo came in. Choose one, or take one, and send it."}
	errLarge   = &Refusal{"The photo is larger than 12 MB. Set the camera to a smaller size, or send it from the browser with scripts on, which makes it smaller."}
	errHEIC    = &Refusal{"This phone saves HEIC: set its camera to the most compatible format, or send it from the browser, which turns it into JPEG."}
	errSVG     = &Refusal{"This is a drawing (SVG), not a photo. Send a JPEG or PNG."}
	errKind    = &Refusal{"This is no photo that can be opened here. Send a JPEG or PNG."}
	errDamaged = &Refusal{"The photo came in cut off or damaged and cannot be opened. Send it again, or take it anew."}
	errScans   = &Refusal{"This JPEG is made of too many layers. Save it again as a usual JPEG."}
)

// look reads the header of a file and refuses what must not be opened.
func look(file []byte) (header, error) {
	switch {
	case len(file) == 0:
		return header{}, errEmpty
	case len(file) > MaxBytes:
		return header{}, errLarge
	}
	h, err := headerOf(file)
	if err != nil {
		return h, err
	}
	if h.width <= 0 || h.height <= 0 {
		return h, errKind
	}
	if h.width > MaxPixels/h.height {
		return h, &Refusal{fmt.Sprintf("The photo is %d by %d pixels, and no more than %d million are taken. Set the camera to a smaller size.", h.width, h.height, MaxPixels/1_000_000)}
	}
	if h.memory > maxMemory && h.progressive {
		return h, &Refusal{fmt.Sprintf("The photo is a progressive JPEG of %d by %d pixels, which takes too much memory to open here. Save it as a usual JPEG (baseline, not progressive), or make it smaller and send it again.", h.width, h.height)}
	}
	if h.memory > maxMemory {
		return h, &Refusal{fmt.Sprintf("The photo is %d by %d pixels in a format that takes too much memory to open. Send it as a usual JPEG, or smaller.", h.width, h.height)}
	}
	return h, nil
}

func headerOf(file []byte) (header, error) {
	starts := func(magic string) bool { return bytes.HasPrefix(file, []byte(magic)) }
	switch {
	case starts("\xff\xd8\xff"):
		return jpegHeader(file)
	case starts("\x89PNG\r\n\x1a\n"):
		c, err := png.DecodeConfig(bytes.NewReader(file))
		each := 4
		if c.ColorModel == color.Gray16Model || c.ColorModel == color.RGBA64Model || c.ColorModel == color.NRGBA64Model {
			each = 8
		}
		if interlace := 28; len(file) > interlace && file[interlace] != 0 {
			each *= 2 // its passes are pictures of their own
		}
		return configured(c, err, each, png.Decode)
	case starts("GIF87a"), starts("GIF89a"):
		c, err := gif.DecodeConfig(bytes.NewReader(file))
		return configured(c, err, 2, gif.Decode)
	case starts("RIFF") && len(file) > 12 && string(file[8:12]) == "WEBP":
		c, err := webp.DecodeConfig(bytes.NewReader(file))
		return configured(c, err, 8, webp.Decode)
	case isHEIC(file):
		return header{}, errHEIC
	case isSVG(file):
		return header{}, errSVG
	}
	return header{}, errKind
}

// configured is the header of a format that the library reads, with how many
// bytes each pixel takes when it is opened.
func configured(c image.Config, err error, each int, decode func(io.Reader) (image.Image, error)) (header, error) {
	if err != nil {
		return header{}, errKind
	}
	return header{width: c.Width, height: c.Height, memory: product(c.Width, c.Height, each), orientation: 1, decode: decode}, nil
}

// product is a product that stops growing beyond any limit of ours.
func product(w, h, each int) int {
	if w > 0 && h > MaxPixels/w {
		return maxMemory + 1
	}
	return w * h * each
}

// isHEIC knows the brands of ISO/IEC 23008-12 and AVIF in a file type box
// (ISO/IEC 14496-12, 4.3).
func isHEIC(file []byte) bool {
	if len(file) < 12 || string(file[4:8]) != "ftyp" {
		return false
	}
	return slices.Contains([]string{"heic", "heix", "heim", "heis", "hevc", "hevx", "mif1", "msf1", "avif", "avis"}, string(file[8:12]))
}

func isSVG(file []byte) bool {
	return bytes.Contains(bytes.ToLower(file[:min(len(file), 1024)]), []byte("<svg"))
}

// maxScans is how many layers a JPEG may have: a progressive one has about
// ten, and each may cost a walk over the whole picture.
const maxScans = 100

// jpegHeader reads the frame of a JPEG: how large it is, how its colours are
// sampled and whether it is progressive (ITU-T T.81, B.2.2), and how the camera
// was held.
func jpegHeader(file []byte) (header, error) {
	h := header{orientation: 1, decode: jpeg.Decode}
	c, err := jpeg.DecodeConfig(bytes.NewReader(file))
	if err != nil {
		return h, errDamaged
	}
	// Inside a picture's data FF is never followed by DA, so each is a layer, or
	// one of a small picture in the metadata.
	if bytes.Count(file, []byte{0xff, 0xda}) > maxScans {
		return h, errScans
	}
	h.width, h.height = c.Width, c.Height
	each := worst
	for s := range segments(file) {
		switch {
		case s.marker == 0xe1 && h.orientation == 1:
			h.orientation = orientation(s.body)
		case s.frame():
			each, h.progressive = s.quarters(), s.marker == 0xc2
		}
	}
	h.memory = product(h.width, h.height, each) / 4
	return h, nil
}
