package store

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
)

// pictures stand for JPEGs: the store does not look into them.
var pictures = Pictures{Full: bytes.Repeat([]byte("full"), 100_000), Thumb: bytes.Repeat([]byte("thumb"), 4_000)}

// photographed is a workshop with a photo of a line of a melt, of a line of its
// crucible and of a delivery.
func photographed(t *testing.T) (w *workshop, h melt.Heading, all []Photo) {
	w = newWorkshop(t)
	ctx := t.Context()
	h = w.start(t, 0)
	require.NoError(t, w.Add(ctx, w.by, h.Code, melt.Line{Kind: melt.Stamp, Key: w.key()}, false))
	_, lines, err := w.Melt(ctx, h.Code)
	require.NoError(t, err)
	require.NoError(t, w.AddKitLine(ctx, w.by, kit.Line{Key: w.key(), Item: w.crucibles[0], Kind: kit.Inspected, Ring: "clear"}))
	_, kitLines, _, err := w.KitItem(ctx, w.crucibles[0])
	require.NoError(t, err)
	w.pass(time.Minute)
	for _, of := range []PhotoOf{{Line: lines[0].ID}, {KitLine: kitLines[0].ID}, {Lot: w.lots[0]}} {
		p := Photo{Key: w.key(), Of: of, At: w.Now() - minute/2, Note: "from above", Width: 1600, Height: 1200}
		require.NoError(t, w.AddPhoto(ctx, w.by, p, pictures))
		all = append(all, p)
	}
	return w, h, all
}

