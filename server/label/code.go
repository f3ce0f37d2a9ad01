package label

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/boombuler/barcode/qr"
)

// quiet is how many modules stay empty round a code, so that a reader finds it
// (ISO/IEC 18004:2015, 6.3.8).
const quiet = 4

// Code draws a text as a QR code that can be read with up to 15 % of it
// scratched or dirty (level M): an SVG path of its dark modules in a square of
// side by side units, the quiet zone included. A text of more than about 2300
// bytes does not fit.
func Code(text string) (path string, side int, err error) {
	drawn, err := qr.Encode(text, qr.M, qr.Auto)
	if err != nil {
		return "", 0, fmt.Errorf("code of %d bytes: %w", len(text), err)
	}
	n := drawn.Bounds().Dx()
	dark := func(x, y int) bool {
		r, _, _, _ := drawn.At(x, y).RGBA()
		return r == 0
	}
	var b strings.Builder
	for y := range n {
		for x := 0; x < n; x++ {
			if !dark(x, y) {
				continue
			}
			from := x
			for x < n && dark(x, y) {
				x++
			}
			width := strconv.Itoa(x - from)
			b.WriteString("M" + strconv.Itoa(from+quiet) + " " + strconv.Itoa(y+quiet) + "h" + width + "v1h-" + width + "z")
		}
	}
	return b.String(), n + 2*quiet, nil
}
