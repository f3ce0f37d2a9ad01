package main

import (
	"bytes"
	"fmt"
	"hash/crc32"
	"image"
	"image/jpeg"
	"image/png"
	"mime/multipart"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/server/photo"
	"drosswise/store"
)

// dross is a photo of so many pixels, as a camera saves it.
func dross(t testing.TB, w, h int) []byte {
	t.Helper()
	img := image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio420)
	for i := range img.Y {
		img.Y[i] = uint8(70 + i%w/16%120 + i/w/16%60)
	}
	for i := range img.Cb {
		img.Cb[i], img.Cr[i] = 118, 134
	}
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, img, nil))
	return b.Bytes()
}

// shows sends a photo through a form, as a browser without script does.
func (p *phone) shows(path string, file []byte, header []string, fields ...string) got {
	p.t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for i := 0; i < len(fields); i += 2 {
		require.NoError(p.t, form.WriteField(fields[i], fields[i+1]))
	}
	part, err := form.CreateFormFile("photo", "IMG 1.jpg")
	require.NoError(p.t, err)
	_, err = part.Write(file)
	require.NoError(p.t, err)
	require.NoError(p.t, form.Close())
	return p.do(http.MethodPost, path, &body, append([]string{"Content-Type", form.FormDataContentType()}, header...)...)
}

var asScript = []string{"Accept", "application/json"}

// skimmed is a melt with a line of dross, and the address of its photos.
func (s *shed) skimmed(t testing.TB, p *phone) (code melt.Code, photos string) {
	t.Helper()
	code = p.start("14:00")
	p.log(code, melt.Charge, append(onDay("14:01", "mass", "2.15"), wheels...)...)
	p.log(code, melt.Skim, onDay("14:05", "mass", "0.085", "scale", "4")...)
	return code, fmt.Sprintf("/melts/%s/lines/%d/photos", code, s.lines(t, code)[1].ID)
}

// TestAPhotoOfALine sends one without script, and follows it to every page on
// which it is seen.
func TestAPhotoOfALine(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code, photos := s.skimmed(t, p)
	assert.Contains(t, p.open("/melts/"+string(code)).body, `href="`+photos+`"`)
	page := p.open(photos)
	assert.Contains(t, page.text(), "No photo of this yet.")
	key := page.form(t, photos).values.Get("key")
	for range 2 {
		g := p.shows(photos, dross(t, 2000, 1500), nil, "key", key, "note", "wet & grey <lumps>")
		require.Equal(t, http.StatusSeeOther, g.status, g.text())
		require.Equal(t, photos, g.header.Get("Location"))
	}
	page = p.open(photos)
	assert.Contains(t, page.text(), "The photo is kept.")
	assert.Contains(t, page.text(), "wet & grey <lumps>")
	assert.Equal(t, 1, strings.Count(page.body, "<img"), "the same key is stored once")
	for _, where := range []string{photos, "/melts/" + string(code), strings.TrimSuffix(photos, "/photos")} {
		body := p.open(where).body
		assert.Contains(t, body, `width="320" height="240" alt="Photo of the skim of `+string(code)+`, 14 Mar 2026: wet &amp; grey &lt;lumps&gt;"`, where)
		assert.Contains(t, body, `href="/photos/1.jpg"`, where)
	}

	for path, size := range map[string]image.Point{"/photos/1.jpg": {1600, 1200}, "/photos/1/thumb.jpg": {320, 240}} {
		g := p.open(path)
		assert.Equal(t, "image/jpeg", g.header.Get("Content-Type"))
		assert.Equal(t, "nosniff", g.header.Get("X-Content-Type-Options"))
		assert.Equal(t, []string{"private, max-age=31536000, immutable"}, g.header.Values("Cache-Control"))
		c, err := jpeg.DecodeConfig(strings.NewReader(g.body))
		require.NoError(t, err)
		assert.Equal(t, size, image.Pt(c.Width, c.Height))
		again := p.do(http.MethodGet, path, nil, "If-None-Match", g.header.Get("ETag"))
		assert.Equal(t, http.StatusNotModified, again.status)
	}
	assert.Equal(t, http.StatusNotFound, p.do(http.MethodGet, "/photos/2.jpg", nil).status)

	p.save(p.open(photos).form(t, "/photos/1/strike"))
	assert.Contains(t, p.open(photos).text(), "Put back")
	assert.NotContains(t, p.open("/melts/"+string(code)).body, "<img", "a struck one is seen on its own page only")
	p.save(p.open(photos).form(t, "/photos/1/lift"))
	assert.Contains(t, p.open("/melts/"+string(code)).body, "<img")
}

