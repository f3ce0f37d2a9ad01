package main

import (
	"context"
	"errors"
	"net/http"
	"slices"

	"github.com/danielgtaylor/huma/v2"

	"drosswise/foundry/melt"
	"drosswise/foundry/quantity"
	"drosswise/server/api"
	"drosswise/server/photo"
	"drosswise/store"
)

// photoOperations are what programs do with photos.
var photoOperations = slices.Concat([]offered{
	offer(operation{method: get, path: "/api/v1/melts/{code}/photos", id: "list-melt-photos", least: reader, tag: "photos", summary: "Photos of a melt's lines.", more: wherePictures}, meltPhotos),
	offer(operation{method: get, path: "/api/v1/kit/{id}/photos", id: "list-kit-photos", least: reader, tag: "photos", summary: "Photos of a piece of kit.", more: wherePictures}, kitPhotos),
	offer(operation{method: get, path: "/api/v1/kit/{id}/life", id: "list-life-photos", least: reader, tag: "photos", summary: "Photos of a piece of kit and of all melts made with it, the oldest first.", more: "What is struck, and void melts, are left out. " + wherePictures}, lifePhotos),
	offer(operation{method: get, path: "/api/v1/sources/{id}/photos", id: "list-source-photos", least: reader, tag: "photos", summary: "Photos of the deliveries of a kind of scrap.", more: wherePictures}, sourcePhotos),
	offer(operation{method: post, path: "/api/v1/melts/{code}/lines/{line}/photos", id: "add-line-photo", least: melter, tag: "photos", summary: "Add a photo of a line of a melt.", status: http.StatusCreated, change: takesPicture}, addPhotoOfLine),
	offer(operation{method: post, path: "/api/v1/kit/{id}/lines/{line}/photos", id: "add-kit-photo", least: melter, tag: "photos", summary: "Add a photo of a line of a piece of kit.", status: http.StatusCreated, change: takesPicture}, addPhotoOfKit),
	offer(operation{method: post, path: "/api/v1/sources/{id}/lots/{lot}/photos", id: "add-lot-photo", least: melter, tag: "photos", summary: "Add a photo of a delivery.", status: http.StatusCreated, change: takesPicture}, addPhotoOfLot),
}, strikes(operation{path: "/api/v1/photos/{id}", id: "photo", least: melter, tag: "photos", summary: "a photo"},
	func(a *app, ctx context.Context, v visit, in *struct {
		api.Numbered
		api.Once[api.Marking]
	}, strike bool) error {
		m, err := markOf(v, in.Once, strike)
		if err != nil {
			return err
		}
		return a.store.StrikePhoto(ctx, v.person.ID, in.ID, m)
	}))

const wherePictures = "The picture itself is at /photos/{id}.jpg, a small one at /photos/{id}/thumb.jpg."

// takesPicture lets a body be as large as a photo.
func takesPicture(op *huma.Operation) { op.MaxBodyBytes = maxPhotoBody }

// photos are what is known of some.
type photosTold struct {
	Photos []api.Photo `json:"photos" nullable:"false"`
}

func tellPhotos(all []store.Photo, err error) (told photosTold, _ error) {
	told.Photos = []api.Photo{}
	for _, p := range all {
		told.Photos = append(told.Photos, tellPhoto(p))
	}
	return told, err
}

func tellPhoto(p store.Photo) api.Photo {
	told := api.Photo{
		ID: p.ID, Key: p.Key, Line: p.Of.Line, KitLine: p.Of.KitLine, Lot: p.Of.Lot, At: p.At.Time().UTC(), Noted: p.Noted.Time().UTC(),
		By: p.By, Note: p.Note, Width: p.Width, Height: p.Height,
	}
	if p.Strike != nil {
		told.Struck = &api.Struck{At: p.Strike.At.Time().UTC(), By: p.Strike.By, Reason: p.Strike.Reason}
	}
	return told
}

func meltPhotos(a *app, ctx context.Context, v visit, in *api.Coded) (photosTold, error) {
	h, _, err := a.store.Melt(ctx, melt.Code(in.Code))
	if err != nil {
		return photosTold{}, err
	}
	return tellPhotos(a.store.MeltPhotos(ctx, h.ID))
}

func kitPhotos(a *app, ctx context.Context, v visit, in *api.Numbered) (photosTold, error) {
	if _, _, _, err := a.store.KitItem(ctx, in.ID); err != nil {
		return photosTold{}, err
	}
	return tellPhotos(a.store.KitPhotos(ctx, in.ID))
}

