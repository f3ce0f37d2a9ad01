package photo

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/binary"
	"image"
	"image/color"
	"image/gif"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAPhotoIsBroughtToSize(t *testing.T) {
	for _, c := range []struct{ w, h, fullW, fullH, thumbW, thumbH int }{
		{4000, 3000, 1600, 1200, 320, 240},
		{3000, 4000, 1200, 1600, 240, 320},
		{1600, 900, 1600, 900, 320, 180},
		{200, 100, 200, 100, 200, 100},
		{1, 1, 1, 1, 1, 1},
		{5000, 2, 1600, 1, 320, 1},
	} {
		p, err := Read(t.Context(), asJPEG(t, textured(c.w, c.h)))
		require.NoError(t, err)
		tw, th := ThumbSize(p.Width, p.Height)
		assert.Equal(t, []int{c.fullW, c.fullH, c.thumbW, c.thumbH}, []int{p.Width, p.Height, tw, th}, "%d by %d", c.w, c.h)
		assert.Equal(t, image.Rect(0, 0, c.fullW, c.fullH), opened(t, p.Full).Bounds())
		assert.Equal(t, image.Rect(0, 0, c.thumbW, c.thumbH), opened(t, p.Thumb).Bounds())
	}
}

func TestOtherFormats(t *testing.T) {
	clear := image.NewNRGBA(image.Rect(0, 0, 40, 20)) // nothing in it
	deep := image.NewNRGBA64(image.Rect(0, 0, 40, 20))
	for i := range deep.Pix {
		deep.Pix[i] = 0xff
	}
	var g bytes.Buffer
	require.NoError(t, gif.Encode(&g, corners(40, 20), nil))
	for name, c := range map[string]struct {
		file []byte
		want string
	}{
		"PNG, clear":   {asPNG(t, clear), "white"},
		"PNG, 16 bits": {asPNG(t, deep), "white"},
		"PNG":          {asPNG(t, corners(40, 20)), "red"},
		"GIF":          {g.Bytes(), "red"},
		"WebP":         {yellowWebP(t), "yellow"},
	} {
		p, err := Read(t.Context(), c.file)
		require.NoError(t, err, name)
		assert.Equal(t, [2]int{40, 20}, [2]int{p.Width, p.Height}, name)
		assert.Equal(t, c.want, nearest(opened(t, p.Full).At(4, 4)), name)
	}
}

// yellowWebP is a yellow picture of 40 by 20 pixels, encoded by a browser.
func yellowWebP(t testing.TB) []byte {
	file, err := base64.StdEncoding.DecodeString("UklGRkoAAABXRUJQVlA4ID4AAAAwAwCdASooABQAPjEYikOiIaEStAAgAwSzgDsAAC+LqpgAAP76Ksv//1y7/65d/9cu/9cu//w5U+nbYAAAAA==")
	require.NoError(t, err)
	return file
}

// The mean of an area is that of its pixels, wherever the borders fall.
func TestShrinkingKeepsTheLight(t *testing.T) {
	for _, c := range []struct{ w, h, long int }{{1000, 700, 320}, {961, 17, 320}, {641, 640, 320}, {7, 5, 3}} {
		src := image.NewGray(image.Rect(0, 0, c.w, c.h))
		sum := 0
		for i := range src.Pix {
			src.Pix[i] = uint8(i * 37 % 251)
			sum += int(src.Pix[i])
		}
		got := shrunk(src, c.long)
		light := 0.0
		for i := 0; i < len(got.Pix); i += 4 {
			light += float64(got.Pix[i])
		}
		assert.InDelta(t, float64(sum)/float64(c.w*c.h), light/float64(len(got.Pix)/4), 0.6, "%d by %d", c.w, c.h)
	}
	half := shrunk(&image.Gray{Pix: []uint8{0, 100, 200, 40}, Stride: 4, Rect: image.Rect(0, 0, 4, 1)}, 2)
	assert.Equal(t, color.RGBA{50, 50, 50, 255}, half.RGBAAt(0, 0))
	assert.Equal(t, color.RGBA{120, 120, 120, 255}, half.RGBAAt(1, 0))
	third := shrunk(&image.Gray{Pix: []uint8{30, 90, 150}, Stride: 3, Rect: image.Rect(0, 0, 3, 1)}, 2)
	assert.Equal(t, uint8(50), third.RGBAAt(0, 0).R, "one and a half: (30 + 90/2) / 1.5")
	assert.Equal(t, uint8(130), third.RGBAAt(1, 0).R)
}

