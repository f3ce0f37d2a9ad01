package photo

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"

	"github.com/stretchr/testify/require"
)

// textured is a picture that is nowhere plain.
func textured(w, h int) *image.YCbCr {
	img := image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio420)
	for i := range img.Y {
		img.Y[i] = uint8(90 + i%w/8%97 + i/w/8%61)
	}
	for i := range img.Cb {
		img.Cb[i], img.Cr[i] = uint8(120+i/9%11), uint8(125+i/5%7)
	}
	return img
}

func asJPEG(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, img, &jpeg.Options{Quality: 85}))
	return b.Bytes()
}

func asPNG(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	return b.Bytes()
}

// pngClaiming is a PNG whose header says a size that nothing follows.
func pngClaiming(w, h uint32) []byte {
	b := []byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0d")
	head := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32([]byte("IHDR"), w), h)
	head = append(head, 8, 6, 0, 0, 0)
	b = append(b, head...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(head))
}

// secret is written into the metadata of pictures in these tests, where a
// camera writes its place.
const secret = "GPS 52 degrees, here is the shed"

// withExif puts an APP1 segment into a JPEG, made by hand after TIFF 6.0: how
// the camera was held, and a pointer to a place (GPS IFD, tag 0x8825).
func withExif(file []byte, held uint16, order binary.AppendByteOrder) []byte {
	tiff := []byte("II*\x00")
	if order.String() == "BigEndian" {
		tiff = []byte("MM\x00*")
	}
	tiff = order.AppendUint32(tiff, 8)
	tiff = order.AppendUint16(tiff, 2)
	tiff = order.AppendUint32(order.AppendUint16(order.AppendUint16(tiff, 0x0112), 3), 1)
	tiff = append(order.AppendUint16(tiff, held), 0, 0)
	tiff = order.AppendUint32(order.AppendUint16(order.AppendUint16(tiff, 0x8825), 4), 1)
	tiff = order.AppendUint32(tiff, uint32(len(tiff)+8))
	tiff = order.AppendUint32(tiff, 0)
	tiff = append(tiff, secret...)
	body := append([]byte("Exif\x00\x00"), tiff...)
	segment := binary.BigEndian.AppendUint16([]byte{0xff, 0xe1}, uint16(len(body)+2))
	return bytes.Join([][]byte{file[:2], segment, body, file[2:]}, nil)
}

// The corners of a picture in these tests.
var (
	red    = color.RGBA{200, 30, 30, 255}
	green  = color.RGBA{30, 180, 30, 255}
	blue   = color.RGBA{30, 30, 200, 255}
	yellow = color.RGBA{220, 220, 30, 255}
)

// corners is a picture with a colour in each corner: red top left, green top
// right, blue bottom left, yellow bottom right.
func corners(w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetRGBA(x, y, [2][2]color.RGBA{{red, green}, {blue, yellow}}[2*y/h][2*x/w])
		}
	}
	return img
}

func opened(t testing.TB, file []byte) image.Image {
	t.Helper()
	img, err := jpeg.Decode(bytes.NewReader(file))
	require.NoError(t, err)
	return img
}

// nearest names the colour of a pixel.
func nearest(c color.Color) string {
	best, found := 1<<40, ""
	r, g, b, _ := c.RGBA()
	for name, k := range map[string]color.RGBA{"red": red, "green": green, "blue": blue, "yellow": yellow, "white": {255, 255, 255, 255}} {
		d := func(x uint32, y uint8) int { z := int(x>>8) - int(y); return z * z }
		if far := d(r, k.R) + d(g, k.G) + d(b, k.B); far < best {
			best, found = far, name
		}
	}
	return found
}