// TestPhotosOfKitAndDeliveries shows a crucible over its life.
func TestPhotosOfKitAndDeliveries(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	assert.Contains(t, p.open("/kit/2").text(), "No photo yet. Write an inspection")
	for range 2 {
		p.save(p.fill("/kit/2/add/inspected", "/kit/2/lines", "ring", "clear"))
		s.pass(time.Minute)
	}
	for n, heats := range []string{"0 heats", "1 heat"} {
		photos := fmt.Sprintf("/kit/2/lines/%d/photos", n+1)
		g := p.shows(photos, dross(t, 300, 400), nil, "key", fmt.Sprintf("photo-000%d", n))
		require.Equal(t, http.StatusSeeOther, g.status)
		p.open(g.header.Get("Location"))
		assert.Contains(t, p.open("/kit/2").text(), "14 Mar 2026 · "+heats)
		code := p.start("")
		p.log(code, melt.Charge, "source", "source-1", "mass", "1.2", "scale", "4")
		p.log(code, melt.PowerOn)
		s.pass(time.Hour)
		p.log(code, melt.Isolated)
		p.log(code, melt.Pour, "mass", "1.1", "scale", "4")
	}
	body := p.open("/kit/2").body
	assert.Equal(t, 2, strings.Count(body[strings.Index(body, "side by side"):strings.Index(body, "Its lines")], "<img"))
	assert.Contains(t, body, `alt="Photo of Pot, inspected, 14 Mar 2026"`)

	code, skim := s.skimmed(t, p)
	life := func(path string) string {
		_, after, _ := strings.Cut(p.open(path).body, "side by side")
		body, _, _ := strings.Cut(after, "Its lines")
		return body
	}
	for n := range lifeShown {
		require.Equal(t, http.StatusSeeOther, p.shows(skim, dross(t, 40, 30), nil, "key", fmt.Sprintf("photo-skim%02d", n)).status)
	}
	body = life("/kit/2")
	assert.Equal(t, lifeShown, strings.Count(body, "<img"))
	assert.Contains(t, body, `alt="Photo of the skim of `+string(code)+`, 14 Mar 2026"`)
	assert.Contains(t, body, "14 Mar 2026 · heat 1", "by when it was begun, though it was written last")
	assert.Contains(t, body, `href="/melts/`+string(code)+`"`)
	assert.Contains(t, body, `href="/kit/2?photos=all"`)
	assert.Contains(t, body, "2 older photos")
	body = life("/kit/2?photos=all")
	assert.Equal(t, lifeShown+2, strings.Count(body, "<img"))
	assert.NotContains(t, body, "older photo")
	p.save(p.fill(strings.TrimSuffix(skim, "/photos"), strings.TrimSuffix(skim, "/photos")+"/strike"))
	assert.Equal(t, 2, strings.Count(life("/kit/2"), "<img"), "what a struck line shows is left out")

	p.save(p.fill("/scrap/1/lots/new", "/scrap/1/lots", "as_found", "40"))
	require.Equal(t, http.StatusSeeOther, p.shows("/scrap/1/lots/1/photos", dross(t, 640, 480), nil, "key", "photo-lot1").status)
	assert.Contains(t, p.open("/scrap/1").body, `alt="Photo of a delivery of Wheels, 14 Mar 2026"`)
	for _, path := range []string{"/kit/2/lines/99/photos", "/kit/1/lines/1/photos", "/scrap/2/lots/1/photos"} {
		assert.Equal(t, http.StatusNotFound, p.shows(path, dross(t, 8, 8), nil, "key", "photo-none").status, path)
	}
}