// Where the first row and the first column of what is stored are to be seen, by
// tag 274 (TIFF 6.0, page 36).
var seen = []struct {
	row, column string
}{
	{"top", "left"}, {"top", "right"}, {"bottom", "right"}, {"bottom", "left"},
	{"left", "top"}, {"right", "top"}, {"right", "bottom"}, {"left", "bottom"},
}

func TestAPhotoIsTurnedUpright(t *testing.T) {
	const w, h = 96, 64
	file := asJPEG(t, corners(w, h))
	for i, c := range seen {
		for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
			p, err := Read(t.Context(), withExif(file, uint16(i+1), order))
			require.NoError(t, err)
			got := opened(t, p.Full)
			if i < 4 {
				require.Equal(t, image.Rect(0, 0, w, h), got.Bounds(), "held %d", i+1)
			} else {
				require.Equal(t, image.Rect(0, 0, h, w), got.Bounds(), "held %d", i+1)
			}
			for _, stored := range []struct {
				bottom, right bool
				colour        string
			}{{false, false, "red"}, {false, true, "green"}, {true, false, "blue"}, {true, true, "yellow"}} {
				// The corner is beside the first row or across from it, and the same with the column.
				at := map[string]bool{c.row: !stored.bottom, c.column: !stored.right}
				x, y := 4, 4
				if right, ok := at["right"]; ok && right || !ok && !at["left"] {
					x = got.Bounds().Dx() - 5
				}
				if bottom, ok := at["bottom"]; ok && bottom || !ok && !at["top"] {
					y = got.Bounds().Dy() - 5
				}
				assert.Equal(t, stored.colour, nearest(got.At(x, y)), "held %d, at %d, %d", i+1, x, y)
			}
		}
	}
	for _, held := range []uint16{0, 9, 0xffff} {
		p, err := Read(t.Context(), withExif(file, held, binary.BigEndian))
		require.NoError(t, err)
		assert.Equal(t, "red", nearest(opened(t, p.Full).At(4, 4)), "held %d is not said", held)
	}
}

func TestMetadataAreGone(t *testing.T) {
	file := withExif(asJPEG(t, corners(64, 64)), 1, binary.BigEndian)
	require.Contains(t, string(file), secret)
	p, err := Read(t.Context(), file)
	require.NoError(t, err)
	for _, out := range [][]byte{p.Full, p.Thumb} {
		assert.NotContains(t, string(out), secret)
		assert.NotContains(t, string(out), "Exif")
		for s := range segments(out) {
			assert.Contains(t, []byte{0xdb, 0xc0, 0xc4}, s.marker, "tables and a frame, nothing else: %x", s.marker)
		}
	}
}

