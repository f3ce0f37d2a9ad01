package photo

import "image"

// shrunk makes a picture no longer than so many pixels. Each pixel is the mean
// of the area that it covers, in whole numbers, row by row: beside the result
// it takes no memory to speak of. What is clear becomes white. A picture that is
// small enough keeps its size.
func shrunk(src image.RGBA64Image, long int) *image.RGBA {
	b := src.Bounds()
	sw, sh := b.Dx(), b.Dy()
	dw, dh := size(sw, sh, long)
	dst := image.NewRGBA(image.Rect(0, 0, dw, dh))
	row, sum := make([]uint64, 3*dw), make([]uint64, 3*dw)
	columns := make([]part, sw)
	for x := range columns {
		columns[x] = share(x, sw, dw)
	}
	add := func(times uint64) {
		for i, x := range row {
			sum[i] += x * times
		}
	}
	for y := range sh {
		squeeze(src, b.Min.Y+y, columns, row)
		p := share(y, sh, dh)
		add(p.here)
		if (y+1)*dh < (p.at+1)*sh {
			continue
		}
		put(dst, p.at, sum, uint64(sw)*uint64(sh))
		clear(sum)
		add(p.next)
	}
	return dst
}

// size is that of a picture brought within so many pixels a side.
func size(w, h, long int) (int, int) {
	if l := max(w, h); l > long {
		return max(1, (w*long+l/2)/l), max(1, (h*long+l/2)/l)
	}
	return w, h
}

// part is where one line of many falls among fewer: in which, how much of it
// there, and how much in the one after.
type part struct {
	at         int
	here, next uint64
}

// share parts a line; here and next together are fewer.
func share(n, many, fewer int) part {
	at := n * fewer / many
	here := min(fewer, (at+1)*many-n*fewer)
	return part{at, uint64(here), uint64(fewer - here)}
}

// squeeze adds up one row of the source to as many columns as there are.
func squeeze(src image.RGBA64Image, y int, columns []part, row []uint64) {
	clear(row)
	left := src.Bounds().Min.X
	for x, p := range columns {
		c := src.RGBA64At(left+x, y)
		white := 0xffff - c.A
		red, green, blue := uint64((c.R+white)>>8), uint64((c.G+white)>>8), uint64((c.B+white)>>8)
		to := row[3*p.at:]
		to[0] += red * p.here
		to[1] += green * p.here
		to[2] += blue * p.here
		if p.next > 0 {
			to[3] += red * p.next
			to[4] += green * p.next
			to[5] += blue * p.next
		}
	}
}

// put writes a row of means.
func put(dst *image.RGBA, y int, sum []uint64, of uint64) {
	pix := dst.Pix[y*dst.Stride:]
	for i, x := range sum {
		pix[i/3*4+i%3] = uint8((x + of/2) / of)
	}
	for x := range len(sum) / 3 {
		pix[4*x+3] = 0xff
	}
}

// turned sets a picture upright that was taken with the camera held as said (1
// to 8 as in EXIF).
func turned(src *image.RGBA, held int) *image.RGBA {
	w, h := src.Rect.Dx(), src.Rect.Dy()
	if held <= 1 || held > 8 {
		return src
	}
	dst := image.NewRGBA(image.Rect(0, 0, w, h))
	if held >= 5 { // it lies on its side
		dst = image.NewRGBA(image.Rect(0, 0, h, w))
	}
	for y := range dst.Rect.Dy() {
		for x := range dst.Rect.Dx() {
			fx, fy := from(held, x, y, w, h)
			dst.SetRGBA(x, y, src.RGBAAt(fx, fy))
		}
	}
	return dst
}

// from is where a pixel of the upright picture is in the one as taken, w by h.
func from(held, x, y, w, h int) (int, int) {
	right, bottom := w-1, h-1
	switch held {
	case 2:
		return right - x, y
	case 3:
		return right - x, bottom - y
	case 4:
		return x, bottom - y
	case 5:
		return y, x
	case 6:
		return y, bottom - x
	case 7:
		return right - y, bottom - x
	case 8:
		return right - y, x
	}
	return x, y
}
