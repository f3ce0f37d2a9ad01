package main

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"time"

	"github.com/go-chi/chi/v5"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
	"drosswise/foundry/scrap"
	"drosswise/server/photo"
	"drosswise/store"
	"drosswise/views"
)

// subject is what a photo is of, with the photos of it so far.
type subject struct {
	of     store.PhotoOf
	what   string // as views say it
	photos []store.Photo
	nav    string
	page   views.PhotoPage // where it belongs
}

// subjectOf finds the subject that an address names.
type subjectOf func(a *app, r *http.Request, v visit) (subject, error)

func lineSubject(a *app, r *http.Request, v visit) (sub subject, err error) {
	ctx, code := r.Context(), codeOf(r)
	h, lines, err := a.store.Melt(ctx, code)
	if err != nil {
		return sub, err
	}
	id, err := a.lineOf(r)
	if err != nil {
		return sub, err
	}
	i := slices.IndexFunc(lines, func(l melt.Line) bool { return l.ID == id })
	if i < 0 {
		return sub, store.ErrNotFound
	}
	names, err := a.names(ctx, lines)
	if err != nil {
		return sub, err
	}
	sub = subject{of: store.PhotoOf{Line: id}, what: views.PhotoOfLine(lines[i], code, names), nav: "melts"}
	path := "/melts/" + string(code)
	sub.page = views.PhotoPage{
		Back: views.Link{Text: "Back to " + string(code), Href: path}, Over: "Melt " + string(code),
		Title: views.Tell(lines[i], names, v.style).Sentence(), Action: fmt.Sprintf("%s/lines/%d/photos", path, id),
	}
	sub.photos, err = a.store.MeltPhotos(ctx, h.ID)
	return sub.only(), err
}

func kitSubject(a *app, r *http.Request, v visit) (sub subject, err error) {
	it, lines, _, err := a.store.KitItem(r.Context(), pathID(chi.URLParam(r, "id")))
	if err != nil {
		return sub, err
	}
	id := pathID(chi.URLParam(r, "line"))
	i := slices.IndexFunc(lines, func(l kit.Line) bool { return l.ID == id })
	if i < 0 {
		return sub, store.ErrNotFound
	}
	sub = subject{of: store.PhotoOf{KitLine: id}, what: views.PhotoOfKit(it, lines[i]), nav: "kit"}
	sub.page = views.PhotoPage{
		Back: views.Link{Text: "Back to " + it.Name, Href: kitPath(it.ID)}, Over: it.Kind.Name() + " " + it.Name,
		Title: sub.what + ", " + v.style.Date(lines[i].At), Action: fmt.Sprintf("%s/lines/%d/photos", kitPath(it.ID), id),
	}
	sub.photos, err = a.store.KitPhotos(r.Context(), it.ID)
	return sub.only(), err
}

func lotSubject(a *app, r *http.Request, v visit) (sub subject, err error) {
	p, err := a.sourceOf(r)
	if err != nil {
		return sub, err
	}
	lots, err := a.store.Lots(r.Context(), p.ID)
	if err != nil {
		return sub, err
	}
	id := pathID(chi.URLParam(r, "lot"))
	i := slices.IndexFunc(lots, func(l scrap.Lot) bool { return l.ID == id })
	if i < 0 {
		return sub, store.ErrNotFound
	}
	sub = subject{of: store.PhotoOf{Lot: id}, what: deliveryOf(p), nav: "scrap"}
	sub.page = views.PhotoPage{
		Back: views.Link{Text: "Back to " + p.Name, Href: sourcePath(p.ID)}, Over: "Scrap " + p.Name,
		Title: "The delivery of " + v.style.Date(lots[i].At), Action: fmt.Sprintf("%s/lots/%d/photos", sourcePath(p.ID), id),
	}
	sub.photos, err = a.store.LotPhotos(r.Context(), p.ID)
	return sub.only(), err
}

func deliveryOf(p scrap.Source) string { return "a delivery of " + p.Name }

// only leaves of all photos those of the subject.
func (sub subject) only() subject {
	sub.photos = slices.DeleteFunc(sub.photos, func(p store.Photo) bool { return p.Of != sub.of })
	return sub
}

func linePhotosPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.photosPage(w, r, v, lineSubject)
}

func kitPhotosPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.photosPage(w, r, v, kitSubject)
}

