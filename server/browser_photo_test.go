package main

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/store"
)

// picks puts a picture of so many pixels, drawn by the browser itself, into a
// file field, as a camera does.
func (b *tab) picks(field, kind string, w, h int) {
	b.t.Helper()
	ask[bool](b, fmt.Sprintf(`(async () => {
		const canvas = document.createElement("canvas"), input = document.querySelector(%q);
		canvas.width = %d; canvas.height = %d;
		const ink = canvas.getContext("2d");
		for (let i = 0; i < 900; i++) { ink.fillStyle = "hsl(" + i * 7 + " 60%% 50%%)"; ink.fillRect(i %% 30 * canvas.width / 30, Math.floor(i / 30) * canvas.height / 30, canvas.width / 20, canvas.height / 20); }
		const blob = await new Promise((done) => canvas.toBlob(done, %q));
		const files = new DataTransfer();
		files.items.add(new File([blob], "IMG 1", {type: %q}));
		input.files = files.files;
		input.dispatchEvent(new Event("change"));
		return true;
	})()`, field, w, h, kind, kind))
}

// picksText puts a file into a field that is no picture.
func (b *tab) picksText(field, text string) {
	b.t.Helper()
	ask[bool](b, fmt.Sprintf(`(() => {
		const input = document.querySelector(%q), files = new DataTransfer();
		files.items.add(new File([%q], "IMG 2.heic"));
		input.files = files.files;
		input.dispatchEvent(new Event("change"));
		return true;
	})()`, field, text))
}

const picker = "input[data-picker]"

func (s *shed) meltPhotos(t testing.TB) []store.Photo {
	t.Helper()
	all, err := s.store.MeltPhotos(t.Context(), 1)
	require.NoError(t, err)
	return all
}

// TestAPhotoWithoutTheNetwork takes photos on plain http with the network cut:
// of a line that the shop has not heard of either. Both arrive, the line first.
func TestAPhotoWithoutTheNetwork(t *testing.T) {
	s := newShed(t)
	s.runs()
	p := s.settled(t, habits["kg and point"])
	code := p.start("")
	b := browse(t, inHouse(s.server.URL))
	b.signIn()
	b.open("/melts/" + string(code))
	b.ready()
	b.network(false)
	b.tap("Mark the time")
	b.shows("kept here, not sent")
	b.press("Photo")
	tapped := s.store.Now()
	b.picks(picker, "image/png", 2400, 1800)
	b.shows("The photo is kept here, not sent.")
	b.shows("Photo of: Time marked")
	require.Equal(t, 2, b.kept())
	time.Sleep(300 * time.Millisecond)
	b.tap("Mark power on")
	assert.Empty(t, s.lines(t, code))

	b.network(true)
	b.press("Send now")
	b.drained()
	lines, photos := s.lines(t, code), s.meltPhotos(t)
	require.Len(t, lines, 2, "the line that was tapped later did not wait for the photo")
	require.Len(t, photos, 1)
	assert.Equal(t, lines[0].ID, photos[0].Of.Line)
	assert.Equal(t, melt.Stamp, lines[0].Kind)
	assert.Equal(t, [2]int{1600, 1200}, [2]int{photos[0].Width, photos[0].Height})
	late := photos[0].At.Since(tapped)
	assert.Less(t, max(late, -late), 2*quantity.Second)
	img := `document.querySelectorAll("#line-%d img[alt='Photo of a marked time of %s, %s']").length === 1 && document.querySelector("#line-%[1]d img").naturalWidth === 320`
	for began := time.Now(); !b.sees(fmt.Sprintf(img, lines[0].ID, code, s.shopStyle(t).Date(photos[0].At))); time.Sleep(50 * time.Millisecond) {
		require.Less(t, time.Since(began), patience, "the photo never shows: %s", b.text())
	}
	b.shows("The photo is kept in the shop.")
	assert.NotContains(t, b.text(), "not sent")

	// Once more with the network there, and with what the shop does not take.
	b.press("Photo")
	b.picks(picker, "image/jpeg", 640, 480)
	b.shows("The photo is kept in the shop.")
	require.Len(t, s.meltPhotos(t), 2)
	b.press("Photo")
	b.picksText(picker, "\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic")
	b.shows("The photo was not taken. This phone saves HEIC")
	assert.Zero(t, b.kept(), "it is told and not kept")
	assert.Len(t, s.meltPhotos(t), 2)
}

// TestAPhotoOfACrucible sends the form of a line's photos with script: the
// phone makes it small, and a file that it cannot open is told.
func TestAPhotoOfACrucible(t *testing.T) {
	s := newShed(t)
	p := s.settled(t, habits["kg and point"])
	p.save(p.fill("/kit/2/add/inspected", "/kit/2/lines", "ring", "clear"))
	b := browse(t, s.server.URL)
	b.signIn()
	b.open("/kit/2/lines/1/photos")
	ask[bool](b, "(document.querySelector('[name=note]').focus(), true)")
	b.enter("note", "from the lip")
	b.picks("input[name=photo]", "image/webp", 3000, 2000)
	b.press("Send it")
	b.shows("Taken")
	b.shows("from the lip")
	all, err := s.store.KitPhotos(t.Context(), 2)
	require.NoError(t, err)
	require.Len(t, all, 1)
	assert.Equal(t, [2]int{1600, 1067}, [2]int{all[0].Width, all[0].Height})

	b.picksText("input[name=photo]", "<svg xmlns='http://www.w3.org/2000/svg'/>")
	b.press("Send it")
	b.shows("The photo was not taken. This is a drawing (SVG)")
	assert.Zero(t, b.kept())

	b.network(false)
	b.picks("input[name=photo]", "image/jpeg", 300, 200)
	b.press("Send it")
	b.shows("The photo is kept here, not sent.")
	b.network(true)
	b.open("/kit/2")
	b.drained()
	all, err = s.store.KitPhotos(t.Context(), 2)
	require.NoError(t, err)
	assert.Len(t, all, 2)
}