func TestAPhotoIsStoredOnce(t *testing.T) {
	w, h, all := photographed(t)
	ctx := t.Context()
	lists := [][]Photo{}
	for _, read := range []func() ([]Photo, error){
		func() ([]Photo, error) { return w.MeltPhotos(ctx, h.ID) },
		func() ([]Photo, error) { return w.KitPhotos(ctx, w.crucibles[0]) },
		func() ([]Photo, error) { return w.LotPhotos(ctx, w.sources[0]) },
	} {
		some, err := read()
		require.NoError(t, err)
		lists = append(lists, some)
	}
	for i, want := range all {
		require.Len(t, lists[i], 1)
		want.ID, want.Noted, want.By = int64(i+1), w.Now(), w.by
		assert.Equal(t, want, lists[i][0])
		one, err := w.Photo(ctx, want.ID)
		require.NoError(t, err)
		assert.Equal(t, want, one)
	}
	for thumb, want := range map[bool][]byte{false: pictures.Full, true: pictures.Thumb} {
		got, err := w.Picture(ctx, 2, thumb)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	other, err := w.KitPhotos(ctx, w.crucibles[1])
	require.NoError(t, err)
	assert.Empty(t, other)

	before := w.dump(t)
	require.NoError(t, w.AddPhoto(ctx, w.by, all[0], pictures), "sent again")
	moved := all[0]
	moved.Of = all[1].Of
	assert.ErrorIs(t, w.AddPhoto(ctx, w.by, moved, pictures), ErrConflict, "the same key for another line")
	noted := all[0]
	noted.Note = "from the side"
	assert.ErrorIs(t, w.AddPhoto(ctx, w.by, noted, pictures), ErrKeyUsed)
	assert.ErrorIs(t, w.AddPhoto(ctx, w.by, all[0], Pictures{Full: []byte("another"), Thumb: pictures.Thumb}), ErrKeyUsed, "another picture of the same line")
	both := all[0]
	both.Key, both.Of.Lot = w.key(), 1
	assert.ErrorContains(t, w.AddPhoto(ctx, w.by, both, pictures), "CHECK")
	assert.ErrorContains(t, w.AddPhoto(ctx, w.by, Photo{Key: w.key(), Of: PhotoOf{Line: 999}, Width: 1, Height: 1}, pictures), "FOREIGN KEY")
	assert.Equal(t, before, w.dump(t))
	_, err = w.Photo(ctx, 99)
	assert.ErrorIs(t, err, ErrNotFound)
	_, err = w.Picture(ctx, 99, true)
	assert.ErrorIs(t, err, ErrNotFound)
}

func TestAPhotoIsStruckAndPutBack(t *testing.T) {
	w, h, _ := photographed(t)
	ctx := t.Context()
	version := func() string {
		v, err := w.Version(ctx, h.Code)
		require.NoError(t, err)
		return v
	}
	was, changes, estimates := version(), w.ShownChanges(), w.Changes()
	strike := Mark{Key: w.key(), Struck: true, Reason: "blurred"}
	for range 2 {
		require.NoError(t, w.StrikePhoto(ctx, w.by, 1, strike))
	}
	p, err := w.Photo(ctx, 1)
	require.NoError(t, err)
	assert.Equal(t, &PhotoStrike{At: w.Now(), By: w.by, Reason: "blurred"}, p.Strike)
	assert.NotEqual(t, was, version(), "a watching phone hears of it")
	assert.Greater(t, w.ShownChanges(), changes)
	assert.Equal(t, estimates, w.Changes(), "no figure hangs on a photo")
	assert.ErrorIs(t, w.StrikePhoto(ctx, w.by, 2, strike), ErrConflict)

	require.NoError(t, w.StrikePhoto(ctx, w.by, 1, Mark{Key: w.key()}))
	require.NoError(t, w.StrikePhoto(ctx, w.by, 1, strike), "an old tap that comes late")
	p, err = w.Photo(ctx, 1)
	require.NoError(t, err)
	assert.True(t, p.Stands())
	assert.ErrorIs(t, w.StrikePhoto(ctx, w.by, 99, Mark{Key: w.key(), Struck: true}), ErrNotFound)
	for _, statement := range []string{"UPDATE photo SET note = ''", "DELETE FROM photo", "UPDATE photo_strike SET reason = ''", "DELETE FROM photo_strike"} {
		_, err := w.write.Exec(statement)
		assert.ErrorContains(t, err, "is never", statement)
	}
}

// A crucible's life is told by the photos of its own lines and of its melts'.
func TestPhotosOfALife(t *testing.T) {
	w := newWorkshop(t)
	ctx := t.Context()
	take := func(of PhotoOf) {
		require.NoError(t, w.AddPhoto(ctx, w.by, Photo{Key: w.key(), Of: of, At: w.Now(), Width: 16, Height: 12}, pictures))
	}
	var lines []int64
	var codes []melt.Code
	for range 3 {
		h := w.start(t, 0)
		require.NoError(t, w.Add(ctx, w.by, h.Code, melt.Line{Kind: melt.Charge, Key: w.key(), Source: w.sources[0], Gross: []quantity.Mass{kg}, Scale: w.scales[0]}, false))
		_, all, err := w.Melt(ctx, h.Code)
		require.NoError(t, err)
		lines, codes = append(lines, all[0].ID), append(codes, h.Code)
		w.pass(time.Hour)
	}
	require.NoError(t, w.AddKitLine(ctx, w.by, kit.Line{Key: w.key(), Item: w.crucibles[0], Kind: kit.Inspected, Ring: "clear"}))
	_, kitLines, _, err := w.KitItem(ctx, w.crucibles[0])
	require.NoError(t, err)
	take(PhotoOf{KitLine: kitLines[0].ID}) // 1, after three heats
	w.pass(time.Minute)
	take(PhotoOf{Line: lines[0]}) // 2, taken late, of the first heat
	w.pass(time.Minute)
	take(PhotoOf{Line: lines[2]}) // 3
	take(PhotoOf{Lot: w.lots[0]}) // of nobody's life

	type told struct {
		id    int64
		code  melt.Code
		heats int
	}
	life := func(it kit.Item, most int) (all []told, older int) {
		photos, older, err := w.LifePhotos(ctx, it, most)
		require.NoError(t, err)
		for _, p := range photos {
			all = append(all, told{p.ID, p.Code, *p.Heats})
		}
		return all, older
	}
	crucible := kit.Item{Kind: kit.Crucible, ID: w.crucibles[0]}
	own, first, third := told{1, "", 3}, told{2, codes[0], 1}, told{3, codes[2], 3}
	all, older := life(crucible, -1)
	assert.Equal(t, []told{own, first, third}, all)
	assert.Zero(t, older)
	all, older = life(crucible, 2)
	assert.Equal(t, []told{first, third}, all, "the newest, in order of time")
	assert.Equal(t, 1, older)
	for _, it := range []kit.Item{{Kind: kit.Element, ID: w.elements[0]}, {Kind: kit.Furnace, ID: w.furnaces[0]}} {
		all, _ = life(it, -1)
		assert.Equal(t, []told{first, third}, all, it.Kind)
	}
	scale, older, err := w.LifePhotos(ctx, kit.Item{Kind: kit.Scale, ID: w.scales[0]}, -1)
	require.NoError(t, err)
	assert.Empty(t, scale)
	assert.Zero(t, older)

	heard := w.listen(t)
	for kind, id := range map[kit.Kind]int64{kit.Crucible: w.crucibles[0], kit.Element: w.elements[0], kit.Furnace: w.furnaces[0], kit.Scale: w.scales[0]} {
		w.check(t, heard, "photos of a life", func() error {
			_, _, err := w.LifePhotos(ctx, kit.Item{Kind: kind, ID: id}, 24)
			assert.Len(t, *heard, 1, "one query")
			return err
		}, true)
	}

	require.NoError(t, w.StrikePhoto(ctx, w.by, 3, Mark{Key: w.key(), Struck: true, Reason: "blurred"}))
	require.NoError(t, w.Strike(ctx, w.by, codes[0], lines[0], Mark{Key: w.key(), Struck: true, Reason: "wrong bin"}))
	all, _ = life(crucible, -1)
	own.heats = 2 // the first melt has nothing in it now
	assert.Equal(t, []told{own}, all, "a struck photo and the photo of a struck line are left out")
	require.NoError(t, w.Strike(ctx, w.by, codes[0], lines[0], Mark{Key: w.key()}))
	all, _ = life(crucible, -1)
	assert.Len(t, all, 2, "put back")
}

func TestABackupHoldsPhotos(t *testing.T) {
	w, _, _ := photographed(t)
	ctx := t.Context()
	to := filepath.Join(t.TempDir(), FileName)
	require.NoError(t, Backup(ctx, w.dir, to))
	s, err := Open(ctx, filepath.Dir(to), time.Now)
	require.NoError(t, err)
	defer s.Close()
	for thumb, want := range map[bool][]byte{false: pictures.Full, true: pictures.Thumb} {
		got, err := s.Picture(ctx, 3, thumb)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	info, err := os.Stat(to)
	require.NoError(t, err)
	assert.Greater(t, info.Size(), int64(3*len(pictures.Full)))
}