// lifeTold are photos out of the life of a piece of kit.
type lifeTold struct {
	Photos []lifePhoto `json:"photos" nullable:"false"`
}

type lifePhoto struct {
	api.Photo
	Melt  string `json:"melt,omitempty" doc:"Code of the melt; absent for a photo of a line about the kit itself."`
	Heats *int   `json:"heats" doc:"How many heats the kit had begun by then, that of the melt with them; null where they are not counted."`
}

func lifePhotos(a *app, ctx context.Context, v visit, in *api.Numbered) (told lifeTold, err error) {
	told.Photos = []lifePhoto{}
	it, _, _, err := a.store.KitItem(ctx, in.ID)
	if err != nil {
		return told, err
	}
	all, _, err := a.store.LifePhotos(ctx, it, -1)
	for _, p := range all {
		told.Photos = append(told.Photos, lifePhoto{tellPhoto(p.Photo), string(p.Code), p.Heats})
	}
	return told, err
}

func sourcePhotos(a *app, ctx context.Context, v visit, in *api.Numbered) (photosTold, error) {
	if _, err := a.store.Source(ctx, in.ID); err != nil {
		return photosTold{}, err
	}
	return tellPhotos(a.store.LotPhotos(ctx, in.ID))
}

func addPhotoOfLine(a *app, ctx context.Context, v visit, in *struct {
	api.Coded
	api.OfLine
	api.Picture
}) (told api.Photo, err error) {
	h, lines, err := a.store.Melt(ctx, melt.Code(in.Code))
	if err != nil {
		return told, err
	}
	if !slices.ContainsFunc(lines, func(l melt.Line) bool { return l.ID == in.Line }) {
		return told, store.ErrNotFound
	}
	if err := a.takePhoto(ctx, v, store.PhotoOf{Line: in.Line}, in.Picture); err != nil {
		return told, err
	}
	return photoWithKey(in.Key)(a.store.MeltPhotos(ctx, h.ID))
}

func addPhotoOfKit(a *app, ctx context.Context, v visit, in *struct {
	api.Numbered
	api.OfLine
	api.Picture
}) (told api.Photo, err error) {
	_, lines, _, err := a.store.KitItem(ctx, in.ID)
	if err != nil {
		return told, err
	}
	for _, l := range lines {
		if l.ID != in.Line {
			continue
		}
		if err := a.takePhoto(ctx, v, store.PhotoOf{KitLine: in.Line}, in.Picture); err != nil {
			return told, err
		}
		return photoWithKey(in.Key)(a.store.KitPhotos(ctx, in.ID))
	}
	return told, store.ErrNotFound
}

func addPhotoOfLot(a *app, ctx context.Context, v visit, in *struct {
	api.Numbered
	api.OfLot
	api.Picture
}) (told api.Photo, err error) {
	all, err := a.store.Lots(ctx, in.ID)
	if err != nil {
		return told, err
	}
	for _, l := range all {
		if l.ID != in.Lot {
			continue
		}
		if err := a.takePhoto(ctx, v, store.PhotoOf{Lot: in.Lot}, in.Picture); err != nil {
			return told, err
		}
		return photoWithKey(in.Key)(a.store.LotPhotos(ctx, in.ID))
	}
	return told, store.ErrNotFound
}

// takePhoto makes of what was sent a photo to keep, and keeps it.
func (a *app) takePhoto(ctx context.Context, v visit, of store.PhotoOf, in api.Picture) error {
	f := keyedForm(v, in.Key, struct{}{})
	key, err := f.key()
	if err != nil {
		return err
	}
	made, err := photo.Read(ctx, in.RawBody)
	var refused *photo.Refusal
	if errors.As(err, &refused) {
		f.fault("photo", refused.Sentence)
		return f.wrong(struct{}{})
	}
	if err != nil {
		return err
	}
	p := store.Photo{Key: key, Of: of, At: v.now, Note: in.Note, Width: made.Width, Height: made.Height}
	if !in.At.IsZero() {
		p.At = min(quantity.At(in.At), v.now)
	}
	return a.store.AddPhoto(ctx, v.person.ID, p, store.Pictures{Full: made.Full, Thumb: made.Thumb})
}

// photoWithKey finds a photo among those of its subject.
func photoWithKey(key string) func([]store.Photo, error) (api.Photo, error) {
	return func(all []store.Photo, err error) (api.Photo, error) {
		i := slices.IndexFunc(all, func(p store.Photo) bool { return p.Key == key })
		if err != nil || i < 0 {
			return api.Photo{}, errors.Join(err, store.ErrNotFound)
		}
		return tellPhoto(all[i]), nil
	}
}
