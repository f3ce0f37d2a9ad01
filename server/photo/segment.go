package photo

import (
	"encoding/binary"
	"iter"
)

// segment is one of those that come before the data of a JPEG.
type segment struct {
	marker byte
	body   []byte
}

// segments gives them in order, up to the first data (ITU-T T.81, B.1.1). What
// does not belong there is passed over, as decoders do.
func segments(file []byte) iter.Seq[segment] {
	return func(yield func(segment) bool) {
		for at := 2; at+4 <= len(file); {
			marker := file[at+1]
			switch {
			case file[at] != 0xff || marker == 0xff || marker == 0:
				at++
				continue
			case marker == 0xda || marker == 0xd9:
				return
			case marker >= 0xd0 && marker <= 0xd7 || marker == 0x01:
				at += 2
				continue
			}
			length := int(binary.BigEndian.Uint16(file[at+2:]))
			if length < 2 || at+2+length > len(file) {
				return
			}
			if !yield(segment{marker, file[at+4 : at+2+length]}) {
				return
			}
			at += 2 + length
		}
	}
}

// frame reports whether the segment says how the picture is made (SOF0 to SOF2,
// the ones that can be decoded).
func (s segment) frame() bool { return s.marker >= 0xc0 && s.marker <= 0xc2 }

// worst is what quarters gives for four full samples in a progressive frame.
const worst = 4*4*5 + 4*4

// quarters is how many quarters of a byte each pixel takes while a frame is
// opened: its samples, four bytes more for each where it is progressive, and
// once more the whole where colours are not in light and two differences.
func (s segment) quarters() int {
	const each = 3 // bytes that a kind of sample is told by
	if len(s.body) < 6 || s.body[5] > 4 || len(s.body) < 6+each*int(s.body[5]) {
		return worst
	}
	n := int(s.body[5])
	var area, wide, high int
	for i := range n {
		across, down := int(s.body[7+each*i]>>4), int(s.body[7+each*i]&15)
		wide, high = max(wide, across), max(high, down)
		area += across * down
	}
	largest := max(1, wide*high)
	quarters := max(4, (4*area+largest-1)/largest)
	if s.marker == 0xc2 {
		quarters *= 5
	}
	if n == 4 {
		quarters += 4 * 4
	}
	return quarters
}