func TestWhatIsNoPhotoIsRefused(t *testing.T) {
	whole := asJPEG(t, textured(800, 600))
	layers := append(bytes.Clone(whole), bytes.Repeat([]byte{0xff, 0xda}, maxScans)...)
	bent := bytes.Clone(whole)
	bent[len(bent)/2], bent[len(bent)/2+1] = 0xff, 0xc4 // a table in the midst of the data
	for name, c := range map[string]struct {
		file []byte
		says string
	}{
		"nothing":             {nil, "No photo came in"},
		"13 MB":               {make([]byte, 13<<20), "larger than 12 MB"},
		"cut off":             {whole[:len(whole)/2], "cut off or damaged"},
		"only a beginning":    {whole[:20], "cut off or damaged"},
		"damaged":             {bent, "cut off or damaged"},
		"a PNG's beginning":   {asPNG(t, corners(300, 300))[:60], "cut off or damaged"},
		"a bomb":              {pngClaiming(60_000, 60_000), "60000 by 60000 pixels"},
		"an absurd bomb":      {pngClaiming(0x7fffffff, 0x7fffffff), "no photo that can be opened"},
		"one long line":       {pngClaiming(0x7fffffff, 1), "pixels"},
		"a PNG beyond memory": {pngClaiming(7_500, 7_500), "too much memory"},
		"layers":              {layers, "too many layers"},
		"HEIC":                {[]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"), "This phone saves HEIC"},
		"AVIF":                {[]byte("\x00\x00\x00\x18ftypavif\x00\x00\x00\x00"), "This phone saves HEIC"},
		"SVG":                 {[]byte(`<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>`), "SVG"},
		"a page":              {[]byte("<html><script>alert(1)</script>"), "no photo that can be opened"},
		"a WebP without one":  {[]byte("RIFF\x10\x00\x00\x00WEBPVP8 xxxx"), "no photo that can be opened"},
		"two bytes":           {[]byte{0xff, 0xd8}, "no photo that can be opened"},
	} {
		_, err := Read(t.Context(), c.file)
		var refusal *Refusal
		require.ErrorAs(t, err, &refusal, name)
		assert.Contains(t, refusal.Sentence, c.says, name)
	}
}

// A progressive JPEG is held whole while it is opened, so fewer of its pixels
// are taken: what is refused for that is told how to come in.
func TestALargeProgressiveJPEGIsToldWhatToDo(t *testing.T) {
	claiming := func(marker byte, width, height uint16) []byte {
		file := bytes.Clone(asJPEG(t, textured(16, 16)))
		at := bytes.Index(file, []byte{0xff, 0xc0})
		require.Positive(t, at)
		file[at+1] = marker
		binary.BigEndian.PutUint16(file[at+5:], height)
		binary.BigEndian.PutUint16(file[at+7:], width)
		return file
	}
	const baseline, progressive = 0xc0, 0xc2
	_, err := Read(t.Context(), claiming(progressive, 6000, 5000))
	var refusal *Refusal
	require.ErrorAs(t, err, &refusal)
	assert.Equal(t, "The photo is a progressive JPEG of 6000 by 5000 pixels, which takes too much memory to open here. "+
		"Save it as a usual JPEG (baseline, not progressive), or make it smaller and send it again.", refusal.Sentence)
	for name, file := range map[string][]byte{"as large, but not progressive": claiming(baseline, 6000, 5000), "progressive and smaller": claiming(progressive, 5000, 4000)} {
		_, err := look(file)
		assert.NoError(t, err, name)
	}
}

func TestWaitingForAnotherEndsWithTheContext(t *testing.T) {
	one <- struct{}{}
	defer func() { <-one }()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := Read(ctx, asJPEG(t, textured(8, 8)))
	assert.ErrorIs(t, err, context.Canceled)
}

func FuzzRead(f *testing.F) {
	f.Add(asJPEG(f, textured(16, 16)))
	f.Add(withExif(asJPEG(f, textured(16, 8)), 6, binary.LittleEndian))
	f.Add(asPNG(f, corners(8, 8)))
	f.Add(pngClaiming(9, 9))
	f.Fuzz(func(t *testing.T, file []byte) {
		if h, err := look(file); err != nil || h.width*h.height > 1_000_000 {
			t.Skip()
		}
		p, err := Read(context.Background(), file)
		if err != nil {
			var refusal *Refusal
			require.ErrorAs(t, err, &refusal)
			return
		}
		assert.LessOrEqual(t, max(p.Width, p.Height), Long)
	})
}