func lotPhotosPage(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.photosPage(w, r, v, lotSubject)
}

func addLinePhoto(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.addPhoto(w, r, v, lineSubject)
}

func addKitPhoto(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.addPhoto(w, r, v, kitSubject)
}

func addLotPhoto(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.addPhoto(w, r, v, lotSubject)
}

func (a *app) photosPage(w http.ResponseWriter, r *http.Request, v visit, find subjectOf) error {
	sub, err := find(a, r, v)
	if err != nil {
		return err
	}
	return a.showPhotos(w, r, v, http.StatusOK, sub)
}

func (a *app) showPhotos(w http.ResponseWriter, r *http.Request, v visit, status int, sub subject) error {
	people, err := a.store.Names(r.Context())
	if err != nil {
		return err
	}
	page := sub.page
	page.May, page.NewKeys, page.Key = v.may(melter), newKey, newKey()
	for _, p := range sub.photos {
		page.Photos = append(page.Photos, shownPhoto(p, sub.what, people, v.style))
	}
	return a.show(w, r, status, page.Page(a.frame(r, v, "Photos: "+sub.what, sub.nav)))
}

// addPhoto stores the photo that was sent with a form.
func (a *app) addPhoto(w http.ResponseWriter, r *http.Request, v visit, find subjectOf) error {
	sub, err := find(a, r, v)
	if err != nil {
		return err
	}
	f, made, err := a.readPhoto(w, r, v)
	if err != nil {
		return err
	}
	key, err := f.key()
	if err != nil {
		return err
	}
	p := store.Photo{Key: key, Of: sub.of, At: f.tapped(v.now), Note: f.note("note"), Width: made.Width, Height: made.Height}
	if !f.ok() && wantsJSON(r) {
		return a.refused(w, f)
	}
	if !f.ok() {
		sub.page.Fault, sub.page.Note, sub.page.NoteBad = f.faults["photo"], f.values.Get("note"), f.faults["note"]
		return a.showPhotos(w, r, v, http.StatusUnprocessableEntity, sub)
	}
	if err := a.store.AddPhoto(r.Context(), v.person.ID, p, store.Pictures{Full: made.Full, Thumb: made.Thumb}); err != nil {
		return err
	}
	if wantsJSON(r) {
		return a.answerJSON(w, map[string]string{"key": key})
	}
	a.flash(r, "The photo is kept.")
	return seeOther(w, r, sub.page.Action)
}

// readPhoto reads a form with a photo. What cannot be taken is a fault of the
// field, so that it is told like any other.
func (a *app) readPhoto(w http.ResponseWriter, r *http.Request, v visit) (*form, photo.Photo, error) {
	f, file, err := a.readFile(w, r, v, "photo")
	if err != nil {
		return nil, photo.Photo{}, err
	}
	made, err := photo.Read(r.Context(), file.body)
	var refused *photo.Refusal
	if errors.As(err, &refused) {
		f.fault("photo", refused.Sentence)
		err = nil
	}
	return f, made, err
}

func strikePhoto(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.markPhoto(w, r, v, true)
}

func liftPhoto(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.markPhoto(w, r, v, false)
}

func (a *app) markPhoto(w http.ResponseWriter, r *http.Request, v visit, strike bool) error {
	m, err := readMark(r, v, strike)
	if err != nil {
		return err
	}
	if err := a.store.StrikePhoto(r.Context(), v.person.ID, pathID(chi.URLParam(r, "id")), m); err != nil {
		return err
	}
	a.flash(r, markedSentence(strike))
	return seeOther(w, r, localPath(r.PostForm.Get("to")))
}

func photoFull(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.picture(w, r, false)
}

func photoThumb(a *app, w http.ResponseWriter, r *http.Request, v visit) error {
	return a.picture(w, r, true)
}

// picture sends a JPEG. It never changes, so that a browser may keep it for
// good, for the person alone.
func (a *app) picture(w http.ResponseWriter, r *http.Request, thumb bool) error {
	id := pathID(chi.URLParam(r, "id"))
	jpeg, err := a.store.Picture(r.Context(), id, thumb)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "image/jpeg")
	w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
	w.Header().Set("ETag", fmt.Sprintf(`"photo-%d-%t"`, id, thumb))
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(jpeg))
	return nil
}