// TestWhatIsNoPhoto sends files that are none: each is told in a sentence, the
// form keeps what was typed, and nothing is stored.
func TestWhatIsNoPhoto(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code, photos := s.skimmed(t, p)
	whole := dross(t, 800, 600)
	for name, c := range map[string]struct {
		file []byte
		says string
	}{
		"nothing": {nil, "No photo came in"},
		"cut off": {whole[:len(whole)/2], "cut off or damaged"},
		"a HEIC":  {[]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"), "This phone saves HEIC"},
		"an SVG":  {[]byte(`<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>`), "a drawing (SVG)"},
		"a bomb":  {bomb(t), "50000 by 50000 pixels"},
		"13 MB":   {make([]byte, 13<<20), "larger than 12 MB"},
	} {
		g := p.shows(photos, c.file, nil, "key", "photo-0001", "note", "as typed")
		assert.Equal(t, http.StatusUnprocessableEntity, g.status, name)
		assert.Contains(t, g.text(), c.says, name)
		assert.Equal(t, "as typed", g.form(t, photos).values.Get("note"), name)
		g = p.shows(photos, c.file, asScript, "key", "photo-0001")
		assert.Equal(t, http.StatusUnprocessableEntity, g.status, name)
		assertProblem(t, g)
		assert.Contains(t, g.body, c.says, name)
	}
	assert.Equal(t, http.StatusRequestEntityTooLarge, p.shows(photos, make([]byte, 15<<20), nil, "key", "photo-0001").status)
	assert.Equal(t, http.StatusBadRequest, p.shows(photos, whole, nil).status, "no key")
	assert.Equal(t, http.StatusBadRequest, p.shows(photos, whole, nil, "key", "photo-0001", "note", strings.Repeat("x", 70_000)).status)
	assert.Equal(t, http.StatusUnprocessableEntity, p.shows(photos, whole, nil, "key", "photo-0001", "note", strings.Repeat("x", 2001)).status)
	assert.Equal(t, http.StatusBadRequest, p.do(http.MethodPost, photos, strings.NewReader("key=photo-0001")).status, "no form with a file")
	assert.Equal(t, http.StatusRequestEntityTooLarge, p.shows("/melts/"+string(code)+"/lines", whole, []string{"Content-Type", "application/x-www-form-urlencoded"}, "key", "photo-0001", "note", strings.Repeat("x", 300<<10)).status, "only photos may be large")
	assert.Equal(t, http.StatusNotFound, p.do(http.MethodGet, "/photos/1.jpg", nil).status)
}

// bomb is a PNG of a few bytes that says it is 2.5 thousand million pixels.
func bomb(t testing.TB) []byte {
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, image.NewGray(image.Rect(0, 0, 1, 1))))
	file := b.Bytes()
	copy(file[16:], "\x00\x00\xc3\x50\x00\x00\xc3\x50")
	// The checksum of the header (CRC-32 of PNG, annex D) over its new content.
	sum := crc32.ChecksumIEEE(file[12:29])
	copy(file[29:], []byte{byte(sum >> 24), byte(sum >> 16), byte(sum >> 8), byte(sum)})
	return file
}

// TestWhereItWasTakenIsNotKept sends a photo with a place in its metadata.
func TestWhereItWasTakenIsNotKept(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	_, photos := s.skimmed(t, p)
	file, secret := dross(t, 640, 480), "52.0907 N 5.1214 E"
	tiff := "II*\x00\x08\x00\x00\x00\x01\x00\x25\x88\x04\x00\x01\x00\x00\x00\x1a\x00\x00\x00\x00\x00\x00\x00" + secret // one entry: the GPS IFD
	segment := "\xff\xe1\x00" + string(rune(2+6+len(tiff))) + "Exif\x00\x00" + tiff
	file = []byte(string(file[:2]) + segment + string(file[2:]))
	_, err := jpeg.Decode(bytes.NewReader(file))
	require.NoError(t, err)
	require.Contains(t, string(file), secret)
	require.Equal(t, http.StatusSeeOther, p.shows(photos, file, nil, "key", "photo-0001").status)
	for _, path := range []string{"/photos/1.jpg", "/photos/1/thumb.jpg"} {
		body := p.open(path).body
		assert.NotContains(t, body, secret)
		assert.NotContains(t, body, "Exif")
	}
}

// TestAPhotoThatWaited is sent by a script: it keeps its time, may name its
// line by the phone's key, and comes in once.
func TestAPhotoThatWaited(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	code, _ := s.skimmed(t, p)
	key := s.lines(t, code)[1].Key
	photos := "/melts/" + string(code) + "/lines/key-" + key + "/photos"
	tapped := s.store.Now()
	s.pass(25 * time.Minute)
	for range 2 {
		g := p.shows(photos, dross(t, 640, 480), asScript, "key", "photo-0001", "ago", "1500000")
		require.Equal(t, http.StatusOK, g.status, g.body)
		assert.JSONEq(t, `{"key": "photo-0001"}`, g.body)
	}
	all, err := s.store.MeltPhotos(t.Context(), 1)
	require.NoError(t, err)
	require.Len(t, all, 1)
	assert.Equal(t, tapped, all[0].At)
	assert.Equal(t, http.StatusNotFound, p.shows("/melts/"+string(code)+"/lines/key-nowhere-1/photos", dross(t, 8, 8), asScript, "key", "photo-0002").status)

	reading := s.phone(t)
	token, _, err := s.store.Invite(t.Context(), 1, "reader")
	require.NoError(t, err)
	reading.save(reading.fill("/join/"+token, "/join/"+token, "name", "Committee", "password", "just looking", "again", "just looking"))
	assert.Equal(t, http.StatusForbidden, reading.shows(photos, dross(t, 8, 8), nil, "key", "photo-0003").status)
	assert.Equal(t, http.StatusForbidden, reading.post("/photos/1/strike", with(url.Values{}, "key", "photo-0004")).status)
	page := reading.open(photos)
	assert.Contains(t, page.body, "/photos/1/thumb.jpg")
	assert.NotContains(t, page.body, `type="file"`)
	assert.NotContains(t, reading.open("/melts/"+string(code)).body, `/photos"`)
	assert.Equal(t, http.StatusSeeOther, s.phone(t).do(http.MethodGet, "/photos/1.jpg", nil).status, "signed out")
}

// TestPhotosAreInABackup restores one elsewhere.
func TestPhotosAreInABackup(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	_, photos := s.skimmed(t, p)
	require.Equal(t, http.StatusSeeOther, p.shows(photos, dross(t, 640, 480), nil, "key", "photo-0001").status)
	want := p.open("/photos/1.jpg").body
	to, dir := filepath.Join(t.TempDir(), "copy.db"), filepath.Join(t.TempDir(), "new")
	require.NoError(t, store.Backup(t.Context(), s.dir, to))
	_, err := store.Restore(t.Context(), to, dir, false, time.Now())
	require.NoError(t, err)
	st, err := store.Open(t.Context(), dir, time.Now)
	require.NoError(t, err)
	defer st.Close()
	got, err := st.Picture(t.Context(), 1, false)
	require.NoError(t, err)
	assert.Equal(t, want, string(got))
}

// TestMemoryOfTheProgram runs the program itself and sends it photos of 48
// megapixels from three phones at once; the kernel tells the most it took.
func TestMemoryOfTheProgram(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program and takes some seconds")
	}
	if _, err := os.Stat("/proc/self/status"); err != nil {
		t.Skip("the kernel does not tell how much memory a program took")
	}
	c := &crashed{t: t, dir: t.TempDir()}
	c.build()
	c.begin()
	c.settle()
	c.phone.Timeout = time.Minute
	code := c.phone.start("")
	c.phone.sends("/melts/"+string(code)+"/lines", with(url.Values{}, "kind", "stamp", "key", "phone-0001"))
	path := "/melts/" + string(code) + "/lines/key-phone-0001/photos"
	file := dross(t, 8000, 6000)
	sent := make(chan got)
	for n := range 3 {
		go func() { sent <- c.phone.shows(path, file, asScript, "key", fmt.Sprintf("photo-000%d", n)) }()
	}
	for range 3 {
		g := <-sent
		assert.Equal(t, http.StatusOK, g.status, g.body)
	}
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", c.running.Process.Pid))
	require.NoError(t, err)
	peak := regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindSubmatch(status)
	require.NotNil(t, peak)
	kilobytes, err := strconv.Atoi(string(peak[1]))
	require.NoError(t, err)
	t.Logf("photos of %.1f MB and 48 megapixels, three at once: %d MiB at most", float64(len(file))/1e6, kilobytes/1024)
	assert.Less(t, kilobytes/1024, 300)
	assert.LessOrEqual(t, len(file), photo.MaxBytes)
}

// A shop that moves in may have no larger pictures than the program makes.
func TestPicturesThatMoveInAreNoLargerThanThoseMade(t *testing.T) {
	assert.Equal(t, photo.Long, store.LongPicture)
	assert.Equal(t, photo.ThumbLong, store.LongThumb)
}
